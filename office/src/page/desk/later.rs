//! What is to be asked later, as pages show it, and who can be asked to ask.

use std::collections::BTreeMap;

use dooryard_core::{ids::RecordId, notebook::Summary};
use jiff::civil::Date;

use super::{about, listed, speech::Speech};
use crate::{
    index::{Later, Stand},
    ledger::Ledger,
    page::{
        frame::Frame,
        routes::Desk,
        trouble::Trouble,
        words::{When, sentence_case},
    },
    people::{Account, Role, Visitor},
};

/// One follow-up.
pub(super) struct Row {
    pub(super) id: String,
    pub(super) inquiry: RecordId,
    /// Answered, or done with.
    pub(super) done: bool,
    /// The day as it was written, for the field.
    pub(super) day: String,
    /// The day in words, and how it lies to today.
    pub(super) when: (String, String),
    /// What it is about: host and township.
    pub(super) about: String,
    pub(super) question: String,
    pub(super) answer: String,
    pub(super) outcome: String,
    /// How the plant is, as a page says it.
    pub(super) outcome_words: String,
    pub(super) by: String,
    /// Whose it is, as a page says it.
    pub(super) whose: String,
}

/// How records name whoever has a role and a number.
pub(super) fn as_records(role: Role, account: i64) -> String {
    format!("{} {account}", sentence_case(role.name()))
}

/// Everybody who can be asked to ask: (as records say, name and role, oneself).
pub(super) fn people(desk: &Desk, who: &Visitor, frame: &Frame) -> Result<Vec<(String, String, bool)>, Trouble> {
    let open = desk.people.accounts()?.into_iter().filter(|a| !a.closed && a.role >= Role::ScoutLead);
    let named = |a: &Account| format!("{}, {}", a.name, frame.say(a.role.word()));
    Ok(open.map(|a| (as_records(a.role, a.id), named(&a), a.id == who.account)).collect())
}

/// Whether somebody of the office is called so in records.
pub(super) fn is_somebody(desk: &Desk, by: &str) -> Result<bool, Trouble> {
    Ok(desk.people.accounts()?.iter().any(|a| by == as_records(a.role, a.id)))
}

/// These follow-ups as pages show them, in their order.
pub(super) fn rows(
    desk: &Desk,
    stand: Stand,
    found: &[Later],
    people: &[(String, String, bool)],
    frame: &Frame,
) -> Result<Vec<Row>, Trouble> {
    let speech = Speech::of(&desk.pack, frame);
    let inquiries: Vec<RecordId> = found.iter().map(|later| later.inquiry).collect();
    let ledger = listed(desk, &inquiries)?;
    let ids: Vec<RecordId> = found.iter().map(|later| later.key.id).collect();
    let records = desk.notebook().rows_of(&ids)?;
    let records: BTreeMap<RecordId, &Summary> = records.iter().map(|row| (row.id, row)).collect();
    let known = found.iter().filter_map(|later| Some((later.inquiry, *records.get(&later.key.id)?)));
    Ok(known.map(|(inquiry, record)| row((inquiry, record), stand, &ledger, &speech, people)).collect())
}

fn row(
    (inquiry, f): (RecordId, &Summary),
    stand: Stand,
    ledger: &Ledger,
    speech: &Speech<'_>,
    people: &[(String, String, bool)],
) -> Row {
    let text = |name: &str| f.text(name).unwrap_or_default().to_owned();
    let due: Option<Date> = f.text("due").and_then(|d| d.parse().ok());
    let by = text("by");
    let person = people.iter().find(|(id, ..)| *id == by);
    let when: When = speech.frame.when();
    Row {
        id: f.id.to_string(),
        inquiry,
        done: stand == Stand::Done,
        day: text("due"),
        when: match (stand, due) {
            (Stand::Done, _) => (f.text("answered").map_or_else(String::new, |d| when.day(d)), String::new()),
            (_, Some(due)) => (when.date(due), when.due(due)),
            (_, None) => (speech.frame.say("desk-no-day"), String::new()),
        },
        about: about(ledger, inquiry, speech),
        question: text("question"),
        answer: text("answer"),
        outcome_words: match f.text("outcome") {
            None => String::new(),
            Some(outcome) => speech.frame.say(&format!("desk-outcome-{outcome}")),
        },
        outcome: text("outcome"),
        whose: person.map_or_else(|| by.clone(), |(_, name, _)| name.clone()),
        by,
    }
}
