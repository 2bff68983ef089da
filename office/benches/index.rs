//! The index of a large county: how long it takes to make, to follow one change, and to answer; and what memory that takes.
//!
//! `DOORYARD_INQUIRIES` says how many inquiries, with 20 records each (4 of them photos); 1,000 unless it does.
#![allow(clippy::unwrap_used, reason = "a benchmark")]

#[path = "office/county.rs"]
mod county;

use std::{
    fs,
    time::{Duration, Instant},
};

use dooryard_core::{ids::RecordId, record::Kind};
use dooryard_office::{
    index::{Ask, From, Index},
    ledger::Ledger,
    page::Names,
};
use dooryard_tests::{Yard, edit};
use jiff::{ToSpan, civil::Date};
use serde_json::json;

/// Megabytes of memory in use, and the most since the last call.
fn memory() -> (u64, u64) {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kilobytes = |name: &str| -> u64 {
        let line = status.lines().find(|line| line.starts_with(name)).unwrap_or_default();
        line.split_whitespace().nth(1).and_then(|n| n.parse().ok()).unwrap_or(0)
    };
    let both = (kilobytes("VmRSS") / 1024, kilobytes("VmHWM") / 1024);
    let _ = fs::write("/proc/self/clear_refs", "5");
    both
}

/// (middle, 95th of a hundred) of the times of an answer.
fn times(times: usize, mut answer: impl FnMut(usize)) -> (Duration, Duration) {
    let mut all: Vec<Duration> = (0..times)
        .map(|at| {
            let begin = Instant::now();
            answer(at);
            begin.elapsed()
        })
        .collect();
    all.sort();
    (all[times / 2], all[times * 95 / 100])
}

fn main() {
    let inquiries = std::env::var("DOORYARD_INQUIRIES").ok().and_then(|n| n.parse().ok()).unwrap_or(1_000);
    let yard = Yard::new(1, 1).unwrap();
    county::fill(&yard, inquiries);
    println!("{} records, {} of them photos", inquiries * county::RECORDS, inquiries * county::PHOTOS);
    let notebook = yard.office.notebook();
    let names = Names::of(&dooryard_office::pack::starter().unwrap());
    memory();
    let begin = Instant::now();
    let index = Index::open(yard.office.folder(), &names).unwrap();
    let made = index.follow(notebook).unwrap();
    println!(
        "{made} inquiries worked out from nothing in {:.1?}; memory now, at most: {:?} MB",
        begin.elapsed(),
        memory()
    );
    let size = fs::metadata(yard.office.folder().join("index.db")).unwrap().len() / 1_000_000;
    println!("index.db: {size} MB");
    let show =
        |what: &str, (middle, most): (Duration, Duration)| println!("{what}: {middle:.1?}, 95 of 100 {most:.1?}");
    show("follow, nothing changed", times(50, |_| assert_eq!(index.follow(notebook).unwrap(), 0)));
    let last = index.page(&Ask::default(), From::Newest, 1).unwrap().rows[0].key.id;
    let one = times(20, |at| {
        edit(notebook, Kind::Inquiry, last, json!({"summary": format!("number {at}")})).unwrap();
        assert_eq!(index.follow(notebook).unwrap(), 1);
    });
    show("save and follow one change", one);
    // The same question in other words each time: answers are remembered.
    let anew = |ask: &Ask, at: usize| {
        let to = Date::new(2100, 1, 1).unwrap().checked_add(i64::try_from(at).unwrap().days()).unwrap();
        Ask { to: Some(to), ..ask.clone() }
    };
    let words = |text: &str| Ask { words: text.into(), ..Ask::default() };
    let asks = [
        ("all", Ask::default()),
        ("status", Ask { status: "open".into(), ..Ask::default() }),
        ("township", Ask { township: "Township 3".into(), ..Ask::default() }),
        ("host", Ask { host: "oak".into(), ..Ask::default() }),
        ("cause", Ask { cause: "apple_scab".into(), ..Ask::default() }),
        ("scout and host", Ask { scout: "Scout 3".into(), host: "maple".into(), ..Ask::default() }),
        ("due", Ask { due: "2026-06-02".parse().ok(), status: "open".into(), ..Ask::default() }),
        ("none", Ask { host: "none_such".into(), ..Ask::default() }),
        ("a rare word", words("471")),
        ("two words", words("brown margin")),
        ("a word everywhere", words("leaves")),
        ("one letter", words("l")),
    ];
    for (what, ask) in &asks {
        let mut from = From::Newest;
        let took = times(40, |at| from = index.page(&anew(ask, at), from, 40).unwrap().older.unwrap_or_default());
        show(&format!("page, {what}"), took);
    }
    for (what, ask) in [&asks[0], &asks[3], &asks[8]] {
        show(&format!("counts, {what}"), times(20, |at| drop(index.counts(&anew(ask, at)).unwrap())));
        show(&format!("places, {what}"), times(20, |at| drop(index.places(&anew(ask, at)).unwrap())));
        show(
            &format!("plants and causes by week, {what}"),
            times(20, |at| drop(index.weekly(&anew(ask, at)).unwrap())),
        );
    }
    show("choices of the filters", times(20, |_| drop(index.offered().unwrap())));
    let forty: Vec<RecordId> =
        index.page(&Ask::default(), From::Newest, 40).unwrap().rows.iter().map(|row| row.key.id).collect();
    let around = times(20, |_| {
        let rows = dooryard_office::index::rows_around(notebook, &forty).unwrap();
        assert_eq!(Ledger::of_rows(rows, &names.suspect).inquiries.len(), forty.len());
    });
    show("all records around the 40 of a page", around);
    println!("memory now, at most: {:?} MB", memory());
}
