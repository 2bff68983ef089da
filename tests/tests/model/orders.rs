//! The model in memory and the SQLite store give byte-equal digests, whatever the order.

use dooryard_core::{
    log::{SegmentReport, SlotState},
    notebook::{Notebook, Query},
};
use proptest::prelude::*;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use serde_json::Value as Json;

use crate::{
    feed::{as_it_happened, count_early_and_late, shuffled},
    office::{RECORDS, record},
    ops::{Op, everything},
    play::{Counts, Play},
    stores::{Fed, Folders, Kept, Model, kept_in},
};

/// Histories that rows are compared over; orders of each, apart from the one in which it happened.
const OF_ROWS: (u32, u64) = (160, 3);
/// Histories that whole notebooks are compared over, which put every take on the disk before the next; orders of each.
const OF_NOTEBOOKS: (u32, u64) = (32, 2);

/// Everything that must have happened in some history, or have come of it.
const IN_ROWS: &[&str] = &[
    "a change",
    "words that stand elsewhere too",
    "a record deleted",
    "a record brought back",
    "an odd change",
    "a meeting",
    "a device copied",
    "a device restored with its log",
    "a device restored with a new log",
    "a clock forward",
    "a clock back",
    "a phone made a scout's",
    "a phone given another role",
    "a device revoked",
    "a change admitted",
    "a change refused",
    "a record erased",
    "fields erased",
    "a clock corrected",
    "a record assigned",
    // On the way into the stores.
    "rows split",
    "changes taken again",
    "statements taken again",
    "changes reported lost that come all the same",
    "changes that come without their words too",
    "a store restored",
    "a certificate early",
    "a certificate late",
    "a revocation early",
    "a revocation late",
    "an admission early",
    "an admission late",
    "a refusal early",
    "a refusal late",
    "an erasure early",
    "an erasure late",
    "a correction early",
    "a correction late",
    "an assignment early",
    "an assignment late",
    // In the stores.
    "changes known already",
    "two changes at one place of a log",
    "words that came later than their change",
    "changes reported lost",
    "a value superseded",
    "several live values of a field",
    "a value erased",
    "a value withheld",
    // Changes that wait, by the reason.
    "UNKNOWN_DEVICE",
    "REVOKED",
    "REFUSED",
    "FORBIDDEN_FIELD",
    "TOO_NEW",
    "GAP",
];

/// The same of what notebooks show.
const IN_NOTEBOOKS: &[&str] = &[
    "a store restored",
    "an erasure early",
    "an erasure late",
    "a correction early",
    "a correction late",
    "a conflict",
    "a hidden record",
];

#[test]
fn model_and_sqlite_give_one_digest_in_any_order() {
    let folders = Folders::new();
    crate::run(OF_ROWS.0, everything(), IN_ROWS, |history, seed| in_rows(&folders, history, seed));
}

#[test]
fn notebooks_give_the_digest_of_the_model_and_show_the_same_in_any_order() {
    let folders = Folders::new();
    crate::run(OF_NOTEBOOKS.0, everything(), IN_NOTEBOOKS, |history, seed| in_notebooks(&folders, history, seed));
}

fn played(folders: &Folders, history: &[Op]) -> (Play, Counts) {
    let mut play = Play::new(folders.office.clone());
    for op in history {
        play.step(op);
    }
    let counts = std::mem::take(&mut play.counts);
    (play, counts)
}

/// Plays a history, feeds both stores with what came of it in every order, compares them, and returns what happened.
fn in_rows(folders: &Folders, history: &[Op], seed: u64) -> Result<Counts, TestCaseError> {
    let (play, mut counts) = played(folders, history);
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut first = None;
    for order in 0..=OF_ROWS.1 {
        let takes = if order == 0 { as_it_happened(&play) } else { shuffled(&play, &mut random, &mut counts) };
        let mut model = Fed::new(Model::default(), &play.office, &takes);
        let (digest, kept) = (model.digest(), model.kept());
        let mut sqlite = Fed::new(folders.table(), &play.office, &takes);
        prop_assert_eq!(sqlite.digest(), digest, "order {}, on SQLite", order);
        prop_assert_eq!(&sqlite.kept(), &kept, "order {}, on SQLite", order);
        prop_assert_eq!(&sqlite.reports, &model.reports, "order {}, on SQLite", order);
        let as_written = |head: &[u8]| play.written.iter().any(|w| w.change.head_raw == head);
        prop_assert!(kept.changes.iter().all(|(_, row)| as_written(&row.head)), "order {}, heads", order);
        prop_assert_eq!(model.digest_anew(), digest, "order {}, counted anew", order);
        prop_assert_eq!(sqlite.digest_anew(), digest, "order {}, on SQLite, counted anew", order);
        count_early_and_late(&play, &takes, &mut counts);
        count_reports(&model.reports, &mut counts);
        let kept = kept.whatever_the_order();
        let (expected, as_first) = first.get_or_insert_with(|| {
            count_kept(&kept, &mut counts);
            (digest, kept.clone())
        });
        prop_assert_eq!(digest, *expected, "order {}", order);
        prop_assert_eq!(&kept, as_first, "order {}", order);
    }
    Ok(counts)
}

/// The same with whole notebooks; compares what they show too.
fn in_notebooks(folders: &Folders, history: &[Op], seed: u64) -> Result<Counts, TestCaseError> {
    let (play, mut counts) = played(folders, history);
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut first = None;
    for order in 0..=OF_NOTEBOOKS.1 {
        let takes = if order == 0 { as_it_happened(&play) } else { shuffled(&play, &mut random, &mut counts) };
        let mut model = Fed::new(Model::default(), &play.office, &takes);
        let digest = model.digest();
        let notebook = folders.notebook(&play.office, &takes);
        prop_assert_eq!(notebook.digest().unwrap(), digest, "order {}", order);
        prop_assert_eq!(kept_in(&notebook), model.kept(), "order {}", order);
        count_early_and_late(&play, &takes, &mut counts);
        let shown = shown_by(&notebook);
        let (expected, as_first) = first.get_or_insert_with(|| {
            count_shown(&shown, &mut counts);
            (digest, shown.clone())
        });
        prop_assert_eq!(digest, *expected, "order {}", order);
        prop_assert_eq!(&shown, as_first, "order {}", order);
    }
    Ok(counts)
}

/// What a notebook shows of each record and in its list, and its conflicts.
fn shown_by(notebook: &Notebook) -> (Vec<Json>, Json, Json) {
    let shown = (0..RECORDS.len()).filter_map(|n| notebook.show(record(n)).ok());
    let shown = shown.map(|record| serde_json::to_value(record).unwrap()).collect();
    let all = Query { with_hidden: true, ..Query::default() };
    let list = serde_json::to_value(notebook.list(&all).unwrap()).unwrap();
    (shown, list, serde_json::to_value(notebook.conflicts().unwrap()).unwrap())
}

fn count_shown((shown, _, conflicts): &(Vec<Json>, Json, Json), counts: &mut Counts) {
    let mut count = |what, n: usize| *counts.entry(what).or_default() += n as u64;
    count("a conflict", conflicts.as_array().unwrap().len());
    count("a hidden record", shown.iter().filter(|record| record["hidden"] == true).count());
}

fn count_reports(reports: &[SegmentReport], counts: &mut Counts) {
    let mut count = |what, n: u64| *counts.entry(what).or_default() += n;
    for report in reports {
        count("changes known already", report.repeated);
        count("words that came later than their change", report.filled);
        count("two changes at one place of a log", report.forks.len() as u64);
    }
}

fn count_kept(kept: &Kept, counts: &mut Counts) {
    let mut count = |what, n: usize| *counts.entry(what).or_default() += n as u64;
    count("changes reported lost", kept.lost.len());
    count("a value superseded", kept.facts.iter().filter(|f| f.admitted && !f.live).count());
    count("a value erased", kept.facts.iter().filter(|f| f.state == SlotState::Erased).count());
    count("a value withheld", kept.facts.iter().filter(|f| f.state == SlotState::Absent).count());
    let live: Vec<_> = kept.facts.iter().filter(|f| f.live).collect();
    let several = live.windows(2).filter(|w| (w[0].rec, w[0].field) == (w[1].rec, w[1].field)).count();
    count("several live values of a field", several);
    for waiting in kept.changes.iter().filter_map(|(_, row)| row.waiting) {
        count(waiting.name(), 1);
    }
}
