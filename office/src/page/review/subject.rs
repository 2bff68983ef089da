//! What is reviewed: a scout's answer with its inquiry, and what the office has written of it.

use std::fmt::Write as _;

use dooryard_core::{
    Error,
    ids::RecordId,
    notebook::{Record, Summary},
    record::Kind,
};

use super::case::{Stage, stage};
use crate::{
    ledger::row_of,
    page::{
        gather::{Whole, reference},
        instant_ms,
        routes::Desk,
        trouble::Trouble,
    },
    people::Visitor,
};

/// An answer that is reviewed, or an inquiry where nobody named a cause.
pub(super) struct Subject {
    /// The diagnosis, or the inquiry where there is none.
    pub(super) id: RecordId,
    pub(super) diagnosis: Option<Record>,
    pub(super) whole: Whole,
    /// Its reviews, oldest id first.
    pub(super) reviews: Vec<Record>,
}

impl Subject {
    /// Reads it.
    ///
    /// # Errors
    /// [`Trouble::NotHere`]; [`Trouble::Sealed`]; of the notebook.
    pub(super) fn read(desk: &Desk, id: RecordId) -> Result<Self, Trouble> {
        let record = desk.notebook().show(id)?;
        let (diagnosis, inquiry) = match record.kind {
            Kind::Inquiry => (None, id),
            Kind::Diagnosis if !record.hidden => {
                let inquiry = reference(&record, "inquiry").ok_or(Trouble::NotHere)?;
                (Some(record), inquiry)
            }
            _ => return Err(Trouble::NotHere),
        };
        if desk.index()?.is_sealed(inquiry)? {
            return Err(Trouble::Sealed);
        }
        let whole = Whole::read(desk.notebook(), inquiry)?;
        if whole.inquiry.hidden {
            return Err(Trouble::NotHere);
        }
        let about = |r: &&Record| match reference(r, "diagnosis") {
            Some(diagnosis) => diagnosis == id,
            None => reference(r, "inquiry") == Some(id),
        };
        let reviews = whole.of(Kind::Review).into_iter().filter(about).cloned().collect();
        Ok(Self { id, diagnosis, whole, reviews })
    }

    /// What a form has seen: changes as soon as anybody writes to the answer or reviews it.
    pub(super) fn stamp(&self) -> String {
        let mut seen: Vec<_> = self
            .diagnosis
            .iter()
            .chain(&self.reviews)
            .flat_map(|record| record.fields.iter())
            .flat_map(|field| std::iter::once(&field.shown).chain(&field.others))
            .map(|live| live.change.0)
            .collect();
        seen.sort_unstable();
        let hash = blake3::hash(&seen.concat());
        hash.as_bytes().iter().take(8).fold(String::new(), |mut text, byte| {
            // Writing to memory does not fail.
            let _written = write!(text, "{byte:02x}");
            text
        })
    }

    /// How far its review is.
    pub(super) fn stage(&self) -> Stage {
        let rows: Vec<Summary> = self.reviews.iter().map(row_of).collect();
        let asked = self.whole.of(Kind::FollowUp).into_iter().any(|f| !row_of(f).is_done());
        let sampled = self.whole.of(Kind::Sample).into_iter().any(|s| s.text("result").is_none());
        stage(&rows.iter().collect::<Vec<_>>(), asked, sampled)
    }

    /// The newest review of this person that holds an answer of their own.
    pub(super) fn of(&self, who: &Visitor) -> Option<&Record> {
        let by = label(who);
        self.reviews.iter().rev().find(|r| r.text("reviewer") == Some(&by) && r.get("blind").is_some())
    }

    /// The newest answer of an inquiry, where it was asked for by the inquiry's own number.
    pub(super) fn answered(&self) -> Option<RecordId> {
        let answers = self.whole.of(Kind::Diagnosis);
        let at = |d: &&Record| (d.text("at").and_then(instant_ms), d.id);
        answers.into_iter().filter(|_| self.diagnosis.is_none()).max_by_key(at).map(|d| d.id)
    }

    /// The plant that is answered about; the only one where the answer names none.
    pub(super) fn plant(&self) -> Option<&Record> {
        let plants = self.whole.of(Kind::Plant);
        let named = self.diagnosis.as_ref().and_then(|d| reference(d, "plant"));
        match (named, plants.as_slice()) {
            (Some(id), _) => plants.iter().copied().find(|p| p.id == id),
            (None, [only]) => Some(only),
            (None, _) => None,
        }
    }
}

/// Who reviews, as records hold it: a role and a number, never a name.
pub(super) fn label(who: &Visitor) -> String {
    format!("Reviewer {}", who.account)
}

/// Who reviewed, as the office reads it: the name of the account where the number is one of ours.
pub(super) fn name_of(desk: &Desk, label: &str) -> Result<String, Trouble> {
    let number = label.strip_prefix("Reviewer ").and_then(|n| n.parse::<i64>().ok());
    let Some(number) = number else { return Ok(label.to_owned()) };
    Ok(desk.people.accounts()?.into_iter().find(|a| a.id == number).map_or_else(|| label.to_owned(), |a| a.name))
}

/// The record, if it is there and shown.
pub(super) fn shown(desk: &Desk, id: RecordId) -> Result<Option<Record>, Trouble> {
    match desk.notebook().show(id) {
        Ok(record) => Ok(Some(record).filter(|r| !r.hidden)),
        Err(Error::NotFound(_)) => Ok(None),
        Err(e) => Err(e.into()),
    }
}
