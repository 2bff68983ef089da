//! Photos on their way from the parts of a bundle into the store.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs::{self, File},
    io::{Read, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
};

use super::{make::BLOB_PART, manifest::BlobEntry, seal::Opener};
use crate::{
    error::{Code, Error, Result},
    ids::{BlobId, Hash32},
    notebook::Notebook,
};

/// Photos of one bundle. One of a single part goes straight into the store; larger ones are put together in `scratch`.
pub(super) struct Assembly<'a> {
    notebook: &'a Notebook,
    scratch: &'a Path,
    wanted: BTreeMap<BlobId, BlobEntry>,
    arrived: BTreeMap<BlobId, BTreeSet<usize>>,
}

impl<'a> Assembly<'a> {
    /// Nothing yet of these photos, each as its manifest names it and [`BlobEntry::is_possible`].
    pub(super) fn new(notebook: &'a Notebook, scratch: &'a Path, wanted: Vec<BlobEntry>) -> Self {
        let wanted = wanted.into_iter().map(|entry| (entry.id, entry)).collect();
        Self { notebook, scratch, wanted, arrived: BTreeMap::new() }
    }

    /// How many photos have not come.
    pub(super) fn missing(&self) -> u64 {
        self.wanted.len() as u64
    }

    /// Takes one part; says whether its photo is complete and stored now.
    ///
    /// # Errors
    /// `SCHEMA`, `NOT_FOR_US`, `PART_HASH`: the part is passed over; `NO_SPACE`; of the stores.
    pub(super) fn take(&mut self, opener: &Opener, sealed: &[u8]) -> Result<bool> {
        let mut plain = opener.open(sealed)?;
        let mut head = [0; BlobId::LEN + 8];
        let cut = |_| Error::refused(Code::Schema, "a photo's part");
        plain.read_exact(&mut head).map_err(cut)?;
        let id = BlobId::from_slice(&head[..BlobId::LEN])?;
        let Some(entry) = self.wanted.get(&id) else { return Ok(false) };
        let offset = head[BlobId::LEN..].iter().fold(0u64, |sum, byte| (sum << 8) | u64::from(*byte));
        let mut bytes = Vec::new();
        plain.take(BLOB_PART as u64 + 1).read_to_end(&mut bytes).map_err(cut)?;
        let (at, parts) = (part_at(entry, offset, &bytes)?, entry.parts.len());
        if parts == 1 {
            self.notebook.store_blob(&id, &mut &bytes[..])?;
            return Ok(self.wanted.remove(&id).is_some());
        }
        let path = self.scratch_path(&id);
        write_at(&path, offset, &bytes).map_err(Error::io("putting a photo together"))?;
        let arrived = self.arrived.entry(id).or_default();
        arrived.insert(at);
        if arrived.len() < parts {
            return Ok(false);
        }
        let mut whole = File::open(&path).map_err(Error::io("putting a photo together"))?;
        let stored = self.notebook.store_blob(&id, &mut whole);
        fs::remove_file(&path).map_err(Error::io("putting a photo together"))?;
        stored.map(|()| self.wanted.remove(&id).is_some())
    }

    fn scratch_path(&self, id: &BlobId) -> PathBuf {
        self.scratch.join(format!("{id}.part"))
    }
}

impl Drop for Assembly<'_> {
    fn drop(&mut self) {
        // Photos of which a part is missing: the phone offers them again until a receipt names them.
        for id in self.arrived.keys() {
            let _ = fs::remove_file(self.scratch_path(id));
        }
    }
}

/// The place of a part, if it is one that the signed manifest names, as long as it must be there: no part leaves a hole.
fn part_at(entry: &BlobEntry, offset: u64, bytes: &[u8]) -> Result<usize> {
    let at = usize::try_from(offset / BLOB_PART as u64).unwrap_or(usize::MAX);
    let named = entry.parts.get(at).filter(|_| offset.is_multiple_of(BLOB_PART as u64));
    let length = entry.size.saturating_sub(offset).min(BLOB_PART as u64);
    match named {
        Some(hash) if bytes.len() as u64 == length && *hash == Hash32::of(bytes) => Ok(at),
        _ => Err(Error::refused(Code::PartHash, "a photo's part")),
    }
}

fn write_at(path: &Path, offset: u64, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = fs::OpenOptions::new().write(true).create(true).truncate(false).open(path)?;
    file.seek(SeekFrom::Start(offset))?;
    file.write_all(bytes)
}
