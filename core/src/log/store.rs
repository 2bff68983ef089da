//! What the merge needs of a store. Three hold it: memory, SQLite, and later PostgreSQL.

use super::{chain::Link, change::Slot};
use crate::{
    error::{Code, Result},
    ids::{Hash32, LogId, RecordId},
};

/// A change as it is kept, without its slots.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ChangeRow {
    /// Place in its log.
    pub seq: u64,
    /// Its hash.
    pub hash: Hash32,
    /// Hash of the one before it.
    pub prev: Hash32,
    /// Its record.
    pub rec: RecordId,
    /// The head as its author wrote it.
    pub head: Vec<u8>,
    /// Why it does not count.
    pub waiting: Option<Code>,
    /// Whether a body is missing that may still come.
    pub partial: bool,
}

/// Whether a slot's body is here.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum SlotState {
    /// The body is here.
    Body = 0,
    /// Only the commitment came.
    Absent = 1,
    /// The body was erased.
    Erased = 2,
}

/// What is kept of a slot: an erased body leaves only its commitment.
pub(super) fn keep(slot: Slot, erased: bool) -> (SlotState, Slot) {
    match slot {
        slot if erased => (SlotState::Erased, Slot::Absent(slot.commit())),
        slot @ Slot::Body { .. } => (SlotState::Body, slot),
        slot @ Slot::Absent(_) => (SlotState::Absent, slot),
    }
}

/// One field of one change: the unit that is live or not.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fact {
    /// The record.
    pub rec: RecordId,
    /// The field.
    pub field: u32,
    /// The change.
    pub hash: Hash32,
    /// The change's log.
    pub log: LogId,
    /// The change's place there.
    pub seq: u64,
    /// Whether it counts.
    pub admitted: bool,
    /// Whether it is live (a cache).
    pub live: bool,
    /// Whether the body is here.
    pub state: SlotState,
    /// The slot; only the commitment unless `state` is `Body`.
    pub slot: Slot,
    /// The changes it names.
    pub preds: Vec<Hash32>,
}

/// What the digest is made of: where a fact stands and how, never what it says.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct FactState {
    /// The record.
    pub rec: RecordId,
    /// The field.
    pub field: u32,
    /// The change.
    pub hash: Hash32,
    /// Whether the body is here.
    pub state: SlotState,
    /// Whether it counts.
    pub admitted: bool,
    /// Whether it is live.
    pub live: bool,
}

/// What became of a change that was put in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Inserted {
    /// It is new; `forked` when another change stands at its place.
    New {
        /// Another change stands at its place of the log.
        forked: bool,
    },
    /// It was here; `partial` when a body is missing that may still come.
    Known {
        /// A body is missing that may still come.
        partial: bool,
    },
}

/// Which changes to look at again.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Pick {
    /// Those of one log.
    Log(LogId),
    /// Those of one record.
    Record(RecordId),
}

/// Where the log is kept. Every method sees what earlier ones wrote; the caller brackets them in a transaction.
pub trait Store {
    /// Puts changes of one log in, in order. Changes that are here already stay as they are.
    ///
    /// # Errors
    /// Of the store.
    fn insert_changes(&mut self, log: &LogId, rows: &[ChangeRow]) -> Result<Vec<Inserted>>;

    /// Whether each of these records is known, and marks all as known and their caches as stale. The kinds are numbers.
    ///
    /// # Errors
    /// Of the store.
    fn touch_records(&mut self, records: &[(RecordId, u32)]) -> Result<Vec<bool>>;

    /// Facts of a record, of one field or of all, in order of (field, hash).
    ///
    /// # Errors
    /// Of the store.
    fn facts(&mut self, rec: &RecordId, field: Option<u32>) -> Result<Vec<Fact>>;

    /// Puts new facts in, sorted by (record, field, hash).
    ///
    /// # Errors
    /// Of the store.
    fn insert_facts(&mut self, facts: &[Fact]) -> Result<()>;

    /// Writes flags, state and slot of facts that are here.
    ///
    /// # Errors
    /// Of the store.
    fn update_facts(&mut self, facts: &[Fact]) -> Result<()>;

    /// The picked changes with their logs, in order of (log, seq, hash).
    ///
    /// # Errors
    /// Of the store.
    fn changes(&mut self, pick: Pick) -> Result<Vec<(LogId, ChangeRow)>>;

    /// Writes why a change does not count and whether a body may still come.
    ///
    /// # Errors
    /// Of the store.
    fn update_change(&mut self, log: &LogId, row: &ChangeRow) -> Result<()>;

    /// Remembers places of a log that are reported lost.
    ///
    /// # Errors
    /// Of the store.
    fn insert_lost(&mut self, log: &LogId, lost: &[Link]) -> Result<()>;

    /// The places that are reported lost and whose change is not here, in order of (log, seq, hash).
    ///
    /// # Errors
    /// Of the store.
    fn lost(&mut self) -> Result<Vec<(LogId, Link)>>;

    /// All logs, in order.
    ///
    /// # Errors
    /// Of the store.
    fn logs(&mut self) -> Result<Vec<LogId>>;

    /// Keeps a signed statement of the office log under its hash.
    ///
    /// # Errors
    /// Of the store.
    fn insert_statement(&mut self, seq: u64, hash: &Hash32, signed: &[u8]) -> Result<()>;

    /// All statements, in order of their places.
    ///
    /// # Errors
    /// Of the store.
    fn statements(&mut self) -> Result<Vec<Vec<u8>>>;

    /// Hands every fact to `see`, in order of (record, field, hash), without its slot.
    ///
    /// # Errors
    /// Of the store.
    fn each_fact(&mut self, see: &mut dyn FnMut(FactState)) -> Result<()>;
}
