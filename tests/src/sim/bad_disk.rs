//! The disk fails under the office or under a phone: full from one write on, or without power, amid a piece of work or between two.
//! After that the state is as before the work or as after it, what was told as done is done, and the same work goes through.

use std::{
    collections::BTreeSet,
    fs,
    ops::RangeInclusive,
    path::{Path, PathBuf},
};

use dooryard_core::{
    Code, Result,
    clock::Env,
    ids::{BlobId, Hash32, RecordId},
    job::Job,
    notebook::Notebook,
    record::Kind,
};
use dooryard_office::desk::{Office, Outcome};
use rand::Rng;
use serde_json::{Map, Value as Json};

use super::{
    Checked, Failure, carrier, check_office, check_phone,
    disk::{self, Failing, Survived},
    ensure,
    held::Eyes,
    parcel::{self, Contents, Sent},
    phone, taking,
    world::{Phone, World, own_changes, with_body},
};

/// A piece of work that writes.
enum Work {
    /// A phone saves a plant.
    Save,
    /// A phone takes a photo that lies here, as this record.
    Photo(RecordId, PathBuf),
    /// A phone takes a reply.
    TakeReply(Sent, Vec<u8>),
    /// The office takes in what the phone hands over.
    TakeIn(Contents, Vec<u8>),
    /// The office makes a reply for the phone.
    MakeReply,
    /// The office erases a record.
    Erase(RecordId),
}

/// One failure of a disk.
pub fn step(world: &mut World) -> Checked<&'static str> {
    let at = world.any_phone();
    match world.random.random_range(0..10) {
        0..2 => {
            let left = disk::power_cut(world.office.folder(), world.random.random())?;
            office_goes_on(world, left)?;
            check_office::check(world)?;
            Ok("the office's power cut")
        }
        2 => {
            let left = disk::power_cut(&world.phones[at].folder, world.random.random())?;
            phone_goes_on(world, at, left)?;
            check_phone::check(world, at)?;
            Ok("a phone's power cut")
        }
        _ => amid_work(world, at),
    }
}

fn amid_work(world: &mut World, at: usize) -> Checked<&'static str> {
    let how = if world.random.random_bool(0.5) { Failing::Full } else { Failing::PowerCut };
    let work = any_work(world, at)?;
    let folder = if work.is_of_phone() { &world.phones[at].folder } else { world.office.folder() }.to_owned();
    let (own, held) = (own_hashes(&world.phones[at].notebook)?, world.eyes.look()?);
    let told = Eyes::on(&world.phones[at].notebook, &world.read)?.told()?;
    // Most pieces of work write some dozens of times; early and late moments come as often.
    let after = world.random.random_range(0..8) * world.random.random_range(0..8);
    let (seed, values) = (world.random.random(), phone::values(world, Kind::Plant));
    disk::fails(&folder, how, after, seed);
    let done = work.run(world, at, &values);
    let survived = disk::works();
    if let (Failing::Full, Err(e)) = (how, &done) {
        ensure("no error where none belongs", e.code() == Some(Code::NoSpace), || format!("a full disk gave {e}"))?;
    }
    if how == Failing::PowerCut {
        let failed = done.is_err();
        ensure("no error where none belongs", !failed || survived.is_some(), || format!("{:?}", done.as_ref().err()))?;
        let left = survived.map_or_else(|| disk::power_cut(&folder, seed), Ok)?;
        if work.is_of_phone() { phone_goes_on(world, at, left)? } else { office_goes_on(world, left)? }
    }
    match &work {
        Work::Save => {
            written_whole(world, at, &own, usize::from(done.is_ok())..=1)?;
            phone::save_plant(world, at)?;
        }
        Work::Photo(_, picture) => {
            written_whole(world, at, &own, usize::from(done.is_ok())..=1)?;
            // The same photo as the same record: it is there once. On a phone that was cut off nothing of its own counts, so that
            // it does not see that it is there, and says the same once more.
            let notebook = &world.phones[at].notebook;
            let is_cut_off = notebook.authority()?.cut_off(&notebook.device()).is_some();
            work.run(world, at, &values)?;
            written_whole(world, at, &own, 1..=1 + usize::from(is_cut_off))?;
            fs::remove_file(picture)?;
        }
        Work::TakeReply(sent, bytes) => {
            if done.is_ok() {
                let heard = Eyes::on(&world.phones[at].notebook, &world.read)?.heard()?;
                ensure("I12 receipt means durable", !heard.is_newer(sent), || "a reply that was taken is not".into())?;
            }
            taking::nothing_half(world, at, &told, sent)?;
            // A full disk may have stopped it between the statements and the cleaning. Taken again, or after a power cut opened
            // again, it is finished.
            match (how, &done) {
                (Failing::Full, Err(_)) => drop(check_phone::check_but_erasing(world, at)?),
                _ => check_phone::check(world, at)?,
            }
            taking::take(world, at, bytes, sent)?;
        }
        Work::TakeIn(contents, bytes) => {
            merged_whole(world, contents, &held.changes.keys().copied().collect(), done.is_ok())?;
            carrier::answer(world, at)?;
            carrier::deliver_bundle(world, bytes.clone(), contents)?;
            carrier::answer(world, at)?;
        }
        Work::MakeReply => carrier::answer(world, at)?,
        Work::Erase(record) => {
            world.harvest_office()?;
            check_office_but_erasing(world)?;
            world.office.erase(*record)?;
            world.harvest_office()?;
            check_office::check(world)?;
        }
    }
    Ok(match (how, done) {
        (Failing::Full, Err(_)) => "a disk full amid work",
        (Failing::PowerCut, Err(_)) => "a power cut amid work",
        (Failing::Full, Ok(_)) => "work done before the disk was full",
        (Failing::PowerCut, Ok(_)) => "a power cut after work",
    })
}

fn any_work(world: &mut World, at: usize) -> Checked<Work> {
    Ok(match world.random.random_range(0..9) {
        0 => Work::Save,
        1 => Work::Photo(RecordId::new(world.clock.now_ms(), world.random.random()), phone::picture(world)?),
        2 | 3 => {
            let (sent, bytes) = parcel::reply_for(world, at)?;
            // An office that went back without knowing it says nothing new to a phone that does.
            let is_news = Eyes::on(&world.phones[at].notebook, &world.read)?.heard()?.is_newer(&sent);
            if is_news { Work::TakeReply(sent, bytes) } else { Work::MakeReply }
        }
        4..7 => {
            phone::save_plant(world, at)?;
            phone::photo(world, at)?;
            let (contents, bytes) = parcel::bundle_of(world, at, false)?;
            Work::TakeIn(contents, bytes)
        }
        7 => Work::MakeReply,
        _ => match world.any_record() {
            Some((id, _)) if world.office.notebook().show(id).is_ok() => Work::Erase(id),
            _ => Work::MakeReply,
        },
    })
}

impl Work {
    fn is_of_phone(&self) -> bool {
        matches!(self, Self::Save | Self::Photo(..) | Self::TakeReply(..))
    }

    /// Does it once. Nothing is noted as true yet.
    fn run(&self, world: &World, at: usize, values: &Map<String, Json>) -> Result<()> {
        let notebook = &world.phones[at].notebook;
        let path = world.dir.path().join("carried.yard");
        let put = |bytes: &[u8]| fs::write(&path, bytes).map_err(dooryard_core::Error::io("the carrier"));
        match self {
            Self::Save => notebook.save(Kind::Plant, None, values).map(drop),
            Self::Photo(id, picture) => notebook.add_photo_as(*id, picture, &Map::new()).map(drop),
            Self::TakeReply(_, bytes) => {
                put(bytes)?;
                notebook.take_reply(&path, &Job::silent()).map(drop)
            }
            Self::TakeIn(_, bytes) => {
                put(bytes)?;
                let taken = world.office.take_in(&path, &Job::silent())?;
                match taken.outcome {
                    Outcome::TakenIn => Ok(()),
                    _ => Err(dooryard_core::Error::NotFound(format!("a bundle that is whole: {:?}", taken.code))),
                }
            }
            Self::MakeReply => world.office.make_reply(notebook.device(), &path, &Job::silent()).map(drop),
            Self::Erase(record) => world.office.erase(*record).map(drop),
        }
    }
}

fn own_hashes(notebook: &Notebook) -> Result<BTreeSet<Hash32>> {
    Ok(own_changes(notebook, 0)?.into_iter().map(|(_, hash, ..)| hash).collect())
}

/// What a phone wrote is there with all its fields and pictures, in so many changes, or nothing of it is.
fn written_whole(world: &mut World, at: usize, before: &BTreeSet<Hash32>, wanted: RangeInclusive<usize>) -> Checked {
    let after = own_changes(&world.phones[at].notebook, 0)?;
    let new: Vec<_> = after.into_iter().filter(|(_, hash, ..)| !before.contains(hash)).collect();
    ensure("I11 atomic save", wanted.contains(&new.len()), || format!("{} changes of one piece of work", new.len()))?;
    world.harvest(at)?;
    for (.., change) in &new {
        let whole = with_body(change).count() == change.head.fields.len();
        ensure("I11 atomic save", whole, || format!("a change with holes: {change:?}"))?;
        let Some(kind) = Kind::from_id(change.head.rtype) else { continue };
        if !world.truth.records.iter().any(|(rec, _)| *rec == change.head.rec) {
            world.truth.records.push((change.head.rec, kind));
        }
        let photos = world.truth.photos_of(&change.head.rec);
        for id in &photos {
            let bytes = fs::read(world.phones[at].notebook.blob_path(id)).unwrap_or_default();
            let here = BlobId::of(&bytes) == *id;
            ensure("I11 atomic save", here, || format!("a photo is named and not there: {id:?}"))?;
        }
        world.phones[at].blobs.extend(photos);
    }
    Ok(())
}

/// Each change of a bundle came with all that it brings, or not at all; of what was there nothing is gone.
pub fn merged_whole(world: &mut World, contents: &Contents, before: &BTreeSet<Hash32>, done: bool) -> Checked {
    let held = world.eyes.look()?;
    let lost = before.iter().find(|hash| !held.changes.contains_key(hash));
    ensure("I3 no lost change", lost.is_none(), || format!("{lost:?} was there and is gone"))?;
    for (_, _, hash, bodies) in &contents.changes {
        let Some(change) = held.changes.get(hash) else {
            ensure("I12 receipt means durable", !done, || format!("{hash:?} was taken in and is gone"))?;
            continue;
        };
        let facts: BTreeSet<u32> = held.facts.iter().filter(|f| f.hash == *hash).map(|f| f.field).collect();
        let whole = change.head.fields.iter().all(|f| facts.contains(&f.field));
        ensure("I11 atomic save", whole, || format!("{hash:?} has the fields {facts:?}, and {bodies:?} came"))?;
    }
    let came: Vec<_> =
        contents.changes.iter().filter(|(_, _, hash, _)| held.changes.contains_key(hash)).cloned().collect();
    world.truth.given.note(&came, if done { &contents.tips } else { &[] });
    Ok(())
}

/// What must hold when an erasure stopped half way: all but that the words are gone already.
fn check_office_but_erasing(world: &mut World) -> Checked {
    let held = world.eyes.look()?;
    check_office::complete(&world.truth, &held)?;
    check_office::unchanged(&world.truth, &held)
}

/// The office's machine comes up again with what the power cut left.
fn office_goes_on(world: &mut World, left: Survived) -> Checked {
    let before = world.office.folder().to_owned();
    let folder = world.new_path("office");
    come_up(&before, &folder, left)?;
    let env = Env::seeded(world.random.random(), &world.clock);
    world.office = Office::open(&folder, env).map_err(does_not_open)?;
    world.eyes = Eyes::on(world.office.notebook(), &world.read)?;
    fs::remove_dir_all(before)?;
    let held = world.eyes.look()?;
    let lost = world.truth.given.changes.iter().find(|hash| !held.changes.contains_key(hash));
    ensure("I12 receipt means durable", lost.is_none(), || format!("{lost:?} was received before the power cut"))
}

/// A phone comes up again with what the power cut left: all that it saved.
fn phone_goes_on(world: &mut World, at: usize, left: Survived) -> Checked {
    let env = Env::seeded(world.random.random(), &world.phones[at].clock);
    let to = world.new_path("phone");
    come_up(&world.phones[at].folder, &to, left)?;
    let notebook = Notebook::open(&to, env).map_err(does_not_open)?;
    let Phone { folder, clock, notebook: off, blobs, copy, backup } = world.phones.remove(at);
    let (saved, kept) = (own_hashes(&off)?, own_hashes(&notebook)?);
    drop(off);
    fs::remove_dir_all(folder)?;
    world.phones.insert(at, Phone { folder: to, clock, notebook, blobs, copy, backup });
    let written = |hash: &&Hash32| world.truth.written.contains_key(hash);
    let lost = saved.iter().filter(written).find(|hash| !kept.contains(hash));
    ensure("I3 no lost change", lost.is_none(), || format!("{lost:?} was saved before the power cut"))
}

fn does_not_open(e: dooryard_core::Error) -> Failure {
    Failure { check: "I12 receipt means durable", detail: format!("after a power cut: {e}") }
}

/// A folder after a power cut: files as they are, databases as they were left, nothing of what only memory held.
fn come_up(from: &Path, to: &Path, left: Survived) -> std::io::Result<()> {
    crate::copy_folder(from, to)?;
    for (path, bytes) in left {
        if let Ok(inside) = path.strip_prefix(from) {
            fs::write(to.join(inside), bytes)?;
        }
    }
    for folder in [to.to_owned(), to.join("notebook")] {
        for entry in fs::read_dir(folder).into_iter().flatten() {
            let path = entry?.path();
            if path.to_string_lossy().ends_with("-shm") {
                fs::remove_file(path)?;
            }
        }
    }
    Ok(())
}
