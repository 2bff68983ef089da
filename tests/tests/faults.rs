//! The simulator's checks bite: each fault that can be planted in the core is caught by some history.

use dooryard_core::fault::{Fault, plant};
use dooryard_tests::sim;

/// Histories that are played for each fault at most.
const SEEDS: u64 = 200;

#[test]
fn every_planted_fault_is_caught() {
    plant(None);
    assert!(sim::run(0).is_ok(), "without a fault, every check holds");
    let mut missed = Vec::new();
    for fault in Fault::ALL {
        plant(Some(fault));
        match (0..SEEDS).find_map(|seed| sim::run(seed).err().map(|failure| (seed, failure))) {
            Some((seed, failure)) => println!("{fault:?}: seed {seed}, {}", failure.check),
            None => missed.push(fault),
        }
    }
    plant(None);
    assert!(missed.is_empty(), "no history caught {missed:?}");
}
