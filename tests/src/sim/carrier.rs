//! The carrier: it loses, repeats, cuts, damages and reorders files, and hands them to the wrong ones.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    Code, Error,
    ids::{DeviceId, Hash32, LogId},
    job::Job,
    log::Segment,
    notebook::{DeviceKeys, OwnerOnlyFile},
};
use dooryard_office::desk::{Outcome, Taken};
use rand::Rng;

use super::{
    Checked, check_office, check_phone, ensure, reply,
    world::{World, own_changes, with_body},
};

/// What a bundle holds.
#[derive(Clone, Default)]
pub struct Contents {
    /// Its changes in order, with the fields whose body is in it.
    pub changes: Vec<(LogId, u64, Hash32, Vec<u32>)>,
    /// How far it says that its sender's logs go.
    pub tips: Vec<(LogId, u64)>,
    /// The phone that made it.
    pub from: usize,
}

/// What a file is.
#[derive(Clone)]
pub enum Cargo {
    /// From a phone to the office.
    Bundle(Contents),
    /// From the office to a device, with its number.
    Reply(DeviceId, u64),
}

/// A file on its way.
#[derive(Clone)]
pub struct Parcel {
    /// What it is.
    pub cargo: Cargo,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// A phone makes a bundle and gives it to the carrier.
pub fn make_bundle(world: &mut World) -> Checked<&'static str> {
    let at = world.any_phone();
    let text_only = world.random.random_bool(0.2);
    let parcel = bundle_of(world, at, text_only)?;
    world.pool.push(parcel);
    Ok("a bundle made")
}

/// A bundle of a phone, with its photos or without.
pub fn bundle_of(world: &mut World, at: usize, text_only: bool) -> Checked<Parcel> {
    let path = world.dir.path().join("made.yard");
    let notebook = &world.phones[at].notebook;
    let tips = notebook.own_logs()?.into_iter().map(|state| (state.log, state.tip)).collect();
    let changes = own_changes(notebook, 1)?;
    let summary = if text_only {
        notebook.make_text_bundle(&path, &Job::silent())?
    } else {
        notebook.make_bundle(&path, &Job::silent())?
    };
    ensure("I3 no lost change", summary.changes == changes.len() as u64, || {
        format!("a bundle of {} changes, {} are unproven", summary.changes, changes.len())
    })?;
    let changes = changes.into_iter().map(|(log, hash, _, c)| (log, c.head.seq, hash, with_body(&c).collect()));
    let contents = Contents { changes: changes.collect(), tips, from: at };
    Ok(Parcel { cargo: Cargo::Bundle(contents), bytes: std::fs::read(&path)? })
}

/// The office makes a reply for a device and gives it to the carrier.
pub fn make_reply(world: &mut World) -> Checked<&'static str> {
    let at = world.any_phone();
    let parcel = reply_for(world, at)?;
    world.pool.push(parcel);
    Ok("a reply made")
}

/// A reply for a phone, looked through before it goes.
pub fn reply_for(world: &mut World, at: usize) -> Checked<Parcel> {
    let path = world.dir.path().join("made.yard");
    let device = world.phones[at].notebook.device();
    let made = world.office.make_reply(device, &path, &Job::silent())?;
    let bytes = std::fs::read(&path)?;
    let keys = DeviceKeys::read(&world.phones[at].folder.join("local/device.key"), &OwnerOnlyFile)?;
    let plain = reply::open(&bytes, &keys.seal)?;
    check_office::reply_is_fit(world, &device, &plain)?;
    Ok(Parcel { cargo: Cargo::Reply(device, made.number), bytes })
}

/// One thing that the carrier does.
pub fn step(world: &mut World) -> Checked<&'static str> {
    if world.random.random_bool(0.15) {
        return piece(world);
    }
    if world.pool.is_empty() {
        return make_bundle(world);
    }
    let at = world.random.random_range(0..world.pool.len());
    let parcel = world.pool[at].clone();
    match world.random.random_range(0..20) {
        0..2 => {
            world.pool.swap_remove(at);
            Ok("a file lost")
        }
        2..4 => damaged(world, parcel),
        4 => misdirected(world, parcel),
        fate => {
            // Most files are gone once they were handed over; some come again.
            if fate < 14 {
                world.pool.swap_remove(at);
            }
            match parcel.cargo {
                Cargo::Bundle(contents) => {
                    deliver_bundle(world, parcel.bytes, &contents)?;
                    answer(world, contents.from)?;
                    Ok("a bundle taken in")
                }
                Cargo::Reply(device, number) => deliver_reply(world, &parcel.bytes, device, number),
            }
        }
    }
}

/// As often as not the office answers at once, and the answer arrives.
fn answer(world: &mut World, at: usize) -> Checked {
    if world.random.random_bool(0.5) {
        return Ok(());
    }
    let parcel = reply_for(world, at)?;
    if let Cargo::Reply(device, number) = parcel.cargo {
        *world.counts.entry("an answer at once").or_default() += 1;
        take_reply(world, at, &parcel.bytes, device, number)?;
    }
    Ok(())
}

/// Part of a log comes alone, without what stands before it.
fn piece(world: &mut World) -> Checked<&'static str> {
    let at = world.any_phone();
    let notebook = &world.phones[at].notebook;
    let office = notebook.office()?;
    let logs = notebook.own_logs()?;
    let Some(state) = logs.get(world.random.random_range(0..logs.len().max(1))) else { return Ok("nothing") };
    let Some(whole) = notebook.segment_after(&state.log, 0)? else { return Ok("nothing") };
    let from = world.random.random_range(0..whole.changes.len());
    let to = world.random.random_range(from..whole.changes.len().min(from + 4)) + 1;
    let prev = if from == 0 { whole.prev } else { whole.hashes[from - 1] };
    take_segment(world, Segment::new(&office, whole.log, prev, whole.changes[from..to].to_vec()))?;
    answer(world, at)?;
    Ok("a piece of a log taken in")
}

/// The office merges a segment whose signature was checked.
pub fn take_segment(world: &mut World, segment: Segment) -> Checked {
    let changes: Vec<_> = segment
        .changes
        .iter()
        .zip(&segment.hashes)
        .map(|(c, hash)| (segment.log, c.head.seq, *hash, with_body(c).collect()))
        .collect();
    let expected = expected_of(world, &changes)?;
    let report = world.office.notebook().take_segment(segment)?;
    let told = (report.new, report.repeated, report.forks.len() as u64);
    ensure("I9 forks kept and flagged", told == expected, || format!("told {told:?}, expected {expected:?}"))?;
    note_delivered(world, &changes, &[]);
    check_office::check(world)
}

/// New changes, repeated ones, and places at which another change stands already.
fn expected_of(world: &mut World, changes: &[(LogId, u64, Hash32, Vec<u32>)]) -> Checked<(u64, u64, u64)> {
    let held = world.eyes.look()?;
    let mut here: BTreeMap<(LogId, u64), BTreeSet<Hash32>> = BTreeMap::new();
    for (hash, change) in &held.changes {
        here.entry((change.log, change.head.seq)).or_default().insert(*hash);
    }
    let (mut new, mut repeated, mut forks) = (0, 0, 0);
    for (log, seq, hash, _) in changes {
        let place = here.entry((*log, *seq)).or_default();
        if place.contains(hash) {
            repeated += 1;
        } else {
            new += 1;
            forks += u64::from(!place.is_empty());
            place.insert(*hash);
        }
    }
    Ok((new, repeated, forks))
}

fn note_delivered(world: &mut World, changes: &[(LogId, u64, Hash32, Vec<u32>)], tips: &[(LogId, u64)]) {
    for (_, _, hash, bodies) in changes {
        world.truth.delivered.insert(*hash);
        world.truth.bodies.extend(bodies.iter().map(|field| (*hash, *field)));
    }
    for (log, tip) in tips {
        let claimed = world.truth.claimed.entry(*log).or_default();
        *claimed = (*tip).max(*claimed);
    }
}

/// A bundle reaches the office as it was made.
pub fn deliver_bundle(world: &mut World, bytes: Vec<u8>, contents: &Contents) -> Checked<&'static str> {
    let expected = expected_of(world, &contents.changes)?;
    let taken = take_in(world, &bytes)?;
    let report = &taken.report;
    ensure("I3 no lost change", taken.outcome == Outcome::TakenIn && report.segments_refused.is_empty(), || {
        format!("a whole bundle was refused: {:?} {:?}", taken.code, report.segments_refused)
    })?;
    let told = (report.new, report.repeated, report.forks);
    ensure("I9 forks kept and flagged", told == expected, || format!("told {told:?}, expected {expected:?}"))?;
    note_delivered(world, &contents.changes, &contents.tips);
    world.taken.push(bytes);
    check_office::check(world)?;
    Ok("a bundle taken in")
}

/// Hands bytes to the office as a file.
pub fn take_in(world: &World, bytes: &[u8]) -> Checked<Taken> {
    let path = world.dir.path().join("carried.yard");
    std::fs::write(&path, bytes)?;
    Ok(world.office.take_in(&path, &Job::silent())?)
}

/// A reply reaches a phone of its device as it was made.
pub fn deliver_reply(world: &mut World, bytes: &[u8], device: DeviceId, number: u64) -> Checked<&'static str> {
    let phones: Vec<usize> =
        (0..world.phones.len()).filter(|at| world.phones[*at].notebook.device() == device).collect();
    let at = phones[world.random.random_range(0..phones.len())];
    take_reply(world, at, bytes, device, number)
}

fn take_reply(world: &mut World, at: usize, bytes: &[u8], device: DeviceId, number: u64) -> Checked<&'static str> {
    let path = world.dir.path().join("carried.yard");
    std::fs::write(&path, bytes)?;
    let interrupted = world.random.random_bool(0.15);
    let job = if interrupted { stopped_half_way() } else { Job::silent() };
    let said = match world.phones[at].notebook.take_reply(&path, &job) {
        Ok(taken) => {
            ensure("I6 honest receipts", taken.number == number, || "another number".into())?;
            world.replied.entry(device).and_modify(|n| *n = number.max(*n)).or_insert(number);
            "a reply taken"
        }
        Err(Error::Cancelled) if interrupted => "a reply stopped half way",
        Err(e) if e.code() == Some(Code::StaleReply) => {
            let highest = world.replied.get(&device).copied().unwrap_or(0);
            ensure("I6 honest receipts", number <= highest, || format!("reply {number} refused after {highest}"))?;
            "an old reply refused"
        }
        Err(e) => return Err(e.into()),
    };
    check_phone::check(world, at)?;
    Ok(said)
}

/// Work that a person stops when the statements of a reply were taken and nothing else.
fn stopped_half_way() -> Job {
    let flag = std::sync::Arc::new(std::sync::atomic::AtomicBool::new(false));
    let raised = flag.clone();
    let raise = move |done, _| raised.store(done == 2, std::sync::atomic::Ordering::SeqCst);
    Job::watched(raise).stopped_by(flag)
}

/// A file cut or with a changed byte.
fn damaged(world: &mut World, parcel: Parcel) -> Checked<&'static str> {
    let mut bytes = parcel.bytes;
    let said = if world.random.random_bool(0.5) {
        let len = bytes.len();
        // In the header, in the first part, or in the end: what a cut spoils does not hang on the exact place.
        let at = [4, 30, len / 2, len - 140, len - 40, len - 3][world.random.random_range(0..6)];
        bytes.truncate(at);
        "a file cut"
    } else {
        let len = bytes.len();
        let at =
            [3, 8, 11, 12, 14, 25, 60, 300, len / 2, len - 140, len - 37, len - 1][world.random.random_range(0..12)];
        bytes[at] ^= 1 << world.random.random_range(0..8);
        "a file with a changed bit"
    };
    match parcel.cargo {
        Cargo::Bundle(contents) => {
            let (before, held) = (world.office.notebook().digest()?, world.eyes.look()?);
            let taken = take_in(world, &bytes)?;
            let after = world.eyes.look()?;
            if taken.outcome == Outcome::TakenIn {
                // Its text was whole. What came is what was in it, and all of it.
                note_delivered(world, &contents.changes, &contents.tips);
                let inside: BTreeSet<Hash32> = contents.changes.iter().map(|(_, _, hash, _)| *hash).collect();
                let strange = after.changes.keys().find(|h| !held.changes.contains_key(h) && !inside.contains(h));
                ensure("I8 authenticity", strange.is_none(), || format!("{strange:?} came from nowhere"))?;
            } else {
                let same = world.office.notebook().digest()? == before && after.changes.len() == held.changes.len();
                ensure("I8 authenticity", same, || format!("refused with {:?}, and changed the state", taken.code))?;
            }
            check_office::check(world)?;
            answer(world, contents.from)?;
        }
        Cargo::Reply(device, _) => {
            let Some(at) = world.phones.iter().position(|p| p.notebook.device() == device) else { return Ok(said) };
            refused_by_phone(world, at, &bytes, true)?;
        }
    }
    Ok(said)
}

/// A file for somebody else.
fn misdirected(world: &mut World, parcel: Parcel) -> Checked<&'static str> {
    match parcel.cargo {
        Cargo::Bundle(_) => {
            let at = world.any_phone();
            refused_by_phone(world, at, &parcel.bytes, false)?;
        }
        Cargo::Reply(device, _) => {
            let before = world.office.notebook().digest()?;
            let taken = take_in(world, &parcel.bytes)?;
            let same = world.office.notebook().digest()? == before;
            ensure("I8 authenticity", taken.outcome != Outcome::TakenIn && same, || "a reply taken in".into())?;
            if let Some(at) = world.phones.iter().position(|p| p.notebook.device() != device) {
                refused_by_phone(world, at, &parcel.bytes, false)?;
            }
        }
    }
    Ok("a file for somebody else")
}

/// A phone is given a file that it must refuse without any change. A damaged reply may be good where only its end is lost.
fn refused_by_phone(world: &mut World, at: usize, bytes: &[u8], may_be_good: bool) -> Checked {
    let path = world.dir.path().join("carried.yard");
    std::fs::write(&path, bytes)?;
    let notebook = &world.phones[at].notebook;
    let state = |n: &dooryard_core::notebook::Notebook| Ok::<_, Error>((n.digest()?, n.own_logs()?, n.own_log()));
    let before = state(notebook)?;
    match notebook.take_reply(&path, &Job::silent()) {
        Ok(taken) => {
            ensure("I8 authenticity", may_be_good, || "a phone took a file that is not for it".into())?;
            let device = notebook.device();
            world.replied.entry(device).and_modify(|n| *n = taken.number.max(*n)).or_insert(taken.number);
            check_phone::check(world, at)
        }
        Err(e) if e.code() == Some(Code::StaleReply) && may_be_good => check_phone::check(world, at),
        Err(e) => {
            ensure("I8 authenticity", e.code().is_some(), || format!("a damaged file gave {e}"))?;
            let after = state(notebook)?;
            ensure("I8 authenticity", after == before, || format!("refused with {e}, and changed the phone"))
        }
    }
}
