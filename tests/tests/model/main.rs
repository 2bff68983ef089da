//! Random histories of devices that write, meet, fork, are restored, with clocks that jump, and of an office that certifies,
//! revokes, admits, refuses, erases, corrects and assigns. Each is played once; what came of it is then fed to stores in any
//! order.
//!
//! `PROPTEST_CASES` plays more of them, `PROPTEST_RNG_SEED` others.
#![allow(clippy::unwrap_used, reason = "a test")]

mod automerge;
mod feed;
mod office;
mod ops;
mod orders;
mod play;
mod stores;

use std::cell::RefCell;

use proptest::{
    prelude::*,
    test_runner::{Config, RngSeed, TestRunner},
};

use crate::{ops::Op, play::Counts};

/// Puts so many histories to a test, each with a number to draw other orders from; the same ones in every run, unless the
/// environment asks for others. A failing one is made smaller and printed, not kept. The test returns what happened in a
/// history; everything that is needed must have happened in some of them.
fn run(
    cases: u32,
    histories: impl Strategy<Value = Vec<Op>>,
    needed: &[&str],
    test: impl Fn(&[Op], u64) -> Result<Counts, TestCaseError>,
) {
    let asked = Config::default();
    let set = |name| std::env::var_os(name).is_some();
    let config = Config {
        cases: if set("PROPTEST_CASES") { asked.cases } else { cases },
        rng_seed: if set("PROPTEST_RNG_SEED") { asked.rng_seed } else { RngSeed::Fixed(1) },
        failure_persistence: None,
        ..asked
    };
    let counts = RefCell::new(Counts::new());
    let held = TestRunner::new(config).run(&(histories, any::<u64>()), |(history, seed)| {
        let happened = test(&history, seed)?;
        let mut counts = counts.borrow_mut();
        happened.into_iter().for_each(|(what, n)| *counts.entry(what).or_default() += n);
        Ok(())
    });
    if let Err(failure) = held {
        panic!("{failure}");
    }
    let counts = counts.into_inner();
    counts.iter().for_each(|(what, n)| println!("{n:7} {what}"));
    for what in needed {
        assert!(counts.get(what).is_some_and(|n| *n > 0), "{what}: in none of the histories");
    }
}
