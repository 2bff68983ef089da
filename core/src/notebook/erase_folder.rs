//! Erasing a whole notebook from a device: key, database, photos, everything beside them.

use std::{fs, path::Path};

use super::{
    blobs,
    open::{Notebook, database, key_file},
};
use crate::error::{Error, Result};

impl Notebook {
    /// Erases the notebook in a folder, which must not be open. The key goes first: what a stop in between leaves can be read by
    /// nobody. Files are overwritten before they are removed, as far as the disk does what it is told.
    ///
    /// # Errors
    /// [`Error::NotFound`] when there is none; of the file system: asking again goes on.
    pub fn erase_folder(folder: &Path) -> Result<()> {
        if !key_file(folder).exists() && !database(folder).exists() {
            return Err(Error::NotFound("a notebook in this folder".into()));
        }
        let what = "erasing the notebook";
        blobs::wipe(&key_file(folder), what)?;
        wipe_all(folder, what)?;
        fs::remove_dir_all(folder).map_err(Error::io(what))
    }
}

fn wipe_all(folder: &Path, what: &'static str) -> Result<()> {
    for entry in fs::read_dir(folder).map_err(Error::io(what))? {
        let path = entry.map_err(Error::io(what))?.path();
        if path.is_dir() { wipe_all(&path, what)? } else { blobs::wipe(&path, what)? }
    }
    Ok(())
}
