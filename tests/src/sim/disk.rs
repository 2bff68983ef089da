//! The disk under every database of a history: it can be full from one write on, and it can lose its power, and with that what was
//! written since the file was last synced. It stands between SQLite and the system's files as a VFS of SQLite (for all connections of
//! the process) and notes what each write replaced.
//!
//! That a file was cut off or removed is not undone: SQLite does not sync the end of its log after it folded the log in, so that words of
//! an erasure just before the cut could stand in it again until the next time it is folded in. Only databases lose what was not synced. Photos, keys and files of the carrier are written past SQLite: of those a power cut
//! leaves what was written.

mod vfs;

use std::{
    cell::RefCell,
    collections::BTreeMap,
    ffi::c_int,
    fs,
    os::unix::fs::MetadataExt,
    path::{Path, PathBuf},
    sync::OnceLock,
};

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rusqlite::ffi;

/// How a disk fails.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Failing {
    /// It is full.
    Full,
    /// Its power goes.
    PowerCut,
}

/// What a file would hold after a power cut, by its path.
pub type Survived = BTreeMap<PathBuf, Vec<u8>>;

/// A write that was not synced yet.
struct Unsynced {
    at: u64,
    /// Bytes of the file before.
    size: u64,
    /// What stood there.
    old: Vec<u8>,
    /// What stands there now.
    new: Vec<u8>,
}

/// A failure that is to come.
struct Awaited {
    folder: PathBuf,
    how: Failing,
    /// Calls that still go through.
    left: u64,
    /// Decides what a power cut spares.
    random: ChaCha8Rng,
    survived: Option<Survived>,
}

/// What one history's thread knows of its disks.
#[derive(Default)]
struct Disks {
    /// What was not synced, in order, by path; and the file that stood there.
    unsynced: BTreeMap<PathBuf, (u64, Vec<Unsynced>)>,
    awaited: Option<Awaited>,
}

thread_local! {
    static DISKS: RefCell<Disks> = RefCell::default();
}

/// Puts itself under SQLite, and begins with disks that lost nothing.
///
/// # Errors
/// Of SQLite.
pub fn begin() -> std::io::Result<()> {
    static PLACED: OnceLock<c_int> = OnceLock::new();
    DISKS.take();
    match *PLACED.get_or_init(vfs::place) {
        ffi::SQLITE_OK => Ok(()),
        code => Err(std::io::Error::other(format!("SQLite takes no other disk: {code}"))),
    }
}

/// The databases below a folder fail after so many more calls that change them.
pub fn fails(folder: &Path, how: Failing, after: u64, seed: u64) {
    let random = ChaCha8Rng::seed_from_u64(seed);
    let awaited = Awaited { folder: folder.to_owned(), how, left: after, random, survived: None };
    DISKS.with_borrow_mut(|disks| disks.awaited = Some(awaited));
}

/// The disk works again. Gives what a power cut left, if one came.
pub fn works() -> Option<Survived> {
    DISKS.with_borrow_mut(|disks| disks.awaited.take()?.survived)
}

/// The power goes now: what is left of the databases below a folder. Nothing that was not synced is sure to be.
///
/// # Errors
/// Of the file system.
pub fn power_cut(folder: &Path, seed: u64) -> std::io::Result<Survived> {
    DISKS.with_borrow(|disks| disks.survived(folder, &mut ChaCha8Rng::seed_from_u64(seed)))
}

impl Disks {
    /// All of what was not synced is gone, or some of it, as it comes.
    fn survived(&self, folder: &Path, random: &mut ChaCha8Rng) -> std::io::Result<Survived> {
        let mut survived = Survived::new();
        let all_gone = random.random_bool(0.5);
        for (path, (inode, unsynced)) in self.unsynced.iter().filter(|(path, _)| path.starts_with(folder)) {
            if unsynced.is_empty() || inode_of(path) != Some(*inode) {
                continue;
            }
            let mut bytes = fs::read(path)?;
            for write in unsynced.iter().rev() {
                write.undo(&mut bytes);
            }
            for write in unsynced {
                if !all_gone && random.random_bool(0.5) {
                    write.redo(&mut bytes);
                }
            }
            survived.insert(path.clone(), bytes);
        }
        Ok(survived)
    }

    /// Whether a call that changes a file fails, with what code.
    fn failing(&mut self, path: &Path, grows: bool) -> Option<c_int> {
        let mut awaited = self.awaited.take_if(|awaited| path.starts_with(&awaited.folder))?;
        let code = match (awaited.how, awaited.left) {
            (Failing::Full, _) if !grows => None,
            (_, 1..) => {
                awaited.left -= 1;
                None
            }
            (Failing::Full, 0) => Some(ffi::SQLITE_FULL),
            (Failing::PowerCut, 0) => {
                if awaited.survived.is_none() {
                    awaited.survived = self.survived(&awaited.folder.clone(), &mut awaited.random).ok();
                }
                Some(ffi::SQLITE_IOERR)
            }
        };
        self.awaited = Some(awaited);
        code
    }

    fn note(&mut self, path: &Path, unsynced: Unsynced) {
        let Some(inode) = inode_of(path) else { return };
        let (of, noted) = self.unsynced.entry(path.to_owned()).or_default();
        if *of != inode {
            (*of, *noted) = (inode, Vec::new());
        }
        noted.push(unsynced);
    }

    /// A file ends here now, for good: what is behind it does not come back.
    fn cut(&mut self, path: &Path, end: u64) {
        let Some((_, noted)) = self.unsynced.get_mut(path) else { return };
        noted.retain(|write| write.at < end);
        for write in noted {
            let left = (end - write.at) as usize;
            write.size = write.size.min(end);
            write.old.truncate(left);
            write.new.truncate(left);
        }
    }
}

impl Unsynced {
    fn undo(&self, bytes: &mut Vec<u8>) {
        bytes.resize(self.size as usize, 0);
        put(bytes, self.at, &self.old);
    }

    fn redo(&self, bytes: &mut Vec<u8>) {
        put(bytes, self.at, &self.new);
    }
}

/// Writes at a place, behind the end too.
fn put(bytes: &mut Vec<u8>, at: u64, what: &[u8]) {
    let at = at as usize;
    if bytes.len() < at + what.len() {
        bytes.resize(at + what.len(), 0);
    }
    bytes[at..at + what.len()].copy_from_slice(what);
}

fn inode_of(path: &Path) -> Option<u64> {
    fs::metadata(path).ok().map(|file| file.ino())
}
