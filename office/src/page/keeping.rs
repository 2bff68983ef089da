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
    person::{AFTER, DonePage},
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
    words::count,
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
    Ok(Due::read(desk.notebook(), &desk.ledger()?, months, now)?)
}

fn amount(due: &Due) -> String {
    format!(
        "{} of {}",
        count(due.fields() as u64, "private field", "private fields"),
        count(due.inquiries.len() as u64, "closed inquiry", "closed inquiries")
    )
}

pub(super) async fn page(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who), Here::People, |desk, frame| {
        let months = desk.people.months_kept()?;
        let due = months.map(|months| due(desk, months)).transpose()?.unwrap_or_default();
        let name = |id: &dooryard_core::ids::RecordId| {
            let text = id.to_string();
            let short = text.get(text.len().saturating_sub(12)..).unwrap_or(&text).to_owned();
            (text, format!("inquiry that ends in {short}"))
        };
        Ok(html(&KeepingPage {
            frame,
            rule: months.map_or_else(|| "not set".into(), |n| count(u64::from(n), "month", "months")),
            months,
            most: MOST_MONTHS,
            fields: due.fields(),
            line: amount(&due),
            inquiries: due.inquiries.iter().map(name).collect(),
        }))
    })
    .await
}

pub(super) async fn set(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::People, move |desk, _| {
        let months = given.text("months").trim().parse().ok().filter(|months| (1..=MOST_MONTHS).contains(months));
        let months = months
            .ok_or_else(|| Trouble::NotDone(format!("The rule says a whole number of months, 1 to {MOST_MONTHS}.")))?;
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
        let months = months.ok_or_else(|| Trouble::NotDone("Nobody has said yet how long they are kept.".into()))?;
        let due = due(desk, months)?;
        // What is erased is what was counted on the page.
        if given.text("fields") != due.fields().to_string() {
            return Err(Trouble::NotDone(format!(
                "Meanwhile it would be {}. Look at the count once more.",
                amount(&due)
            )));
        }
        // Noted before it is done: it cannot be taken back.
        for id in &due.inquiries {
            desk.people.note(&who, Act::ErasedByRule, Some(&id.to_string()))?;
        }
        due.erase(&desk.office)?;
        let page = DonePage {
            frame,
            head: "Erased by the rule".into(),
            words: format!("Gone: {}.", amount(&due)),
            after: AFTER,
        };
        Ok(Noted::on(html(&page), Vec::new()))
    })
    .await
}
