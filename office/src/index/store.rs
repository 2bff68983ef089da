//! The file of the index: opening, marks, clearing, cleaning, wiping.

use std::{
    fs,
    io::{ErrorKind, Read},
    path::Path,
    time::Duration,
};

use dooryard_core::{Error, Result, durable};
use rusqlite::{Connection, OptionalExtension, ToSql, functions::FunctionFlags, params, types::FromSql};

use super::ask::is_hit;

pub(super) const FILE: &str = "index.db";
const SCHEMA: &str = include_str!("schema.sql");
/// Another number than the file's: it is made anew.
const VERSION: i64 = 5;

/// Opens the file, or makes it.
pub(super) fn open(folder: &Path) -> Result<Connection> {
    match try_open(folder) {
        Ok(Some(conn)) => Ok(conn),
        // Of another version, or damaged: nothing stands in it that is not in the notebook.
        Ok(None) | Err(Error::Storage(_)) => {
            wipe(folder)?;
            try_open(folder)?.ok_or_else(|| Error::NotFound("an index that can be used".into()))
        }
        Err(e) => Err(e),
    }
}

fn try_open(folder: &Path) -> Result<Option<Connection>> {
    let path = folder.join(FILE);
    let mut owner_only = fs::OpenOptions::new();
    owner_only.append(true).create(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut owner_only, 0o600);
    owner_only.open(&path).map_err(Error::io("making the index"))?;
    let mut conn = Connection::open(&path)?;
    conn.busy_timeout(Duration::from_secs(10))?;
    conn.set_prepared_statement_cache_capacity(64);
    // It may lose its newest rows in a loss of power, never its order: the notebook has them.
    conn.execute_batch(
        "PRAGMA journal_mode = WAL; PRAGMA synchronous = NORMAL; PRAGMA temp_store = 2; PRAGMA cache_size = -32768;
         PRAGMA secure_delete = ON; PRAGMA journal_size_limit = 16777216; PRAGMA cell_size_check = ON;",
    )?;
    let tx = conn.transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)?;
    let tables: i64 = tx.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    if tables == 0 {
        tx.execute_batch(SCHEMA)?;
        tx.pragma_update(None, "user_version", VERSION)?;
    }
    let version: i64 = tx.query_row("PRAGMA user_version", [], |row| row.get(0))?;
    tx.commit()?;
    Ok((version == VERSION).then_some(conn))
}

/// One more connection to a file that is there, to read it.
pub(super) fn open_reader(folder: &Path) -> Result<Connection> {
    let conn = Connection::open(folder.join(FILE))?;
    conn.busy_timeout(Duration::from_secs(10))?;
    conn.set_prepared_statement_cache_capacity(64);
    conn.execute_batch("PRAGMA temp_store = 2; PRAGMA cache_size = -8192; PRAGMA cell_size_check = ON;")?;
    let same_for_same = FunctionFlags::SQLITE_UTF8 | FunctionFlags::SQLITE_DETERMINISTIC;
    conn.create_scalar_function("is_hit", 2, same_for_same, is_hit)?;
    Ok(conn)
}

/// The names of plants and causes of the pack that the index in an office's folder was made with; none where there is no index.
///
/// # Errors
/// Of SQLite or the file system.
pub(crate) fn names_of_plants_and_causes(folder: &Path) -> Result<Vec<String>> {
    if !folder.join(FILE).exists() {
        return Ok(Vec::new());
    }
    let kept: Option<String> = mark(&open(folder)?, "names")?;
    let names = kept.and_then(|text| super::names_of(&text));
    Ok(names.map_or_else(Vec::new, |names| names.hosts.into_values().chain(names.causes.into_values()).collect()))
}

/// Removes the file of the index in an office's folder, overwriting its bytes first. The next opening makes it anew.
///
/// # Errors
/// Of the file system.
pub fn wipe(folder: &Path) -> Result<()> {
    for ending in ["", "-wal", "-shm"] {
        let path = folder.join(format!("{FILE}{ending}"));
        match overwrite(&path) {
            Err(e) if e.kind() != ErrorKind::NotFound => return Err(Error::io("removing the index")(e)),
            _ => {}
        }
    }
    Ok(())
}

/// Overwrites the bytes of a file and removes it.
pub(crate) fn overwrite(path: &Path) -> std::io::Result<()> {
    let size = fs::metadata(path)?.len();
    let mut file = fs::OpenOptions::new().write(true).open(path)?;
    std::io::copy(&mut std::io::repeat(0).take(size), &mut file)?;
    file.sync_all()?;
    fs::remove_file(path)
}

/// One mark.
pub(super) fn mark<T: FromSql>(conn: &Connection, key: &str) -> Result<Option<T>> {
    let mut query = conn.prepare_cached("SELECT value FROM mark WHERE key = ?1")?;
    Ok(query.query_row([key], |row| row.get(0)).optional()?)
}

/// Sets one mark.
pub(super) fn set_mark(conn: &Connection, key: &str, value: impl ToSql) -> Result<()> {
    conn.prepare_cached("INSERT OR REPLACE INTO mark(key, value) VALUES(?1, ?2)")?.execute(params![key, value])?;
    Ok(())
}

/// Empties the index. Dropped pages are overwritten.
pub(super) fn clear(tx: &Connection) -> Result<()> {
    for table in
        ["mark", "inquiry", "tally", "host", "cause", "held", "review", "later", "answer", "member", "lone", "found"]
    {
        tx.execute_batch(&format!("DROP TABLE {table}"))?;
    }
    Ok(tx.execute_batch(SCHEMA)?)
}

/// Folds what was deleted out of the text index and the write-ahead log; says whether nobody was reading.
pub(super) fn scrub(conn: &Connection) -> Result<bool> {
    conn.execute_batch("INSERT INTO found(found) VALUES('optimize')")?;
    durable::fold_in(conn)
}
