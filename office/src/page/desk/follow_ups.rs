//! What is to be asked later: what is late, due, to come and done; answered, put off, handed over, and taken back.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{
    ids::RecordId,
    notebook::{Query as Wanted, Summary},
    record::Kind,
};
use jiff::civil::Date;
use serde::Deserialize;
use serde_json::{Map, Value as Json, json};

use super::{save, signed_as, speech::Speech};
use crate::{
    ledger::{Ledger, every},
    page::{
        frame::{Frame, Here},
        guard::Given,
        reading::record_id,
        routes::{Desk, Shared, answer, html},
        trouble::Trouble,
        words::When,
    },
    people::{Act, Role, Visitor},
};

type Who = Extension<Visitor>;

/// Done ones that are listed.
const DONE: usize = 50;

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

/// What the address of the list says.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(in crate::page) struct Asked {
    /// `own`, or everybody's.
    whose: String,
    /// The one that was changed just now, how, and its day before: it can be taken back.
    changed: String,
    was: String,
}

#[derive(Template)]
#[template(path = "follow_ups.html")]
struct FollowUpsPage {
    frame: Frame,
    line: String,
    own_only: bool,
    /// (heading, rows)
    parts: Vec<(String, Vec<Row>)>,
    people: Vec<(String, String, bool)>,
    outcomes: Vec<(&'static str, String)>,
    may_write: bool,
    closed: bool,
    /// What was changed: (number, what it says, its day before).
    undo: Option<(String, String, String)>,
}

/// Everybody who can be asked to ask: (as records say, name and role, oneself).
pub(super) fn people(desk: &Desk, who: &Visitor, frame: &Frame) -> Result<Vec<(String, String, bool)>, Trouble> {
    let open = desk.people.accounts()?.into_iter().filter(|a| !a.closed && a.role >= Role::ScoutLead);
    let named = |role: Role, id: i64| format!("{} {id}", crate::page::words::sentence_case(role.name()));
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
    Ok(open.iter().any(|a| {
        Some(a.id) == number && by == format!("{} {}", crate::page::words::sentence_case(a.role.name()), a.id)
    }))
}

/// Everything that is to be asked, outside the seal, by day.
pub(super) fn rows(desk: &Desk, ledger: &Ledger, who: &Visitor, frame: &Frame) -> Result<Vec<Row>, Trouble> {
    let speech = Speech::of(&desk.pack, frame);
    let people = people(desk, who, frame)?;
    let today = When::now().today();
    let found = every(desk.notebook(), &Wanted { kind: Some(Kind::FollowUp), ..Wanted::default() })?;
    let mut rows: Vec<Row> =
        found.iter().filter_map(|f| row(f, ledger, &speech, &people, today)).collect();
    rows.sort_by(|a, b| (a.stand, a.due, &a.id).cmp(&(b.stand, b.due, &b.id)));
    Ok(rows)
}

fn row(f: &Summary, ledger: &Ledger, speech: &Speech<'_>, people: &[(String, String, bool)], today: Date) -> Option<Row> {
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

pub(in crate::page) async fn follow_ups(
    State(desk): Shared,
    Extension(who): Who,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    answer(desk, Some(who.clone()), Here::FollowUps, move |desk, frame| {
        let Query(asked) = asked.map_err(|_| Trouble::BadAddress(frame.say("desk-bad-address")))?;
        let mut rows = rows(desk, &desk.ledger()?, &who, &frame)?;
        let own_only = asked.whose == "own";
        rows.retain(|row| !own_only || row.own);
        if !who.role.sees_private() {
            rows.iter_mut().for_each(|row| row.answer.clear());
        }
        let of = |stand| rows.iter().filter(|r| r.stand == stand).count();
        let open = rows.len() - of(Stand::Done);
        let line = frame.with(
            "desk-follow-ups-line",
            [
                ("late", &of(Stand::Late)),
                ("today", &of(Stand::Today)),
                ("open", &open),
                ("done", &of(Stand::Done)),
            ],
        );
        let undo = rows.iter().find(|r| r.id == asked.changed).map(|r| (r.id.clone(), r.about.clone(), asked.was.clone()));
        let mut parts: Vec<(String, Vec<Row>)> = [
            "desk-follow-ups-late",
            "desk-follow-ups-today",
            "desk-follow-ups-coming",
            "desk-follow-ups-done",
        ]
        .iter()
        .map(|head| (frame.say(head), Vec::new()))
        .collect();
        for row in rows {
            if let Some((_, part)) = parts.get_mut(row.stand as usize) {
                part.push(row);
            }
        }
        if let Some((_, done)) = parts.last_mut() {
            done.reverse();
            done.truncate(DONE);
        }
        let outcomes = OUTCOMES.map(|id| (id, frame.say(&format!("desk-outcome-{id}")))).to_vec();
        Ok(html(&FollowUpsPage {
            line,
            own_only,
            parts,
            people: people(desk, &who, &frame)?,
            outcomes,
            may_write: who.role >= Role::ScoutLead,
            closed: !who.role.sees_private(),
            undo,
            frame,
        }))
    })
    .await
}

const OUTCOMES: [&str; 5] = ["recovered", "same", "worse", "removed", "unknown"];

/// A follow-up that can be written to.
fn open_one(desk: &Desk, id: &str) -> Result<dooryard_core::notebook::Record, Trouble> {
    let record = desk.notebook().show(record_id(id)?)?;
    let ledger = desk.ledger()?;
    if record.kind != Kind::FollowUp || record.hidden {
        return Err(Trouble::NotHere);
    }
    match ledger.owner(&crate::ledger::row_of(&record)) {
        Some(inquiry) if ledger.sealed.contains(&inquiry) => Err(Trouble::Sealed),
        _ => Ok(record),
    }
}

pub(in crate::page) async fn follow_up_write(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::FollowUps, move |desk, frame| {
        let record = open_one(desk, &id)?;
        let was = record.text("due").unwrap_or_default().to_owned();
        let mut fields = Map::new();
        match given.text("do") {
            "done" => {
                let answer = given.text("answer").trim();
                if answer.chars().count() > 16_000 {
                    return Err(Trouble::NotDone(frame.say("desk-problem-long")));
                }
                fields.insert("done".into(), json!(true));
                fields.insert("answered".into(), json!(When::now().today().to_string()));
                if !answer.is_empty() || record.text("answer").is_some() {
                    fields.insert("answer".into(), json!(answer));
                }
                if OUTCOMES.contains(&given.text("outcome")) {
                    fields.insert("outcome".into(), json!(given.text("outcome")));
                }
            }
            "postpone" => {
                let due: Date =
                    given.text("due").parse().map_err(|_| Trouble::NotDone(frame.say("desk-problem-due")))?;
                fields.insert("due".into(), json!(due.to_string()));
            }
            "hand" if is_somebody(desk, given.text("by"))? => {
                fields.insert("by".into(), json!(given.text("by")));
            }
            // Takes back what was done last: it is open again, on its day of before.
            "undo" => {
                fields.insert("done".into(), json!(false));
                if given.text("was").parse::<Date>().is_ok() {
                    fields.insert("due".into(), json!(given.text("was")));
                }
            }
            _ => return Err(Trouble::BadForm),
        }
        save(desk.notebook(), Kind::FollowUp, Some(record.id), Json::Object(fields))?;
        let owner = desk.ledger()?.owner(&crate::ledger::row_of(&record));
        if let Some(inquiry) = owner.filter(|_| given.text("do") == "done") {
            // The answer is read for danger like every word that comes.
            if super::walk::record_stops(desk, inquiry)? {
                let read = format!("/inquiries/{inquiry}/walk?stop=new");
                desk.people.note(&who, Act::WroteFollowUp, Some(&record.id.to_string()))?;
                return Ok(Redirect::to(&read).into_response());
            }
        }
        desk.people.note(&who, Act::WroteFollowUp, Some(&record.id.to_string()))?;
        let to = match given.text("do") {
            "undo" => "/follow-ups".to_owned(),
            _ => format!("/follow-ups?changed={}&was={was}", record.id),
        };
        Ok(Redirect::to(&to).into_response())
    })
    .await
}

/// As [`signed_as`], for whoever writes a new one by hand.
pub(in crate::page) async fn follow_up_new(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::FollowUps, move |desk, frame| {
        let whole = super::open_inquiry(desk, &id)?;
        let due: Date = given.text("due").parse().map_err(|_| Trouble::NotDone(frame.say("desk-problem-due")))?;
        let question = given.text("question").trim();
        if question.is_empty() || question.chars().count() > 2_000 {
            return Err(Trouble::NotDone(frame.say("desk-problem-question")));
        }
        let by = if is_somebody(desk, given.text("by"))? { given.text("by").to_owned() } else { signed_as(&who) };
        let fields = json!({
            "inquiry": whole.inquiry.id.to_string(), "due": due.to_string(), "question": question, "by": by,
        });
        let new = save(desk.notebook(), Kind::FollowUp, None, fields)?;
        desk.people.note(&who, Act::WroteFollowUp, Some(&new.to_string()))?;
        Ok(Redirect::to("/follow-ups").into_response())
    })
    .await
}
