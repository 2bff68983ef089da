//! Backup and restore take no more memory with many photos than with few.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::fs;

use dooryard_core::{clock::Env, job::Job, notebook::Notebook, record::Kind};
use dooryard_tests::{Yard, fields, save};
use peak_alloc::PeakAlloc;
use rand::{RngCore, SeedableRng};
use serde_json::json;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// Bytes that work on any number of photos may take: some blocks, and what SQLite keeps.
const MOST: usize = 12 << 20;

fn peak_of<T>(work: impl FnOnce() -> T) -> (T, usize) {
    let before = MEMORY.current_usage();
    MEMORY.reset_peak_usage();
    let done = work();
    (done, MEMORY.peak_usage().saturating_sub(before))
}

#[test]
fn memory_does_not_grow_with_photos() {
    let mut yard = Yard::new(71, 1).unwrap();
    let phone = yard.phones.remove(0);
    save(&phone, Kind::Plant, json!({"host": "oak"})).unwrap();
    let (mut random, file) = (rand_chacha::ChaCha8Rng::seed_from_u64(1), yard.file("noise.png"));
    let mut bytes = 0;
    for _ in 0..10 {
        let mut pixels = vec![0; 1600 * 1200 * 3];
        random.fill_bytes(&mut pixels);
        image::RgbImage::from_raw(1600, 1200, pixels).unwrap().save(&file).unwrap();
        bytes += fs::metadata(&file).unwrap().len() as usize;
        phone.add_photo(&file, &fields(json!({"part": "close_up"}))).unwrap();
    }
    assert!(bytes > 4 * MOST, "{bytes} bytes of photos show nothing");
    let backup = yard.file("backup");
    let (made, peak) = peak_of(|| phone.back_up(&backup, &Job::silent()).unwrap());
    assert!(made.bytes > bytes as u64 && peak < MOST, "{peak} bytes for a backup of {}", made.bytes);
    drop(phone);
    for ending in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(yard.folder(1).join(format!("notebook.db{ending}")));
    }
    fs::remove_dir_all(yard.folder(1).join("photos")).unwrap();
    let env = Env::seeded(72, &yard.clock);
    let (restored, peak) = peak_of(|| Notebook::restore_backup(&yard.folder(1), &backup, env, &Job::silent()).unwrap());
    assert!(peak < MOST, "{peak} bytes for a restore");
    fs::remove_dir_all(yard.folder(1).join("photos")).unwrap();
    let (merged, peak) = peak_of(|| restored.merge_backup(&backup, &Job::silent()).unwrap());
    assert!(peak < MOST, "{peak} bytes for a merge");
    assert_eq!(merged.changes, 0);
}
