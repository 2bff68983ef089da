//! Who plays in the golden files: an office and its phones, all from fixed seeds; their folders, keys and files.

use std::{
    fs,
    path::{Path, PathBuf},
};

use age::x25519::Identity;
use dooryard_core::{
    clock::{Env, SetClock},
    notebook::{DeviceKeys, Notebook, OwnerOnlyFile},
    record::Role,
};
use dooryard_office::desk::Office;
use dooryard_tests::{
    MAY_1,
    hand::sealed,
    wire::{Outer, Text},
};

/// A seeded clock and entropy that stand on 1 May 2026.
pub fn env(seed: u64) -> Env {
    Env::seeded(seed, &SetClock::at(MAY_1))
}

/// A new notebook of a scout in `folder`, certified by `office`.
pub fn phone(folder: &Path, seed: u64, office: &Office, label: &str) -> Notebook {
    let phone = Notebook::create(folder, env(seed)).unwrap();
    phone.enrol(&office.add_device(&phone.enrolment_request(), Role::Scout, label).unwrap()).unwrap();
    phone
}

/// A copy of a notebook's or an office's folder as it is now, without what SQLite keeps beside an open file.
pub fn copy_of(notebook: &Notebook, from: &Path, to: &Path) -> PathBuf {
    notebook.pause().unwrap();
    dooryard_tests::copy_folder(from, to).unwrap();
    for folder in [to.to_owned(), to.join("notebook")] {
        for ending in ["-wal", "-shm"] {
            let _ = fs::remove_file(folder.join(format!("notebook.db{ending}")));
        }
    }
    to.to_owned()
}

/// The key that opens what is sealed to a phone.
pub fn phone_key(folder: &Path) -> Identity {
    DeviceKeys::read(&folder.join("local/device.key"), &OwnerOnlyFile).unwrap().seal
}

/// The key that opens what is sealed to an office.
pub fn office_key(folder: &Path) -> Identity {
    let text = fs::read_to_string(folder.join("office.key")).unwrap();
    let keys: serde_json::Value = serde_json::from_str(&text).unwrap();
    keys["seal"].as_str().unwrap().parse().unwrap()
}

/// The same file, its text opened with one key, changed, and sealed to another.
pub fn resealed(file: &[u8], key: &Identity, recipient: &str, edit: impl FnOnce(&mut Text)) -> Vec<u8> {
    let outer = Outer::read(file).unwrap();
    let mut text = outer.text(key).unwrap();
    edit(&mut text);
    sealed(outer.header, &text, recipient)
}
