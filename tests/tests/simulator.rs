//! Two thousand random histories of an office, its phones, another office and a careless carrier, in two halves that run side by side.
//! `cargo xtask torture` plays more of them.

use dooryard_tests::sim;

/// Histories of one half.
const HALF: u64 = 1_000;

/// Plays the histories from `first` on. Everything that a history can meet must have happened in some of them.
fn hold(first: u64) {
    let mut counts = sim::Counts::new();
    for seed in first..first + HALF {
        match sim::run(seed) {
            Ok(happened) => happened.into_iter().for_each(|(what, n)| *counts.entry(what).or_default() += n),
            Err(failure) => panic!("seed {seed}: {failure}"),
        }
    }
    for needed in
        ["a backup restored", "an older folder restored", "a phone copied", "a device revoked", "a record erased"]
            .into_iter()
            .chain([
                "a file cut",
                "a photo taken",
                "a clock set",
                "an old reply refused",
                "a reply of a life in between",
                "a reply stopped half way",
            ])
            .chain(["the office restored", "the office's backup merged", "the office's older folder put back"])
            .chain(["something of the office lost", "originals or contacts let go of"])
            .chain(["changes of others named in replies", "a bundle of another county", "a reply of another county"])
            .chain(["a bundle of another county, sealed to ours", "a file of ours in another county"])
            .chain(["a reply of another office for a phone of ours", "an enrolment by another office"])
            .chain(["a phone's backup in another county", "an office's backup in another county"])
            .chain(["a list of erasures of another county", "a take-in stopped half way", "a change over a limit"])
            .chain(["a disk full amid work", "a power cut amid work", "the office's power cut", "a phone's power cut"])
    {
        assert!(counts.contains_key(needed), "{needed}: in none of the histories");
    }
}

#[test]
fn the_first_thousand_random_histories_hold_every_rule() {
    hold(0);
}

#[test]
fn the_second_thousand_random_histories_hold_every_rule() {
    hold(HALF);
}
