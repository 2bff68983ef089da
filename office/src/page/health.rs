//! How the office itself is: version, disk, backups, erasure ledger, what waits.

use std::path::Path;

use askama::Template;
use axum::{Extension, extract::State, response::Response};
use dooryard_core::{Error, notebook};

use super::{
    frame::{Frame, Here},
    intake::waiting_line,
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
    words::size,
};
use crate::people::{Role, Visitor};

const DAY_MS: i64 = 86_400_000;
/// A backup older than so many days is said to be old.
const OLD: i64 = 7;
/// So many bytes free are few: a large bundle and what is made of it.
const FEW: u64 = 10_000_000_000;

#[derive(Template)]
#[template(path = "health.html")]
struct HealthPage {
    frame: Frame,
    rows: Vec<Line>,
    backups: Vec<Backup>,
}

/// One thing that is looked at.
struct Line {
    name: String,
    words: String,
    /// What to do; empty where nothing has to be done.
    to_do: String,
}

struct Backup {
    day: String,
    file: String,
    off: bool,
    /// Whether the file is there now, and its ledger knows all that was erased.
    stands: String,
}

pub(super) async fn page(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    let whole_path = who.role >= Role::Admin;
    answer(desk, Some(who), Here::Elsewhere, move |desk, frame| {
        let backups = backups(desk, &frame, whole_path)?;
        let rows = vec![
            version(desk, &frame)?,
            disk(desk, &frame),
            last(desk, &frame)?,
            ledger(desk, &frame)?,
            waits(desk, &frame)?,
            keys(desk, &frame),
        ];
        Ok(html(&HealthPage { rows, backups, frame }))
    })
    .await
}

fn line(frame: &Frame, name: &str, words: String, to_do: Option<&str>) -> Line {
    Line { name: frame.words.say(name), words, to_do: to_do.map_or_else(String::new, |id| frame.words.say(id)) }
}

fn version(desk: &Desk, frame: &Frame) -> Result<Line, Trouble> {
    let (book, people) = (notebook::newest_version().to_string(), desk.people.schema()?.to_string());
    let version = env!("CARGO_PKG_VERSION");
    let given: [(&str, &dyn dooryard_core::words::Argument); 3] =
        [("version", &version), ("book", &book), ("people", &people)];
    Ok(line(frame, "take-in-health-version", frame.words.with("take-in-health-version-is", given), None))
}

fn disk(desk: &Desk, frame: &Frame) -> Line {
    let Some((free, whole)) = desk.office.disk() else {
        return line(frame, "take-in-health-disk", frame.words.say("take-in-health-disk-unknown"), None);
    };
    let given = [("free", &size(free, frame.words) as _), ("whole", &size(whole, frame.words) as _)];
    let words = frame.words.with("take-in-health-disk-is", given);
    line(frame, "take-in-health-disk", words, (free < FEW).then_some("take-in-health-disk-do"))
}

fn last(desk: &Desk, frame: &Frame) -> Result<Line, Trouble> {
    let places = desk.office.places()?;
    let newest = places.iter().map(|place| place.made_ms).max();
    let Some(newest) = newest.and_then(|ms| i64::try_from(ms).ok()) else {
        let none = frame.words.say("take-in-health-backup-none");
        return Ok(line(frame, "take-in-health-backup", none, Some("take-in-health-backup-do")));
    };
    let days = (desk.now_ms() - newest).max(0) / DAY_MS;
    let given: [(&str, &dyn dooryard_core::words::Argument); 2] =
        [("when", &frame.when().full_ms(newest)), ("days", &days)];
    let words = frame.words.with("take-in-health-backup-is", given);
    let to_do = if days >= OLD {
        Some("take-in-health-backup-do")
    } else if !places.iter().any(|place| place.off_machine) {
        Some("take-in-health-backup-off-do")
    } else {
        None
    };
    Ok(line(frame, "take-in-health-backup", words, to_do))
}

fn ledger(desk: &Desk, frame: &Frame) -> Result<Line, Trouble> {
    let behind = desk.office.backups_behind()?.len();
    let erased = desk.notebook().authority()?.erased_records().count();
    let words = frame.words.with("take-in-health-ledger-is", [("erased", &erased), ("behind", &behind)]);
    Ok(line(frame, "take-in-health-ledger", words, (behind > 0).then_some("take-in-health-ledger-do")))
}

fn waits(desk: &Desk, frame: &Frame) -> Result<Line, Trouble> {
    let (phones, sealed) = (desk.office.asking()?.len(), desk.office.waiting()?.len());
    let damaged = desk.notebook().damaged_files()?.len();
    let mut words = vec![waiting_line(&desk.office, frame.words)?];
    if phones + sealed > 0 {
        words.push(frame.words.with("take-in-health-phones", [("phones", &phones), ("files", &sealed)]));
    }
    if damaged > 0 {
        words.push(frame.words.with("take-in-health-damaged", [("n", &damaged)]));
    }
    Ok(line(frame, "take-in-health-waits", words.join(" "), None))
}

fn keys(desk: &Desk, frame: &Frame) -> Line {
    let here = desk.office.recovery_key().is_ok();
    let words = frame.words.say(if here { "take-in-health-keys-here" } else { "take-in-health-keys-away" });
    line(frame, "take-in-health-keys", words, here.then_some("take-in-health-keys-do"))
}

fn backups(desk: &Desk, frame: &Frame, whole_path: bool) -> Result<Vec<Backup>, Trouble> {
    let behind = desk.office.backups_behind()?;
    let name = |file: &Path| {
        let name = if whole_path { Some(file.as_os_str()) } else { file.file_name() };
        name.map_or_else(String::new, |name| name.to_string_lossy().into_owned())
    };
    let row = |place: crate::desk::Place| {
        let stands = match (place.file.exists(), behind.contains(&place.file)) {
            (false, _) => "take-in-health-not-there",
            (true, true) => "take-in-health-behind",
            (true, false) => "take-in-health-whole",
        };
        let day = frame.when().full_ms(i64::try_from(place.made_ms).unwrap_or(i64::MAX));
        Backup { day, file: name(&place.file), off: place.off_machine, stands: frame.words.say(stands) }
    };
    let mut places = desk.office.places().map_err(|e: Error| Trouble::from(e))?;
    places.sort_by_key(|place| std::cmp::Reverse(place.made_ms));
    Ok(places.into_iter().map(row).collect())
}
