//! Faults planted on purpose, one at a time, so that a test can see the checks of the simulator bite. They can be planted only with the
//! feature `planted-faults`, which nothing but the end-to-end tests turns on, and never in a release: everywhere else every question
//! here is a constant `false`.

/// A rule that can be left out or bent.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Fault {
    /// A body is kept without a look into the ledger of erasures.
    LedgerNotConsulted,
    /// A receipt names ranges of places as if nothing were missing in between.
    ReceiptByRange,
    /// A phone believes a receipt's range without its own chain.
    ReceiptWithoutChain,
    /// A revocation keeps all places up to the named ones, whatever stands there.
    RevokedByNumber,
    /// A field has at most two live values.
    LiveCapped,
    /// A change supersedes what it names under any field.
    PredsOfAnyField,
    /// A change that does not count supersedes what it names.
    UnadmittedSupersedes,
    /// A change may claim a generation that the office never gave.
    GenerationUnchecked,
    /// A reply holds private fields of every record in it.
    PrivateInReply,
    /// Of two decisions on a change the one that came last holds.
    LastComeWins,
    /// Only what is missing after the newest change is told.
    GapsBelowUntold,
    /// A phone keeps what a reply told of a record that was erased since.
    SnapshotKeepsErased,
    /// The second change at a place of a log is dropped.
    ForkDropped,
    /// A deletion hides what it had not seen.
    DeletionHidesUnseen,
    /// Lists are not looked at again after a correction of a clock.
    ClockLeavesLists,
    /// A photo counts as received without having come.
    PhotoReceivedUnseen,
    /// An addition of a newer app is left out when its change is carried on.
    AdditionsDropped,
    /// A restored office goes on in the life that it had.
    RestoredKeepsLife,
    /// A restore goes by no ledger of erasures.
    RestoreSkipsLedger,
    /// What an earlier life of the office received counts as received in the new one.
    NewLifeKeepsProofs,
    /// What is held counts as safe before any backup holds it.
    StoredCountsAsSafe,
    /// A reply names every change that a deletion had seen.
    DeletionsWhole,
    /// A reply holds the office's decisions on everybody's changes.
    DecisionsForAll,
    /// A reply of an earlier life brings back what was erased since.
    OldReplyBringsErased,
    /// What is written counts as on disk before the disk has it.
    NotSynced,
}

#[cfg(all(feature = "planted-faults", debug_assertions))]
mod planted {
    use std::cell::Cell;

    use super::Fault;

    thread_local! {
        static PLANTED: Cell<Option<Fault>> = const { Cell::new(None) };
    }

    /// Plants one fault in what this thread does, in place of the one before; `None` takes it out.
    pub fn plant(fault: Option<Fault>) {
        PLANTED.set(fault);
    }

    /// Whether this fault is planted.
    pub fn is(fault: Fault) -> bool {
        PLANTED.get() == Some(fault)
    }

    impl Fault {
        /// Every fault.
        pub const ALL: [Self; 25] = [
            Self::LedgerNotConsulted,
            Self::ReceiptByRange,
            Self::ReceiptWithoutChain,
            Self::RevokedByNumber,
            Self::LiveCapped,
            Self::PredsOfAnyField,
            Self::UnadmittedSupersedes,
            Self::GenerationUnchecked,
            Self::PrivateInReply,
            Self::LastComeWins,
            Self::GapsBelowUntold,
            Self::SnapshotKeepsErased,
            Self::ForkDropped,
            Self::DeletionHidesUnseen,
            Self::ClockLeavesLists,
            Self::PhotoReceivedUnseen,
            Self::AdditionsDropped,
            Self::RestoredKeepsLife,
            Self::RestoreSkipsLedger,
            Self::NewLifeKeepsProofs,
            Self::StoredCountsAsSafe,
            Self::DeletionsWhole,
            Self::DecisionsForAll,
            Self::OldReplyBringsErased,
            Self::NotSynced,
        ];
    }
}

#[cfg(all(feature = "planted-faults", debug_assertions))]
pub use planted::{is, plant};

/// No fault is planted.
#[cfg(not(all(feature = "planted-faults", debug_assertions)))]
pub const fn is(_: Fault) -> bool {
    false
}
