//! Bundles as they came, in `originals/`: unchanged, still sealed, each under its own hash, so that one can be taken out or read
//! in again. One that names what was erased goes with the erasure; each goes 30 days after it was last taken in, since what it
//! brought stands in the notebook and in the office's backups.
//!
//! No backup holds them: what they brought is in the notebook.

use std::{
    fs::{self, File},
    io::ErrorKind,
    path::{Path, PathBuf},
    time::{Duration, SystemTime},
};

use dooryard_core::{
    Error, Result,
    bundle::names_any,
    durable,
    ids::{BlobId, RecordId},
    notebook::Record,
};

use super::{
    Office,
    erasures::write_whole,
    kept_files::{hash_of, keep},
};
use crate::index::overwrite;

/// So much of the disk stays free, bytes: a copy is worth less than room for what comes next.
const KEPT_FREE: u64 = 1 << 30;
/// So many days each is kept, counted by the clock of the disk.
pub const ORIGINAL_DAYS: u64 = 30;
/// Holds how many erasures there were when they were last looked through.
const HEEDED: &str = "heeded";

impl Office {
    fn originals(&self) -> PathBuf {
        self.dir.join("originals")
    }

    /// The bundle of this hash as it came.
    ///
    /// # Errors
    /// [`Error::NotFound`] when it was not kept, was removed with an erasure, or is older than [`ORIGINAL_DAYS`].
    pub fn original(&self, id: &str) -> Result<PathBuf> {
        let is_hash = id.len() == 64 && id.bytes().all(|b| b.is_ascii_hexdigit());
        let file = self.originals().join(format!("{id}.yard"));
        if is_hash && file.is_file() { Ok(file) } else { Err(Error::NotFound("the bundle as it came".into())) }
    }

    /// How many are kept, and their bytes.
    ///
    /// # Errors
    /// Of the file system.
    pub fn originals_kept(&self) -> Result<(u64, u64)> {
        let sizes = self.each_original()?.into_iter().filter_map(|file| Some(fs::metadata(file).ok()?.len()));
        Ok(sizes.fold((0, 0), |(n, bytes), size| (n + 1, bytes + size)))
    }

    /// Keeps a bundle that was taken in; returns its hash. `None` where the disk is nearly full, or where it names what was
    /// erased.
    pub(super) fn keep_original(&self, file: &Path) -> Result<Option<String>> {
        let what = || Error::io("keeping a bundle as it came");
        self.let_old_originals_go(SystemTime::now())?;
        let bytes = fs::metadata(file).map_err(what())?.len();
        let free = self.disk().map_or(u64::MAX, |(free, _)| free);
        let erased: Vec<RecordId> = self.notebook.authority()?.erased_records().copied().collect();
        let is_clean = erased.is_empty() || names_any(file, &self.opener(), &erased, &[])? == Some(false);
        if !is_clean || free < bytes.saturating_add(KEPT_FREE) {
            return Ok(None);
        }
        self.heed_originals()?;
        let (hash, _) = hash_of(file).map_err(what())?;
        keep(file, &self.originals(), &hash).map_err(what())?;
        // One that is here already came once more.
        let kept = File::options().write(true).open(self.originals().join(format!("{hash}.yard"))).map_err(what())?;
        kept.set_modified(SystemTime::now()).map_err(what())?;
        Ok(Some(hash))
    }

    /// Removes those that were last taken in more than [`ORIGINAL_DAYS`] ago.
    pub(super) fn let_old_originals_go(&self, now: SystemTime) -> Result<()> {
        for file in self.each_original()? {
            let kept = fs::metadata(&file).and_then(|about| about.modified());
            let is_old =
                |kept| now.duration_since(kept).is_ok_and(|age| age > Duration::from_hours(24 * ORIGINAL_DAYS));
            if kept.is_ok_and(is_old) {
                remove(&file)?;
            }
        }
        Ok(())
    }

    /// Removes those that name one of these records or photos, and those that can no longer be read.
    pub(super) fn forget_originals(&self, records: &[RecordId], photos: &[BlobId]) -> Result<()> {
        for file in self.each_original()? {
            if names_any(&file, &self.opener(), records, photos)? != Some(false) {
                remove(&file)?;
            }
        }
        self.heeded(self.erasures()?)
    }

    /// Removes all of them when something was erased without their being looked through: by a program that was stopped, or
    /// with the ledger beside a backup.
    pub(super) fn heed_originals(&self) -> Result<()> {
        let now = self.erasures()?;
        let known = match fs::read_to_string(self.originals().join(HEEDED)) {
            Ok(text) => text.trim().parse().ok(),
            Err(e) if e.kind() == ErrorKind::NotFound => None,
            Err(e) => return Err(Error::io("looking at bundles as they came")(e)),
        };
        if known == Some(now) {
            return Ok(());
        }
        self.each_original()?.iter().try_for_each(|file| remove(file))?;
        self.heeded(now)
    }

    fn erasures(&self) -> Result<u64> {
        Ok(self.notebook.changed_since(0, 0)?.erased)
    }

    fn heeded(&self, erasures: u64) -> Result<()> {
        durable::make_folders(&self.originals()).map_err(Error::io("making room for bundles as they came"))?;
        write_whole(&self.originals().join(HEEDED), erasures.to_string().as_bytes())
    }

    fn each_original(&self) -> Result<Vec<PathBuf>> {
        let entries = match fs::read_dir(self.originals()) {
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
            other => other.map_err(Error::io("looking at bundles as they came"))?,
        };
        // What a stopped program left half copied is looked through as the rest.
        let is_one = |path: &PathBuf| path.extension().is_some_and(|ending| ending == "yard" || ending == "new");
        Ok(entries.flatten().map(|entry| entry.path()).filter(is_one).collect())
    }
}

/// The photos that a record names, in any of the values that live.
pub(super) fn photos_of(record: &Record) -> Vec<BlobId> {
    let values = record.fields.iter().flat_map(|field| std::iter::once(&field.shown).chain(&field.others));
    values.filter_map(|live| live.value.as_ref()?.as_str()?.parse().ok()).collect()
}

/// One that somebody else removed meanwhile is gone as well.
fn remove(file: &Path) -> Result<()> {
    match overwrite(file) {
        Err(e) if e.kind() != ErrorKind::NotFound => Err(Error::io("removing a bundle with what was erased")(e)),
        _ => Ok(()),
    }
}
