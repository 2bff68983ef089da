//! The simulator's checks bite: each fault that can be planted in the core is caught by some history. In a release none can.
#![cfg(debug_assertions)]

use std::thread;

use dooryard_core::fault::{Fault, plant};
use dooryard_tests::sim;

/// Histories that are played for each fault at most.
const SEEDS: u64 = 200;

#[test]
fn every_planted_fault_is_caught() {
    assert!(sim::run(0).is_ok(), "without a fault, every check holds");
    let missed: Vec<Fault> = thread::scope(|scope| {
        let (some, others) = Fault::ALL.split_at(Fault::ALL.len() / 2);
        let others = scope.spawn(|| not_caught(others));
        let some = not_caught(some);
        some.into_iter().chain(others.join().expect("the others were looked for too")).collect()
    });
    assert!(missed.is_empty(), "no history caught {missed:?}");
}

/// Those of the faults that no history catches. A fault is planted in one thread.
fn not_caught(faults: &[Fault]) -> Vec<Fault> {
    let is_caught = |fault: &Fault| {
        plant(Some(*fault));
        let caught = (0..SEEDS).find_map(|seed| sim::run(seed).err().map(|failure| (seed, failure)));
        if let Some((seed, failure)) = &caught {
            println!("{fault:?}: seed {seed}, {}", failure.check);
        }
        caught.is_some()
    };
    let missed = faults.iter().copied().filter(|fault| !is_caught(fault)).collect();
    plant(None);
    missed
}
