//! What changed since a turn, so that what is derived from a notebook elsewhere can follow it.
//!
//! Each time that the rows of a record are rebuilt it takes the next turn, in the transaction that rebuilds them.

use rusqlite::{Connection, OptionalExtension, params};

use super::{open::Notebook, shown, store::meta};
use crate::{error::Result, ids::RecordId, log::Authority, record::Kind};

/// What changed since a turn.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Changed {
    /// A random number of the database, another one once it was restored or exchanged. Turns of one are nothing to another:
    /// whoever followed that one begins anew.
    pub database: u64,
    /// How far `records` goes; the turn asked from when there are none.
    pub turn: u64,
    /// The newest turn of the database. Below the turn asked from, the database went back.
    pub newest: u64,
    /// Grows with every erasure: words are gone that stood here before.
    pub erased: u64,
    /// Records in the order of their newest turns, each once: (id, kind, nothing is left of it).
    pub records: Vec<(RecordId, Kind, bool)>,
}

impl Notebook {
    /// What changed after `turn`, the oldest first, `limit` turns at most; 0 is before the first.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn changed_since(&self, turn: u64, limit: usize) -> Result<Changed> {
        self.lock().write(|tx, office| {
            shown::refresh(tx, office)?;
            let erased = erasures(&office.authority);
            let database = meta(tx, "incarnation")?.and_then(|raw| raw.try_into().ok()).map_or(0, u64::from_be_bytes);
            let newest: i64 = tx.query_row("SELECT coalesce(max(turn), 0) FROM turned", [], |row| row.get(0))?;
            let mut changed = Changed { database, turn, newest: newest.unsigned_abs(), erased, records: Vec::new() };
            let mut query =
                tx.prepare_cached("SELECT turn, rec, kind, gone FROM turned WHERE turn > ?1 ORDER BY turn LIMIT ?2")?;
            let from = i64::try_from(turn).unwrap_or(i64::MAX);
            let mut rows = query.query(params![from, i64::try_from(limit).unwrap_or(i64::MAX)])?;
            while let Some(row) = rows.next()? {
                changed.turn = row.get::<_, i64>(0)?.unsigned_abs();
                if let Some(kind) = Kind::from_id(row.get(2)?) {
                    changed.records.push((RecordId(row.get(1)?), kind, row.get(3)?));
                }
            }
            Ok(changed)
        })
    }

    /// The words by which a record is found, as the text index has them; none of a record that is not shown. What is sealed is
    /// not among them. It is as up to date as the last list.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn words_of(&self, id: RecordId) -> Result<String> {
        let inner = self.lock();
        let sql = "SELECT text FROM words WHERE rowid = (SELECT id FROM shown WHERE rec = ?1)";
        let found = inner.conn.prepare_cached(sql)?.query_row([id.0], |row| row.get(0)).optional()?;
        Ok(found.unwrap_or_default())
    }
}

/// A number that grows with every erasure.
pub(super) fn erasures(authority: &Authority) -> u64 {
    authority.erased_records().map(|rec| authority.generation(rec)).sum()
}

/// Gives a record its next turn.
pub(super) fn turn(conn: &Connection, id: RecordId, kind: Kind, gone: bool) -> Result<()> {
    conn.prepare_cached("INSERT OR REPLACE INTO turned(rec, kind, gone) VALUES(?1, ?2, ?3)")?.execute(params![
        id.0,
        kind.id(),
        gone
    ])?;
    Ok(())
}
