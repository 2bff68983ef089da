//! The database of accounts: numbered migrations, refusal of newer files, for the owner of the folder alone.

use std::{fs, path::Path, time::Duration};

use rusqlite::{Connection, TransactionBehavior};

use super::{Error, Result};

/// The migrations in order; `user_version` counts those that ran.
const MIGRATIONS: &[&str] =
    &[include_str!("../../migrations/0001_people.sql"), include_str!("../../migrations/0002_views.sql")];

/// Opens or makes it and brings it to the newest version.
pub(super) fn open(path: &Path) -> Result<Connection> {
    make_for_owner(path)?;
    let mut conn = Connection::open(path)?;
    conn.busy_timeout(Duration::from_secs(10))?;
    let found: i64 = conn.query_row("PRAGMA user_version", [], |row| row.get(0))?;
    let known = i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX);
    if found > known {
        return Err(Error::Newer { found, known });
    }
    conn.execute_batch(
        "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA temp_store = 2;
         PRAGMA secure_delete = ON; PRAGMA cell_size_check = ON;",
    )?;
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // Another process may have brought it there meanwhile.
    let done: i64 = tx.query_row("PRAGMA user_version", [], |row| row.get(0))?;
    for (at, sql) in MIGRATIONS.iter().enumerate().skip(usize::try_from(done).unwrap_or(0)) {
        tx.execute_batch(sql)?;
        tx.pragma_update(None, "user_version", i64::try_from(at + 1).unwrap_or(i64::MAX))?;
    }
    tx.commit()?;
    Ok(conn)
}

/// SQLite gives its companions the rights of the file itself.
fn make_for_owner(path: &Path) -> Result<()> {
    let mut options = fs::OpenOptions::new();
    options.append(true).create(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_newer_store_is_refused_and_one_of_today_opens_again() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("people.db");
        open(&path).unwrap();
        open(&path).unwrap().pragma_update(None, "user_version", 99).unwrap();
        assert!(matches!(open(&path), Err(Error::Newer { found: 99, known: 2 })));
    }

    #[cfg(unix)]
    #[test]
    fn only_the_owner_reads_it() {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("people.db");
        let _open = open(&path).unwrap();
        for entry in fs::read_dir(dir.path()).unwrap() {
            let mode = entry.unwrap().metadata().unwrap().permissions().mode();
            assert_eq!(mode & 0o077, 0);
        }
    }

    #[test]
    fn the_audit_cannot_be_changed_or_shortened() {
        let dir = tempfile::tempdir().unwrap();
        let conn = open(&dir.path().join("people.db")).unwrap();
        conn.execute("INSERT INTO audit (at_ms, act) VALUES (1, 'signed_in')", []).unwrap();
        for sql in ["UPDATE audit SET act = 'x'", "DELETE FROM audit"] {
            assert!(conn.execute(sql, []).is_err(), "{sql}");
        }
        let left: i64 = conn.query_row("SELECT count(*) FROM audit WHERE act = 'signed_in'", [], |r| r.get(0)).unwrap();
        assert_eq!(left, 1);
    }
}
