//! Plays random histories: `cargo xtask torture` builds this for release and runs it.

use std::process::ExitCode;

use dooryard_tests::sim;

const USAGE: &str = "usage: torture --seeds N [--first-seed M]";

fn main() -> ExitCode {
    let Some((first, seeds)) = arguments() else {
        eprintln!("{USAGE}");
        return ExitCode::FAILURE;
    };
    let mut counts = sim::Counts::new();
    for seed in first..first.saturating_add(seeds) {
        match sim::run(seed) {
            Ok(happened) => happened.into_iter().for_each(|(what, n)| *counts.entry(what).or_default() += n),
            Err(failure) => {
                println!("seed {seed}: {failure}");
                println!("again: cargo xtask torture --first-seed {seed} --seeds 1");
                return ExitCode::FAILURE;
            }
        }
    }
    println!("{seeds} histories, from seed {first} on: every check held");
    for (what, n) in counts {
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
