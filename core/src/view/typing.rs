//! What is being typed beside the inquiry's own fields: a follow-up's question and answer, a sample, what was told, a caption. Kept
//! letter by letter under the record that it belongs to. What belongs to a record that is there is written into it when it is left;
//! what makes a new record is kept until the act that makes it.

use std::collections::BTreeMap;

use serde_json::{Map, Value as Json, json};

use super::{
    act::Choice,
    ask::{AskField, FieldKind},
    reader::View,
    stops,
};
use crate::{Code, Error, Result, ids::RecordId, inquiry::reference, record::Kind, words::sentence_case};

/// What is being typed.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Form {
    /// The answer of a follow-up: `answer`, `did`, `outcome`.
    Answer,
    /// A new question of an inquiry: `question`, `due`.
    Question,
    /// A new sample of an inquiry: `part`, `pieces`, `seal`, `kept_cool`.
    NewSample,
    /// A sample that is there: `accession`, `seal`, `disposal`.
    Sample,
    /// The next hand-over of a sample: `to`, `condition`.
    Custody,
    /// What was told of a plant: `how`, `read_back`, `due`.
    Telling,
    /// Words to a photo: `caption`.
    Caption,
}

/// The beginning of the keys under which it is kept.
const KEPT: &str = "form ";

impl Form {
    const ALL: [Self; 7] =
        [Self::Answer, Self::Question, Self::NewSample, Self::Sample, Self::Custody, Self::Telling, Self::Caption];

    fn name(self) -> &'static str {
        match self {
            Self::Answer => "answer",
            Self::Question => "question",
            Self::NewSample => "new sample",
            Self::Sample => "sample",
            Self::Custody => "custody",
            Self::Telling => "telling",
            Self::Caption => "caption",
        }
    }

    /// Its fields, each with the field of its record; the kind of that record, and of the record under which it is kept.
    fn fields(self) -> (&'static [(&'static str, &'static str)], Kind, Kind) {
        match self {
            Self::Answer => {
                (&[("answer", "answer"), ("did", "action"), ("outcome", "outcome")], Kind::FollowUp, Kind::FollowUp)
            }
            Self::Question => (&[("question", "question"), ("due", "due")], Kind::FollowUp, Kind::Inquiry),
            Self::NewSample => (
                &[("part", "plant_part"), ("pieces", "pieces"), ("seal", "seal"), ("kept_cool", "kept_cool")],
                Kind::Sample,
                Kind::Inquiry,
            ),
            Self::Sample => {
                (&[("accession", "accession"), ("seal", "seal"), ("disposal", "disposal")], Kind::Sample, Kind::Sample)
            }
            Self::Custody => (&[("to", "to"), ("condition", "condition")], Kind::Custody, Kind::Sample),
            Self::Telling => (&[("how", "how"), ("read_back", "read_back"), ("due", "due")], Kind::Advice, Kind::Plant),
            Self::Caption => (&[("caption", "caption")], Kind::Photo, Kind::Photo),
        }
    }

    /// Whether it belongs to a record that is there, and is written into it.
    fn is_written(self) -> bool {
        matches!(self, Self::Answer | Self::Sample | Self::Caption)
    }
}

/// What is typed, by field.
pub(super) type Typed = BTreeMap<String, String>;

fn key(form: Form, of: RecordId) -> String {
    format!("{KEPT}{} {of}", form.name())
}

/// What is typed of a form and in no record yet.
pub(super) fn typed_in(view: &View<'_>, form: Form, of: RecordId) -> Result<Typed> {
    let kept = view.notebook.draft(&key(form, of))?;
    Ok(kept.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
}

/// Forgets what is typed of a form: an act made a record of it.
pub(super) fn done_with(view: &View<'_>, form: Form, of: RecordId) -> Result<()> {
    view.notebook.keep_draft(&key(form, of), None)
}

/// Keeps what stands in a field of a form. Where it belongs to a record that is there and is `left`, it is written into it.
///
/// # Errors
/// `SCHEMA` for a field that there is not; [`Error::NotFound`] for another record than the form's; as
/// [`crate::notebook::Notebook::save`], and what was typed stays kept.
pub fn type_in(view: &View<'_>, form: Form, of: RecordId, field: &str, text: &str, left: bool) -> Result<()> {
    let (fields, _, under) = form.fields();
    if !fields.iter().any(|(name, _)| *name == field) {
        return Err(Error::refused(Code::Schema, format!("no field of this form is called {field:?}")));
    }
    if view.notebook.show(of)?.kind != under {
        return Err(Error::NotFound(format!("a record {of} with such a form")));
    }
    let mut typed = typed_in(view, form, of)?;
    typed.insert(field.to_owned(), text.to_owned());
    view.notebook.keep_draft(&key(form, of), Some(&serde_json::to_string(&typed).unwrap_or_default()))?;
    if left && form.is_written() { write(view, form, of) } else { Ok(()) }
}

/// Writes what is typed of a form into its record, where it is other than what stands there.
fn write(view: &View<'_>, form: Form, of: RecordId) -> Result<()> {
    let typed = typed_in(view, form, of)?;
    let record = view.notebook.show(of)?;
    let (names, kind, _) = form.fields();
    let mut fields = Map::new();
    for (name, field) in names {
        let Some(text) = typed.get(*name).map(|text| text.trim()) else { continue };
        let stands = record.text(field).unwrap_or_default();
        // How a plant is, is one of some words: none of them is no value.
        if text != stands && !(*field == "outcome" && text.is_empty()) {
            fields.insert((*field).to_owned(), json!(text));
        }
    }
    if form == Form::Answer && !fields.is_empty() && record.get("done").and_then(Json::as_bool) != Some(true) {
        // It is asked on until somebody says that it was answered.
        fields.insert("done".into(), json!(false));
    }
    if !fields.is_empty() {
        view.notebook.save(kind, Some(of), &fields)?;
        // What somebody says is read for danger too.
        if let Some(inquiry) = reference(&record, "inquiry") {
            stops::record(view, inquiry)?;
        }
    }
    done_with(view, form, of)
}

/// Writes everything typed into the records that it belongs to. What a record does not take stays typed.
///
/// # Errors
/// Of SQLite and the file system.
pub(super) fn settle_forms(view: &View<'_>) -> Result<()> {
    for form in Form::ALL.into_iter().filter(|form| form.is_written()) {
        for (id, _) in view.notebook.drafts_after(&format!("{KEPT}{} ", form.name()))? {
            let Ok(of) = id.parse::<RecordId>() else { continue };
            match write(view, form, of) {
                Ok(()) | Err(Error::NotFound(_) | Error::Invalid(_) | Error::Refused { .. }) => {}
                Err(e) => return Err(e),
            }
        }
    }
    Ok(())
}

/// The fields of a form as they stand: what is typed, or else what `stands` in the record.
pub(super) fn form_fields(
    view: &View<'_>,
    form: Form,
    typed: &Typed,
    stands: impl Fn(&str) -> String,
) -> Vec<AskField> {
    let (fields, of, _) = form.fields();
    let field = |(name, field): &(&str, &str)| AskField {
        name: (*name).to_owned(),
        label: sentence_case(&view.telling().field(of, field)),
        kind: match *name {
            "pieces" => FieldKind::Number,
            "kept_cool" | "read_back" => FieldKind::Tick,
            "question" | "answer" | "did" | "disposal" | "caption" => FieldKind::Words,
            _ => FieldKind::Line,
        },
        text: typed.get(*name).cloned().unwrap_or_else(|| stands(field)),
        choices: Vec::new(),
        problem: String::new(),
        private: false,
    };
    fields.iter().map(field).collect()
}

/// What is asked later of an inquiry, before it is put down with [`super::ask_later`].
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LaterForm {
    /// The inquiry.
    pub inquiry: RecordId,
    /// What to ask, as far as it is typed.
    pub question: String,
    /// The chosen day, `2026-08-03`; empty for none.
    pub due: String,
    /// Days to choose from, in words; any other day from today on is as good.
    pub days: Vec<Choice>,
}

/// Days from today that are offered.
const DAYS: [i64; 5] = [3, 7, 14, 28, 90];

/// The form of a new question.
///
/// # Errors
/// [`Error::NotFound`]; of SQLite.
pub fn later_form(view: &View<'_>, inquiry: RecordId) -> Result<LaterForm> {
    if view.notebook.show(inquiry)?.kind != Kind::Inquiry {
        return Err(Error::NotFound(format!("an inquiry {inquiry}")));
    }
    let typed = typed_in(view, Form::Question, inquiry)?;
    let text = |name: &str| typed.get(name).cloned().unwrap_or_default();
    let days = DAYS.iter().filter_map(|n| {
        let day = view.when.today().checked_add(jiff::ToSpan::days(*n)).ok()?;
        let words = view.with("phone-in-days", [("n", n), ("day", &view.when.date(day))]);
        Some(Choice { id: day.to_string(), text: words, chosen: day.to_string() == text("due") })
    });
    Ok(LaterForm { inquiry, question: text("question"), due: text("due"), days: days.collect() })
}
