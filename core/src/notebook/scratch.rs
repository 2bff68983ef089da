//! A file in the notebook's folder that lives as long as one piece of work: gone when it is dropped, and after a stopped
//! process at the next opening.

use std::{
    fs::{self, File},
    path::{Path, PathBuf},
    sync::atomic::{AtomicU64, Ordering},
};

use super::blobs;
use crate::{
    durable,
    error::{Error, Result},
};

const NAME: &str = "notebook.scratch-";
/// What SQLite puts beside a database.
pub(super) const ENDINGS: [&str; 4] = ["", "-wal", "-shm", "-journal"];

/// Such a file. It is locked, so that another process knows that it is in use.
pub(super) struct Scratch {
    path: PathBuf,
    _lock: File,
}

impl Scratch {
    /// A new, empty file that only its owner can read.
    pub(super) fn new(dir: &Path) -> Result<Self> {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        let name = format!("{NAME}{}-{}", std::process::id(), NEXT.fetch_add(1, Ordering::Relaxed));
        let path = dir.join(name);
        let what = || Error::io("making a file to work in");
        let mut options = fs::OpenOptions::new();
        options.write(true).create(true).truncate(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let lock = options.open(&path).map_err(what())?;
        lock.lock().map_err(what())?;
        Ok(Self { path, _lock: lock })
    }

    /// Where it stands.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Makes it durable under another name.
    pub(super) fn into_place(self, to: &Path) -> Result<()> {
        let what = || Error::io("putting a file in its place");
        File::open(&self.path).and_then(|f| f.sync_all()).map_err(what())?;
        durable::rename(&self.path, to).map_err(what())
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        // Gone already when it was put in its place; else removed at the next opening at the latest.
        let _ = remove(&self.path);
    }
}

/// Removes what stopped processes left.
pub(super) fn sweep(dir: &Path) -> Result<()> {
    let what = || Error::io("removing what a stopped process left");
    for entry in fs::read_dir(dir).map_err(what())?.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let is_one = name.starts_with(NAME) && !ENDINGS[1..].iter().any(|ending| name.ends_with(ending));
        // Whoever works in it holds the lock.
        if is_one && File::open(entry.path()).is_ok_and(|file| file.try_lock().is_ok()) {
            remove(&entry.path())?;
        }
    }
    Ok(())
}

/// Words stand in it: they are overwritten first.
fn remove(path: &Path) -> Result<()> {
    for ending in ENDINGS {
        blobs::wipe(&PathBuf::from(format!("{}{ending}", path.display())), "removing a file that was worked in")?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_nobody_works_in_is_swept() {
        let dir = tempfile::tempdir().unwrap();
        let left = dir.path().join(format!("{NAME}1-1"));
        fs::write(&left, b"words").unwrap();
        fs::write(format!("{}-wal", left.display()), b"words").unwrap();
        let at_work = Scratch::new(dir.path()).unwrap();
        sweep(dir.path()).unwrap();
        assert!(at_work.path().exists() && !left.exists());
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
        drop(at_work);
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
    }
}
