//! Photos on disk under their content addresses.

use std::{
    fs::{self, File},
    io::{Read, Write},
    path::{Path, PathBuf},
};

use rusqlite::{Connection, params};

use crate::{
    durable,
    error::{Code, Error, Result},
    ids::BlobId,
};

/// Where a photo's bytes stand below the folder of photos.
pub(super) fn path_of(root: &Path, id: &BlobId) -> PathBuf {
    let name = id.to_hex();
    root.join(&name[2..4]).join(name)
}

/// Stores bytes under their own address; durable on return.
///
/// # Errors
/// Of the file system; `NO_SPACE` on a full disk.
pub(super) fn put_bytes(root: &Path, bytes: &[u8]) -> Result<(BlobId, u64)> {
    put(root, &mut &bytes[..], None)
}

/// Stores what `source` gives, which must be the bytes of `expected`; durable on return.
///
/// # Errors
/// `PART_HASH` when the bytes are others; nothing is left behind.
pub(super) fn put_expected(root: &Path, source: &mut dyn Read, expected: &BlobId) -> Result<u64> {
    put(root, source, Some(expected)).map(|(_, size)| size)
}

/// Notes a photo whose bytes are here.
///
/// # Errors
/// Of SQLite.
pub(super) fn note_held(tx: &Connection, id: &BlobId, size: u64) -> Result<()> {
    let sql = "INSERT INTO blob(id, size, held) VALUES(?1, ?2, 1) ON CONFLICT(id) DO UPDATE SET held = 1, let_go = 0";
    tx.prepare_cached(sql)?.execute(params![id.0, size as i64])?;
    Ok(())
}

fn put(root: &Path, source: &mut dyn Read, expected: Option<&BlobId>) -> Result<(BlobId, u64)> {
    let what = "storing a photo";
    durable::make_folders(&root.join("new")).map_err(Error::io(what))?;
    let temp = root.join("new").join(format!("{}-{}", std::process::id(), unique()));
    let written = write_hashed(source, &temp).map_err(Error::io(what));
    let checked = written.and_then(|(id, size)| match expected {
        Some(wanted) if *wanted != id => Err(Error::refused(Code::PartHash, "a photo")),
        _ => Ok((id, size)),
    });
    let placed = checked.and_then(|(id, size)| {
        let path = path_of(root, &id);
        durable::make_folders(path.parent().unwrap_or(root)).map_err(Error::io(what))?;
        durable::rename(&temp, &path).map_err(Error::io(what))?;
        Ok((id, size))
    });
    if placed.is_err() {
        let _ = fs::remove_file(&temp);
    }
    placed
}

fn write_hashed(source: &mut dyn Read, to: &Path) -> std::io::Result<(BlobId, u64)> {
    let mut file = File::create(to)?;
    let mut hasher = blake3::Hasher::new();
    let mut buffer = vec![0; 256 * 1024];
    let mut size = 0;
    loop {
        let n = source.read(&mut buffer)?;
        if n == 0 {
            break;
        }
        hasher.update(&buffer[..n]);
        file.write_all(&buffer[..n])?;
        size += n as u64;
    }
    file.sync_all()?;
    Ok((BlobId::from_hash(hasher.finalize()), size))
}

fn unique() -> u64 {
    static NEXT: std::sync::atomic::AtomicU64 = std::sync::atomic::AtomicU64::new(0);
    NEXT.fetch_add(1, std::sync::atomic::Ordering::Relaxed)
}

/// Every photo that stands below the folder of photos, whether the database knows it or not: after a restore it may not.
///
/// # Errors
/// Of the file system.
pub(super) fn all(root: &Path) -> Result<Vec<BlobId>> {
    let what = || Error::io("looking for photos");
    let mut found = Vec::new();
    let folders = match fs::read_dir(root) {
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(found),
        folders => folders.map_err(what())?,
    };
    for folder in folders {
        let path = folder.map_err(what())?.path();
        if path.is_dir() {
            for file in fs::read_dir(path).map_err(what())? {
                let name = file.map_err(what())?.file_name();
                found.extend(name.to_str().and_then(|name| name.parse::<BlobId>().ok()));
            }
        }
    }
    Ok(found)
}

/// Removes what a stopped process left half written.
///
/// # Errors
/// Of the file system.
pub(super) fn sweep(root: &Path) -> Result<()> {
    match fs::read_dir(root.join("new")) {
        Ok(entries) => {
            for entry in entries.flatten() {
                fs::remove_file(entry.path()).map_err(Error::io("removing a half-written photo"))?;
            }
            Ok(())
        }
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(()),
        Err(e) => Err(Error::io("looking for half-written photos")(e)),
    }
}

/// Removes a photo, overwriting its bytes first.
///
/// # Errors
/// Of the file system.
pub(super) fn erase(root: &Path, id: &BlobId) -> Result<()> {
    wipe(&path_of(root, id), "erasing a photo")
}

/// Removes a file, overwriting its bytes first. One that is not there is gone already.
///
/// # Errors
/// Of the file system, with `what` was tried.
pub(super) fn wipe(path: &Path, what: &str) -> Result<()> {
    let wipe = || -> std::io::Result<()> {
        let size = fs::metadata(path)?.len();
        let mut file = fs::OpenOptions::new().write(true).open(path)?;
        std::io::copy(&mut std::io::repeat(0).take(size), &mut file)?;
        file.sync_all()?;
        fs::remove_file(path)
    };
    match wipe() {
        Err(e) if e.kind() != std::io::ErrorKind::NotFound => Err(Error::io(what)(e)),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_of_another_address_are_refused_and_leave_nothing() {
        let dir = tempfile::tempdir().unwrap();
        let (id, size) = put_bytes(dir.path(), b"leaf").unwrap();
        assert_eq!((fs::read(path_of(dir.path(), &id)).unwrap(), size), (b"leaf".to_vec(), 4));
        let wrong = put_expected(dir.path(), &mut &b"other"[..], &id).unwrap_err();
        assert_eq!(wrong.code(), Some(Code::PartHash));
        assert_eq!(fs::read_dir(dir.path().join("new")).unwrap().count(), 0);
        erase(dir.path(), &id).unwrap();
        assert!(!path_of(dir.path(), &id).exists());
        erase(dir.path(), &id).unwrap();
    }
}
