//! The accounts of the office page (`people.db`) in a backup: whole but for what belongs to a moment. Sessions, one-time
//! links and counts of tries stay out, so that nobody is signed in by a restore.
//!
//! ```text
//! entry = ACCOUNTS; no name; the bytes of an SQLite database
//! ```

use std::{
    fs::{self, File},
    path::Path,
};

use dooryard_core::{
    Error, Result,
    archive::{self, Writer},
    bundle::Opener,
    durable,
};
use rusqlite::{Connection, OpenFlags};

const ACCOUNTS: u8 = 22;

/// The store of accounts in an office's folder.
const STORE: &str = "people.db";

/// What is true for a moment only.
const OF_A_MOMENT: [&str; 3] = ["session", "link", "tries"];

fn store(e: &rusqlite::Error) -> Error {
    Error::io("backing up the accounts")(std::io::Error::other(e.to_string()))
}

/// Writes the accounts into a backup, as they are at this moment; says whether there are any.
pub(super) fn back_up(dir: &Path, writer: &mut Writer) -> Result<bool> {
    if !dir.join(STORE).exists() {
        return Ok(false);
    }
    let what = || Error::io("reading what is backed up");
    // Beside the store, which only its owner reads; gone on return.
    let room = tempfile::Builder::new().prefix("accounts").tempdir_in(dir).map_err(what())?;
    let copy = room.path().join(STORE);
    copy_lasting(&dir.join(STORE), &copy).map_err(|e| store(&e))?;
    let mut file = File::open(&copy).map_err(what())?;
    let size = file.metadata().map_err(what())?.len();
    writer.entry(ACCOUNTS, b"", size, &mut file)?;
    Ok(true)
}

fn copy_lasting(from: &Path, to: &Path) -> rusqlite::Result<()> {
    let whole = Connection::open_with_flags(from, OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
    whole.busy_timeout(std::time::Duration::from_secs(10))?;
    whole.execute("VACUUM INTO ?1", [to.to_string_lossy()])?;
    let copy = Connection::open(to)?;
    copy.execute_batch("PRAGMA journal_mode = DELETE; PRAGMA secure_delete = ON;")?;
    for table in OF_A_MOMENT {
        copy.execute(&format!("DELETE FROM {table}"), [])?;
    }
    copy.execute("VACUUM", [])?;
    Ok(())
}

/// Puts the accounts of a backup in their place; says whether it did. Those that stand there already are newer, and stay.
pub(super) fn bring_back(dir: &Path, file: &Path, opener: &Opener) -> Result<bool> {
    let (place, new) = (dir.join(STORE), dir.join("people.db.new"));
    if place.exists() {
        return Ok(false);
    }
    let what = || Error::io("bringing the accounts back");
    let mut owner_only = fs::OpenOptions::new();
    owner_only.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut owner_only, 0o600);
    let mut found = false;
    archive::read(file, opener, &mut |kind, _, body| {
        if kind == ACCOUNTS {
            let mut out = owner_only.open(&new).map_err(what())?;
            std::io::copy(body, &mut out).and_then(|_| out.sync_all()).map_err(what())?;
            found = true;
        }
        Ok(())
    })?;
    if found {
        durable::rename(&new, &place).map_err(what())?;
    }
    Ok(found)
}
