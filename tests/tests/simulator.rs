//! Random histories of an office, its phones and a careless carrier. `cargo xtask torture` plays more of them.

use dooryard_tests::sim;

/// Histories that are played.
const SEEDS: u64 = 2_000;

#[test]
fn two_thousand_random_histories_hold_every_rule() {
    let mut counts = sim::Counts::new();
    for seed in 0..SEEDS {
        match sim::run(seed) {
            Ok(happened) => happened.into_iter().for_each(|(what, n)| *counts.entry(what).or_default() += n),
            Err(failure) => panic!("seed {seed}: {failure}"),
        }
    }
    for (what, n) in counts {
        println!("{n:>8}  {what}");
    }
}
