//! The morning: what is dangerous and open, what came in, what is due and late, what waits for review, who has not handed
//! over. Every count stands with what it was counted out of, and leads to the list it counts.

use std::collections::BTreeSet;

use askama::Template;
use axum::{Extension, extract::State, response::Response};
use dooryard_core::{
    ids::RecordId,
    key::{StopKind, stop_id},
    notebook::{Query, Summary},
};

use super::{
    call::Call,
    later::{self, Stand},
    speech::Speech,
};
use crate::{
    desk::Outcome,
    ledger::{Ledger, every, opened_ms, stops},
    page::{
        frame::{Frame, Here},
        review,
        routes::{Desk, Shared, answer, html},
        trouble::Trouble,
        words::When,
    },
    people::{Role, Visitor},
};

/// Rows of each part.
const ROWS: usize = 8;
/// What came in is looked back for so many days.
const DAYS: i64 = 7;
/// A phone that has not handed over for so many days stands on the page.
const QUIET_DAYS: i64 = 7;
const DAY_MS: i64 = 86_400_000;

/// A row of a part: (day, time of day, address, its head, the rest, who).
struct Row {
    ms: i64,
    day: String,
    clock: String,
    href: String,
    head: String,
    rest: String,
    who: String,
}

#[derive(Template)]
#[template(path = "morning.html")]
struct MorningPage {
    frame: Frame,
    day: String,
    line: String,
    may_write: bool,
    sealed: String,
    /// Open inquiries with a stop: (address, its head, its stops).
    stopped: Vec<(String, String, String)>,
    stopped_line: String,
    came: Vec<Row>,
    came_line: String,
    review: Vec<Row>,
    review_line: String,
    due: Vec<later::Row>,
    due_line: String,
    unfinished: usize,
    conflicts: usize,
    /// (address, how it stands, how many, out of how many)
    stands: Vec<(String, String, usize)>,
    all: usize,
    quiet: String,
    quiet_line: String,
}

pub(in crate::page) async fn morning(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who.clone()), Here::Morning, move |desk, frame| {
        let ledger = desk.ledger()?;
        Ok(html(&page(desk, frame, &who, &ledger)?))
    })
    .await
}

fn page(desk: &Desk, frame: Frame, who: &Visitor, ledger: &Ledger) -> Result<MorningPage, Trouble> {
    let (when, now) = (frame.when(), i64::try_from(desk.notebook().env().now_ms()).unwrap_or(i64::MAX));
    let today = When::now().today();
    let (all, open) = (ledger.inquiries.len(), ledger.inquiries.iter().filter(|i| is_open(i)).count());
    let mut due = later::rows(desk, ledger, who, &frame)?;
    let undone = due.iter().filter(|r| r.stand != Stand::Done).count();
    let (late, at) = (count(&due, Stand::Late), count(&due, Stand::Today));
    due.retain(|r| matches!(r.stand, Stand::Late | Stand::Today));
    due.truncate(ROWS);
    let stopped = stopped(desk, &frame, ledger);
    let (came, recent) = came(desk, &frame, ledger, now)?;
    let (review, review_line) = to_review(desk, &frame)?;
    let (quiet, quiet_line) = quiet(desk, &frame, now)?;
    let stands = ["open", "waiting", "answered", "closed"].map(|status| {
        let n = ledger.inquiries.iter().filter(|i| i.text("status").unwrap_or("open") == status).count();
        (format!("/inquiries?status={status}"), frame.say(&format!("desk-status-{status}")), n)
    });
    let conflicts = every(desk.notebook(), &Query { in_conflict: true, ..Query::default() })?;
    let disputed: BTreeSet<RecordId> =
        conflicts.iter().flat_map(|row| ledger.inquiries_of(row)).filter(|id| !ledger.sealed.contains(id)).collect();
    let begun = ledger.inquiries.iter().filter(|i| is_open(i)).map(|i| i.id);
    let mut unfinished = 0;
    for id in begun {
        unfinished += usize::from(Call::typed(desk.notebook(), id)?.is_some_and(|call| !call.finished));
    }
    Ok(MorningPage {
        day: when.date(today),
        line: frame.with("desk-morning-line", [("open", &open), ("all", &all), ("late", &late), ("today", &at)]),
        may_write: who.role >= Role::ScoutLead,
        sealed: match ledger.sealed_records {
            0 => String::new(),
            n => frame.with("desk-morning-sealed", [("n", &n)]),
        },
        stopped_line: frame.with("desk-of", [("n", &stopped.len()), ("of", &open)]),
        stopped,
        came_line: frame.with("desk-came-line", [("n", &recent), ("days", &DAYS)]),
        came,
        review_line,
        review,
        due_line: frame.with("desk-due-line", [("late", &late), ("today", &at), ("of", &undone)]),
        due,
        unfinished,
        conflicts: disputed.len(),
        stands: stands.to_vec(),
        all,
        quiet,
        quiet_line,
        frame,
    })
}

fn count(rows: &[later::Row], stand: Stand) -> usize {
    rows.iter().filter(|r| r.stand == stand).count()
}

/// Whether somebody still waits for an answer.
fn is_open(inquiry: &Summary) -> bool {
    matches!(inquiry.text("status"), None | Some("open" | "waiting"))
}

/// Host and township.
fn about(ledger: &Ledger, inquiry: &Summary, speech: &Speech<'_>) -> String {
    let hosts: Vec<String> = ledger.hosts_of(inquiry.id).into_iter().map(|h| speech.host(h)).collect();
    let what = if hosts.is_empty() { speech.frame.say("desk-no-plant") } else { hosts.join("; ") };
    match ledger.site_of(inquiry).and_then(|s| s.text("township")) {
        Some(township) => format!("{what}, {township}"),
        None => what,
    }
}

/// Open inquiries in which a stop was raised.
fn stopped(desk: &Desk, frame: &Frame, ledger: &Ledger) -> Vec<(String, String, String)> {
    let speech = Speech::of(&desk.pack, frame);
    let halts = |i: &Summary| -> Vec<String> {
        let held = stops(i.fields.get("stops")).into_iter().map(stop_id);
        let known = held.map(|id| desk.pack.stop(id));
        known
            .filter(|s| s.is_none_or(|s| s.kind == StopKind::Stop))
            .map(|s| s.map_or_else(|| frame.say("desk-stop-unknown"), |s| s.title.get(speech.language).to_owned()))
            .collect()
    };
    let open = ledger.inquiries.iter().filter(|i| is_open(i));
    open.filter_map(|i| {
        let halts = halts(i);
        (!halts.is_empty()).then(|| (format!("/inquiries/{}", i.id), about(ledger, i, &speech), halts.join("; ")))
    })
    .collect()
}

/// Inquiries and files that came, newest first, and how many of the last days.
fn came(desk: &Desk, frame: &Frame, ledger: &Ledger, now: i64) -> Result<(Vec<Row>, usize), Trouble> {
    let speech = Speech::of(&desk.pack, frame);
    let when = frame.when();
    let row = |ms: i64, href: String, head: String, rest: String, who: String| Row {
        day: when.day_ms(ms),
        clock: when.clock_ms(ms),
        ms,
        href,
        head,
        rest,
        who,
    };
    let mut rows: Vec<Row> = ledger
        .inquiries
        .iter()
        .map(|i| {
            let channel = i
                .text("channel")
                .map_or_else(String::new, |c| frame.say(&format!("desk-channel-{}", c.replace('_', "-"))));
            let by = i.text("taken_by").unwrap_or_default().to_owned();
            let rest = i.text("summary").unwrap_or_default().to_owned();
            let who = [channel, by].into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join(", ");
            row(opened_ms(i), format!("/inquiries/{}", i.id), about(ledger, i, &speech), rest, who)
        })
        .collect();
    for (at, (ms, taken)) in desk.office.intake_log()?.into_iter().enumerate() {
        let (head, rest) = match taken.outcome {
            // A bundle that brought nothing new is no news; the log of bundles has it.
            Outcome::TakenIn if taken.report.new == 0 && taken.report.photos == 0 => continue,
            Outcome::TakenIn => {
                let report = &taken.report;
                let rest = frame.with(
                    "desk-came-bundle-rest",
                    [("new", &report.new), ("repeated", &report.repeated), ("photos", &report.photos)],
                );
                (frame.with("desk-came-bundle", [("from", &report.from)]), rest)
            }
            Outcome::Refused => (frame.with("desk-came-refused", [("file", &taken.file)]), String::new()),
            Outcome::Kept => (frame.with("desk-came-kept", [("file", &taken.file)]), String::new()),
        };
        rows.push(row(ms, format!("/take-in/{}", at + 1), head, rest, String::new()));
    }
    rows.sort_by_key(|r| std::cmp::Reverse(r.ms));
    let recent = rows.iter().filter(|r| now - r.ms < DAYS * DAY_MS).count();
    rows.truncate(ROWS);
    Ok((rows, recent))
}

/// What awaits a reviewer, most urgent first, and how many answers of how many. Without the answers: a reviewer's own comes first.
fn to_review(desk: &Desk, frame: &Frame) -> Result<(Vec<Row>, String), Trouble> {
    let (first, due, open) = review::most_urgent(desk, frame, ROWS)?;
    let rows = first.into_iter().map(|row| Row {
        ms: 0,
        day: row.day,
        clock: String::new(),
        href: format!("/review/{}", row.id),
        head: row.title,
        rest: row.why,
        who: row.who,
    });
    Ok((rows.collect(), frame.with("desk-review-line", [("n", &due), ("of", &open)])))
}

/// Phones that have not handed over for a while, and how many out of how many.
fn quiet(desk: &Desk, frame: &Frame, now: i64) -> Result<(String, String), Trouble> {
    let log = desk.office.intake_log()?;
    let (mut all, mut quiet) = (0_usize, Vec::new());
    for device in desk
        .office
        .devices()?
        .into_iter()
        .filter(|d| d.role != dooryard_core::record::Role::Office.name() && !d.revoked)
    {
        all += 1;
        let own = log.iter().filter(|(_, row)| row.outcome == Outcome::TakenIn && row.report.from == device.label);
        match own.map(|(at, _)| *at).max() {
            None => quiet.push(frame.with("desk-quiet-never", [("phone", &device.label)])),
            Some(at) if now - at >= QUIET_DAYS * DAY_MS => {
                quiet.push(frame.with("desk-quiet-days", [("phone", &device.label), ("days", &((now - at) / DAY_MS))]));
            }
            Some(_) => {}
        }
    }
    let line = frame.with("desk-of", [("n", &quiet.len()), ("of", &all)]);
    Ok((quiet.join(" "), line))
}
