//! A call as it is taken down: the fields of the form, and what is wrong in them.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::Value as Json;

use super::reference;
use crate::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Record},
    record::Kind,
};

/// The fields of the form, with how many characters each may have. The answer to each safety question comes besides.
const FIELDS: [(&str, usize); 23] = [
    ("channel", 20),
    ("language", 10),
    ("words", 16_000),
    ("name", 400),
    ("phone", 100),
    ("email", 400),
    ("preferred", 20),
    ("minor", 3),
    ("reach_note", 2_000),
    ("township", 100),
    ("address", 1_000),
    ("host", 100),
    ("host_comfort", 1),
    ("affected", 7),
    ("present", 7),
    ("planted", 40),
    ("wish", 40),
    ("urgency", 20),
    ("may_visit", 3),
    ("may_cut", 3),
    ("may_photo", 3),
    ("may_count", 3),
    ("may_contact_back", 3),
];

/// What is asked whether the resident agrees to, as the registry names it.
pub const CONSENTS: [&str; 5] = ["visit", "cut", "photo", "count", "contact_back"];

/// A call.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Call {
    fields: BTreeMap<String, String>,
    /// Answers to the safety questions, `yes` or `no`, by id of the question.
    asked: BTreeMap<String, String>,
    /// Nobody is taking it down any more.
    pub finished: bool,
}

/// What is wrong with a field, as the id of a sentence.
pub type Problem = (&'static str, &'static str);

impl Call {
    /// As it was written down: what `text` says of each field, and of `asked_` and the id of each safety question.
    pub fn given<'q, 't>(text: impl Fn(&str) -> &'t str, questions: impl Iterator<Item = &'q str>) -> Self {
        let fields = FIELDS.iter().map(|(name, _)| ((*name).to_owned(), text(name).to_owned()));
        let asked = questions.map(|id| (id.to_owned(), text(&format!("asked_{id}")).to_owned()));
        let asked = asked.filter(|(_, answer)| matches!(answer.as_str(), "yes" | "no")).collect();
        Self { fields: fields.filter(|(_, text)| !text.trim().is_empty()).collect(), asked, finished: false }
    }

    /// Writes down one field, also with nothing. Gives whether the form has it.
    pub fn set(&mut self, name: &str, text: &str) -> bool {
        let known = FIELDS.iter().any(|(field, _)| *field == name);
        if known {
            self.fields.insert(name.to_owned(), text.to_owned());
        }
        known
    }

    /// Takes a field out, as if nobody had written it down.
    pub fn unset(&mut self, name: &str) {
        self.fields.remove(name);
    }

    /// Names of the fields that were written down.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.fields.keys().map(String::as_str)
    }

    /// This call, with every field that was written down in another.
    pub fn with_fields_of(mut self, other: &Self) -> Self {
        self.fields.extend(other.fields.clone());
        self
    }

    /// Writes down the answer to a safety question: `yes`, `unsure`, `no`, or empty for not asked.
    pub fn set_answer(&mut self, question: &str, answer: &str) {
        if answer.is_empty() {
            self.asked.remove(question);
        } else {
            self.asked.insert(question.to_owned(), answer.to_owned());
        }
    }

    /// As the records of an inquiry say.
    ///
    /// # Errors
    /// Of the notebook.
    pub fn of_records(notebook: &Notebook, inquiry: &Record) -> Result<Self> {
        let mut call = Self::default();
        let linked = |field| reference(inquiry, field).and_then(|id| notebook.show(id).ok()).filter(|r| !r.hidden);
        let plant = first_plant(notebook, inquiry.id)?;
        call.copy(
            Some(inquiry),
            &[
                ("channel", "channel"),
                ("language", "language"),
                ("words", "question"),
                ("wish", "wish"),
                ("urgency", "urgency"),
            ],
        );
        call.copy(linked("site").as_ref(), &[("township", "township"), ("address", "address")]);
        call.copy(plant.as_ref(), &[("host", "host"), ("planted", "planted")]);
        for name in ["host_comfort", "affected", "present"] {
            let number = plant.as_ref().and_then(|p| p.get(name)).and_then(Json::as_u64);
            number.map(|n| call.fields.insert(name.into(), n.to_string()));
        }
        if let Some(contact) = linked("contact") {
            call.copy(Some(&contact), &[("reach_note", "note")]);
            for name in ["name", "phone", "email", "preferred"] {
                let text = contact.get("reach").and_then(|r| r.get(name)).and_then(Json::as_str);
                text.map(|t| call.fields.insert(name.into(), t.to_owned()));
            }
            if contact.get("minor").and_then(Json::as_bool) == Some(true) {
                call.fields.insert("minor".into(), "yes".into());
            }
        }
        for name in CONSENTS {
            if inquiry.get("consent").and_then(|c| c.get(name)).and_then(Json::as_bool) == Some(true) {
                call.fields.insert(format!("may_{name}"), "yes".into());
            }
        }
        Ok(call)
    }

    fn copy(&mut self, record: Option<&Record>, pairs: &[(&str, &str)]) {
        for (name, field) in pairs {
            let text = record.and_then(|r| r.text(field)).filter(|t| !t.is_empty());
            text.map(|t| self.fields.insert((*name).to_owned(), t.to_owned()));
        }
    }

    /// What stands in a field.
    pub fn text(&self, name: &str) -> &str {
        self.fields.get(name).map_or("", String::as_str)
    }

    /// What a safety question was answered with.
    pub fn answer(&self, question: &str) -> &str {
        self.asked.get(question).map_or("", String::as_str)
    }

    /// Takes over what was asked before, from another state of the same call.
    pub fn with_answers_of(mut self, other: &Self) -> Self {
        self.asked.clone_from(&other.asked);
        self
    }

    /// Whether nothing was written down.
    pub fn is_empty(&self) -> bool {
        self.asked.is_empty() && self.fields.keys().all(|name| ["channel", "language"].contains(&name.as_str()))
    }

    /// What cannot go into the book as it stands.
    pub fn problems(&self) -> Vec<Problem> {
        let mut problems = Vec::new();
        for (name, most) in FIELDS {
            if self.text(name).chars().count() > most {
                problems.push((name, "desk-problem-long"));
            }
        }
        for name in ["affected", "present"] {
            if !self.text(name).is_empty() && self.number(name).is_none_or(|n| n > 1_000_000) {
                problems.push((name, "desk-problem-number"));
            }
        }
        if let (Some(affected), Some(present)) = (self.number("affected"), self.number("present"))
            && affected > present
        {
            problems.push(("affected", "desk-problem-more-than-all"));
        }
        problems
    }

    pub(super) fn number(&self, name: &str) -> Option<u64> {
        self.text(name).trim().parse().ok()
    }

    /// Only what no record has room for: kept after the call.
    #[must_use]
    pub fn rest(&self) -> Self {
        Self { asked: self.asked.clone(), finished: true, ..Self::default() }
    }
}

/// The plant of an inquiry; of several the one written down first.
///
/// # Errors
/// Of the notebook.
pub fn first_plant(notebook: &Notebook, inquiry: RecordId) -> Result<Option<Record>> {
    notebook.refresh()?;
    let rows = notebook.rows_referring(&[inquiry])?;
    let plants = rows.into_iter().filter(|row| row.kind == Kind::Plant && !row.hidden).map(|row| row.id);
    plants.min().map(|id| notebook.show(id)).transpose()
}
