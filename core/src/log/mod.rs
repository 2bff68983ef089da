//! The log: one save is a change, a device's changes are a hash-chained log, and what is live is a function of a set.
//!
//! In come changes and office statements, in any order, any number of times; out come live values, verdicts, gaps and a
//! digest. Nothing here does I/O: the merge is written once against the small [`Store`] trait, and the in-memory
//! [`Memory`] and the notebook's SQLite store must give equal digests.

mod authority;
mod chain;
mod change;
mod live;
mod memory;
mod merge;
mod recount;
mod segment;
mod statement;
mod store;

pub use authority::{Authority, Cert, Erasure, FormerKey};
pub use chain::{Link, Run, missing, runs, runs_to};
pub use change::{Change, FieldHead, Head, Slot, commit};
pub use live::{Candidate, conflicts_with, is_hidden, shown_order};
pub use memory::Memory;
pub use merge::{SegmentReport, apply_segment, apply_statement, load_authority};
pub use recount::{digest, recount};
pub use segment::{MAX_CHANGES, MAX_SEGMENT, Segment, Tip};
pub use statement::{Body, Statement};
pub use store::{ChangeRow, Fact, FactState, Inserted, Pick, SlotState, Store};
