//! `cargo xtask bench danger`: how long reading a message for danger takes, over the messages of `fixtures/messages`.
//!
//! `--json` prints one object a line: `{name, value, unit, goal, holds}`. Exits 1 when the goal does not hold.

use std::{
    path::Path,
    process::ExitCode,
    time::{Duration, Instant},
};

use dooryard_core::danger;
use serde_json::json;

/// Longest that a message may take on a phone, and by how much a phone is slower than the machine of this bench, at most.
const GOAL_MS: f64 = 5.0;
const SLOWER: f64 = 5.0;

fn main() -> ExitCode {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/messages");
    let mut texts = Vec::new();
    for file in ["first_40.csv", "letters_1.csv", "letters_2.csv", "letters_4.csv"] {
        let mut table = csv::Reader::from_path(folder.join(file)).expect("a table of messages");
        texts.extend(table.records().map(|row| row.expect("a row")[2].to_owned()));
    }
    danger::read("the lexicon is read at first use");
    let mut times: Vec<Duration> = Vec::new();
    for text in &texts {
        let start = Instant::now();
        std::hint::black_box(danger::read(text));
        times.push(start.elapsed());
    }
    times.sort();
    let worst = times[times.len() * 99 / 100].as_secs_f64() * 1e3;
    let holds = worst * SLOWER < GOAL_MS;
    let name = "reading a message for danger, 99 of 100";
    if std::env::args().any(|a| a == "--json") {
        println!("{}", json!({"name": name, "value": worst, "unit": "ms", "goal": GOAL_MS / SLOWER, "holds": holds}));
    } else {
        let held = if holds { "holds" } else { "DOES NOT HOLD" };
        println!("{name:<44} {worst:>9.2} ms     goal {:<6} {held}", GOAL_MS / SLOWER);
    }
    if holds { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
