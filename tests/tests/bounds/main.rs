//! What a file can cost the office: memory counted byte by byte, next to nothing before its sender is known, little
//! afterwards; time against what an honest file of the same size takes.
//!
//! The allocator counts everything that Rust allocates in this process: one test at a time ([`Scene`] sees to it). What SQLite, zstd and
//! the rest of the process take beside it is seen from outside, in `resident`.
#![allow(clippy::unwrap_used, reason = "a test")]

mod after_trust;
mod before_trust;
mod photos;
#[cfg(target_os = "linux")]
mod resident;
mod time;

use std::{
    fs,
    ops::Range,
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
};

use dooryard_core::{
    Code,
    clock::Env,
    ids::{Hash32, LogId, RecordId},
    job::Job,
    log::{Change, FieldHead, Head, Segment, Slot},
    notebook::Notebook,
    record::Role,
};
use dooryard_office::desk::{Office, Taken};
use dooryard_tests::{MAY_1, Yard, copy_folder, hand::Hand, wire::Outer};
use peak_alloc::PeakAlloc;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

/// What the office may take before the signature holds: a chunk of the sealing is 64 KiB, and stands in memory once sealed
/// and once open.
const BEFORE_TRUST: usize = 256 << 10;
/// What it may take for any bundle.
const AFTER_TRUST: usize = 64 << 20;

/// Folder of the office as it was before it knew the phone.
const STRANGERS: &str = "strangers";
/// Frame kinds of a bundle.
const MANIFEST: u8 = 1;
const SEGMENT: u8 = 2;

/// Bytes that the work added to what was in use, at its peak.
fn peak<T>(work: impl FnOnce() -> T) -> (T, usize) {
    MEMORY.reset_peak_usage();
    let idle = MEMORY.current_usage();
    let done = work();
    (done, MEMORY.peak_usage().saturating_sub(idle))
}

/// An office, and a phone that it knows with the hand that signs for it.
struct Scene {
    yard: Yard,
    hand: Hand,
    _alone: MutexGuard<'static, ()>,
}

impl Scene {
    fn new(seed: u64) -> Self {
        let alone = ONE_AT_A_TIME.lock().unwrap_or_else(PoisonError::into_inner);
        let mut yard = Yard::new(seed, 0).unwrap();
        yard.office.notebook().pause().unwrap();
        copy_folder(yard.office.folder(), &yard.file(STRANGERS)).unwrap();
        let phone = Notebook::create(&yard.folder(1), Env::seeded(seed + 1, &yard.clock)).unwrap();
        yard.enrol(&phone, Role::Scout, "Scout 1").unwrap();
        let hand = Hand::of(&phone, yard.office.card());
        yard.phones.push(phone);
        Self { yard, hand, _alone: alone }
    }

    fn write(&self, bytes: &[u8]) -> PathBuf {
        let path = self.yard.file("hostile.yard");
        fs::write(&path, bytes).unwrap();
        path
    }

    /// Takes a file in and says how much memory that took.
    fn take(&self, bytes: Vec<u8>) -> (Taken, usize) {
        let file = self.write(&bytes);
        drop(bytes);
        peak(|| self.yard.take_in(&file).unwrap())
    }

    /// As [`Scene::take`] of what must not change the office's state.
    fn take_unchanged(&self, bytes: Vec<u8>) -> (Taken, usize) {
        let before = self.yard.office.notebook().digest().unwrap();
        let taken = self.take(bytes);
        assert_eq!(self.yard.office.notebook().digest().unwrap(), before);
        taken
    }

    /// The `seq`-th change of the phone's log: these fields of one record, each with the changes that it names.
    fn change(&self, seq: u64, rec: u64, fields: Vec<FieldHead>, value: &[u8]) -> Change {
        let slots = fields.iter().map(|_| Slot::Body { salt: [7; 16], value: value.to_vec() }).collect();
        let mut random = [0; 10];
        random[2..].copy_from_slice(&rec.to_be_bytes());
        let head = Head {
            rtype: 1,
            seq,
            wall_ms: MAY_1,
            generation: 0,
            kind: 0,
            rec: RecordId::new(MAY_1, random),
            cert: self.hand.cert,
            form_ver: 1,
            fields,
            crit: None,
            ext: None,
        };
        Change::new(head, slots)
    }

    /// A signed segment of these changes as a frame, and its newest hash.
    fn segment(&self, prev: Hash32, changes: Vec<Change>) -> (Vec<u8>, Hash32) {
        let mut segment = Segment::new(&self.hand.office, self.hand.log, prev, changes);
        segment.close(&self.hand.key, &self.hand.office, 0);
        (segment.to_cbor(), segment.tip())
    }

    /// Frames of changes in a row, each made by its place; so many to a segment.
    fn log_of(&self, changes: u64, to_a_segment: u64, make: impl Fn(u64) -> Change) -> Vec<(u8, Vec<u8>)> {
        let mut frames = vec![self.hand.manifest(1, changes)];
        let (mut prev, mut next) = (Hash32::ZERO, 1);
        while next <= changes {
            let end = (next + to_a_segment).min(changes + 1);
            let (bytes, tip) = self.segment(prev, (next..end).map(&make).collect());
            frames.push((SEGMENT, bytes));
            (prev, next) = (tip, end);
        }
        frames
    }

    /// The signed envelope of a bundle of the phone.
    fn envelope(&self) -> Vec<u8> {
        let keys = fs::read_to_string(self.yard.office.folder().join("office.key")).unwrap();
        let keys: serde_json::Value = serde_json::from_str(&keys).unwrap();
        let key = keys["seal"].as_str().unwrap().parse().unwrap();
        Outer::read(&self.hand.one_change(105, |_| {})).unwrap().text(&key).unwrap().envelope
    }

    /// Another log of the same phone.
    fn other_log(&self, incarnation: u64) -> LogId {
        LogId { incarnation, ..self.hand.log }
    }
}

/// One field without anything named.
fn field(field: u32) -> Vec<FieldHead> {
    vec![FieldHead { field, preds: vec![] }]
}

/// Hashes of changes that nobody wrote, ascending.
fn hashes(range: Range<u32>) -> Vec<Hash32> {
    let hash = |n: u32| {
        let mut bytes = [0; 32];
        bytes[..4].copy_from_slice(&n.to_be_bytes());
        Hash32(bytes)
    };
    range.map(hash).collect()
}

/// Takes a file in that must be refused, and says how much memory that took.
fn refused(office: &Office, file: &Path, code: Code) -> usize {
    let before = office.notebook().digest().unwrap();
    let (taken, peak) = peak(|| office.take_in(file, &Job::silent()).unwrap());
    assert_eq!(taken.code.as_deref(), Some(code.name()));
    assert_eq!(office.notebook().digest().unwrap(), before);
    peak
}
