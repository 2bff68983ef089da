//! Memory that a file can make the office take: next to nothing before its sender is known, little afterwards.
//!
//! One test, in a process of its own: the allocator counts everything that this process allocates.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{fs, path::Path};

use dooryard_core::{Code, clock::Env, job::Job, record::Kind};
use dooryard_office::desk::Office;
use dooryard_tests::{Yard, copy_folder, save};
use peak_alloc::PeakAlloc;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::json;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// What the office may take before the signature holds: a chunk of the sealing is 64 KiB, and stands in memory once sealed
/// and once open.
const BEFORE_TRUST: usize = 256 << 10;
/// What it may take for any bundle.
const AFTER_TRUST: usize = 64 << 20;
/// Bytes at the beginning of a bundle: its own header, and kind, length and address of its first part.
const HEADER: usize = 12;

/// Bytes that the work added to what was in use, at its peak.
fn peak(work: impl FnOnce()) -> usize {
    MEMORY.reset_peak_usage();
    let idle = MEMORY.current_usage();
    work();
    MEMORY.peak_usage().saturating_sub(idle)
}

/// Takes a file in that must be refused, and says how much memory that took.
fn refused(office: &Office, file: &Path, code: Code) -> usize {
    let before = office.notebook().digest().unwrap();
    let peak = peak(|| {
        assert_eq!(office.take_in(file, &Job::silent()).unwrap().code.as_deref(), Some(code.name()));
    });
    assert_eq!(office.notebook().digest().unwrap(), before);
    peak
}

#[test]
fn a_stranger_s_file_takes_next_to_no_memory_and_a_known_phone_s_a_bounded_one() {
    let mut yard = Yard::new(61, 0).unwrap();
    yard.office.notebook().pause().unwrap();
    let strangers = yard.file("strangers");
    copy_folder(yard.office.folder(), &strangers).unwrap();
    let phone = dooryard_core::notebook::Notebook::create(&yard.folder(1), Env::seeded(62, &yard.clock)).unwrap();
    yard.enrol(&phone, dooryard_core::record::Role::Scout, "Scout 1").unwrap();

    // Words that hardly pack: the text part is near the largest that there is.
    let mut random = ChaCha8Rng::seed_from_u64(63);
    for _ in 0..430 {
        let words: String = (0..15_900).map(|_| char::from(random.random_range(b'!'..=b'~'))).collect();
        save(&phone, Kind::Inquiry, json!({"question": words})).unwrap();
    }
    let file = yard.bundle(&phone, "large.yard").unwrap();
    yard.phones.push(phone);
    let bytes = fs::read(&file).unwrap();
    assert!(bytes.len() > 5 << 20, "only {} bytes", bytes.len());

    let unknown = Office::open(&strangers, Env::seeded(64, &yard.clock)).unwrap();
    let mut worst = refused(&unknown, &file, Code::UnknownDevice);
    let other = Yard::new(65, 0).unwrap();
    worst = worst.max(refused(&other.office, &file, Code::NotForUs));
    let mut changed = |name: &str, change: &dyn Fn(&mut Vec<u8>), code: Code| {
        let path = yard.file(name);
        let mut bytes = bytes.clone();
        change(&mut bytes);
        fs::write(&path, &bytes).unwrap();
        drop(bytes);
        worst = worst.max(refused(&yard.office, &path, code));
    };
    changed("flipped.yard", &|b| b[4 << 20] ^= 1, Code::PartHash);
    changed("long.yard", &|b| b[HEADER + 1..HEADER + 9].fill(0xff), Code::TooBig);
    changed("cut.yard", &|b| b.truncate(4 << 20), Code::Cut);
    assert!(worst <= BEFORE_TRUST, "{worst} bytes before anything was trusted");

    let known = peak(|| {
        let taken = yard.take_in(&file).unwrap();
        assert_eq!((taken.report.new, taken.report.refused), (430, None));
    });
    assert!(known <= AFTER_TRUST, "{known} bytes for a bundle of a known phone");
    assert!(known > BEFORE_TRUST, "the count sees what a real bundle takes");
    eprintln!(
        "{} KiB before trust, {:.1} MiB for a text part of {} MiB",
        worst >> 10,
        known as f64 / 1_048_576.0,
        bytes.len() >> 20
    );
}
