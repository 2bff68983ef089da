//! Files on their way into a notebook: a shot that the camera is to write. They outlive the process, and never go into a backup.

use std::{fs, path::PathBuf};

use super::{blobs, open::Notebook};
use crate::{
    error::{Code, Error, Result},
    ids::RecordId,
};

const FOLDER: &str = "incoming";

impl Notebook {
    /// Where the file of a record that is yet to come is written. Its folder is there when this returns.
    ///
    /// # Errors
    /// Of the file system.
    pub fn incoming(&self, record: RecordId, ending: &str) -> Result<PathBuf> {
        let folder = self.dir.join(FOLDER);
        fs::create_dir_all(&folder).map_err(Error::io("making room for a file"))?;
        Ok(folder.join(format!("{record}.{ending}")))
    }

    /// Removes such a file, overwriting it first. One that is not there is gone already.
    ///
    /// # Errors
    /// `SCHEMA` for a file elsewhere; of the file system.
    pub fn remove_incoming(&self, path: &std::path::Path) -> Result<()> {
        if path.parent() != Some(&self.dir.join(FOLDER)) {
            return Err(Error::refused(Code::Schema, "a file that is not on its way in"));
        }
        blobs::wipe(path, "removing a file that was taken in")
    }
}
