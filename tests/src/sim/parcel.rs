//! Files that phones and the office give to the carrier.

use std::sync::{
    Arc,
    atomic::{AtomicBool, AtomicU64, Ordering},
};

use dooryard_core::{
    ids::{DeviceId, LogId},
    job::Job,
    notebook::{DeviceKeys, OwnerOnlyFile},
};
use rand::Rng;

use super::{
    Checked, check_reply, ensure,
    held::Life,
    reply,
    truth::Carried,
    world::{World, own_changes, with_body},
};

/// What a bundle holds.
#[derive(Clone, Default)]
pub struct Contents {
    /// Its changes in order, with the fields whose body is in it.
    pub changes: Vec<Carried>,
    /// How far it says that its sender's logs go.
    pub tips: Vec<(LogId, u64)>,
    /// The phone that made it.
    pub from: usize,
}

/// What a reply is.
#[derive(Clone, Copy)]
pub struct Sent {
    /// The device it is for.
    pub to: DeviceId,
    /// The life of the office in which it was made.
    pub life: Life,
    /// Its number in that life.
    pub number: u64,
}

/// What a file is.
#[derive(Clone)]
pub enum Cargo {
    /// From a phone to the office.
    Bundle(Contents),
    /// From the office to a device.
    Reply(Sent),
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
    let (contents, bytes) = bundle_of(world, at, text_only)?;
    world.pool.push(Parcel { cargo: Cargo::Bundle(contents), bytes });
    Ok("a bundle made")
}

/// A bundle of a phone, with its photos or without.
pub fn bundle_of(world: &mut World, at: usize, text_only: bool) -> Checked<(Contents, Vec<u8>)> {
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
    Ok((Contents { changes: changes.collect(), tips, from: at }, std::fs::read(&path)?))
}

/// The office makes a reply for a device and gives it to the carrier.
pub fn make_reply(world: &mut World) -> Checked<&'static str> {
    let at = world.any_phone();
    let (sent, bytes) = reply_for(world, at)?;
    world.pool.push(Parcel { cargo: Cargo::Reply(sent), bytes });
    Ok("a reply made")
}

/// A reply for a phone, looked through before it goes.
pub fn reply_for(world: &mut World, at: usize) -> Checked<(Sent, Vec<u8>)> {
    let path = world.dir.path().join("made.yard");
    let to = world.phones[at].notebook.device();
    let made = world.office.make_reply(to, &path, &Job::silent())?;
    let bytes = std::fs::read(&path)?;
    let plain = opened(world, at, &bytes)?;
    check_reply::is_fit(world, &to, &plain)?;
    let epoch = world.office.epoch()?;
    let life = (epoch.n, epoch.random);
    world.lives.insert(life);
    Ok((Sent { to, life, number: made.number }, bytes))
}

/// What stands in a reply for a phone, opened with its key.
pub fn opened(world: &World, at: usize, bytes: &[u8]) -> Checked<Vec<u8>> {
    let keys = DeviceKeys::read(&world.phones[at].folder.join("local/device.key"), &OwnerOnlyFile)?;
    reply::open(bytes, &keys.seal)
}

/// Work that a person stops at one of its steps.
pub fn stopped_after(step: u64) -> Job {
    let (flag, steps) = (Arc::new(AtomicBool::new(false)), AtomicU64::new(0));
    let raised = flag.clone();
    let raise = move |_, _| raised.store(steps.fetch_add(1, Ordering::SeqCst) + 1 == step, Ordering::SeqCst);
    Job::watched(raise).stopped_by(flag)
}
