//! Plays random histories: `cargo xtask torture` builds this for release and runs it.

use std::{
    process::ExitCode,
    sync::{
        Mutex, PoisonError,
        atomic::{AtomicBool, AtomicU64, Ordering::Relaxed},
    },
    thread,
};

use dooryard_tests::sim;

const USAGE: &str = "usage: torture --seeds N [--first-seed M]";

/// Says how far it is after so many histories.
const STEP: u64 = 1_000;

fn main() -> ExitCode {
    let Some((first, seeds)) = arguments() else {
        eprintln!("{USAGE}");
        return ExitCode::FAILURE;
    };
    let (next, played, failed) = (AtomicU64::new(first), AtomicU64::new(0), AtomicBool::new(false));
    let counts = Mutex::new(sim::Counts::new());
    let play = || {
        while !failed.load(Relaxed) {
            let seed = next.fetch_add(1, Relaxed);
            if seed >= first.saturating_add(seeds) {
                return;
            }
            match sim::run(seed) {
                Ok(happened) => {
                    let mut counts = counts.lock().unwrap_or_else(PoisonError::into_inner);
                    happened.into_iter().for_each(|(what, n)| *counts.entry(what).or_default() += n);
                }
                Err(failure) => {
                    failed.store(true, Relaxed);
                    println!("seed {seed}: {failure}");
                    println!("again: cargo xtask torture --first-seed {seed} --seeds 1");
                }
            }
            let played = played.fetch_add(1, Relaxed) + 1;
            if played.is_multiple_of(STEP) {
                eprintln!("{played} of {seeds}");
            }
        }
    };
    thread::scope(|scope| {
        for _ in 0..thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(play);
        }
    });
    if failed.into_inner() {
        return ExitCode::FAILURE;
    }
    println!("{seeds} histories, from seed {first} on: every check held");
    for (what, n) in counts.into_inner().unwrap_or_else(PoisonError::into_inner) {
        println!("{n:>10}  {what}");
    }
    ExitCode::SUCCESS
}

/// First seed and number of seeds.
fn arguments() -> Option<(u64, u64)> {
    let (mut first, mut seeds) = (0, None);
    let mut args = std::env::args().skip(1);
    while let Some(name) = args.next() {
        let value = args.next()?.parse().ok()?;
        match name.as_str() {
            "--first-seed" => first = value,
            "--seeds" => seeds = Some(value),
            _ => return None,
        }
    }
    Some((first, seeds?))
}
