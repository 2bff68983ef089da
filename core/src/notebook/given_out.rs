//! Files that were made of a notebook for somebody to take away: they go once anything is erased, since each can be made again.

use std::{fs, io::ErrorKind, path::Path};

use super::{
    changed::erasures,
    open::Notebook,
    store::{meta, set_meta},
};
use crate::{
    durable,
    error::{Error, Result},
};

/// How many erasures there were when the files were last taken away.
const HEEDED: &str = "given out heeded";

impl Notebook {
    /// Takes away everything in `folder`, which holds nothing but files made of this notebook, where something was erased since
    /// they were last taken away. Says whether it did. Asked after whatever can bring an erasure, and at each start.
    ///
    /// Nothing is lost: what the office has not confirmed goes into the next bundle, whether it was handed over or not.
    ///
    /// # Errors
    /// Of SQLite or the file system: asking again goes on.
    pub fn heed_given_out(&self, folder: &Path) -> Result<bool> {
        let mut inner = self.lock();
        let (known, now) = inner.write(|tx, office| {
            let known = meta(tx, HEEDED)?.and_then(|raw| raw.try_into().ok()).map_or(0, u64::from_be_bytes);
            Ok((known, erasures(&office.authority)))
        })?;
        if known == now {
            return Ok(false);
        }
        take_away(folder).map_err(Error::io("taking away files with what was erased"))?;
        set_meta(&inner.conn, HEEDED, &now.to_be_bytes())?;
        Ok(true)
    }
}

fn take_away(folder: &Path) -> std::io::Result<()> {
    let entries = match fs::read_dir(folder) {
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(()),
        other => other?,
    };
    for entry in entries {
        let entry = entry?;
        let gone =
            if entry.file_type()?.is_dir() { fs::remove_dir_all(entry.path()) } else { fs::remove_file(entry.path()) };
        // One that somebody else removed meanwhile is gone as well.
        gone.or_else(|e| if e.kind() == ErrorKind::NotFound { Ok(()) } else { Err(e) })?;
        durable::sync_name(&entry.path())?;
    }
    Ok(())
}
