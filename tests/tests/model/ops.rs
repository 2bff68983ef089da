//! What can happen in a history, one small step at a time, and histories made of it. Every number is taken modulo what there is
//! at that moment, so that any list of steps is a history, and so is what is left of it when a failing one is made smaller.

use std::ops::Range;

use dooryard_core::record::Role;
use proptest::{collection::vec, prelude::*, sample::select};

/// One step.
#[derive(Clone, Debug)]
pub enum Op {
    /// A device writes some fields of a record (a bit for each of the three), with what it has seen.
    Save { device: u8, record: u8, fields: u8, same: bool },
    /// A device deletes a record as it has seen it, or brings it back.
    Exist { device: u8, record: u8, alive: bool },
    /// A device writes what an app of this version would not.
    Odd { device: u8, record: u8, how: Odd },
    /// A device sees all that another one has seen.
    Meet { to: u8, from: u8 },
    /// A copy of a device goes on beside it, with the same key, in the same log.
    Fork { device: u8 },
    /// A device goes back to what it was so many steps of its own ago, and begins a new log or goes on in the old one.
    Restore { device: u8, steps: u8, same_log: bool },
    /// A device's clock is off from now on by so many milliseconds.
    Clock { device: u8, off_ms: i64 },
    /// A device hears all that the office has said.
    Hear { device: u8 },
    /// No device and no bundle has this change any more; its author told its hash with the next one.
    Lose { change: u8 },
    /// The words of this change are never sent, their commitments are.
    Withhold { change: u8 },
    /// The office says something.
    Say(Say),
}

/// What the office says.
#[derive(Clone, Debug)]
pub enum Say {
    /// A phone has this role from now on.
    Certify { phone: u8, role: Role },
    /// The author of a change is cut off behind it.
    Revoke { change: u8 },
    /// A change counts, or does not.
    Decide { change: u8, admit: bool },
    /// Some fields of a record are erased (a bit for each of the three), or all when there is none.
    Erase { record: u8, fields: u8 },
    /// The clock of a change's author was off, from that change on.
    Correct { change: u8, skew_ms: i64 },
    /// A phone may hold a record's private fields.
    Assign { record: u8, phone: u8 },
}

/// What an app of this version would not write.
#[derive(Clone, Copy, Debug)]
pub enum Odd {
    /// A field of a newer version.
    UnknownField,
    /// A feature that a reader must know.
    Critical,
    /// An addition that a reader need not know.
    Addition,
    /// A request.
    Request,
    /// A generation that the office never gave.
    Generation,
    /// Another device's certificate.
    Certificate,
    /// Predecessors that are changes of other fields.
    OtherPreds,
}

const YEAR: i64 = 365 * 24 * 3_600_000;

fn save(same: bool, records: Range<u8>) -> impl Strategy<Value = Op> {
    let words = if same { prop::bool::weighted(0.25).boxed() } else { Just(false).boxed() };
    let fields = prop_oneof![3 => select(vec![1_u8, 2, 4]), 1 => 3_u8..8];
    (any::<u8>(), records, fields, words).prop_map(|(device, record, fields, same)| Op::Save {
        device,
        record,
        fields,
        same,
    })
}

fn exist() -> impl Strategy<Value = Op> {
    let alive = prop::bool::weighted(0.3);
    (any::<u8>(), 0_u8..4, alive).prop_map(|(device, record, alive)| Op::Exist { device, record, alive })
}

fn meet() -> impl Strategy<Value = Op> {
    (any::<u8>(), any::<u8>()).prop_map(|(to, from)| Op::Meet { to, from })
}

fn fork() -> impl Strategy<Value = Op> {
    any::<u8>().prop_map(|device| Op::Fork { device })
}

fn restore() -> impl Strategy<Value = Op> {
    (any::<u8>(), 1_u8..8, any::<bool>()).prop_map(|(device, steps, same_log)| Op::Restore { device, steps, same_log })
}

fn odd() -> impl Strategy<Value = Op> {
    let hows = [
        Odd::UnknownField,
        Odd::Critical,
        Odd::Addition,
        Odd::Request,
        Odd::Generation,
        Odd::Certificate,
        Odd::OtherPreds,
    ];
    (any::<u8>(), 0_u8..4, select(hows.to_vec())).prop_map(|(device, record, how)| Op::Odd { device, record, how })
}

fn say() -> impl Strategy<Value = Op> {
    let skews = vec![-YEAR, -3_600_000, 1_000, 3_600_000, 73 * YEAR];
    let said = prop_oneof![
        3 => (any::<u8>(), select(Role::ALL[..3].to_vec())).prop_map(|(phone, role)| Say::Certify { phone, role }),
        1 => any::<u8>().prop_map(|change| Say::Revoke { change }),
        4 => (any::<u8>(), any::<bool>()).prop_map(|(change, admit)| Say::Decide { change, admit }),
        4 => (0_u8..4, 0_u8..8).prop_map(|(record, fields)| Say::Erase { record, fields }),
        3 => (any::<u8>(), select(skews)).prop_map(|(change, skew_ms)| Say::Correct { change, skew_ms }),
        1 => (0_u8..4, any::<u8>()).prop_map(|(record, phone)| Say::Assign { record, phone }),
    ];
    said.prop_map(Op::Say)
}

/// Histories of everything.
pub fn everything() -> impl Strategy<Value = Vec<Op>> {
    let clocks = vec![-56 * YEAR, -3_600_000, 0, 3_600_000, 73 * YEAR];
    let op = prop_oneof![
        36 => save(true, 0..4),
        5 => exist(),
        4 => odd(),
        12 => meet(),
        2 => fork(),
        3 => restore(),
        2 => (any::<u8>(), select(clocks)).prop_map(|(device, off_ms)| Op::Clock { device, off_ms }),
        4 => any::<u8>().prop_map(|device| Op::Hear { device }),
        1 => any::<u8>().prop_map(|change| Op::Lose { change }),
        1 => any::<u8>().prop_map(|change| Op::Withhold { change }),
        14 => say(),
    ];
    vec(op, 5..90)
}

/// Histories of writing, meeting, forks and restores alone. All that is written are texts that everybody may write, no two the
/// same.
pub fn writing() -> impl Strategy<Value = Vec<Op>> {
    vec(prop_oneof![12 => save(false, 1..3), 6 => meet(), 1 => fork(), 2 => restore()], 5..70)
}
