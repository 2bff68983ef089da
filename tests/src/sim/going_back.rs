//! The office goes back to an earlier state of its disk: its folder is lost and its newest backup takes its place, or an older
//! copy of the folder does. It knows no more than stands there, and begins a new life.

use std::{
    collections::BTreeSet,
    path::{Path, PathBuf},
};

use dooryard_core::{clock::Env, ids::RecordId, job::Job, record::Kind};
use dooryard_office::desk::{LedgerChoice, Office, Restored, recovery_key};
use rand::{Rng, seq::IndexedRandom};

use super::{
    Checked, carrier, check_office, check_phone, ensure,
    held::Eyes,
    parcel, phone, taking,
    truth::Given,
    world::{Kept, World},
};

/// One thing that happens to the office's disk.
pub fn step(world: &mut World) -> Checked<&'static str> {
    let has_backup = world.backup.is_some();
    match world.random.random_range(0..10) {
        0..3 if has_backup => lost(world),
        3 | 4 if has_backup => twice(world),
        5 if has_backup => merged(world),
        6 | 7 if has_backup && world.spare.is_some() => older_folder(world),
        8 if world.spare.is_none() => {
            let path = world.new_path("spare");
            world.office.notebook().pause()?;
            crate::copy_folder(world.office.folder(), &path)?;
            world.spare = Some(Kept { path, given: world.truth.given.clone() });
            Ok("the office copied")
        }
        _ => back_up(world),
    }
}

/// The office makes a backup, as often as not when phones have just handed over. Most backups stand off the machine: what is in
/// those is safe from then on, and phones hear of it.
fn back_up(world: &mut World) -> Checked<&'static str> {
    for at in 0..world.phones.len() {
        if world.random.random_bool(0.5) {
            hand_over(world, at)?;
        }
    }
    let (path, drawer) = (world.new_path("office-backup"), world.new_path("recovery-key"));
    let off_machine = world.random.random_bool(0.7);
    world.office.back_up(&path, off_machine, &Job::silent())?;
    if off_machine {
        world.safe.bodies.extend(&world.truth.given.bodies);
        let held = world.truth.photos.keys().filter(|id| world.office.notebook().blob_path(id).exists());
        world.safe.photos.extend(held);
    }
    std::fs::write(&drawer, world.office.recovery_key()?)?;
    let key = recovery_key(&drawer)?;
    world.backup = Some((Kept { path, given: world.truth.given.clone() }, key));
    (0..world.phones.len()).try_for_each(|at| carrier::answer(world, at))?;
    Ok("the office backed up")
}

/// A phone saves something that it may let go of once it is safe, and hands everything over.
fn hand_over(world: &mut World, at: usize) -> Checked {
    if world.random.random_bool(0.5) {
        phone::photo(world, at)?;
    } else {
        phone::save_new(world, at, Kind::Contact)?;
    }
    let (contents, bytes) = parcel::bundle_of(world, at, false)?;
    carrier::deliver_bundle(world, bytes, &contents).map(drop)
}

/// The machine is gone; the backup comes back into an empty folder.
fn lost(world: &mut World) -> Checked<&'static str> {
    std::fs::remove_dir_all(world.office.folder())?;
    let folder = world.new_path("office");
    let restored = restore(world, &folder)?;
    ensure("I3 no lost change", restored.merged.is_none(), || "a backup merged into an empty folder".into())?;
    let given = world.backup.as_ref().map(|(kept, _)| kept.given.clone()).unwrap_or_default();
    goes_on(world, folder, given)?;
    Ok("the office restored")
}

/// The office is lost twice, and a reply of the life in between comes last: it knows of no erasure that was said since.
fn twice(world: &mut World) -> Checked<&'static str> {
    lost(world)?;
    let at = world.any_phone();
    let (sent, bytes) = parcel::reply_for(world, at)?;
    lost(world)?;
    let known: BTreeSet<RecordId> =
        Eyes::on(&world.phones[at].notebook, &world.read)?.told()?.into_iter().map(|(rec, ..)| rec).collect();
    let here = world.office.notebook().list(&phone::everything())?.rows.into_iter().map(|row| row.id);
    let (told, others): (Vec<_>, Vec<_>) = here.partition(|id| known.contains(id));
    if let Some(record) = told.choose(&mut world.random).or_else(|| others.choose(&mut world.random)) {
        world.office.erase(*record)?;
        world.harvest_office()?;
        check_office::check(world)?;
    }
    let (newer, newer_bytes) = parcel::reply_for(world, at)?;
    taking::take(world, at, &newer_bytes, &newer)?;
    taking::take(world, at, &bytes, &sent)?;
    Ok("a reply of a life in between")
}

/// The backup is merged into the office as it stands.
fn merged(world: &mut World) -> Checked<&'static str> {
    let folder = world.office.folder().to_owned();
    let given = world.truth.given.clone();
    merge_into(world, folder, given)?;
    Ok("the office's backup merged")
}

/// Somebody puts an older copy in the place of the office's folder, and then merges the newest backup.
fn older_folder(world: &mut World) -> Checked<&'static str> {
    let Some(older) = world.spare.clone() else { return Ok("nothing") };
    std::fs::remove_dir_all(world.office.folder())?;
    let folder = world.new_path("office");
    crate::copy_folder(&older.path, &folder)?;
    merge_into(world, folder, older.given)?;
    Ok("the office's older folder put back")
}

/// Merges the backup into an office that was given this much.
fn merge_into(world: &mut World, folder: PathBuf, given: Given) -> Checked {
    let restored = restore(world, &folder)?;
    let kept = world.backup.as_ref().map(|(kept, _)| kept.given.clone()).unwrap_or_default();
    let expected = kept.changes.difference(&given.changes).count() as u64;
    let brought = restored.merged.map(|merged| merged.changes);
    ensure("I3 no lost change", brought == Some(expected), || {
        format!("a merged backup brought {brought:?} changes, expected {expected}")
    })?;
    goes_on(world, folder, given.with(&kept))
}

fn restore(world: &mut World, folder: &Path) -> Checked<Restored> {
    let env = Env::seeded(world.random.random(), &world.clock);
    let Some((kept, key)) = &world.backup else { return Err(std::io::Error::other("no backup").into()) };
    Ok(Office::restore(&kept.path, folder, key, &LedgerChoice::Beside, None, env, &Job::silent())?)
}

/// The office goes on from what it was given up to then; what it is given no more is known to the phones at most.
fn goes_on(world: &mut World, folder: PathBuf, given: Given) -> Checked {
    let env = Env::seeded(world.random.random(), &world.clock);
    world.office = Office::open(&folder, env)?;
    world.eyes = Eyes::on(world.office.notebook(), &world.read)?;
    let life = world.office.epoch()?;
    let is_new = !world.lives.contains(&(life.n, life.random));
    ensure("I6 honest receipts", is_new, || format!("an office that went back goes on in its life {}", life.n))?;
    if !world.truth.given.is_within(&given) {
        *world.counts.entry("something of the office lost").or_default() += 1;
        // A file that was taken in before may bring something once more.
        world.taken.clear();
    }
    world.truth.given = given;
    world.spare = world.spare.take().filter(|spare| spare.given.is_within(&world.truth.given));
    check_office::check(world)?;
    (0..world.phones.len()).try_for_each(|at| check_phone::check(world, at))
}
