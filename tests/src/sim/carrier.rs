//! The carrier: it loses, repeats, cuts, damages and reorders files, and hands them to the wrong ones.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    Error,
    ids::{Hash32, LogId},
    job::Job,
    log::Segment,
};
use dooryard_office::desk::{Outcome, Taken};
use rand::Rng;

use super::{
    Checked, bad_disk, check_office, ensure, mishaps,
    parcel::{self, Cargo, Contents},
    taking,
    truth::Carried,
    world::{World, with_body},
};

/// One thing that the carrier does.
pub fn step(world: &mut World) -> Checked<&'static str> {
    if world.random.random_bool(0.15) {
        return piece(world);
    }
    if world.pool.is_empty() {
        return parcel::make_bundle(world);
    }
    let at = world.random.random_range(0..world.pool.len());
    let parcel = world.pool[at].clone();
    match world.random.random_range(0..20) {
        0..2 => {
            world.pool.swap_remove(at);
            Ok("a file lost")
        }
        2..4 => mishaps::damaged(world, parcel),
        4 => mishaps::misdirected(world, parcel),
        fate => {
            // Most files are gone once they were handed over; some come again.
            if fate < 14 {
                world.pool.swap_remove(at);
            }
            match parcel.cargo {
                Cargo::Bundle(contents) => {
                    if world.random.random_bool(0.15) {
                        stopped(world, &parcel.bytes, &contents)?;
                    }
                    deliver_bundle(world, parcel.bytes, &contents)?;
                    answer(world, contents.from)?;
                    Ok("a bundle taken in")
                }
                Cargo::Reply(sent) => taking::deliver(world, &parcel.bytes, &sent),
            }
        }
    }
}

/// As often as not the office answers at once, and the answer arrives.
pub fn answer(world: &mut World, at: usize) -> Checked {
    if world.random.random_bool(0.5) {
        return Ok(());
    }
    let (sent, bytes) = parcel::reply_for(world, at)?;
    *world.counts.entry("an answer at once").or_default() += 1;
    taking::take(world, at, &bytes, &sent).map(drop)
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
    world.truth.given.note(&changes, &[]);
    check_office::check(world)
}

/// New changes, repeated ones, and places at which another change stands already.
fn expected_of(world: &mut World, changes: &[Carried]) -> Checked<(u64, u64, u64)> {
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
    world.truth.given.note(&contents.changes, &contents.tips);
    world.taken.push(bytes);
    check_office::check(world)?;
    Ok("a bundle taken in")
}

/// Somebody stops the office when it has the text of a file and perhaps some of its photos.
fn stopped(world: &mut World, bytes: &[u8], contents: &Contents) -> Checked {
    let before = world.eyes.look()?.changes.into_keys().collect();
    let path = world.dir.path().join("carried.yard");
    std::fs::write(&path, bytes)?;
    let job = parcel::stopped_after(world.random.random_range(1..=2));
    let done = match world.office.take_in(&path, &job) {
        Ok(_) => true,
        Err(Error::Cancelled) => false,
        Err(e) => return Err(e.into()),
    };
    *world.counts.entry("a take-in stopped half way").or_default() += u64::from(!done);
    bad_disk::merged_whole(world, contents, &before, done)
}

/// Hands bytes to the office as a file.
pub fn take_in(world: &World, bytes: &[u8]) -> Checked<Taken> {
    let path = world.dir.path().join("carried.yard");
    std::fs::write(&path, bytes)?;
    Ok(world.office.take_in(&path, &Job::silent())?)
}
