//! The list of inquiries: what matches, out of how many, and what can be done with it.

use std::collections::BTreeMap;

use askama::Template;
use axum::{
    Extension,
    extract::{Query, State, rejection::QueryRejection},
    response::Response,
};
use dooryard_core::{
    ids::RecordId,
    notebook::{Notebook, Summary},
    words::Words,
};

use super::{
    choices::{Choice, Day, answer_words, choices, chosen, days, status_words},
    downloads::FORMS,
    filter::Filter,
    frame::{Frame, Here},
    names::Names,
    place,
    routes::{Shared, answer, html},
    say::Say,
    stops::plain_ids,
    trouble::Trouble,
    words::sentence_case,
};
use crate::{
    index::{Ask, From, Index, rows_listed},
    ledger::{Ledger, opened_ms, status, stops},
    people::{View, Visitor},
};

/// Rows of a page.
const ROWS: usize = 40;

/// The list as the page shows it.
#[derive(Template)]
#[template(path = "inquiries.html")]
struct ListPage {
    frame: Frame,
    /// The filters in force, also as they stand in an address.
    filter: Filter,
    query: String,
    /// Whether whoever looks may see what is private.
    sees_private: bool,
    /// `12 of 60 inquiries`, with what stands open.
    found: String,
    /// How many are found.
    total: u64,
    /// What is under seal, in a sentence; empty when nothing is.
    sealed: String,
    choices: Vec<Choice>,
    days: [Day; 2],
    /// What is chosen, in words.
    chosen: Vec<(String, String)>,
    rows: Vec<Row>,
    /// What stands there when no row does.
    none: String,
    /// Addresses of the newer and the older rows.
    newer: Option<String>,
    older: Option<String>,
    /// `Rows 41 to 60 of 60`.
    span: String,
    /// Saved views: (address, name, whether it is the one that is shown).
    views: Vec<(String, String, bool)>,
    /// Forms of a download: (value, words).
    forms: Vec<(&'static str, String)>,
}

impl ListPage {
    /// Whether what is shown has a name already.
    fn is_saved(&self) -> bool {
        self.views.iter().any(|(.., here)| *here)
    }
}

/// One inquiry in the list.
struct Row {
    id: RecordId,
    /// The day it was opened.
    day: String,
    /// How it came.
    channel: String,
    /// Host and township.
    title: String,
    /// Summary, or the beginning of the resident's own words.
    words: String,
    /// The words are the resident's own.
    own_words: bool,
    /// Lines under the words: (reason, words).
    reasons: Vec<(String, String)>,
    /// Who has it and where it stands.
    who: String,
}

pub(super) async fn page(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    filter: Result<Query<Filter>, QueryRejection>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Inquiries, move |desk, frame| {
        let Query(filter) = filter.map_err(|_| Trouble::BadAddress(frame.say("list-bad-filter")))?;
        let views = desk.people.views(&who)?;
        let index = desk.index()?;
        let list = list_page(
            &index,
            desk.notebook(),
            &filter,
            (&views, who.role.sees_private()),
            desk.names_in(frame.words.0),
            frame,
        );
        Ok(html(&list?))
    })
    .await
}

/// Makes the list: the page that the index finds, and what its rows show.
fn list_page(
    index: &Index,
    notebook: &Notebook,
    filter: &Filter,
    (views, sees_private): (&[View], bool),
    names: &Names,
    frame: Frame,
) -> Result<ListPage, Trouble> {
    let (words, when, query) = (frame.words, frame.when(), filter.query());
    // Words are looked for in all fields, private ones too: others find by the names of plants and causes alone.
    let found = index.page(&Ask { names_only: !sees_private, ..filter.ask() }, filter.from(), ROWS)?;
    let ids: Vec<RecordId> = found.rows.iter().map(|row| row.key.id).collect();
    let ledger = Ledger::of_rows(rows_listed(notebook, &ids)?, &[]);
    let conflicts: BTreeMap<RecordId, u64> = found.rows.iter().map(|row| (row.key.id, row.conflicts)).collect();
    let page = filter.page.max(1);
    let (from, all) = ((page - 1) * ROWS, index.inquiries()?);
    let say = Say { names, when: &when, words };
    let of = |i: &Summary| row(&ledger, conflicts.get(&i.id).copied().unwrap_or(0), i, say);
    let mut rows: Vec<Row> = ledger.inquiries.iter().map(of).collect();
    for row in rows.iter_mut().filter(|row| row.own_words && !sees_private) {
        (row.words, row.own_words) = (String::new(), false);
    }
    Ok(ListPage {
        found: frame.with("list-found", [("n", &found.total), ("all", &all), ("open", &found.open)]),
        total: found.total,
        sealed: sealed_words(usize::try_from(index.sealed_records()?).unwrap_or(usize::MAX), words),
        choices: choices(index.offered()?, filter, names, words),
        days: days(filter, words),
        chosen: chosen(filter, names, &frame),
        none: if all == 0 { frame.say("list-none-yet") } else { frame.with("list-none", [("all", &all)]) },
        newer: found.newer.map(|at| if page <= 2 { filter.href(1, From::Newest) } else { filter.href(page - 1, at) }),
        older: found.older.map(|at| filter.href(page + 1, at)),
        span: frame.with("list-span", [("from", &(from + 1)), ("to", &(from + rows.len())), ("n", &found.total)]),
        views: views.iter().map(|v| (v.href(), v.name.clone(), v.filter == query)).collect(),
        forms: FORMS
            .iter()
            .filter(|form| sees_private || form.for_anybody)
            .map(|form| (form.value, frame.say(form.words)))
            .collect(),
        rows,
        filter: filter.clone(),
        query,
        sees_private,
        frame,
    })
}

/// That something is under seal, without saying what; empty when nothing is.
pub fn sealed_words(records: usize, words: Words) -> String {
    if records == 0 { String::new() } else { words.with("list-sealed", [("n", &records)]) }
}

fn row(ledger: &Ledger, conflicts: u64, i: &Summary, say: Say<'_>) -> Row {
    let hosts: Vec<String> = ledger.hosts_of(i.id).into_iter().map(|h| say.names.host(h)).collect();
    let what = if hosts.is_empty() { say.say("list-no-plant") } else { hosts.join("; ") };
    let township = ledger.site_of(i).and_then(|s| s.text("township")).map(|name| place::township(name, say.words));
    let own_words = i.text("summary").is_none();
    let words = i.text("summary").or_else(|| i.text("question")).unwrap_or_default();
    let short: String = words.chars().take(160).collect();
    let mut reasons = Vec::new();
    for stop in plain_ids(stops(i.fields.get("stops"))) {
        reasons.push((format!("{}.", say.names.stop_head(stop)), String::new()));
    }
    if conflicts > 0 {
        reasons.push((say.say("list-disagree"), say.words.with("list-disagree-on", [("n", &conflicts)])));
    }
    let causes = ledger.causes_of(i.id);
    if !causes.is_empty() {
        let named: Vec<String> = causes.iter().map(|(id, p)| say.cause(id, *p)).collect();
        let newest = ledger.diagnoses.get(&i.id).and_then(|all| all.first());
        let how_far = newest.and_then(|d| d.text("status")).unwrap_or("presumptive");
        let how_far = sentence_case(&answer_words(how_far, say.words));
        reasons.push((format!("{how_far}:"), format!("{}.", named.join("; "))));
    }
    let scout = i.text("taken_by").map_or_else(|| say.say("list-nobody"), str::to_owned);
    Row {
        id: i.id,
        day: say.when.day_ms(opened_ms(i)),
        channel: i.text("channel").map(|channel| say.word(channel)).unwrap_or_default(),
        title: township.map_or_else(|| what.clone(), |t| format!("{what}, {t}")),
        words: if short.len() < words.len() { format!("{short}…") } else { short },
        own_words,
        reasons,
        who: format!("{scout}, {}", status_words(status(i), say.words)),
    }
}
