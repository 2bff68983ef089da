//! The simulator: one seed gives one history of an office, its phones, in most histories another office with its own, and a
//! careless carrier between them, and every rule of the log and the bundle is checked on the way and at its end.
//!
//! Single-threaded; time, entropy, network and the faults of disks come from the seed. The stores are the real ones, in a folder in
//! memory where the machine has one; under their databases stands a disk that can be full at any write and lose what was not synced
//! (`disk`, `bad_disk`). A failure names the check that bit and the seed that shows it again.
//!
//! Of I15 a history sees that what is over a limit is refused and changes nothing (`craft`); the memory and the processor's time that
//! it takes, and what is worse by far, are counted in `tests/bounds`.

mod bad_disk;
mod carrier;
mod check_end;
mod check_office;
mod check_phone;
mod check_reply;
mod craft;
mod desk;
pub mod disk;
mod going_back;
mod held;
mod mishaps;
mod neighbour;
mod oracle;
mod orders;
mod parcel;
mod phone;
mod reply;
mod taking;
mod truth;
mod words;
mod world;

use std::{
    collections::BTreeMap,
    fmt,
    panic::{AssertUnwindSafe, catch_unwind},
};

use rand::Rng;
use world::World;

/// How often each kind of event happened.
pub type Counts = BTreeMap<&'static str, u64>;

/// A check that did not hold.
#[derive(Debug)]
pub struct Failure {
    /// The check, such as `I6 honest receipts`.
    pub check: &'static str,
    /// What was found.
    pub detail: String,
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.check, self.detail)
    }
}

impl std::error::Error for Failure {}

impl From<dooryard_core::Error> for Failure {
    fn from(e: dooryard_core::Error) -> Self {
        Self { check: "no error where none belongs", detail: e.to_string() }
    }
}

impl From<std::io::Error> for Failure {
    fn from(e: std::io::Error) -> Self {
        Self { check: "no error where none belongs", detail: e.to_string() }
    }
}

/// Result of a step or a check.
pub type Checked<T = ()> = Result<T, Failure>;

/// Fails the named check unless `holds`.
///
/// # Errors
/// The failure.
fn ensure(check: &'static str, holds: bool, detail: impl FnOnce() -> String) -> Checked {
    if holds { Ok(()) } else { Err(Failure { check, detail: detail() }) }
}

/// Plays the history of one seed to its end and gives what happened in it.
///
/// # Errors
/// The first check that does not hold; a panic counts as one.
pub fn run(seed: u64) -> Checked<Counts> {
    let played = catch_unwind(AssertUnwindSafe(|| play(seed)));
    played.unwrap_or_else(|panic| {
        let said = panic.downcast_ref::<String>().cloned();
        let said = said.or_else(|| panic.downcast_ref::<&str>().map(ToString::to_string));
        Err(Failure { check: "no panic", detail: said.unwrap_or_default() })
    })
}

fn play(seed: u64) -> Checked<Counts> {
    disk::begin()?;
    let mut world = World::new(seed)?;
    let steps = world.random.random_range(20..=40);
    for at in 0..steps {
        let named = step(&mut world).map_err(|e| Failure { detail: format!("step {at}: {}", e.detail), ..e })?;
        *world.counts.entry(named).or_default() += 1;
    }
    check_end::check(&mut world)?;
    Ok(world.counts)
}

/// One event, chosen by the seed.
fn step(world: &mut World) -> Checked<&'static str> {
    world.pass_time();
    match world.random.random_range(0..107) {
        0..25 => phone::step(world),
        25..33 => craft::step(world),
        33..43 => parcel::make_bundle(world),
        43..52 => parcel::make_reply(world),
        52..76 => carrier::step(world),
        76..89 => desk::step(world),
        89..94 => going_back::step(world),
        94..97 => neighbour::step(world),
        97..101 => bad_disk::step(world),
        _ => phone::misfortune(world),
    }
}
