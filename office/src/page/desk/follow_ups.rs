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
    about,
    known::record_stops,
    later::{Row, is_somebody, people, rows},
    listed, save, signed_as,
    speech::Speech,
};
use crate::{
    index::Stand,
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

/// Rows of each part of the whole list, and of a part that is looked at alone.
const FEW: usize = 20;
const ROWS: usize = 50;

/// What the address of the list says.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(in crate::page) struct Asked {
    /// `own`, or everybody's.
    whose: String,
    /// The one part that is asked for, and after which of its rows.
    part: String,
    after: String,
    /// The one that was changed just now, and its day before: it can be taken back.
    changed: String,
    was: String,
}

/// One part of the list.
struct Part {
    head: String,
    /// How many there are in all.
    total: u64,
    rows: Vec<Row>,
    /// Address of what comes behind these rows.
    more: Option<String>,
}

#[derive(Template)]
#[template(path = "follow_ups.html")]
struct FollowUpsPage {
    frame: Frame,
    line: String,
    own_only: bool,
    /// One part alone is shown.
    alone: bool,
    parts: Vec<Part>,
    people: Vec<(String, String, bool)>,
    outcomes: Vec<(&'static str, String)>,
    may_write: bool,
    closed: bool,
    /// What was changed: (number, what it says, its day before).
    undo: Option<(String, String, String)>,
}

const PARTS: [(Stand, &str, &str); 4] = [
    (Stand::Late, "late", "desk-follow-ups-late"),
    (Stand::Today, "today", "desk-follow-ups-today"),
    (Stand::Coming, "coming", "desk-follow-ups-coming"),
    (Stand::Done, "done", "desk-follow-ups-done"),
];

pub(in crate::page) async fn follow_ups(
    State(desk): Shared,
    Extension(who): Who,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    answer(desk, Some(who.clone()), Here::FollowUps, move |desk, frame| {
        let Query(asked) = asked.map_err(|_| Trouble::BadAddress(frame.say("desk-bad-address")))?;
        Ok(html(&list(desk, frame, &who, &asked)?))
    })
    .await
}

fn list(desk: &Desk, frame: Frame, who: &Visitor, asked: &Asked) -> Result<FollowUpsPage, Trouble> {
    let bad = |_| Trouble::BadAddress(frame.say("desk-bad-address"));
    let after = Some(&asked.after).filter(|a| !a.is_empty()).map(|a| a.parse()).transpose().map_err(bad)?;
    let shown: Vec<_> = PARTS.iter().filter(|(_, id, _)| asked.part.is_empty() || asked.part == *id).collect();
    let alone = !asked.part.is_empty();
    if shown.is_empty() || (after.is_some() && !alone) {
        return Err(bad(()));
    }
    let (index, today, own_only) = (desk.index()?, When::now().today(), asked.whose == "own");
    let own = signed_as(who);
    let by = own_only.then_some(own.as_str());
    let counts = index.later_counts(today, by)?;
    let [late, due, coming, done] = counts;
    let line = frame.with(
        "desk-follow-ups-line",
        [("late", &late), ("today", &due), ("open", &(late + due + coming)), ("done", &done)],
    );
    let people = people(desk, who, &frame)?;
    let (most, mut parts) = (if alone { ROWS } else { FEW }, Vec::new());
    for (stand, id, head) in shown {
        // One more than is shown tells whether there are others behind it.
        let mut found = index.later(*stand, today, by, after.as_ref(), most + 1)?;
        let is_more = found.len() > most;
        found.truncate(most);
        let last = found.last().filter(|_| is_more).map(|later| later.key.to_string());
        let whose = if own_only { "&whose=own" } else { "" };
        let mut rows = rows(desk, *stand, &found, &people, &frame)?;
        if !who.role.sees_private() {
            rows.iter_mut().for_each(|row| row.answer.clear());
        }
        parts.push(Part {
            head: frame.say(head),
            total: counts.get(*stand as usize).copied().unwrap_or_default(),
            rows,
            more: last.map(|last| format!("/follow-ups?part={id}&after={last}{whose}")),
        });
    }
    Ok(FollowUpsPage {
        undo: changed(desk, asked, &frame)?,
        line,
        own_only,
        alone,
        parts,
        people,
        outcomes: OUTCOMES.map(|id| (id, frame.say(&format!("desk-outcome-{id}")))).to_vec(),
        may_write: who.role >= Role::ScoutLead,
        closed: !who.role.sees_private(),
        frame,
    })
}

/// The one that was changed just now.
fn changed(desk: &Desk, asked: &Asked, frame: &Frame) -> Result<Option<(String, String, String)>, Trouble> {
    let Ok(id) = record_id(&asked.changed) else { return Ok(None) };
    let Some(inquiry) = desk.index()?.inquiries_of(id)?.first().copied() else { return Ok(None) };
    let about = about(&listed(desk, &[inquiry])?, inquiry, &Speech::of(&desk.pack, frame));
    Ok(Some((id.to_string(), about, asked.was.clone())))
}

const OUTCOMES: [&str; 5] = ["recovered", "same", "worse", "removed", "unknown"];

/// A follow-up that can be written to.
fn open_one(desk: &Desk, id: &str) -> Result<Record, Trouble> {
    let record = desk.notebook().show(record_id(id)?)?;
    if record.kind != Kind::FollowUp || record.hidden {
        return Err(Trouble::NotHere);
    }
    if desk.index()?.is_under_seal(record.id)? { Err(Trouble::Sealed) } else { Ok(record) }
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
        let owner = desk.index()?.whose(record.id)?.first().copied();
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
