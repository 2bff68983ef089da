//! What every test of an office's backup does.

use std::{fs, path::Path};

use dooryard_core::{Error, clock::Env, job::Job};
use dooryard_office::desk::{LedgerChoice, Office, Restored, recovery_key};
use dooryard_tests::Yard;

pub const WORDS: &str = "ring at the cobalt gate";

pub fn quiet() -> Job {
    Job::silent()
}

/// The recovery key, as a person keeps it.
pub fn key(yard: &Yard) -> age::x25519::Identity {
    let path = yard.file("recovery.key");
    fs::write(&path, yard.office.recovery_key().unwrap()).unwrap();
    let key = recovery_key(&path).unwrap();
    fs::remove_file(path).unwrap();
    key
}

pub fn restore(yard: &Yard, key: &age::x25519::Identity, dir: &Path, ledger: &LedgerChoice) -> Result<Restored, Error> {
    Office::restore(&yard.file("office.backup"), dir, key, ledger, None, Env::seeded(99, &yard.clock), &quiet())
}

/// The office's machine is lost; its backup is brought back into another folder.
pub fn bring_back(yard: &mut Yard) -> Restored {
    let (key, dir) = (key(yard), yard.dir.path().join("new-office"));
    fs::remove_dir_all(yard.dir.path().join("office")).unwrap();
    let restored = restore(yard, &key, &dir, &LedgerChoice::Beside).unwrap();
    yard.office = Office::open(&dir, Env::seeded(98, &yard.clock)).unwrap();
    restored
}
