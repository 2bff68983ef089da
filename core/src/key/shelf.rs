//! The packs that a device keeps: the current one and the one before it, and which keys may bring newer ones.
//!
//! A shelf is a folder with `shelf.json` and the pack files that it names. The files are put there first, whole and on
//! disk; then `shelf.json` is replaced in one step. Killed at any moment, the shelf is as it was before or after.
//!
//! Rules, those of update frameworks for one file:
//! - A pack is taken when a trusted key signed it. The keys given at the start are trusted; a manifest that names the keys
//!   from now on, signed by a trusted one, replaces all of them. Each new key must have signed it, too.
//! - The highest version is remembered by key, and counted for the keys that stay trusted: whatever number a leaked key
//!   has reached does not stand in the way of the key that replaces it.
//! - An older version is refused. A person may go back to the pack before; what is known of keys and versions stays.
//! - A pack past its day is told to be old, and works as before.

mod store;
#[cfg(test)]
mod tests;

use super::{
    Pack,
    file::{Key, PackFile},
};
use crate::{Code, Error, Result};
use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
};
use store::{Kept, State};

/// A folder with the packs of a device.
#[derive(Debug)]
pub struct Shelf {
    folder: PathBuf,
    state: State,
}

/// What taking a pack came to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Taken {
    /// It is the current one now.
    Current,
    /// It was the current one already.
    AlreadyThere,
}

impl Shelf {
    /// The shelf in this folder, or a new one that trusts these keys. A shelf that is there has its own keys.
    ///
    /// # Errors
    /// `SCHEMA` for a shelf that is damaged, or for a new one without a key; of the file system.
    pub fn open(folder: &Path, keys: &[Key]) -> Result<Self> {
        let state = match store::read(folder)? {
            Some(state) => state,
            None if keys.is_empty() => {
                return Err(Error::pack(Code::Schema, "a new shelf without a key to trust"));
            }
            None => State { trusted: keys.iter().map(hex::encode).collect(), ..State::default() },
        };
        Ok(Self { folder: folder.to_owned(), state })
    }

    /// Whether a folder holds a shelf.
    pub fn is_there(folder: &Path) -> bool {
        store::is_there(folder)
    }

    /// The keys that may bring a newer pack, as 64 hexadecimal digits.
    pub fn trusted(&self) -> &[String] {
        &self.state.trusted
    }

    /// Highest version taken, by the key that signed it.
    pub fn highest(&self) -> &BTreeMap<String, u32> {
        &self.state.highest
    }

    /// The current pack file; nothing before the first was taken.
    ///
    /// # Errors
    /// `PART_HASH` when the file is not the one that was taken; as [`PackFile::read`].
    pub fn current(&self) -> Result<Option<PackFile>> {
        self.state.current.as_ref().map(|kept| store::load(&self.folder, kept)).transpose()
    }

    /// The pack file before it.
    ///
    /// # Errors
    /// As [`Shelf::current`].
    pub fn previous(&self) -> Result<Option<PackFile>> {
        self.state.previous.as_ref().map(|kept| store::load(&self.folder, kept)).transpose()
    }

    /// Takes a pack file: it is the current one afterwards, and the current one is the one before it.
    ///
    /// # Errors
    /// `UNKNOWN_DEVICE` when no trusted key signed it, `STALE_REPLY` when it is older than what its key has brought,
    /// `SCHEMA` when it is another pack than the shelf's or names keys that did not sign it; as [`PackFile::pack`]; of the
    /// file system. Nothing is changed then.
    pub fn take(&mut self, file: &PackFile) -> Result<Taken> {
        let manifest = &file.manifest;
        let signers: Vec<String> = manifest.signers.iter().map(hex::encode).collect();
        let trusted: Vec<String> = signers.iter().filter(|k| self.state.trusted.contains(k)).cloned().collect();
        if trusted.is_empty() {
            return Err(Error::pack(Code::UnknownDevice, format!("signed by {}", signers.join(" and "))));
        }
        let next: Vec<String> = manifest.next.iter().map(hex::encode).collect();
        if next.iter().any(|k| !signers.contains(k) && !self.state.trusted.contains(k)) {
            return Err(Error::pack(Code::Schema, "it names a key from now on that has not signed it"));
        }
        // The keys whose versions count: those that signed it and are trusted afterwards.
        let mut counting: Vec<String> =
            if next.is_empty() { trusted.clone() } else { signers.into_iter().filter(|k| next.contains(k)).collect() };
        if counting.is_empty() {
            counting = trusted;
        }
        for key in &counting {
            if let Some(highest) = self.state.highest.get(key).filter(|highest| **highest > manifest.version) {
                let detail = format!("version {}, and this key has brought version {highest}", manifest.version);
                return Err(Error::pack(Code::StaleReply, detail));
            }
        }
        let kept = Kept { hash: file.hash().to_hex(), id: manifest.id.clone(), version: manifest.version };
        if self.state.current.as_ref().is_some_and(|c| c.id != kept.id) {
            return Err(Error::pack(Code::Schema, format!("pack {}, and this shelf is of another", kept.id)));
        }
        if self.state.current.as_ref() == Some(&kept) {
            return Ok(Taken::AlreadyThere);
        }
        // A version stands for one content.
        let other = |of: &&Kept| of.version == kept.version && of.hash != kept.hash;
        let same_key = counting.iter().any(|k| self.state.highest.get(k) == Some(&kept.version));
        if same_key && self.state.current.iter().chain(&self.state.previous).any(|of| other(&of)) {
            let detail = format!("version {} was taken already, with other content", kept.version);
            return Err(Error::pack(Code::StaleReply, detail));
        }
        // Content that cannot be used never becomes the current one.
        file.pack()?;
        let mut state = self.state.clone();
        for key in counting {
            state.highest.insert(key, manifest.version);
        }
        if !next.is_empty() {
            state.trusted = next;
        }
        state.previous = state.current.replace(kept);
        store::put(&self.folder, &state, Some(file))?;
        self.state = state;
        Ok(Taken::Current)
    }

    /// Goes back to the pack before, which a person has asked for. Doing it again goes forward again.
    ///
    /// # Errors
    /// [`Error::NotFound`] when there is none; as [`Shelf::previous`]; of the file system.
    pub fn roll_back(&mut self) -> Result<PackFile> {
        let Some(file) = self.previous()? else { return Err(Error::NotFound("a pack before this one".into())) };
        let mut state = self.state.clone();
        std::mem::swap(&mut state.current, &mut state.previous);
        store::put(&self.folder, &state, None)?;
        self.state = state;
        Ok(file)
    }

    /// The current pack.
    ///
    /// # Errors
    /// [`Error::NotFound`] before the first was taken; as [`Shelf::current`] and [`PackFile::pack`].
    pub fn pack(&self) -> Result<Pack> {
        self.current()?.ok_or_else(|| Error::NotFound("a pack on the shelf".into()))?.pack()
    }
}
