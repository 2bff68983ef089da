//! Damaged files that were set aside, and what an erasure does to them.

use std::{
    fs::{self, File},
    io::Read,
    path::{Path, PathBuf},
};

use rusqlite::{Connection, OpenFlags};
use serde::Serialize;

use super::{blobs, open::Notebook, scratch::ENDINGS};
use crate::{
    error::{Error, Result},
    ids::RecordId,
};

/// Bytes that are looked through at once.
const BLOCK: usize = 256 << 10;

/// A damaged file that was set aside.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct DamagedFile {
    /// Its name in the notebook's folder.
    pub name: String,
    /// Its bytes.
    pub bytes: u64,
    /// A record stands in it of which something was erased, and part of the file cannot be read: a person decides.
    pub holds_erased: bool,
}

impl Notebook {
    /// The damaged files that were set aside, in order of names.
    ///
    /// # Errors
    /// Of the file system.
    pub fn damaged_files(&self) -> Result<Vec<DamagedFile>> {
        let erased = self.erased_records();
        let mut found = Vec::new();
        for path in set_aside(&self.dir)? {
            let bytes = fs::metadata(&path).map_err(reading())?.len();
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            found.push(DamagedFile { name, bytes, holds_erased: holds_any(&path, &erased)? });
        }
        Ok(found)
    }

    /// Erases a damaged file that was set aside, with what belongs to it: a person decided that nothing more is wanted of it.
    ///
    /// # Errors
    /// [`Error::NotFound`]; of the file system.
    pub fn erase_damaged(&self, name: &str) -> Result<()> {
        let path = set_aside(&self.dir)?.into_iter().find(|path| path.file_name().is_some_and(|known| known == name));
        wipe(&path.ok_or_else(|| Error::NotFound("a damaged file of that name".into()))?)
    }

    /// After an erasure: a damaged file that holds an erased record is gone through once more; when all of it could be
    /// read, and so all of it is here, it is erased. Else it is listed for a decision.
    pub(super) fn settle_damaged(&self) -> Result<()> {
        let erased = self.erased_records();
        for path in set_aside(&self.dir)? {
            let all_read = || self.recover(&path).is_ok_and(|got| got.unreadable == 0 && got.any());
            if holds_any(&path, &erased)? && all_read() && self.has_drafts_of(&path, &erased).unwrap_or(false) {
                wipe(&path)?;
            }
        }
        Ok(())
    }

    /// Whether every draft of a damaged file is here too, but for those of erased records.
    fn has_drafts_of(&self, damaged: &Path, erased: &[RecordId]) -> Result<bool> {
        let conn = Connection::open_with_flags(damaged, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        let mut query = conn.prepare("SELECT key, text FROM draft")?;
        let mut found = query.query([])?;
        while let Some(row) = found.next()? {
            let (key, text): (String, String) = (row.get(0)?, row.get(1)?);
            let is_erased = erased.iter().any(|rec| key.contains(&rec.to_string()));
            if !is_erased && self.draft(&key)?.as_deref() != Some(&text) {
                return Ok(false);
            }
        }
        Ok(true)
    }

    fn erased_records(&self) -> Vec<RecordId> {
        let inner = self.lock();
        inner.office.authority.erased_records().copied().collect()
    }
}

fn reading() -> impl FnOnce(std::io::Error) -> Error {
    Error::io("looking at a damaged file")
}

/// The damaged databases of a folder.
pub(super) fn set_aside(dir: &Path) -> Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(dir).map_err(reading())?.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.starts_with("notebook.damaged") && !ENDINGS.iter().any(|end| !end.is_empty() && name.ends_with(end)) {
            found.push(entry.path());
        }
    }
    found.sort();
    Ok(found)
}

/// Whether the id of one of these records stands in a file or in what belongs to it: every row of a record begins with it.
fn holds_any(path: &Path, records: &[RecordId]) -> Result<bool> {
    for ending in ENDINGS {
        match File::open(format!("{}{ending}", path.display())) {
            Ok(file) => {
                if holds(file, records).map_err(reading())? {
                    return Ok(true);
                }
            }
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {}
            Err(e) => return Err(reading()(e)),
        }
    }
    Ok(false)
}

fn holds(mut file: File, records: &[RecordId]) -> std::io::Result<bool> {
    let (mut window, mut kept) = (vec![0; BLOCK + RecordId::LEN], 0);
    loop {
        let n = file.read(&mut window[kept..])?;
        if n == 0 {
            return Ok(false);
        }
        let end = kept + n;
        let ids = window[..end].windows(RecordId::LEN);
        if ids.into_iter().any(|bytes| records.iter().any(|rec| rec.0 == bytes)) {
            return Ok(true);
        }
        kept = end.min(RecordId::LEN - 1);
        window.copy_within(end - kept..end, 0);
    }
}

fn wipe(path: &Path) -> Result<()> {
    for ending in ENDINGS {
        blobs::wipe(&PathBuf::from(format!("{}{ending}", path.display())), "erasing a damaged file")?;
    }
    Ok(())
}
