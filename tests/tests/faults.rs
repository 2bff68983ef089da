//! The simulator's checks bite: each fault that can be planted in the core is caught by some history, and by a check of the very rule
//! that it breaks: not by a panic, nor by an error on the way. In a release none can be planted.
#![cfg(debug_assertions)]

use std::thread;

use dooryard_core::fault::{Fault, plant};
use dooryard_tests::sim;

/// Histories that are played for each fault at most.
const SEEDS: u64 = 200;

const NO_LOST_SIBLING: &str = "I4 no lost sibling";
const NO_RESURRECTION: &str = "I5 no resurrection";
const HONEST_RECEIPTS: &str = "I6 honest receipts";
const ACCESS: &str = "I14 access";
const DURABLE: &str = "I12 receipt means durable";
const AUTHORITY: &str = "I16 authority";

/// The checks of the rule that a fault breaks: one of them has to be the first to bite.
fn its_checks(fault: Fault) -> &'static [&'static str] {
    match fault {
        Fault::LedgerNotConsulted | Fault::SnapshotKeepsErased | Fault::OldReplyBringsErased => &[NO_RESURRECTION],
        Fault::ReceiptWithoutChain
        | Fault::RestoredKeepsLife
        | Fault::NewLifeKeepsProofs
        | Fault::StoredCountsAsSafe => &[HONEST_RECEIPTS],
        // Such a receipt names what is not there: seen in the receipt itself, and by the phone that believes it.
        Fault::ReceiptByRange | Fault::PhotoReceivedUnseen => &[DURABLE, HONEST_RECEIPTS],
        Fault::RevokedByNumber | Fault::GenerationUnchecked => &[AUTHORITY],
        Fault::LiveCapped | Fault::UnadmittedSupersedes => &[NO_LOST_SIBLING],
        // What is live hangs on the order then.
        Fault::PredsOfAnyField => &[NO_LOST_SIBLING, "I1 convergence"],
        Fault::LastComeWins => &[AUTHORITY, "I1 convergence"],
        Fault::PrivateInReply | Fault::DeletionsWhole | Fault::DecisionsForAll => &[ACCESS],
        Fault::GapsBelowUntold => &["I7 gap honesty"],
        Fault::ForkDropped => &["I9 forks kept and flagged"],
        Fault::DeletionHidesUnseen => &["I10 same shown value"],
        Fault::ClockLeavesLists => &["lists say what records say"],
        Fault::AdditionsDropped => &["I13 forward"],
        // The ledger is the office log: without it a restored office lacks what it said, erasures among it.
        Fault::RestoreSkipsLedger => &[AUTHORITY, NO_RESURRECTION],
        Fault::NotSynced => &[DURABLE],
    }
}

#[test]
fn every_planted_fault_is_caught_by_a_check_of_its_own_rule() {
    assert!(sim::run(0).is_ok(), "without a fault, every check holds");
    let missed: Vec<String> = thread::scope(|scope| {
        let (some, others) = Fault::ALL.split_at(Fault::ALL.len() / 2);
        let others = scope.spawn(|| not_caught(others));
        let some = not_caught(some);
        some.into_iter().chain(others.join().expect("the others were looked for too")).collect()
    });
    assert!(missed.is_empty(), "{missed:?}");
}

/// Those of the faults that no history catches, or another check than their own. A fault is planted in one thread.
fn not_caught(faults: &[Fault]) -> Vec<String> {
    let mut missed = Vec::new();
    for fault in faults {
        plant(Some(*fault));
        let caught = (0..SEEDS).find_map(|seed| sim::run(seed).err().map(|failure| (seed, failure)));
        match caught {
            Some((seed, failure)) if its_checks(*fault).contains(&failure.check) => {
                println!("{fault:?}: seed {seed}, {}", failure.check);
            }
            Some((seed, failure)) => missed.push(format!("{fault:?}: seed {seed}, by another check: {failure}")),
            None => missed.push(format!("{fault:?}: by no history")),
        }
    }
    plant(None);
    missed
}
