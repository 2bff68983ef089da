//! What is to be asked later: what is late, due, to come and done; answered, put off, handed over, and taken back.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{notebook::Record, record::Kind};
use jiff::civil::Date;
use serde::Deserialize;
use serde_json::{Map, Value as Json, json};

use super::{
    known::record_stops,
    later::{Row, Stand, is_somebody, people, rows},
    save, signed_as,
};
use crate::{
    ledger::row_of,
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
            [("late", &of(Stand::Late)), ("today", &of(Stand::Today)), ("open", &open), ("done", &of(Stand::Done))],
        );
        let undo =
            rows.iter().find(|r| r.id == asked.changed).map(|r| (r.id.clone(), r.about.clone(), asked.was.clone()));
        let mut parts: Vec<(String, Vec<Row>)> =
            ["desk-follow-ups-late", "desk-follow-ups-today", "desk-follow-ups-coming", "desk-follow-ups-done"]
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
fn open_one(desk: &Desk, id: &str) -> Result<Record, Trouble> {
    let record = desk.notebook().show(record_id(id)?)?;
    let ledger = desk.ledger()?;
    if record.kind != Kind::FollowUp || record.hidden {
        return Err(Trouble::NotHere);
    }
    match ledger.owner(&row_of(&record)) {
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
        let owner = desk.ledger()?.owner(&row_of(&record));
        if let Some(inquiry) = owner.filter(|_| given.text("do") == "done") {
            // The answer is read for danger like every word that comes.
            if record_stops(desk, inquiry)? {
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
