//! The morning: what is dangerous and open, what came in, what is due and late, what waits for review, who has not handed
//! over. Every count stands with what it was counted out of, and leads to the list it counts.

use askama::Template;
use axum::{Extension, extract::State, response::Response};
use dooryard_core::{
    ids::RecordId,
    key::{StopKind, stop_id},
    notebook::Summary,
};
use jiff::{ToSpan, civil::Date};

use super::{about, call::Call, later, listed, speech::Speech};
use crate::{
    desk::Outcome,
    index::{Ask, From, Index, Stand},
    ledger::{opened_ms, status, stops},
    page::{
        day_begins_ms,
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
/// Stops that are shown.
const STOPS: usize = 6;
/// What came in is counted of so many days.
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
    /// Open inquiries with a stop.
    stopped: Vec<Stopped>,
    stopped_line: String,
    came: Vec<Row>,
    came_line: String,
    review: Vec<Row>,
    review_line: String,
    due: Vec<later::Row>,
    due_line: String,
    unfinished: usize,
    conflicts: u64,
    /// (address, how it stands, how many, out of how many)
    stands: Vec<(String, String, u64)>,
    all: u64,
    quiet: String,
    quiet_line: String,
}

pub(in crate::page) async fn morning(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who.clone()), Here::Morning, move |desk, frame| Ok(html(&page(desk, frame, &who)?))).await
}

fn page(desk: &Desk, frame: Frame, who: &Visitor) -> Result<MorningPage, Trouble> {
    let (when, index, today) = (frame.when(), desk.index()?, When::now().today());
    let all = index.inquiries()?;
    let open = index.standing("open")? + index.standing("waiting")?;
    let [late, at, coming, _] = index.later_counts(today, None)?;
    let people = later::people(desk, who, &frame)?;
    let mut due = Vec::new();
    for stand in [Stand::Late, Stand::Today] {
        let found = index.later(stand, today, None, None, ROWS - due.len())?;
        due.extend(later::rows(desk, stand, &found, &people, &frame)?);
    }
    let (stops, stopped) = stopped(desk, &frame, &index)?;
    let (came, recent) = came(desk, &frame, &index, today)?;
    let (review, review_line) = to_review(desk, &frame)?;
    let (quiet, quiet_line) = quiet(desk, &frame, desk.now_ms())?;
    let mut stands = Vec::new();
    for status in ["open", "waiting", "answered", "closed"] {
        let words = frame.say(&format!("desk-status-{status}"));
        stands.push((format!("/inquiries?status={status}"), words, index.standing(status)?));
    }
    let disputed = index.page(&Ask { conflict: true, ..Ask::default() }, From::Newest, 1)?.total;
    Ok(MorningPage {
        day: when.date(today),
        line: frame.with("desk-morning-line", [("open", &open), ("all", &all), ("late", &late), ("today", &at)]),
        may_write: who.role >= Role::ScoutLead,
        sealed: match index.sealed_records()? {
            0 => String::new(),
            n => frame.with("desk-morning-sealed", [("n", &n)]),
        },
        stopped_line: frame.with("desk-of", [("n", &stops), ("of", &open)]),
        stopped,
        came_line: frame.with("desk-came-line", [("n", &recent), ("days", &DAYS)]),
        came,
        review_line,
        review,
        due_line: frame.with("desk-due-line", [("late", &late), ("today", &at), ("of", &(late + at + coming))]),
        due,
        unfinished: unfinished(desk)?,
        conflicts: disputed,
        stands,
        all,
        quiet,
        quiet_line,
        frame,
    })
}

/// An inquiry with stops: (address, its head, its stops).
type Stopped = (String, String, String);

/// Open inquiries with a stop that halts: how many, and the newest of them.
fn stopped(desk: &Desk, frame: &Frame, index: &Index) -> Result<(u64, Vec<Stopped>), Trouble> {
    let speech = Speech::of(&desk.pack, frame);
    let (count, newest) = index.halted(STOPS)?;
    let ledger = listed(desk, &newest)?;
    let halts = |i: &Summary| -> Vec<String> {
        let held = stops(i.fields.get("stops")).into_iter().map(stop_id);
        let known = held.map(|id| desk.pack.stop(id));
        known
            .filter(|s| s.is_none_or(|s| s.kind == StopKind::Stop))
            .map(|s| s.map_or_else(|| frame.say("desk-stop-unknown"), |s| s.title.get(speech.language).to_owned()))
            .collect()
    };
    let row = |i: &Summary| (format!("/inquiries/{}", i.id), about(&ledger, i.id, &speech), halts(i).join("; "));
    Ok((count, ledger.inquiries.iter().map(row).collect()))
}

/// Calls that nobody finished, of inquiries that stand open.
fn unfinished(desk: &Desk) -> Result<usize, Trouble> {
    let begun: Vec<RecordId> = Call::under_way(desk.notebook())?.into_iter().map(|(id, _)| id).collect();
    Ok(listed(desk, &begun)?.inquiries.iter().filter(|i| matches!(status(i), "open" | "waiting")).count())
}

/// Inquiries and files that came, newest first, and how many of the last days.
fn came(desk: &Desk, frame: &Frame, index: &Index, today: Date) -> Result<(Vec<Row>, u64), Trouble> {
    let since = today.checked_sub((DAYS - 1).days()).unwrap_or(today);
    let mut recent = index.page(&Ask { from: Some(since), ..Ask::default() }, From::Newest, 1)?.total;
    let newest = index.page(&Ask::default(), From::Newest, ROWS)?;
    let ids: Vec<RecordId> = newest.rows.iter().map(|row| row.key.id).collect();
    let ledger = listed(desk, &ids)?;
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
            row(opened_ms(i), format!("/inquiries/{}", i.id), about(&ledger, i.id, &speech), rest, who)
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
        recent += u64::from(day_begins_ms(since).is_some_and(|begin| ms >= begin));
        rows.push(row(ms, format!("/take-in/{}", at + 1), head, rest, String::new()));
    }
    rows.sort_by_key(|r| std::cmp::Reverse(r.ms));
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
