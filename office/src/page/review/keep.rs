//! What a reviewer keeps, as records: the own answer, the decision, what is asked back, what goes to the laboratory.

use std::sync::{Mutex, MutexGuard, PoisonError};

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Record},
    record::Kind,
};
use serde_json::{Map, Value as Json, json};

use super::{
    subject::{Subject, label},
    undo::Step,
    why::Why,
};
use crate::{
    page::{Names, When},
    people::Visitor,
};

/// One reviewer writes at a time, from looking whether anything changed to the last record.
static WRITING: Mutex<()> = Mutex::new(());

/// Holds other reviewers' writes back.
pub(super) fn alone() -> MutexGuard<'static, ()> {
    WRITING.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The reviewer's own answer.
#[derive(Clone, Default, PartialEq, Debug)]
pub(super) struct Own {
    /// Causes as records hold them; none says "do not know yet".
    pub(super) causes: Vec<Json>,
    /// Why, in words.
    pub(super) grounds: String,
}

/// What is decided once both answers are seen.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Decision {
    /// The scout's answer stands.
    Agree,
    /// The reviewer's own stands.
    Correct,
    /// The scout is asked for one more look.
    AskBack { question: String, due: String },
    /// A sample goes to the laboratory.
    Sample { part: String, due: String },
    /// Nobody knows yet.
    NotKnown,
}

impl Decision {
    /// Its word in the registry.
    pub(super) fn id(&self) -> &'static str {
        match self {
            Self::Agree => "agree",
            Self::Correct => "correct",
            Self::AskBack { .. } => "ask_back",
            Self::Sample { .. } => "sample",
            Self::NotKnown => "not_known",
        }
    }
}

/// Writes records of one act, and how to take them back.
pub(super) struct Pen<'a> {
    notebook: &'a Notebook,
    pub(super) steps: Vec<Step>,
}

impl<'a> Pen<'a> {
    pub(super) fn new(notebook: &'a Notebook) -> Self {
        Self { notebook, steps: Vec::new() }
    }

    /// A record as it stands.
    ///
    /// # Errors
    /// As [`Notebook::show`].
    pub(super) fn show(&self, id: RecordId) -> Result<Record> {
        self.notebook.show(id)
    }

    /// Makes a record.
    ///
    /// # Errors
    /// As [`Notebook::save`].
    pub(super) fn make(&mut self, kind: Kind, fields: &Json) -> Result<RecordId> {
        let id = self.notebook.save(kind, None, &present(fields))?;
        self.steps.push(Step::Made(id.to_string()));
        Ok(id)
    }

    /// Writes a field; `none` is what stands for it where nobody has written it.
    ///
    /// # Errors
    /// As [`Notebook::save`].
    pub(super) fn write(&mut self, record: &Record, field: &str, value: Json, none: Json) -> Result<()> {
        let before = record.get(field).cloned().unwrap_or(none);
        if before == value {
            return Ok(());
        }
        self.notebook.save(record.kind, Some(record.id), &Map::from_iter([(field.to_owned(), value.clone())]))?;
        let (record, field) = (record.id.to_string(), field.to_owned());
        self.steps.push(Step::Wrote { record, field, before, after: value });
        Ok(())
    }

    /// Adds fields to a record that lacks some of them.
    ///
    /// # Errors
    /// As [`Notebook::save`].
    fn grow(&mut self, record: &Record, fields: &Json) -> Result<()> {
        let shown = record.fields.iter().filter_map(|f| Some((f.name.clone(), f.shown.value.clone()?)));
        let before = shown.collect();
        self.notebook.save(record.kind, Some(record.id), &present(fields))?;
        self.steps.push(Step::Grew { record: record.id.to_string(), kind: record.kind.to_string(), before });
        Ok(())
    }
}

/// The fields that have a value.
fn present(fields: &Json) -> Map<String, Json> {
    let given = fields.as_object().into_iter().flatten();
    let has = |value: &Json| !value.is_null() && value.as_str() != Some("");
    given.filter(|(_, value)| has(value)).map(|(name, value)| (name.clone(), value.clone())).collect()
}

/// Keeps the reviewer's own answer.
///
/// # Errors
/// As [`Notebook::save`].
pub(super) fn own(
    pen: &mut Pen<'_>,
    subject: &Subject,
    who: &Visitor,
    own: &Own,
    why: Option<Why>,
) -> Result<RecordId> {
    pen.make(
        Kind::Review,
        &json!({
            "inquiry": subject.whole.inquiry.id.to_string(),
            "diagnosis": subject.diagnosis.as_ref().map(|d| d.id.to_string()),
            "reviewer": label(who), "blind": own.causes, "grounds": own.grounds,
            "reason": why.map(Why::id), "at": When::now().instant(),
        }),
    )
}

/// Keeps a decision: in the reviewer's own review, and what follows from it. `words` is what the scout reads.
///
/// # Errors
/// As [`Notebook::save`]; what was written before stays.
pub(super) fn decision(
    pen: &mut Pen<'_>,
    subject: &Subject,
    review: &Record,
    who: &Visitor,
    decision: &Decision,
    words: &str,
    names: &Names,
) -> Result<()> {
    let (inquiry, now) = (&subject.whole.inquiry, When::now().instant());
    let agrees = match decision {
        Decision::Agree => Some(true),
        Decision::Correct => Some(false),
        _ => None,
    };
    pen.grow(review, &json!({"decision": decision.id(), "agrees": agrees, "correction": words, "at": now}))?;
    let waits = |pen: &mut Pen<'_>| pen.write(inquiry, "status", json!("waiting"), json!("open"));
    match (decision, &subject.diagnosis) {
        (Decision::Agree, Some(diagnosis)) => {
            pen.write(diagnosis, "status", json!("reviewed"), json!("presumptive"))?;
        }
        (Decision::Correct, diagnosis) => {
            let basis = diagnosis.as_ref().and_then(|d| d.text("basis"));
            let seen = if subject.whole.of(Kind::Visit).is_empty() { "photo_only" } else { "field" };
            pen.make(
                Kind::Diagnosis,
                &json!({
                    "inquiry": inquiry.id.to_string(), "plant": subject.plant().map(|p| p.id.to_string()),
                    "causes": review.get("blind"), "basis": basis.unwrap_or(seen), "status": "reviewed",
                    "reasons": review.text("grounds"), "by": label(who), "at": now, "pack_version": names.pack,
                    "supersedes": diagnosis.as_ref().map(|d| d.id.to_string()),
                }),
            )?;
        }
        (Decision::AskBack { question, due }, _) => {
            ask(pen, inquiry.id, question, due)?;
            waits(pen)?;
        }
        (Decision::Sample { part, due }, _) => {
            let plant = subject.plant().map(|p| p.id.to_string());
            pen.make(Kind::Sample, &json!({"inquiry": inquiry.id.to_string(), "plant": plant, "plant_part": part}))?;
            ask(pen, inquiry.id, words, due)?;
            waits(pen)?;
        }
        (Decision::Agree, None) | (Decision::NotKnown, _) => {}
    }
    Ok(())
}

/// Asks a question of the scout.
///
/// # Errors
/// As [`Notebook::save`].
pub(super) fn ask(pen: &mut Pen<'_>, inquiry: RecordId, question: &str, due: &str) -> Result<RecordId> {
    pen.make(Kind::FollowUp, &json!({"inquiry": inquiry.to_string(), "question": question, "due": due}))
}
