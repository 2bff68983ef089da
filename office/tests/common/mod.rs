//! A phone's work on its way into an office's folder, by the command.
#![allow(clippy::unwrap_used, reason = "a test")]
#![allow(dead_code, reason = "each test uses some of it")]

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use dooryard_core::{
    clock::Env,
    ids::{BlobId, Hash32},
    notebook::{BlobRow, Notebook},
    record::Kind,
};
use dooryard_office::desk::Office;
use dooryard_tests::{Yard, edit, fields, save};
use rand::Rng;
use rand_chacha::ChaCha8Rng;
use serde_json::json;

/// How much work a phone hands over.
pub struct Work<'a> {
    /// Plants, each saved, looked at and edited.
    pub plants: usize,
    /// Photos of noise, by the length of their sides in pixels: over 1,200 they take several parts.
    pub photos: &'a [usize],
}

/// A phone's work as one bundle.
pub fn handed_over(yard: &Yard, random: &mut ChaCha8Rng, work: &Work<'_>) -> PathBuf {
    let phone = &yard.phones[0];
    for n in 0..work.plants {
        let plant = save(phone, Kind::Plant, json!({"host": "maple", "present": n})).unwrap();
        save(phone, Kind::Finding, json!({"plant": plant.to_string(), "character": "leaf_spot", "status": "seen"}))
            .unwrap();
        edit(phone, Kind::Plant, plant, json!({"cultivar": format!("kind {n}")})).unwrap();
    }
    for side in work.photos.iter().copied() {
        let file = yard.file("noise.png");
        let mut pixels = vec![0u8; side * side * 3];
        random.fill(&mut pixels[..]);
        let side = u32::try_from(side).unwrap();
        image::RgbImage::from_raw(side, side, pixels).unwrap().save(&file).unwrap();
        phone.add_photo(&file, &fields(json!({"part": "close_up"}))).unwrap();
    }
    yard.bundle(phone, "work.yard").unwrap()
}

/// The command that takes a file in.
pub fn take_in(office: &Path, file: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dooryard"));
    command.args(["bundle", "take-in", "--office"]).arg(office).arg(file);
    command.stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// Every file below a folder by its path there, the database's own companions left out.
pub fn files(folder: &Path) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut open = vec![folder.to_owned()];
    while let Some(here) = open.pop() {
        for entry in fs::read_dir(&here).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().display().to_string();
                if !name.ends_with("-wal") && !name.ends_with("-shm") {
                    found.insert(name);
                }
            }
        }
    }
    found
}

/// Whether an office holds what a phone counts as received since it offered these photos.
///
/// # Errors
/// What the office lacks.
pub fn received_is_there(phone: &Notebook, offered: &[BlobRow], office: &Office) -> Result<(), String> {
    let held = office.notebook().logs().unwrap();
    for state in phone.own_logs().unwrap() {
        let tip = held.iter().find(|held| held.log == state.log).map_or(0, |held| held.tip);
        if tip < state.received_to {
            return Err(format!("{} changes count as received, {tip} are there", state.received_to));
        }
    }
    let still: Vec<BlobId> = phone.blobs_to_offer().unwrap().into_iter().map(|row| row.id).collect();
    for row in offered.iter().filter(|row| !still.contains(&row.id)) {
        let bytes = fs::read(office.notebook().blob_path(&row.id)).unwrap_or_default();
        if BlobId::of(&bytes) != row.id {
            return Err(format!("{:?} counts as received and is not there", row.id));
        }
    }
    Ok(())
}

/// The digest of an office's folder, and how many photos it waits for.
pub fn state(folder: &Path, yard: &Yard) -> (Hash32, usize) {
    let office = Office::open(folder, Env::seeded(1, &yard.clock)).unwrap();
    (office.notebook().digest().unwrap(), office.notebook().blobs_awaited().unwrap().len())
}
