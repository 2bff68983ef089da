//! Opening the database: pragmas, numbered migrations, refusal of newer files, damaged files set aside.

use std::{
    fs,
    path::{Path, PathBuf},
};

use rusqlite::{Connection, ErrorCode, TransactionBehavior};

use super::sound;
use crate::{
    error::{Code, Error, Result},
    fault::{self, Fault},
};

/// The migrations in order; `user_version` counts those that ran.
const MIGRATIONS: &[&str] = &[
    include_str!("../../migrations/0001_notebook.sql"),
    include_str!("../../migrations/0002_lost.sql"),
    include_str!("../../migrations/0003_safe.sql"),
    include_str!("../../migrations/0004_turned.sql"),
    include_str!("../../migrations/0005_waiting.sql"),
    include_str!("../../migrations/0006_first_screen.sql"),
    include_str!("../../migrations/0007_named_photos.sql"),
];

/// The highest `user_version` that this version knows.
pub fn newest_version() -> i64 {
    i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX)
}

/// Opens or makes the database at `path` and brings it to the newest version. All of it is looked through before, unless it
/// `is_whole` ([`super::sound`]).
///
/// # Errors
/// [`Error::NewerDatabase`] when a newer version wrote it (nothing is touched); [`Error::Damaged`] when it is damaged:
/// the file was renamed, with its log, and the next call makes a new one.
pub(super) fn open(path: &Path, is_whole: bool) -> Result<Connection> {
    match try_open(path, is_whole) {
        Err(Error::Storage(e)) if is_damage(&e) => Err(Error::Damaged { kept_at: set_aside(path)? }),
        other => other,
    }
}

/// As [`open`], of a database that came out of a backup: a damaged one is refused where it stands.
///
/// # Errors
/// `SCHEMA`; [`Error::NewerDatabase`].
pub(super) fn open_whole(path: &Path) -> Result<Connection> {
    match try_open(path, false) {
        Err(Error::Storage(e)) if is_damage(&e) => Err(Error::backup(Code::Schema, "the notebook in the backup")),
        other => other,
    }
}

fn try_open(path: &Path, is_whole: bool) -> Result<Connection> {
    if path.exists() {
        // A look at the version without writing a byte: no migration, and no new file beside it.
        let found = {
            use rusqlite::OpenFlags;
            let closed_cleanly = !PathBuf::from(format!("{}-wal", path.display())).exists();
            let uri = format!("file:{}?mode=ro{}", escape(path), if closed_cleanly { "&immutable=1" } else { "" });
            let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
            version(&Connection::open_with_flags(uri, flags)?)?
        };
        if found > newest_version() {
            return Err(Error::NewerDatabase { found, known: newest_version() });
        }
    }
    let mut conn = Connection::open(path)?;
    conn.busy_timeout(std::time::Duration::from_secs(10))?;
    conn.set_prepared_statement_cache_capacity(64);
    conn.execute_batch(
        "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA temp_store = 2;
         PRAGMA cache_size = -16384; PRAGMA secure_delete = ON; PRAGMA fullfsync = ON; PRAGMA checkpoint_fullfsync = ON;
         PRAGMA journal_size_limit = 16777216; PRAGMA cell_size_check = ON;",
    )?;
    if fault::is(Fault::NotSynced) {
        conn.execute_batch("PRAGMA synchronous = OFF")?;
    }
    if !is_whole && !sound::is_sound(&conn)? {
        let damaged = rusqlite::ffi::Error::new(rusqlite::ffi::SQLITE_CORRUPT);
        return Err(rusqlite::Error::SqliteFailure(damaged, None).into());
    }
    migrate(&mut conn)?;
    Ok(conn)
}

/// A path inside a SQLite URI.
fn escape(path: &Path) -> String {
    path.display().to_string().replace('%', "%25").replace('?', "%3f").replace('#', "%23")
}

fn version(conn: &Connection) -> Result<i64> {
    Ok(conn.query_row("PRAGMA user_version", [], |row| row.get(0))?)
}

fn migrate(conn: &mut Connection) -> Result<()> {
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let done = usize::try_from(version(&tx)?).unwrap_or(0);
    for (at, sql) in MIGRATIONS.iter().enumerate().skip(done) {
        tx.execute_batch(sql)?;
        tx.pragma_update(None, "user_version", i64::try_from(at + 1).unwrap_or(i64::MAX))?;
    }
    tx.commit()?;
    Ok(())
}

fn is_damage(e: &rusqlite::Error) -> bool {
    matches!(e.sqlite_error_code(), Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase))
}

/// Renames a damaged database and what belongs to it; returns the new path.
fn set_aside(path: &Path) -> Result<PathBuf> {
    let free = (1..).map(|n| path.with_extension(format!("damaged-{n}"))).find(|p| !p.exists());
    let kept_at = free.unwrap_or_else(|| path.with_extension("damaged"));
    for ending in ["-wal", "-shm"] {
        let from = PathBuf::from(format!("{}{ending}", path.display()));
        if from.exists() {
            let to = format!("{}{ending}", kept_at.display());
            fs::rename(&from, to).map_err(Error::io("setting a damaged file aside"))?;
        }
    }
    fs::rename(path, &kept_at).map_err(Error::io("setting a damaged file aside"))?;
    Ok(kept_at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_newer_database_is_refused_untouched() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("notebook.db");
        {
            let conn = open(&path, false).unwrap();
            conn.pragma_update(None, "user_version", 99).unwrap();
        }
        let before = fs::read(&path).unwrap();
        assert!(matches!(open(&path, false), Err(Error::NewerDatabase { found: 99, .. })));
        assert_eq!(fs::read(&path).unwrap(), before);
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1, "no file was left beside it");
    }

    #[test]
    fn a_damaged_database_is_set_aside_and_never_deleted() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("notebook.db");
        fs::write(&path, b"this is no database, but somebody's season may be in it".repeat(100)).unwrap();
        let Err(Error::Damaged { kept_at }) = open(&path, false) else { panic!("not noticed") };
        assert!(fs::read(&kept_at).unwrap().starts_with(b"this is no database"));
        open(&path, false).unwrap();
        fs::write(&path, b"again").unwrap();
        for ending in ["-wal", "-shm"] {
            let _ = fs::remove_file(format!("{}{ending}", path.display()));
        }
        let Err(Error::Damaged { kept_at: second }) = open(&path, false) else { panic!("not noticed") };
        assert!(kept_at.exists() && second.exists() && kept_at != second);
    }
}
