//! Backup of the text of a notebook, sealed to the device's own key, and restore into a folder whose database is gone.
//!
//! The incarnation is not in the backup: a restored notebook begins a log of its own, so that nothing it writes later is
//! mistaken for what was written before.

use std::{fs, io::Read, path::Path};

use super::{
    identity::{DeviceKeys, write_secret},
    open::{Notebook, database, forget_incarnation, key_file},
    secrets::{OwnerOnlyFile, Secrets},
};
use crate::{
    bundle::{self, Opener},
    clock::Env,
    error::{Code, Error, Result},
};

/// The first line of a backup's plain bytes.
const MARK: &[u8] = b"dooryard notebook backup 1\n";

impl Notebook {
    /// Writes a backup of the text (photos stay where they are) that only this device's key opens.
    ///
    /// # Errors
    /// `NO_SPACE`; of SQLite or the file system.
    pub fn back_up(&self, to: &Path) -> Result<()> {
        let sealed = {
            let inner = self.lock();
            let image = inner.conn.serialize("main")?;
            bundle::seal_for(&inner.keys.seal, |w| {
                w.write_all(MARK)?;
                w.write_all(&image)
            })?
        };
        write_secret(to, &sealed)
    }

    /// Puts a backup into a notebook's folder, whose database must be gone, and opens it under a new incarnation.
    ///
    /// # Errors
    /// `SCHEMA` when there is a database or the file is no backup; `NOT_FOR_US` when another device made it.
    pub fn restore_backup(dir: &Path, backup: &Path, env: Env) -> Result<Self> {
        Self::restore_backup_with(dir, backup, env, &OwnerOnlyFile)
    }

    /// As [`Notebook::restore_backup`], with a key that the platform unwraps.
    ///
    /// # Errors
    /// As [`Notebook::restore_backup`]; of the platform.
    pub fn restore_backup_with(dir: &Path, backup: &Path, env: Env, secrets: &dyn Secrets) -> Result<Self> {
        let path = database(dir);
        if path.exists() {
            return Err(Error::refused(Code::Schema, "there is a notebook in this folder; nothing was replaced"));
        }
        let keys = DeviceKeys::read(&key_file(dir), secrets)?;
        let sealed = fs::read(backup).map_err(Error::io("reading the backup"))?;
        let mut plain = Vec::new();
        let cut = |_| Error::refused(Code::Cut, "the backup");
        Opener::of(&keys.seal).open(&sealed[..])?.read_to_end(&mut plain).map_err(cut)?;
        let image = plain.strip_prefix(MARK).ok_or_else(|| Error::refused(Code::Schema, "no backup of a notebook"))?;
        forget_incarnation(dir)?;
        write_secret(&path, image)?;
        Self::open_with(dir, env, secrets)
    }
}
