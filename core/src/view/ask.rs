//! Taking an inquiry: saved from the first tap, four safety questions first, then what they said, who asks, what they agree to.
//! What is being typed is kept letter by letter beside the records, and written into them when the field is left.

use serde_json::{Map, Value as Json, json};

use super::{
    act::Choice,
    ask_answers::answers,
    reader::View,
    resume::{Screen, keep_place},
    stops::{self, StopCard},
};
use crate::{
    Result,
    ids::RecordId,
    inquiry::{Call, save},
    record::Kind,
    tell::lines,
};

/// Taking an inquiry.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct AskScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Plant and township as far as they are known.
    pub title: String,
    /// `Saved on this phone 10:31 am`
    pub saved: String,
    /// Stops that nobody read yet: they are shown before anything else.
    pub halts: Vec<StopCard>,
    /// The safety questions.
    pub questions: Vec<Question>,
    /// Place of the first question that nobody answered; their number when all are.
    pub step: u32,
    /// What is asked after them.
    pub fields: Vec<AskField>,
    /// That a child asks, and nothing of the person is kept; else empty.
    pub child: String,
    /// It was not put down yet.
    pub unfinished: bool,
}

/// A safety question.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Question {
    /// Its id.
    pub id: String,
    /// The question.
    pub ask: String,
    /// Yes, not sure, no.
    pub answers: Vec<Choice>,
}

/// What a field takes.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum FieldKind {
    /// One line.
    Line,
    /// Several lines, in a person's own words.
    Words,
    /// A whole number.
    Number,
    /// One of its choices.
    Choice,
    /// Yes, or not.
    Tick,
}

/// One field.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct AskField {
    /// Its name, handed back with what is written.
    pub name: String,
    /// What it is called.
    pub label: String,
    /// What it takes.
    pub kind: FieldKind,
    /// What stands in it; `yes` where a tick is set.
    pub text: String,
    /// Its choices.
    pub choices: Vec<Choice>,
    /// What is wrong with it: it is kept as it was typed, and in no record yet. Empty when it is well.
    pub problem: String,
    /// Only the office and whoever handles the case see it.
    pub private: bool,
}

pub(super) const FIELDS: [(&str, FieldKind, bool); 19] = [
    ("words", FieldKind::Words, true),
    ("channel", FieldKind::Choice, false),
    ("language", FieldKind::Choice, false),
    ("wish", FieldKind::Choice, false),
    ("urgency", FieldKind::Choice, false),
    ("township", FieldKind::Line, false),
    ("address", FieldKind::Words, true),
    ("minor", FieldKind::Tick, false),
    ("name", FieldKind::Line, true),
    ("phone", FieldKind::Line, true),
    ("email", FieldKind::Line, true),
    ("preferred", FieldKind::Choice, true),
    ("reach_note", FieldKind::Words, true),
    ("may_visit", FieldKind::Tick, false),
    ("may_cut", FieldKind::Tick, false),
    ("may_photo", FieldKind::Tick, false),
    ("may_count", FieldKind::Tick, false),
    ("may_contact_back", FieldKind::Tick, false),
    ("planted", FieldKind::Line, false),
];

/// Fields of the person who asks, and of where they live.
pub(super) const CONTACT: [&str; 6] = ["name", "phone", "email", "preferred", "reach_note", "address"];

pub(super) fn choices_of(field: &str) -> &'static [&'static str] {
    match field {
        "channel" => &["yard", "phone", "email", "clinic_table", "letter", "school"],
        "language" => &["en", "es", "other"],
        "wish" => &["save_it", "know_it_is_safe", "replace_it", "eat_it", "stop_it_spreading", "know"],
        "urgency" => &["today", "this_week", "ordinary"],
        "preferred" => &["phone", "email", "letter", "none"],
        _ => &[],
    }
}

fn typed_key(inquiry: RecordId) -> String {
    format!("typed {inquiry}")
}

pub(super) fn begun_key(inquiry: RecordId) -> String {
    format!("begun {}", hex::encode(inquiry.0))
}

/// What is typed and in no record yet.
pub(super) fn typed(view: &View<'_>, inquiry: RecordId) -> Result<Call> {
    let kept = view.notebook.draft(&typed_key(inquiry))?;
    Ok(kept.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
}

pub(super) fn keep_typed(view: &View<'_>, inquiry: RecordId, call: &Call) -> Result<()> {
    view.notebook.keep_draft(&typed_key(inquiry), Some(&serde_json::to_string(call).unwrap_or_default()))
}

/// Begins an inquiry: it is in the notebook when this returns, with when, how and by whom it was taken. `channel` is one of the
/// registry's words; somebody met in the yard, when it is empty.
///
/// # Errors
/// As [`crate::notebook::Notebook::save`].
pub fn begin(view: &View<'_>, channel: &str) -> Result<RecordId> {
    let id = begun(view, if channel.is_empty() { "yard" } else { channel }, Map::new())?;
    keep_place(view, Screen::Ask, id, None, "")?;
    Ok(id)
}

/// Begins an inquiry of which more is known.
pub(super) fn begun(view: &View<'_>, channel: &str, more: Map<String, Json>) -> Result<RecordId> {
    let id = view.notebook.env().record_id();
    let mut fields = json!({ "opened": view.when.instant(), "channel": channel, "taken_by": view.own_label()? });
    if let Json::Object(fields) = &mut fields {
        fields.extend(more);
    }
    // First that it is not finished: stopped in between, that says something of a record that is not there, and harms nothing.
    view.notebook.keep_draft(&begun_key(id), Some(""))?;
    save(view.notebook, Kind::Inquiry, Some(id), fields)
}

/// The screen of an inquiry that is being taken.
///
/// # Errors
/// [`crate::Error::NotFound`]; of the notebook.
pub fn ask(view: &View<'_>, inquiry: RecordId) -> Result<AskScreen> {
    let whole = view.whole(inquiry)?;
    let typed = typed(view, inquiry)?;
    let call = Call::of_records(view.notebook, &whole.inquiry)?.with_fields_of(&typed);
    let problems = call.problems();
    let child = call.text("minor") == "yes";
    let halts = stops::unread(view, &whole)?;
    let answers = answers(view, &whole)?;
    let questions = view.pack.questions.iter().map(|q| Question {
        id: q.id.clone(),
        ask: q.ask.get(view.words.0).to_owned(),
        answers: ["yes", "unsure", "no"]
            .iter()
            .map(|id| Choice {
                id: (*id).to_owned(),
                text: view.say(&format!("phone-answer-{id}")),
                chosen: answers.get(&q.id).is_some_and(|answer| answer == id),
            })
            .collect(),
    });
    let questions: Vec<Question> = questions.collect();
    let open = questions.iter().position(|q| q.answers.iter().all(|a| !a.chosen)).unwrap_or(questions.len());
    let fields = FIELDS.iter().filter(|(name, ..)| !(child && CONTACT.contains(name)));
    Ok(AskScreen {
        inquiry,
        title: lines::title(&whole.of(Kind::Plant), whole.site.as_ref(), view.telling()),
        saved: view.saved(&whole.inquiry),
        halts,
        step: u32::try_from(open).unwrap_or(u32::MAX),
        questions,
        fields: fields.map(|(name, kind, private)| field(view, name, *kind, *private, &call, &problems)).collect(),
        child: if child { view.say("phone-child") } else { String::new() },
        unfinished: is_begun(view, inquiry)?,
    })
}

fn field(
    view: &View<'_>,
    name: &str,
    kind: FieldKind,
    private: bool,
    call: &Call,
    problems: &[(&str, &str)],
) -> AskField {
    let dashed = |id: &str| id.replace('_', "-");
    let problem = problems.iter().find(|(field, _)| *field == name).map(|(_, why)| view.say(why));
    let choice = |id: &&str| Choice {
        id: (*id).to_owned(),
        text: view.say(&format!("desk-{name}-{}", dashed(id))),
        chosen: call.text(name) == *id,
    };
    AskField {
        name: name.to_owned(),
        label: view.say(&format!("desk-{}", dashed(name))),
        kind,
        text: call.text(name).to_owned(),
        choices: choices_of(name).iter().map(choice).collect(),
        problem: problem.unwrap_or_default(),
        private,
    }
}

/// Whether it was begun and not put down.
pub(super) fn is_begun(view: &View<'_>, inquiry: RecordId) -> Result<bool> {
    Ok(view.notebook.draft(&begun_key(inquiry))?.is_some())
}
