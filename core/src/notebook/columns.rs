//! How facts and logs stand in columns.

use rusqlite::Row;

use crate::{
    ids::{DeviceId, LogId},
    log::{Fact, Slot, SlotState},
};

const COUNTS: i64 = 1;
const LIVE: i64 = 2;
const ABSENT: i64 = 4;
const ERASED: i64 = 8;

pub(super) fn read_log(row: &Row<'_>) -> rusqlite::Result<LogId> {
    Ok(LogId { device: DeviceId(row.get(0)?), incarnation: u64::from_be_bytes(row.get(1)?) })
}

pub(super) fn flags(fact: &Fact) -> i64 {
    let state = match fact.state {
        SlotState::Body => 0,
        SlotState::Absent => ABSENT,
        SlotState::Erased => ERASED,
    };
    state | if fact.admitted { COUNTS } else { 0 } | if fact.live { LIVE } else { 0 }
}

/// Whether a fact counts, by its flags.
pub(super) fn counts(flags: i64) -> bool {
    flags & COUNTS != 0
}

/// Whether a fact is live, by its flags.
pub(super) fn is_live(flags: i64) -> bool {
    flags & LIVE != 0
}

pub(super) fn state(flags: i64) -> SlotState {
    match flags & (ABSENT | ERASED) {
        0 => SlotState::Body,
        ABSENT => SlotState::Absent,
        _ => SlotState::Erased,
    }
}

pub(super) fn slot_columns(slot: &Slot) -> (Option<&[u8]>, &[u8]) {
    match slot {
        Slot::Body { salt, value } => (Some(salt), value),
        Slot::Absent(commit) => (None, &commit.0),
    }
}

pub(super) fn to_i64(n: u64) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}
