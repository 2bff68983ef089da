//! The key under which records are numbered in what goes to the public.

use std::fs;

use dooryard_core::{Error, Result};

use super::{Office, backup::DEVICE_KEY};

impl Office {
    /// The key of the office's public numbers: the same for the office's whole life, since it follows from the key of the
    /// office's own notebook, which backups hold and which is never changed.
    ///
    /// # Errors
    /// Of the file system.
    pub fn public_id_key(&self) -> Result<[u8; 32]> {
        let secret =
            fs::read(self.folder().join(DEVICE_KEY)).map_err(Error::io("reading the key of public numbers"))?;
        Ok(blake3::derive_key("dooryard public record number v1", &secret))
    }
}
