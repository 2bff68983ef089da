//! Several answers at once: chosen in the queue, looked at with what would change, done, taken back.

use std::collections::BTreeSet;

use askama::Template;
use axum::{
    Extension,
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{ids::RecordId, record::Kind};
use serde_json::json;

use super::{
    form::{self, Wrong},
    keep::{self, Pen, alone},
    list::{Row, rows},
    queue::Entry,
    send::wrong_at,
    subject::label,
    typed::Typed,
    undo::Done,
};
use crate::{
    page::{
        frame::{Frame, Here},
        guard::{Given, Noted},
        live::Part,
        routes::{Desk, Shared, answer, html},
        trouble::Trouble,
        words::When,
    },
    people::{Act, Visitor},
};

/// Most that are changed at once.
const MOST: usize = 100;

/// What is done to each.
#[derive(Clone, PartialEq, Eq, Debug)]
enum Change {
    /// The same question to each scout.
    Ask { question: String, due: String },
    /// How soon an answer is needed.
    Urgency(&'static str),
}

#[derive(Template)]
#[template(path = "review_several.html")]
struct SeveralPage {
    frame: Frame,
    rows: Vec<Row>,
    /// How many were chosen, in a sentence.
    count: String,
    /// What would change, each a sentence; empty while nothing is chosen to be done.
    preview: Vec<String>,
    typed: Typed,
    wrong: Vec<Wrong>,
    due: String,
    seen: String,
    meanwhile: bool,
}

impl SeveralPage {
    fn wrong(&self, field: &str) -> String {
        wrong_at(&self.wrong, field).map(|id| self.frame.say(id)).unwrap_or_default()
    }
}

/// Choosing begins in the queue.
pub(super) async fn page() -> Response {
    Redirect::to("/review").into_response()
}

/// Shows what would change, or does it.
pub(super) async fn send(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Review, move |desk, frame| {
        let _alone = alone();
        let ids: BTreeSet<RecordId> =
            given.fields().filter(|(name, _)| *name == "id").filter_map(|(_, id)| id.parse().ok()).collect();
        let entries: Vec<Entry> =
            desk.queue(|queue| ids.iter().filter_map(|id| queue.entry(*id).cloned()).collect())?;
        if entries.is_empty() || ids.len() > MOST {
            let say = if entries.is_empty() { "review-several-none" } else { "review-several-many" };
            return Err(Trouble::NotDone(frame.with(say, [("n", &MOST)])));
        }
        let seen = stamp(&entries);
        let change = match (given.text("step"), given.text("do")) {
            ("choose", _) => None,
            (_, "ask") => Some(form::question(&given).map(|(question, due)| Change::Ask { question, due })),
            (_, "today") => Some(Ok(Change::Urgency("today"))),
            (_, "this_week") => Some(Ok(Change::Urgency("this_week"))),
            (_, "ordinary") => Some(Ok(Change::Urgency("ordinary"))),
            _ => Some(Err(vec![Wrong { field: "do".into(), say: "review-wrong-do" }])),
        };
        let meanwhile = given.text("step") == "do" && seen != given.text("seen");
        if let (Some(Ok(change)), "do", false) = (&change, given.text("step"), meanwhile) {
            do_it(desk, &who, &entries, change)?;
            return Ok(Redirect::to("/review#done").into_response());
        }
        let when = frame.when();
        let rows = rows(desk, &frame, &entries)?;
        let (preview, wrong) = match change {
            None => (Vec::new(), Vec::new()),
            Some(Err(wrong)) => (Vec::new(), wrong),
            Some(Ok(change)) => (preview(&frame, &entries, &rows, &change), Vec::new()),
        };
        let status = match (meanwhile, wrong.is_empty()) {
            (true, _) => StatusCode::CONFLICT,
            (_, false) => StatusCode::UNPROCESSABLE_ENTITY,
            _ => StatusCode::OK,
        };
        let typed = Typed::of(&given);
        let day = when.today();
        let week = day.checked_add(jiff::Span::new().days(7)).unwrap_or(day).to_string();
        let mut page = html(&SeveralPage {
            count: frame.with("review-several-count", [("n", &rows.len())]),
            due: if typed.get("due").is_empty() { week } else { typed.get("due").to_owned() },
            frame,
            rows,
            preview,
            typed,
            wrong,
            seen,
            meanwhile,
        });
        *page.status_mut() = status;
        // Looking changes nothing.
        Ok(Noted::on(page, Vec::<Act>::new()))
    })
    .await
}

/// What the page has seen of each.
fn stamp(entries: &[Entry]) -> String {
    let seen: Vec<String> = entries.iter().map(|e| format!("{} {:?} {}", e.key(), e.begun, e.urgency)).collect();
    blake3::hash(seen.join("\n").as_bytes()).to_hex().chars().take(16).collect()
}

fn preview(frame: &Frame, entries: &[Entry], rows: &[Row], change: &Change) -> Vec<String> {
    let row_of = |entry: &Entry| rows.iter().find(|row| row.id == entry.id.to_string());
    match change {
        Change::Ask { question, .. } => rows
            .iter()
            .map(|row| {
                frame.with("review-several-ask", [("who", &row.who), ("title", &row.title), ("words", question)])
            })
            .collect(),
        Change::Urgency(word) => {
            let say = |word: &str| frame.say(&format!("review-urgency-{}", word.replace('_', "-")));
            let mut seen = BTreeSet::new();
            let now =
                |entry: &Entry| if entry.urgency.is_empty() { "ordinary".to_owned() } else { entry.urgency.clone() };
            let changed = entries.iter().filter(|entry| now(entry) != *word && seen.insert(entry.inquiry));
            changed
                .filter_map(|entry| {
                    let (title, from, to) = (&row_of(entry)?.title, say(&now(entry)), say(word));
                    Some(frame.with("review-several-urgency", [("title", title), ("from", &from), ("to", &to)]))
                })
                .collect()
        }
    }
}

fn do_it(desk: &Desk, who: &Visitor, entries: &[Entry], change: &Change) -> Result<(), Trouble> {
    let mut pen = Pen::new(desk.notebook());
    let mut count = 0;
    let done = entries.iter().try_for_each(|entry| {
        count += usize::from(one(&mut pen, who, entry, change)?);
        Ok::<(), dooryard_core::Error>(())
    });
    let what = match change {
        Change::Ask { .. } => "review-done-several-ask",
        Change::Urgency(_) => "review-done-several-urgency",
    };
    // What was written before it stopped can be taken back all the same.
    Done { what: what.into(), count, steps: pen.steps }.keep(desk.notebook(), who)?;
    for entry in entries {
        desk.changed(Part::Review, entry.id);
    }
    Ok(done?)
}

/// Does it to one; says whether anything changed.
fn one(pen: &mut Pen<'_>, who: &Visitor, entry: &Entry, change: &Change) -> dooryard_core::Result<bool> {
    let before = pen.steps.len();
    let inquiry = pen.show(entry.inquiry)?;
    match change {
        Change::Ask { question, due } => {
            let diagnosis = (entry.id != entry.inquiry).then(|| entry.id.to_string());
            pen.make(
                Kind::Review,
                &json!({
                    "inquiry": entry.inquiry.to_string(), "diagnosis": diagnosis, "reviewer": label(who),
                    "decision": "ask_back", "correction": question, "at": When::now().instant(),
                    "reason": entry.reasons.first().map(|why| why.id()),
                }),
            )?;
            keep::ask(pen, entry.inquiry, question, due)?;
            pen.write(&inquiry, "status", json!("waiting"), json!("open"))?;
        }
        Change::Urgency(word) => pen.write(&inquiry, "urgency", json!(word), json!("ordinary"))?,
    }
    Ok(pen.steps.len() > before)
}
