//! Everything that a history is played with.

use std::{
    collections::BTreeSet,
    path::{Path, PathBuf},
};

use age::x25519::Identity;
use dooryard_core::{
    Result,
    clock::{Env, SetClock},
    ids::{BlobId, Hash32, LogId, RecordId},
    log::{Change, Slot},
    notebook::{LetGo, Notebook},
    record::{Kind, Role},
};
use dooryard_office::desk::Office;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::{
    Checked, Counts,
    held::{Eyes, Life, Read},
    neighbour::Neighbour,
    parcel::Parcel,
    truth::{Given, Truth},
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

/// A state of the office's disk that was put by.
#[derive(Clone)]
pub struct Kept {
    /// Where it stands.
    pub path: PathBuf,
    /// What the office had been given by then.
    pub given: Given,
}

/// All that ever stood in a backup off the office's machine.
#[derive(Default)]
pub struct Safe {
    /// Fields of changes with their body.
    pub bodies: BTreeSet<(Hash32, u32)>,
    /// Photos and thumbnails.
    pub photos: BTreeSet<BlobId>,
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
    pub spare: Option<Kept>,
    /// The office's newest backup, and the key that opens it.
    pub backup: Option<(Kept, Identity)>,
    /// What phones may let go of.
    pub safe: Safe,
    /// The lives of the office in which it made a reply.
    pub lives: BTreeSet<Life>,
    /// The phones. Two of them are one device after a copy.
    pub phones: Vec<Phone>,
    /// The office of the next county and its phones, once the carrier met them.
    pub neighbour: Option<Neighbour>,
    /// What the carrier holds.
    pub pool: Vec<Parcel>,
    /// Every bundle that the office took in whole.
    pub taken: Vec<Vec<u8>>,
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
            backup: None,
            safe: Safe::default(),
            lives: BTreeSet::new(),
            phones: Vec::new(),
            neighbour: None,
            pool: Vec::new(),
            taken: Vec::new(),
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
            let rules = [LetGo::Nothing, LetGo::Originals, LetGo::OriginalsAndContacts];
            notebook.set_letting_go(rules[world.random.random_range(0..rules.len())])?;
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
        self.truth.note(read);
        Ok(())
    }

    /// Notes what the office itself wrote; it holds it at once.
    pub fn harvest_office(&mut self) -> Checked {
        let read = own_changes(self.office.notebook(), 0)?;
        let own: Vec<_> =
            read.iter().map(|(log, hash, _, c)| (*log, c.head.seq, *hash, with_body(c).collect())).collect();
        self.truth.given.note(&own, &[]);
        self.truth.note(read);
        Ok(())
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

/// A folder in memory, where the machine has such a place: what is tested here is not the disk.
fn folder_in_memory() -> std::io::Result<tempfile::TempDir> {
    let memory = Path::new("/dev/shm");
    if memory.is_dir() { tempfile::tempdir_in(memory) } else { tempfile::tempdir() }
}
