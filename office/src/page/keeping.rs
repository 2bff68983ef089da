//! How long private data is kept: the rule, what it would erase now, and the erasing by a person.

use askama::Template;
use axum::{
    Extension,
    extract::State,
    response::{IntoResponse, Redirect, Response},
};

use super::{
    frame::{Frame, Here},
    guard::{Given, Noted},
    person::{DonePage, beside},
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
};
use crate::people::{Act, Due, Visitor};

/// Longest that the rule can say, months.
const MOST_MONTHS: u16 = 240;

#[derive(Template)]
#[template(path = "keeping.html")]
struct KeepingPage {
    frame: Frame,
    months: Option<u16>,
    rule: String,
    most: u16,
    fields: usize,
    line: String,
    inquiries: Vec<(String, String)>,
}

fn due(desk: &Desk, months: u16) -> Result<Due, Trouble> {
    let now = i64::try_from(desk.notebook().env().now_ms()).unwrap_or(i64::MAX);
    Ok(Due::read(desk.notebook(), &*desk.index()?, months, now)?)
}

fn amount(due: &Due, frame: &Frame) -> String {
    frame.with("keeping-amount", [("fields", &due.fields()), ("inquiries", &due.inquiries.len())])
}

pub(super) async fn page(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who), Here::People, |desk, frame| {
        let months = desk.people.months_kept()?;
        let due = months.map(|months| due(desk, months)).transpose()?.unwrap_or_default();
        let name = |id: &dooryard_core::ids::RecordId| {
            let text = id.to_string();
            let short = text.get(text.len().saturating_sub(12)..).unwrap_or(&text).to_owned();
            (text, frame.with("audit-inquiry", [("end", &short)]))
        };
        Ok(html(&KeepingPage {
            rule: months.map_or_else(|| frame.say("keeping-not-set"), |n| frame.with("keeping-months", [("n", &n)])),
            months,
            most: MOST_MONTHS,
            fields: due.fields(),
            line: amount(&due, &frame),
            inquiries: due.inquiries.iter().map(name).collect(),
            frame,
        }))
    })
    .await
}

pub(super) async fn set(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::People, move |desk, frame| {
        let months = given.text("months").trim().parse().ok().filter(|months| (1..=MOST_MONTHS).contains(months));
        let months =
            months.ok_or_else(|| Trouble::NotDone(frame.with("keeping-whole-number", [("most", &MOST_MONTHS)])))?;
        desk.people.keep_for(&who, months)?;
        Ok(Redirect::to("/keeping").into_response())
    })
    .await
}

pub(super) async fn erase(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::People, move |desk, frame| {
        let months = desk.people.months_kept()?;
        let months = months.ok_or_else(|| Trouble::NotDone(frame.say("keeping-nobody-said")))?;
        let due = due(desk, months)?;
        // What is erased is what was counted on the page.
        if given.text("fields") != due.fields().to_string() {
            let now = amount(&due, &frame);
            return Err(Trouble::NotDone(frame.with("keeping-meanwhile", [("amount", &now)])));
        }
        // Noted before it is done: it cannot be taken back.
        for id in &due.inquiries {
            desk.people.note(&who, Act::ErasedByRule, Some(&id.to_string()))?;
        }
        let erased = due.erase(&desk.office)?;
        let page = DonePage {
            head: frame.say("keeping-erased"),
            words: frame.with("keeping-gone", [("amount", &amount(&due, &frame))]),
            beside: beside(erased, &frame),
            frame,
        };
        Ok(Noted::on(html(&page), Vec::new()))
    })
    .await
}
