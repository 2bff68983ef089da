//! Taking an inquiry: saved from the first tap, four safety questions first, then what they said, who asks, what they agree to.
//! What is being typed is kept letter by letter beside the records, and written into them when the field is left.

use std::collections::BTreeMap;

use serde_json::{Map, Value as Json, json};

use super::{
    act::Choice,
    reader::View,
    resume::{Screen, keep_place},
    stops::{self, StopCard},
};
use crate::{
    Code, Error, Result,
    advice::Situation,
    ids::RecordId,
    inquiry::{Call, Whole, asked, save, stops as stops_of, write_asked},
    key::{Blocks, StopKind},
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

const FIELDS: [(&str, FieldKind, bool); 19] = [
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

/// Fields of the person who asks.
const CONTACT: [&str; 5] = ["name", "phone", "email", "preferred", "reach_note"];

fn choices_of(field: &str) -> &'static [&'static str] {
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

fn begun_key(inquiry: RecordId) -> String {
    format!("begun {}", hex::encode(inquiry.0))
}

/// What is typed and in no record yet.
fn typed(view: &View<'_>, inquiry: RecordId) -> Result<Call> {
    let kept = view.notebook.draft(&typed_key(inquiry))?;
    Ok(kept.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
}

fn keep_typed(view: &View<'_>, inquiry: RecordId, call: &Call) -> Result<()> {
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
/// [`Error::NotFound`]; of the notebook.
pub fn ask(view: &View<'_>, inquiry: RecordId) -> Result<AskScreen> {
    let whole = view.whole(inquiry)?;
    let typed = typed(view, inquiry)?;
    let call = Call::of_records(view.notebook, &whole.inquiry)?.with_fields_of(&typed);
    let problems = call.problems();
    let child = call.text("minor") == "yes";
    let halts = stops::unread(view, &whole)?;
    let answers = asked(&whole.inquiry);
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

/// Keeps what stands in a field. While it is being typed (`left` is false) it is kept beside the records; when it is left, it is
/// written into them, unless something is wrong with it. Words are read for danger each time.
///
/// # Errors
/// `SCHEMA` for a field or a choice that there is not; `FORBIDDEN_FIELD` for the person who asks, where a child does or a stop
/// says so that nobody read; as [`crate::notebook::Notebook::save`].
pub fn write(view: &View<'_>, inquiry: RecordId, field: &str, text: &str, left: bool) -> Result<AskScreen> {
    let Some((_, kind, _)) = FIELDS.iter().find(|(name, ..)| *name == field) else {
        return Err(Error::refused(Code::Schema, format!("no field of an inquiry is called {field:?}")));
    };
    let choices = choices_of(field);
    let fits = match kind {
        FieldKind::Choice => text.is_empty() || choices.contains(&text),
        FieldKind::Tick => matches!(text, "yes" | "no" | ""),
        _ => true,
    };
    if !fits {
        return Err(Error::refused(Code::Schema, format!("that is no choice of {field:?}")));
    }
    let whole = view.whole(inquiry)?;
    let mut typed = typed(view, inquiry)?;
    if CONTACT.contains(&field) && contact_is_held(view, &whole, &typed)? {
        return Err(Error::refused(Code::ForbiddenField, "nothing of the person is kept here"));
    }
    typed.set(field, text);
    if field == "minor" && text == "yes" {
        // What was typed of the person goes at once.
        CONTACT.iter().for_each(|name| typed.unset(name));
    }
    keep_typed(view, inquiry, &typed)?;
    let choice = matches!(kind, FieldKind::Choice | FieldKind::Tick);
    commit(view, &whole, typed, &asked(&whole.inquiry), &|name| name == field && (left || choice))?;
    ask(view, inquiry)
}

fn contact_is_held(view: &View<'_>, whole: &Whole, typed: &Call) -> Result<bool> {
    let minor = whole.contact.as_ref().and_then(|c| c.get("minor")?.as_bool()) == Some(true);
    let said = match typed.text("minor") {
        "yes" => true,
        "no" => false,
        _ => minor,
    };
    let unread: Vec<String> = stops::unread(view, whole)?.into_iter().map(|card| card.id).collect();
    let blocks = |id: &String| view.pack.stop(id).is_some_and(|s| s.blocks.contains(&Blocks::Contact));
    Ok(said || unread.iter().any(blocks))
}

/// Answers a safety question: `yes`, `unsure` or `no`; empty takes the answer back. Not sure counts as yes. A stop that was
/// raised stays, whatever is answered afterwards.
///
/// # Errors
/// `SCHEMA` for a question or an answer that there is not; as [`crate::notebook::Notebook::save`].
pub fn answer_question(view: &View<'_>, inquiry: RecordId, question: &str, answer: &str) -> Result<AskScreen> {
    let known = view.pack.questions.iter().any(|q| q.id == question);
    if !known || !matches!(answer, "yes" | "unsure" | "no" | "") {
        return Err(Error::refused(Code::Schema, "that is no answer to a safety question"));
    }
    let whole = view.whole(inquiry)?;
    let mut answers = asked(&whole.inquiry);
    if answer.is_empty() {
        answers.remove(question);
    } else {
        answers.insert(question.to_owned(), answer.to_owned());
    }
    // First the stop that it raises: stopped in between, that stands and the question is asked again.
    commit(view, &whole, typed(view, inquiry)?, &answers, &|_| false)?;
    write_asked(view.notebook, inquiry, &answers)?;
    ask(view, inquiry)
}

/// Writes typed fields that may be written now into the records, and every stop that what is typed raises.
fn commit(
    view: &View<'_>,
    whole: &Whole,
    mut typed: Call,
    answers: &BTreeMap<String, String>,
    may: &dyn Fn(&str) -> bool,
) -> Result<()> {
    let inquiry = whole.inquiry.id;
    let held = stops_of(whole.inquiry.get("stops"));
    let mut situation = Situation::new([typed.text("words"), typed.text("reach_note")], held);
    let is_raised = |id: &str| answers.get(id).is_some_and(|answer| matches!(answer.as_str(), "yes" | "unsure"));
    for question in view.pack.questions.iter().filter(|q| is_raised(&q.id)) {
        question.raises.iter().for_each(|stop| situation.raise(stop, &question.id));
    }
    let raised = situation.stops(view.pack).into_iter().filter(|s| s.kind != StopKind::Note).map(|s| s.id);
    let raised: Vec<String> = raised.collect();
    let call = Call::of_records(view.notebook, &whole.inquiry)?.with_fields_of(&typed);
    let wrong: Vec<&str> = call.problems().into_iter().map(|(field, _)| field).collect();
    let written: Vec<String> =
        typed.names().filter(|name| may(name) && !wrong.contains(name)).map(str::to_owned).collect();
    call.write(view.notebook, inquiry, &raised, &|name| written.iter().any(|w| w == name), &|contact, fields| {
        forget(view, contact, fields)
    })?;
    if !written.is_empty() {
        written.iter().for_each(|name| typed.unset(name));
        keep_typed(view, inquiry, &typed)?;
    }
    Ok(())
}

/// Of a contact that is a child's, what was written of it is written over. Only the office can erase what was handed over.
fn forget(view: &View<'_>, contact: RecordId, fields: &[&str]) -> Result<()> {
    let mut over = json!({});
    for field in fields {
        over[*field] = if *field == "reach" { json!({ "name": "" }) } else { json!("") };
    }
    save(view.notebook, Kind::Contact, Some(contact), over).map(drop)
}

/// Writes what is typed and well into the records: before the phone sleeps, or hands over.
///
/// # Errors
/// As [`crate::notebook::Notebook::save`].
pub fn settle(view: &View<'_>, inquiry: RecordId) -> Result<()> {
    let whole = view.whole(inquiry)?;
    let typed = typed(view, inquiry)?;
    commit(view, &whole, typed, &asked(&whole.inquiry), &|_| true)
}

/// The same of every inquiry in which something is typed.
///
/// # Errors
/// As [`settle`].
pub fn settle_all(view: &View<'_>) -> Result<()> {
    for (id, _) in view.notebook.drafts_after("typed ")? {
        let Ok(inquiry) = id.parse::<RecordId>() else { continue };
        match settle(view, inquiry) {
            Err(Error::NotFound(_)) | Ok(()) => {}
            Err(e) => return Err(e),
        }
    }
    Ok(())
}

/// Puts an inquiry down: what is typed goes into the records, and it is no longer told as begun.
///
/// # Errors
/// As [`settle`].
pub fn finish(view: &View<'_>, inquiry: RecordId) -> Result<()> {
    settle(view, inquiry)?;
    view.notebook.keep_draft(&begun_key(inquiry), None)
}

/// Whether it was begun and not put down.
pub(super) fn is_begun(view: &View<'_>, inquiry: RecordId) -> Result<bool> {
    Ok(view.notebook.draft(&begun_key(inquiry))?.is_some())
}
