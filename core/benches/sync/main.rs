//! `cargo xtask bench sync`: merge, take-in and replay against bare INSERTs of the same rows, photos against a copy, the size of
//! a hand-over, and what a large office costs in time and memory.
//!
//! Both sides of a ratio are measured in this process, in turn, on files of the same folder; the median of the rounds counts.
//! `--json` prints one object a line: `{name, value, unit, gate, aim, holds}`. Exits 1 when a gate does not hold.
//! `--quick` leaves the large office out, `--large` measures it alone.

mod bare;
mod large;
mod scene;
mod speed;

use std::{path::Path, process::ExitCode};

use serde_json::json;

const ROUNDS: usize = 5;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().collect();
    if let Some(at) = args.iter().position(|a| a == large::TAKE_IN) {
        large::take_in_alone(args[at + 1].parse().expect("a number"), Path::new(&args[at + 2]), &args[at + 3..]);
        return ExitCode::SUCCESS;
    }
    let asked = |flag: &str| args.iter().any(|a| a == flag);
    let dir = tempfile::tempdir().expect("a temporary folder");
    let mut table = Table { json: asked("--json"), holds: true };
    if !asked("--large") {
        compare(dir.path(), &mut table);
    }
    if !asked("--quick") {
        let large = large::measure(dir.path());
        table.line("a change at 5,000,000 rows / at 100,000", large.cost, "ratio", [2.0, 1.5], large.cost <= 2.0);
        table.line("peak memory, 5 GB of photos taken in", large.memory, "MiB", [64.0, 64.0], large.memory < 64.0);
    }
    if table.holds { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Both sides of each ratio in turn, round after round.
fn compare(dir: &Path, table: &mut Table) {
    let rounds: Vec<_> = (0..ROUNDS).map(|n| speed::round(dir, n)).collect();
    for (at, figure) in rounds[0].iter().enumerate() {
        let mut values: Vec<f64> = rounds.iter().map(|round| round[at].value).collect();
        values.sort_by(f64::total_cmp);
        eprintln!("{}: {values:.2?}", figure.name);
        let value = values[ROUNDS / 2];
        table.line(figure.name, value, "ratio", figure.goal, value >= figure.goal[0]);
    }
    let text = speed::text_part(dir) / 1_024.0;
    table.line("hand-over of 500 changes of 4 fields", text, "KiB", [96.0, 64.0], text <= 96.0);
}

struct Table {
    json: bool,
    holds: bool,
}

impl Table {
    fn line(&mut self, name: &str, value: f64, unit: &str, [gate, aim]: [f64; 2], holds: bool) {
        self.holds &= holds;
        if self.json {
            println!(
                "{}",
                json!({"name": name, "value": value, "unit": unit, "gate": gate, "aim": aim, "holds": holds})
            );
        } else {
            let held = if holds { "holds" } else { "DOES NOT HOLD" };
            let goal =
                if gate > 0.0 { format!("gate {gate:<5} aim {aim:<5} {held}") } else { "measured only".to_owned() };
            println!("{name:<44} {value:>8.2} {unit:<6} {goal}");
        }
    }
}
