//! Files whose names last as their bytes do: a sync of a file promises its bytes alone, its name lasts from a sync of its folder on.

use std::{
    fs::{self, File},
    io::{self, ErrorKind, Write},
    path::Path,
};

use rusqlite::Connection;

use crate::error::{Error, Result};

/// The folder that a path names something in.
fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Makes the name of a file or folder last, or that it is gone.
///
/// # Errors
/// Of the file system.
pub fn sync_name(path: &Path) -> io::Result<()> {
    File::open(folder_of(path))?.sync_all()
}

/// Makes a folder and those above it that are not there.
///
/// # Errors
/// Of the file system.
pub fn make_folders(path: &Path) -> io::Result<()> {
    if path.is_dir() {
        return Ok(());
    }
    let above = folder_of(path);
    if above != path {
        make_folders(above)?;
    }
    match fs::create_dir(path) {
        // Somebody else made it meanwhile.
        Err(e) if e.kind() == ErrorKind::AlreadyExists && path.is_dir() => {}
        other => other?,
    }
    sync_name(path)
}

/// Gives a file whose bytes are on the disk its name; what stood there before is replaced.
///
/// # Errors
/// Of the file system.
pub fn rename(from: &Path, to: &Path) -> io::Result<()> {
    fs::rename(from, to)?;
    sync_name(to)
}

/// Removes a file. One that is not there is gone already.
///
/// # Errors
/// Of the file system.
pub fn remove(path: &Path) -> io::Result<()> {
    match fs::remove_file(path) {
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(()),
        other => other.and_then(|()| sync_name(path)),
    }
}

/// Writes a file so that it is there whole, or as it was. It is written beside its place, under its name with `.new` behind it.
///
/// # Errors
/// Of the file system.
pub fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".new");
    let new = path.with_file_name(name);
    let mut file = File::create(&new)?;
    file.write_all(bytes)?;
    file.sync_all()?;
    rename(&new, path)
}

/// Folds the write-ahead log of a database into it and empties it, so that nothing of it is there after a power cut either: SQLite
/// empties it without a sync. Says whether it could; not where somebody reads at this moment.
///
/// # Errors
/// Of SQLite, of the file system.
pub fn fold_in(conn: &Connection) -> Result<bool> {
    let busy: i64 = conn.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))?;
    if let Some(database) = conn.path().filter(|_| busy == 0) {
        match File::open(format!("{database}-wal")) {
            Err(e) if e.kind() == ErrorKind::NotFound => {}
            log => log.and_then(|log| log.sync_all()).map_err(Error::io("emptying the write-ahead log"))?,
        }
    }
    Ok(busy == 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_are_made_one_in_the_other_and_what_is_no_folder_is_refused() {
        let dir = tempfile::tempdir().unwrap();
        let deep = dir.path().join("a/b/c");
        make_folders(&deep).unwrap();
        make_folders(&deep).unwrap();
        assert!(deep.is_dir());
        fs::write(deep.join("file"), b"").unwrap();
        assert!(make_folders(&deep.join("file/d")).is_err());
        assert!(make_folders(&deep.join("file")).is_err());
    }

    #[test]
    fn a_file_is_replaced_whole_and_removed_once() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("list.json");
        write_whole(&path, b"older").unwrap();
        write_whole(&path, b"new").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
        remove(&path).unwrap();
        remove(&path).unwrap();
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
        assert!(write_whole(&dir.path().join("nowhere/list.json"), b"").is_err());
    }
}
