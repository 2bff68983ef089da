//! The page of the queue: how many await a reviewer and why, and the most urgent first.

use askama::Template;
use axum::{
    Extension,
    extract::{Query, State, rejection::QueryRejection},
    response::Response,
};
use dooryard_core::ids::RecordId;
use serde::Deserialize;

use super::{
    around::Around,
    queue::{Entry, Key},
    subject::name_of,
    view::Bar,
    why::Why,
};
use crate::{
    page::{
        frame::{Frame, Here},
        routes::{Desk, Shared, answer, html},
        trouble::Trouble,
    },
    people::{Role, Visitor},
};

/// Rows of a page.
const ROWS: usize = 30;

#[derive(Template)]
#[template(path = "review.html")]
struct ListPage {
    frame: Frame,
    bar: Bar,
    /// How many await a reviewer, in a sentence.
    count: String,
    /// What else there is: asked back, not drawn.
    besides: String,
    /// Reasons to narrow by: (address, words, how many, chosen).
    reasons: Vec<(String, String, usize, bool)>,
    rows: Vec<Row>,
    first: Option<String>,
    later: Option<String>,
    /// How many of how many stand here.
    span: String,
    may: bool,
}

/// One entry as the page shows it.
pub(in crate::page) struct Row {
    pub(in crate::page) id: String,
    pub(in crate::page) day: String,
    pub(in crate::page) soon: String,
    pub(in crate::page) title: String,
    pub(in crate::page) summary: String,
    pub(in crate::page) why: String,
    pub(in crate::page) who: String,
    pub(in crate::page) begun: String,
}

#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    why: String,
    after: String,
    undone: Option<usize>,
    left: usize,
}

impl Asked {
    fn href(&self, why: Option<Why>, after: Option<Key>) -> String {
        let parts = [("why", why.map(|w| w.id().to_owned())), ("after", after.map(|key| key.to_string()))];
        let given: Vec<_> = parts.into_iter().filter_map(|(name, text)| Some((name, text?))).collect();
        let query = serde_urlencoded::to_string(given).unwrap_or_default();
        if query.is_empty() { "/review".into() } else { format!("/review?{query}") }
    }
}

/// The page.
pub(super) async fn page(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Review, move |desk, frame| {
        let bad = |why: &str| Trouble::BadAddress(frame.say(why));
        let Query(asked) = asked.map_err(|_| bad("review-bad-part"))?;
        let why = match asked.why.as_str() {
            "" => None,
            id => Some(Why::of(id).ok_or_else(|| bad("review-bad-reason"))?),
        };
        let after = match asked.after.as_str() {
            "" => None,
            key => Some(key.parse::<Key>().map_err(|()| bad("review-bad-place"))?),
        };
        let (page, count, asked_back, spared, by_reason) = desk.queue(|queue| {
            (queue.page(why, after, ROWS), queue.len(), queue.asked(), queue.spared(), queue.by_reason())
        })?;
        let rows = rows(desk, &frame, &page.rows)?;
        let reasons = by_reason.into_iter().filter(|(_, n)| *n > 0).map(|(w, n)| {
            let here = why == Some(w);
            (asked.href(if here { None } else { Some(w) }, None), words(&frame, w), n, here)
        });
        let bar = Bar::of(desk, &frame, &who, asked.undone.map(|back| (back, asked.left)))?;
        Ok(html(&ListPage {
            bar,
            count: frame.with("review-count", [("n", &count)]),
            besides: frame.with("review-besides", [("asked", &asked_back), ("spared", &spared)]),
            reasons: reasons.collect(),
            first: page.earlier.then(|| asked.href(why, None)),
            later: page.later.map(|key| asked.href(why, Some(key))),
            span: frame.with("review-span", [("n", &rows.len()), ("of", &page.total)]),
            rows,
            may: who.role >= Role::Reviewer,
            frame,
        }))
    })
    .await
}

/// A reason in a few words.
pub(super) fn words(frame: &Frame, why: Why) -> String {
    frame.say(&format!("review-why-{}", why.id().replace('_', "-")))
}

/// Entries in words.
///
/// # Errors
/// Of the stores.
pub(super) fn rows(desk: &Desk, frame: &Frame, entries: &[Entry]) -> Result<Vec<Row>, Trouble> {
    let inquiries: Vec<RecordId> = entries.iter().map(|entry| entry.inquiry).collect();
    let all = Around::all(desk.notebook(), &inquiries, &desk.names)?;
    let found = |entry: &Entry| all.iter().find(|around| around.inquiry.id == entry.inquiry);
    entries.iter().filter_map(|entry| Some(row(desk, frame, entry, found(entry)?))).collect()
}

fn row(desk: &Desk, frame: &Frame, entry: &Entry, around: &Around) -> Result<Row, Trouble> {
    let by = around.answers.iter().filter(|d| d.id == entry.id).find_map(|d| d.text("by"));
    let by = by.or_else(|| around.inquiry.text("taken_by")).unwrap_or_default();
    let why: Vec<String> = entry.reasons.iter().map(|w| words(frame, *w)).collect();
    Ok(Row {
        id: entry.id.to_string(),
        day: frame.when().day_ms(entry.since_ms),
        soon: match entry.urgency.as_str() {
            "today" => frame.say("review-soon-today"),
            "this_week" => frame.say("review-soon-week"),
            _ => String::new(),
        },
        title: around.title(desk.names_in(frame.words.0), frame.words),
        summary: around.inquiry.text("summary").unwrap_or_default().to_owned(),
        why: why.join("; "),
        who: if by.is_empty() { frame.say("review-somebody") } else { by.to_owned() },
        begun: match &entry.begun {
            Some(label) => frame.with("review-begun", [("who", &name_of(desk, label)?)]),
            None => String::new(),
        },
    })
}
