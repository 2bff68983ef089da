//! The audit as admins read it: newest first, page after page.

use std::collections::BTreeMap;

use askama::Template;
use axum::{
    Extension,
    extract::{Query, State, rejection::QueryRejection},
    response::Response,
};
use dooryard_core::words::Words;
use serde::Deserialize;

use super::{
    frame::{Frame, Here},
    routes::{Shared, answer, html},
    trouble::Trouble,
    words::When,
};
use crate::people::{Act, Entry, Visitor};

#[derive(Template)]
#[template(path = "audit.html")]
struct AuditPage {
    frame: Frame,
    rows: Vec<Row>,
    /// The number below which the next page begins.
    older: Option<i64>,
    first: bool,
}

struct Row {
    day: String,
    clock: String,
    who: String,
    what: String,
    /// What it was done to: (address, words).
    about: Option<(String, String)>,
}

/// The page key: rows with lower numbers are shown.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Before {
    before: Option<i64>,
}

pub(super) async fn page(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    asked: Result<Query<Before>, QueryRejection>,
) -> Response {
    answer(desk, Some(who), Here::People, move |desk, frame| {
        let Query(Before { before }) = asked.map_err(|_| Trouble::BadAddress(frame.say("audit-place")))?;
        let (entries, when) = (desk.people.audit(before)?, frame.when());
        let last = entries.last().map(|entry| entry.n);
        let older = last.filter(|n| desk.people.audit(Some(*n)).is_ok_and(|rows| !rows.is_empty()));
        let names = desk.people.accounts()?.into_iter().map(|account| (account.id, account.name)).collect();
        let rows = entries.iter().map(|entry| row(entry, &names, &when, frame.words)).collect();
        Ok(html(&AuditPage { frame, rows, older, first: before.is_none() }))
    })
    .await
}

fn row(entry: &Entry, names: &BTreeMap<i64, String>, when: &When, words: Words) -> Row {
    // Tries to sign in come from the page; what else nobody did who is signed in was done with the command.
    let nobody = if entry.act == Act::SignInRefused.id() { "audit-somebody" } else { "audit-terminal" };
    Row {
        day: when.day_ms(entry.at_ms),
        clock: when.clock_ms(entry.at_ms),
        who: entry.who.clone().unwrap_or_else(|| words.say(nobody)),
        what: words.say(&format!("audit-{}", entry.act.replace('_', "-"))),
        about: entry.about.as_deref().map(|about| target(&entry.act, about, names, words)),
    }
}

/// Where the record or the account is that a row is about.
fn target(act: &str, about: &str, names: &BTreeMap<i64, String>, words: Words) -> (String, String) {
    if let Some(name) = about.parse().ok().and_then(|id: i64| names.get(&id)) {
        return ("/people".into(), name.clone());
    }
    let begin = about.get(..8).unwrap_or(about);
    match act {
        "took_in" | "took_original" | "tried_again" | "threw_away" => {
            return ("/take-in".into(), words.with("audit-file", [("begin", &begin)]));
        }
        _ if act.ends_with("_phone") || act == "made_reply" || act == "turned_phone_away" => {
            return ("/phones".into(), words.with("audit-phone", [("begin", &begin)]));
        }
        _ => {}
    }
    let short = about.get(about.len().saturating_sub(12)..).unwrap_or(about);
    let (href, kind) = match act {
        "saw_inquiry" | "saw_place" | "saw_contact" | "changed_holder" => {
            (format!("/inquiries/{about}"), "audit-inquiry")
        }
        "saw_photo" => (format!("/photos/{about}/large"), "audit-photo"),
        "saw_person" | "exported_person" => (format!("/person/{about}"), "audit-contact"),
        _ => (String::new(), "audit-record"),
    };
    (href, words.with(kind, [("end", &short)]))
}
