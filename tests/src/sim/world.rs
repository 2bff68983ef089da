//! Everything that a history is played with.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::{Path, PathBuf},
};

use dooryard_core::{
    Result,
    clock::{Env, SetClock},
    ids::{BlobId, DeviceId, Hash32, LogId, RecordId},
    log::{Change, Slot},
    notebook::Notebook,
    record::{self, Kind, Role, Type, Value},
};
use dooryard_office::desk::Office;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::{
    Checked, Counts,
    carrier::Parcel,
    held::{Eyes, Read},
    words::{self, Word},
};
use crate::MAY_1;

/// A phone: a folder, a clock of its own, a notebook.
pub struct Phone {
    /// Its folder.
    pub folder: PathBuf,
    /// Its clock.
    pub clock: SetClock,
    /// Its notebook.
    pub notebook: Notebook,
    /// Photos and thumbnails that were taken with it.
    pub blobs: BTreeSet<BlobId>,
    /// An older copy of its folder, and one sealed by itself.
    pub copy: Option<PathBuf>,
    /// A backup that it made.
    pub backup: Option<PathBuf>,
}

/// A change as its author wrote it.
pub struct Written {
    /// Its log.
    pub log: LogId,
    /// Hash of the one before it.
    pub prev: Hash32,
    /// The change with all bodies.
    pub change: Change,
}

/// What was ever written and handed over, known to nobody in the history.
#[derive(Default)]
pub struct Truth {
    /// Every change that anyone wrote.
    pub written: BTreeMap<Hash32, Written>,
    /// Every record with its kind.
    pub records: Vec<(RecordId, Kind)>,
    /// Where each word was written.
    pub words: BTreeMap<Word, BTreeSet<(Hash32, u32)>>,
    /// Where each photo is named: record, field, generation of the change.
    pub photos: BTreeMap<BlobId, BTreeSet<(RecordId, u32, u64)>>,
    /// Changes that the office took in.
    pub delivered: BTreeSet<Hash32>,
    /// Fields of changes whose body the office was given.
    pub bodies: BTreeSet<(Hash32, u32)>,
    /// How far senders said that their logs go.
    pub claimed: BTreeMap<LogId, u64>,
}

impl Truth {
    /// The photos that changes of a record name.
    pub fn photos_of(&self, rec: &RecordId) -> Vec<BlobId> {
        let of = self.photos.iter().filter(|(_, places)| places.iter().any(|(of, ..)| of == rec));
        of.map(|(id, _)| *id).collect()
    }
}

/// An office, its phones, the carrier, and the truth.
pub struct World {
    /// The folder that holds everything.
    pub dir: tempfile::TempDir,
    /// Decides everything.
    pub random: ChaCha8Rng,
    /// The office's clock, which is right.
    pub clock: SetClock,
    /// The office.
    pub office: Office,
    /// A second look at the office's file.
    pub eyes: Eyes,
    /// Statements of the office that were read before.
    pub read: Read,
    /// A copy of the office's folder, made at some time.
    pub spare: Option<PathBuf>,
    /// The phones. Two of them are one device after a copy.
    pub phones: Vec<Phone>,
    /// What the carrier holds.
    pub pool: Vec<Parcel>,
    /// Every bundle that the office took in whole.
    pub taken: Vec<Vec<u8>>,
    /// The highest number of a reply that each device took.
    pub replied: BTreeMap<DeviceId, u64>,
    /// The truth.
    pub truth: Truth,
    /// What happened.
    pub counts: Counts,
    made: u64,
}

impl World {
    /// An office and two to four phones.
    pub fn new(seed: u64) -> Checked<Self> {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let dir = folder_in_memory()?;
        let clock = SetClock::at(MAY_1);
        let office =
            Office::create(&dir.path().join("office"), "Larkspur County", Env::seeded(random.random(), &clock))?;
        let read = Read::default();
        let eyes = Eyes::on(office.notebook(), &read)?;
        let mut world = Self {
            dir,
            random,
            clock,
            office,
            eyes,
            read,
            spare: None,
            phones: Vec::new(),
            pool: Vec::new(),
            taken: Vec::new(),
            replied: BTreeMap::new(),
            truth: Truth::default(),
            counts: Counts::new(),
            made: 0,
        };
        for n in 0..world.random.random_range(2..=4) {
            let role = if n == 2 { Role::Educator } else { Role::Scout };
            let folder = world.new_path("phone");
            let clock = SetClock::at(world.clock.now_ms());
            let notebook = Notebook::create(&folder, Env::seeded(world.random.random(), &clock))?;
            notebook.enrol(&world.office.add_device(&notebook.enrolment_request(), role, &format!("Phone {n}"))?)?;
            let blobs = BTreeSet::new();
            world.phones.push(Phone { folder, clock, notebook, blobs, copy: None, backup: None });
        }
        Ok(world)
    }

    /// A path that was not used before.
    pub fn new_path(&mut self, name: &str) -> PathBuf {
        self.made += 1;
        self.dir.path().join(format!("{name}-{}", self.made))
    }

    /// Some minutes pass on every clock.
    pub fn pass_time(&mut self) {
        let minutes = self.random.random_range(1..600);
        for clock in self.phones.iter().map(|phone| &phone.clock).chain([&self.clock]) {
            clock.set(clock.now_ms() + minutes * 60_000);
        }
    }

    /// One of the phones.
    pub fn any_phone(&mut self) -> usize {
        self.random.random_range(0..self.phones.len())
    }

    /// One of the records, the first ones most often: that is where people meet.
    pub fn any_record(&mut self) -> Option<(RecordId, Kind)> {
        let all = self.truth.records.len();
        if all == 0 {
            return None;
        }
        let at = self.random.random_range(0..all).min(self.random.random_range(0..all));
        self.truth.records.get(at).copied()
    }

    /// Notes what a notebook's own logs hold as written. Gives the hashes of one that is new.
    pub fn harvest(&mut self, phone: usize) -> Checked {
        let Some(phone) = self.phones.get(phone) else { return Ok(()) };
        let read = own_changes(&phone.notebook, 0)?;
        self.note(read);
        Ok(())
    }

    /// Notes what the office itself wrote; it holds it at once.
    pub fn harvest_office(&mut self) -> Checked {
        let read = own_changes(self.office.notebook(), 0)?;
        for (_, hash, _, change) in &read {
            self.truth.delivered.insert(*hash);
            self.truth.bodies.extend(with_body(change).map(|field| (*hash, field)));
        }
        self.note(read);
        Ok(())
    }

    /// Notes changes as written.
    pub fn note(&mut self, changes: Vec<OwnChange>) {
        for (log, hash, prev, change) in changes {
            if self.truth.written.contains_key(&hash) {
                continue;
            }
            let slots = change.head.fields.iter().zip(&change.slots);
            for (f, slot) in slots {
                let Slot::Body { value, .. } = slot else { continue };
                for word in words::found_in(value) {
                    self.truth.words.entry(word).or_default().insert((hash, f.field));
                }
                if let Some(id) = photo_in(f.field, value) {
                    let place = (change.head.rec, f.field, change.head.generation);
                    self.truth.photos.entry(id).or_default().insert(place);
                }
            }
            self.truth.written.insert(hash, Written { log, prev, change });
        }
    }
}

/// A change read from a notebook: its log, its hash, the hash before it, itself.
pub type OwnChange = (LogId, Hash32, Hash32, Change);

/// The changes of a notebook's own logs; with `beyond` 1 only those that no receipt proves.
pub fn own_changes(notebook: &Notebook, beyond: u64) -> Result<Vec<OwnChange>> {
    let mut found = Vec::new();
    for state in notebook.own_logs()? {
        let mut after = state.received_to * beyond;
        while let Some(segment) = notebook.segment_after(&state.log, after)? {
            after = segment.to();
            let mut prev = segment.prev;
            for (change, hash) in segment.changes.into_iter().zip(segment.hashes) {
                found.push((state.log, hash, prev, change));
                prev = hash;
            }
        }
    }
    Ok(found)
}

/// The fields of a change whose body is there.
pub fn with_body(change: &Change) -> impl Iterator<Item = u32> + '_ {
    let slots = change.head.fields.iter().zip(&change.slots);
    slots.filter(|(_, slot)| matches!(slot, Slot::Body { .. })).map(|(f, _)| f.field)
}

/// The photo that a field names.
fn photo_in(field: u32, value: &[u8]) -> Option<BlobId> {
    let is_photo = record::field(field).is_some_and(|f| f.ty == Type::Blob);
    let value = Value::from_cbor(value).ok().filter(|_| is_photo)?;
    BlobId::from_slice(value.as_bytes()?).ok()
}

/// A folder in memory, where the machine has such a place: what is tested here is not the disk.
fn folder_in_memory() -> std::io::Result<tempfile::TempDir> {
    let memory = Path::new("/dev/shm");
    if memory.is_dir() { tempfile::tempdir_in(memory) } else { tempfile::tempdir() }
}
