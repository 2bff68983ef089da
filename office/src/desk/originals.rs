//! Bundles as they came, in `originals/`: unchanged, still sealed, each under its own hash, so that one can be taken out or read
//! in again. One that names what was erased goes with the erasure.
//!
//! No backup holds them: what they brought is in the notebook.

use std::{
    fs::{self, File},
    io::{ErrorKind, Read, Write},
    path::{Path, PathBuf},
};

use dooryard_core::{
    Error, Result,
    bundle::names_any,
    ids::{BlobId, Hash32, RecordId},
    notebook::Record,
};

use super::{Office, erasures::write_whole};

/// So much of the disk stays free, bytes: a copy is worth less than room for what comes next.
const KEPT_FREE: u64 = 1 << 30;
/// Holds how many erasures there were when they were last looked through.
const HEEDED: &str = "heeded";

impl Office {
    fn originals(&self) -> PathBuf {
        self.dir.join("originals")
    }

    /// The bundle of this hash as it came.
    ///
    /// # Errors
    /// [`Error::NotFound`] when it was not kept, or was removed with an erasure.
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
        let bytes = fs::metadata(file).map_err(what())?.len();
        let free = self.disk().map_or(u64::MAX, |(free, _)| free);
        let erased: Vec<RecordId> = self.notebook.authority()?.erased_records().copied().collect();
        let is_clean = erased.is_empty() || names_any(file, &self.opener(), &erased, &[])? == Some(false);
        if !is_clean || free < bytes.saturating_add(KEPT_FREE) {
            return Ok(None);
        }
        self.heed_originals()?;
        let folder = self.originals();
        let new = tempfile::Builder::new().suffix(".new").tempfile_in(&folder).map_err(what())?;
        let hash = copy(file, new.as_file()).map_err(what())?.to_hex();
        new.persist(folder.join(format!("{hash}.yard"))).map_err(|e| what()(e.error))?;
        Ok(Some(hash))
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
        fs::create_dir_all(self.originals()).map_err(Error::io("making room for bundles as they came"))?;
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

/// Copies a file to another, to the disk; returns its hash.
fn copy(from: &Path, mut to: &File) -> std::io::Result<Hash32> {
    let (mut source, mut hasher, mut piece) = (File::open(from)?, blake3::Hasher::new(), vec![0; 1 << 16]);
    loop {
        let n = source.read(&mut piece)?;
        let Some(bytes) = piece.get(..n).filter(|bytes| !bytes.is_empty()) else { break };
        hasher.update(bytes);
        to.write_all(bytes)?;
    }
    to.sync_all()?;
    Ok(Hash32(*hasher.finalize().as_bytes()))
}

/// Overwrites a file and removes it.
fn remove(file: &Path) -> Result<()> {
    let remove = || {
        let size = fs::metadata(file)?.len();
        let mut old = fs::OpenOptions::new().write(true).open(file)?;
        std::io::copy(&mut std::io::repeat(0).take(size), &mut old)?;
        old.sync_all()?;
        fs::remove_file(file)
    };
    match remove() {
        Err(e) if e.kind() != ErrorKind::NotFound => Err(Error::io("removing a bundle with what was erased")(e)),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use dooryard_core::{clock::Env, record::Kind};
    use dooryard_tests::{Yard, add_photo, files_with, save};
    use serde_json::json;

    use super::*;

    /// Two phones, each with an inquiry, the second with a photo; the bundle of each, and what became of it.
    fn two() -> (Yard, [RecordId; 2], BlobId, [Vec<u8>; 2], [String; 2]) {
        let yard = Yard::new(411, 2).unwrap();
        let records = [0, 1].map(|at| save(&yard.phones[at], Kind::Inquiry, json!({"question": "heron"})).unwrap());
        let photo = add_photo(&yard, &yard.phones[1]).unwrap();
        let files = [0, 1].map(|at| yard.bundle(&yard.phones[at], &format!("{at}.yard")).unwrap());
        let bytes = [0, 1].map(|at: usize| fs::read(&files[at]).unwrap());
        let ids = files.map(|file| yard.take_in(&file).unwrap().original.expect("kept"));
        (yard, records, photo, bytes, ids)
    }

    #[test]
    fn a_bundle_is_kept_unchanged_once_and_can_be_read_in_again() {
        let (yard, _, _, bytes, ids) = two();
        for (id, bytes) in ids.iter().zip(&bytes) {
            assert_eq!(fs::read(yard.office.original(id).unwrap()).unwrap(), *bytes);
        }
        let kept = yard.office.originals_kept().unwrap();
        assert_eq!(kept, (2, bytes.iter().map(|b| b.len() as u64).sum()));
        let (digest, file) = (yard.office.notebook().digest().unwrap(), yard.office.original(&ids[0]).unwrap());
        let again = yard.take_in(&file).unwrap();
        assert_eq!((again.report.new, again.original.as_ref()), (0, Some(&ids[0])));
        assert_eq!(yard.office.notebook().digest().unwrap(), digest);
        assert_eq!(yard.office.originals_kept().unwrap(), kept);
        for no_hash in ["", "../office.key", &"a".repeat(64), &ids[0][..63]] {
            assert!(matches!(yard.office.original(no_hash), Err(Error::NotFound(_))), "{no_hash}");
        }
    }

    #[test]
    fn one_that_names_what_is_erased_goes_and_does_not_come_back() {
        let (yard, records, _, bytes, ids) = two();
        let needle = &bytes[0][bytes[0].len() / 2..][..40];
        let holds = || files_with(&yard.office.folder().join("originals"), needle).unwrap().len();
        assert_eq!(holds(), 1);
        yard.office.erase(records[0]).unwrap();
        assert_eq!(holds(), 0);
        assert!(yard.office.original(&ids[0]).is_err() && yard.office.original(&ids[1]).is_ok(), "the other one stays");
        let replayed = yard.take_in(&yard.file("0.yard")).unwrap();
        assert_eq!(replayed.original, None);
        assert_eq!(holds(), 0);
        // Of one field alone, too.
        yard.office.erase_fields(records[1], &["question"]).unwrap();
        assert_eq!(yard.office.originals_kept().unwrap().0, 0);
    }

    #[test]
    fn one_with_the_bytes_of_a_photo_goes_with_it_whatever_else_it_names() {
        let (yard, _, photo, _, ids) = two();
        yard.office.forget_originals(&[], &[BlobId::of(b"another")]).unwrap();
        assert!(yard.office.original(&ids[1]).is_ok());
        yard.office.forget_originals(&[], &[photo]).unwrap();
        assert!(yard.office.original(&ids[1]).is_err() && yard.office.original(&ids[0]).is_ok());
    }

    #[test]
    fn after_an_erasure_that_was_stopped_half_way_none_is_kept() {
        let (mut yard, records, _, _, ids) = two();
        // As a program leaves it that is stopped between the notebook and the originals.
        let aside = yard.dir.path().join("aside.yard");
        fs::copy(yard.office.original(&ids[0]).unwrap(), &aside).unwrap();
        let heeded = yard.office.originals().join(HEEDED);
        let before = fs::read_to_string(&heeded).unwrap();
        yard.office.erase(records[0]).unwrap();
        assert_ne!(fs::read_to_string(&heeded).unwrap(), before);
        fs::write(&heeded, before).unwrap();
        fs::copy(&aside, yard.office.originals().join(format!("{}.yard", ids[0]))).unwrap();
        let folder = yard.office.folder().to_owned();
        yard.office = Office::open(&folder, Env::seeded(412, &yard.clock)).unwrap();
        assert_eq!(yard.office.originals_kept().unwrap(), (0, 0));
        // Without any new erasure they stay over a start.
        save(&yard.phones[1], Kind::Inquiry, json!({"question": "crane"})).unwrap();
        let file = yard.bundle(&yard.phones[1], "later.yard").unwrap();
        let kept = yard.take_in(&file).unwrap().original.expect("kept");
        yard.office = Office::open(&folder, Env::seeded(413, &yard.clock)).unwrap();
        assert!(yard.office.original(&kept).is_ok());
    }
}
