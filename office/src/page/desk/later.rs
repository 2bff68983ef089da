//! What is to be asked later, by day, and who can be asked to ask.

use dooryard_core::{
    ids::RecordId,
    notebook::{Query, Summary},
    record::Kind,
};
use jiff::civil::Date;
use serde_json::Value as Json;

use super::speech::Speech;
use crate::{
    ledger::{Ledger, every},
    page::{
        frame::Frame,
        routes::Desk,
        trouble::Trouble,
        words::{When, sentence_case},
    },
    people::{Role, Visitor},
};

/// Which of them.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Stand {
    Late,
    Today,
    Coming,
    Done,
}

/// One follow-up.
pub(super) struct Row {
    pub(super) id: String,
    pub(super) inquiry: RecordId,
    pub(super) stand: Stand,
    pub(super) due: Option<Date>,
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
    pub(super) own: bool,
}

/// Everybody who can be asked to ask: (as records say, name and role, oneself).
pub(super) fn people(desk: &Desk, who: &Visitor, frame: &Frame) -> Result<Vec<(String, String, bool)>, Trouble> {
    let open = desk.people.accounts()?.into_iter().filter(|a| !a.closed && a.role >= Role::ScoutLead);
    let named = |role: Role, id: i64| format!("{} {id}", sentence_case(role.name()));
    Ok(open
        .map(|a| {
            let role = frame.say(a.role.word());
            (named(a.role, a.id), format!("{}, {role}", a.name), a.id == who.account)
        })
        .collect())
}

/// Whether somebody of the office is called so in records.
pub(super) fn is_somebody(desk: &Desk, by: &str) -> Result<bool, Trouble> {
    let number = by.rsplit(' ').next().and_then(|n| n.parse::<i64>().ok());
    let open = desk.people.accounts()?;
    Ok(open.iter().any(|a| Some(a.id) == number && by == format!("{} {}", sentence_case(a.role.name()), a.id)))
}

/// Everything that is to be asked, outside the seal, by day.
pub(super) fn rows(desk: &Desk, ledger: &Ledger, who: &Visitor, frame: &Frame) -> Result<Vec<Row>, Trouble> {
    let speech = Speech::of(&desk.pack, frame);
    let people = people(desk, who, frame)?;
    let today = When::now().today();
    let found = every(desk.notebook(), &Query { kind: Some(Kind::FollowUp), ..Query::default() })?;
    let mut rows: Vec<Row> = found.iter().filter_map(|f| row(f, ledger, &speech, &people, today)).collect();
    rows.sort_by(|a, b| (a.stand, a.due, &a.id).cmp(&(b.stand, b.due, &b.id)));
    Ok(rows)
}

fn row(
    f: &Summary,
    ledger: &Ledger,
    speech: &Speech<'_>,
    people: &[(String, String, bool)],
    today: Date,
) -> Option<Row> {
    let inquiry = ledger.owner(f).filter(|id| !ledger.sealed.contains(id))?;
    let text = |name: &str| f.text(name).unwrap_or_default().to_owned();
    let due: Option<Date> = f.text("due").and_then(|d| d.parse().ok());
    let done = f.fields.get("done").and_then(Json::as_bool);
    let done = done.unwrap_or_else(|| f.text("answered").is_some() || f.text("answer").is_some_and(|a| !a.is_empty()));
    let stand = match (done, due) {
        (true, _) => Stand::Done,
        (_, Some(due)) if due < today => Stand::Late,
        (_, Some(due)) if due == today => Stand::Today,
        _ => Stand::Coming,
    };
    let site = ledger.inquiries.iter().find(|i| i.id == inquiry).and_then(|i| ledger.site_of(i));
    let hosts: Vec<String> = ledger.hosts_of(inquiry).into_iter().map(|h| speech.host(h)).collect();
    let mut about = if hosts.is_empty() { speech.host("") } else { hosts.join("; ") };
    if let Some(township) = site.and_then(|s| s.text("township")) {
        about = format!("{about}, {township}");
    }
    let by = text("by");
    let person = people.iter().find(|(as_records, ..)| *as_records == by);
    let when = speech.frame.when();
    Some(Row {
        id: f.id.to_string(),
        inquiry,
        stand,
        due,
        day: text("due"),
        when: match (stand, due) {
            (Stand::Done, _) => (f.text("answered").map_or_else(String::new, |d| when.day(d)), String::new()),
            (_, Some(due)) => (when.date(due), when.due(due)),
            (_, None) => (speech.frame.say("desk-no-day"), String::new()),
        },
        about,
        question: text("question"),
        answer: text("answer"),
        outcome_words: match f.text("outcome") {
            None => String::new(),
            Some(outcome) => speech.frame.say(&format!("desk-outcome-{outcome}")),
        },
        outcome: text("outcome"),
        whose: person.map_or_else(|| by.clone(), |(_, name, _)| name.clone()),
        own: person.is_some_and(|(_, _, own)| *own),
        by,
    })
}
