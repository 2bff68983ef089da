//! The log's store over one SQLite transaction.

use std::collections::HashMap;

use rusqlite::{Connection, OptionalExtension, params};

use super::columns::{counts, flags, is_live, read_log, slot_columns, state, to_i64};
use crate::{
    error::{Code, Result},
    ids::{Hash32, LogId, RecordId},
    log::{ChangeRow, Fact, FactState, Inserted, Link, Pick, Slot, Store},
};

/// Rows of the log in a database. The caller holds the transaction.
pub struct Rows<'c> {
    conn: &'c Connection,
    log_ids: HashMap<LogId, i64>,
    logs: HashMap<i64, LogId>,
}

impl<'c> Rows<'c> {
    /// The rows behind a connection in a transaction.
    pub fn new(conn: &'c Connection) -> Self {
        Self { conn, log_ids: HashMap::new(), logs: HashMap::new() }
    }

    /// The number of a log in this database; made when it is new.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn log_id(&mut self, log: &LogId) -> Result<i64> {
        if let Some(id) = self.log_ids.get(log) {
            return Ok(*id);
        }
        let incarnation = log.incarnation.to_be_bytes();
        let mut query = self.conn.prepare_cached("SELECT id FROM log WHERE device = ?1 AND incarnation = ?2")?;
        let known = query.query_row(params![log.device.0, incarnation], |row| row.get(0)).optional()?;
        let id = match known {
            Some(id) => id,
            None => self
                .conn
                .prepare_cached("INSERT INTO log(device, incarnation) VALUES(?1, ?2) RETURNING id")?
                .query_row(params![log.device.0, incarnation], |row| row.get(0))?,
        };
        self.log_ids.insert(*log, id);
        self.logs.insert(id, *log);
        Ok(id)
    }

    /// The log with this number.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn log(&mut self, id: i64) -> Result<LogId> {
        if let Some(log) = self.logs.get(&id) {
            return Ok(*log);
        }
        let mut query = self.conn.prepare_cached("SELECT device, incarnation FROM log WHERE id = ?1")?;
        let log = query.query_row([id], read_log)?;
        self.log_ids.insert(log, id);
        self.logs.insert(id, log);
        Ok(log)
    }
}

impl Store for Rows<'_> {
    fn insert_changes(&mut self, log: &LogId, rows: &[ChangeRow]) -> Result<Vec<Inserted>> {
        let log = self.log_id(log)?;
        let newest: i64 = self
            .conn
            .prepare_cached("SELECT coalesce(max(seq), 0) FROM change WHERE log = ?1")?
            .query_row([log], |row| row.get(0))?;
        let mut insert = self.conn.prepare_cached(
            "INSERT OR IGNORE INTO change(log, seq, hash, prev, rec, head, waiting, partial) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        )?;
        let mut here =
            self.conn.prepare_cached("SELECT partial FROM change WHERE log = ?1 AND seq = ?2 AND hash = ?3")?;
        let mut others = self.conn.prepare_cached("SELECT count(*) FROM change WHERE log = ?1 AND seq = ?2")?;
        let put = |row: &ChangeRow| {
            let seq = to_i64(row.seq);
            let waiting = row.waiting.map(Code::name);
            let new =
                insert.execute(params![log, seq, row.hash.0, row.prev.0, row.rec.0, row.head, waiting, row.partial])?
                    == 1;
            Ok(if new {
                let forked = seq <= newest && others.query_row(params![log, seq], |r| r.get::<_, i64>(0))? > 1;
                Inserted::New { forked }
            } else {
                Inserted::Known { partial: here.query_row(params![log, seq, row.hash.0], |r| r.get(0))? }
            })
        };
        rows.iter().map(put).collect()
    }

    fn touch_records(&mut self, records: &[(RecordId, u32)]) -> Result<Vec<bool>> {
        let mut insert =
            self.conn.prepare_cached("INSERT OR IGNORE INTO record(rec, kind, stale) VALUES(?1, ?2, 1)")?;
        let mut stale = self.conn.prepare_cached("UPDATE record SET stale = 1 WHERE rec = ?1 AND stale = 0")?;
        let touch = |(rec, kind): &(RecordId, u32)| {
            // Kind 0 marks a record that is known already.
            let new = *kind != 0 && insert.execute(params![rec.0, kind])? == 1;
            if !new {
                stale.execute([rec.0])?;
            }
            Ok(!new)
        };
        records.iter().map(touch).collect()
    }

    fn facts(&mut self, rec: &RecordId, field: Option<u32>) -> Result<Vec<Fact>> {
        let (low, high) = field.map_or((0, u32::MAX), |f| (f, f));
        let conn = self.conn;
        let mut query = conn.prepare_cached(
            "SELECT field, hash, log, seq, flags, salt, value, preds FROM fact WHERE rec = ?1 AND field BETWEEN ?2 AND ?3 ORDER BY field, hash",
        )?;
        let mut rows = query.query(params![rec.0, low, high])?;
        let mut facts = Vec::new();
        while let Some(row) = rows.next()? {
            let flags: i64 = row.get(4)?;
            let salt: Option<[u8; 16]> = row.get(5)?;
            let slot = match salt {
                Some(salt) => Slot::Body { salt, value: row.get(6)? },
                None => Slot::Absent(Hash32(row.get(6)?)),
            };
            let preds = row.get_ref(7)?.as_blob().map_err(rusqlite::Error::from)?;
            facts.push(Fact {
                rec: *rec,
                field: row.get(0)?,
                hash: Hash32(row.get(1)?),
                log: self.log(row.get(2)?)?,
                seq: row.get::<_, i64>(3)?.unsigned_abs(),
                admitted: counts(flags),
                live: is_live(flags),
                state: state(flags),
                slot,
                preds: preds.chunks_exact(32).map(Hash32::from_slice).collect::<Result<_>>()?,
            });
        }
        Ok(facts)
    }

    fn insert_facts(&mut self, facts: &[Fact]) -> Result<()> {
        let conn = self.conn;
        let mut insert = conn.prepare_cached(
            "INSERT INTO fact(rec, field, hash, log, seq, flags, salt, value, preds) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
        )?;
        for fact in facts {
            let log = self.log_id(&fact.log)?;
            let (salt, value) = slot_columns(&fact.slot);
            let preds: Vec<u8> = fact.preds.iter().flat_map(|p| p.0).collect();
            insert.execute(params![
                fact.rec.0,
                fact.field,
                fact.hash.0,
                log,
                to_i64(fact.seq),
                flags(fact),
                salt,
                value,
                preds
            ])?;
        }
        Ok(())
    }

    fn update_facts(&mut self, facts: &[Fact]) -> Result<()> {
        let mut update = self.conn.prepare_cached(
            "UPDATE fact SET flags = ?4, salt = ?5, value = ?6 WHERE rec = ?1 AND field = ?2 AND hash = ?3",
        )?;
        for fact in facts {
            let (salt, value) = slot_columns(&fact.slot);
            update.execute(params![fact.rec.0, fact.field, fact.hash.0, flags(fact), salt, value])?;
        }
        Ok(())
    }

    fn changes(&mut self, pick: Pick) -> Result<Vec<(LogId, ChangeRow)>> {
        let conn = self.conn;
        let (sql, key) = match pick {
            Pick::Log(log) => (
                "SELECT log, seq, hash, prev, rec, head, waiting, partial FROM change WHERE log = ?1 ORDER BY seq, hash",
                { rusqlite::types::Value::Integer(self.log_id(&log)?) },
            ),
            Pick::Record(rec) => (
                "SELECT c.log, c.seq, c.hash, c.prev, c.rec, c.head, c.waiting, c.partial
                 FROM (SELECT DISTINCT log, seq, hash FROM fact WHERE rec = ?1) f JOIN change c USING(log, seq, hash)
                 ORDER BY c.log, c.seq, c.hash",
                rusqlite::types::Value::Blob(rec.0.to_vec()),
            ),
        };
        let mut query = conn.prepare_cached(sql)?;
        let mut rows = query.query([key])?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            let waiting: Option<String> = row.get(6)?;
            let change = ChangeRow {
                seq: row.get::<_, i64>(1)?.unsigned_abs(),
                hash: Hash32(row.get(2)?),
                prev: Hash32(row.get(3)?),
                rec: RecordId(row.get(4)?),
                head: row.get(5)?,
                waiting: waiting.map(|name| Code::from_name(&name).unwrap_or(Code::TooNew)),
                partial: row.get(7)?,
            };
            found.push((self.log(row.get(0)?)?, change));
        }
        Ok(found)
    }

    fn update_change(&mut self, log: &LogId, row: &ChangeRow) -> Result<()> {
        let log = self.log_id(log)?;
        let waiting = row.waiting.map(Code::name);
        self.conn
            .prepare_cached("UPDATE change SET waiting = ?4, partial = ?5 WHERE log = ?1 AND seq = ?2 AND hash = ?3")?
            .execute(params![log, to_i64(row.seq), row.hash.0, waiting, row.partial])?;
        Ok(())
    }

    fn insert_lost(&mut self, log: &LogId, lost: &[Link]) -> Result<()> {
        for link in lost {
            let log = self.log_id(log)?;
            self.conn
                .prepare_cached(
                    "INSERT INTO lost(log, seq, hash, prev) VALUES(?1, ?2, ?3, ?4)
                     ON CONFLICT DO UPDATE SET prev = max(prev, excluded.prev)",
                )?
                .execute(params![log, to_i64(link.seq), link.hash.0, link.prev.0])?;
        }
        Ok(())
    }

    fn lost(&mut self) -> Result<Vec<(LogId, Link)>> {
        let mut query = self.conn.prepare_cached(
            "SELECT device, incarnation, seq, hash, prev FROM lost JOIN log ON id = log
             WHERE NOT EXISTS(SELECT 1 FROM change c WHERE c.log = lost.log AND c.seq = lost.seq AND c.hash = lost.hash)
             ORDER BY device, incarnation, seq, hash",
        )?;
        let links = query.query_map([], |row| {
            let seq = row.get::<_, i64>(2)?.unsigned_abs();
            Ok((read_log(row)?, Link { seq, hash: Hash32(row.get(3)?), prev: Hash32(row.get(4)?) }))
        })?;
        Ok(links.collect::<rusqlite::Result<_>>()?)
    }

    fn logs(&mut self) -> Result<Vec<LogId>> {
        let mut query = self.conn.prepare_cached(
            "SELECT device, incarnation FROM log WHERE EXISTS(SELECT 1 FROM change WHERE change.log = log.id) ORDER BY device, incarnation",
        )?;
        let logs = query.query_map([], read_log)?.collect::<rusqlite::Result<_>>()?;
        Ok(logs)
    }

    fn insert_statement(&mut self, seq: u64, hash: &Hash32, signed: &[u8]) -> Result<()> {
        self.conn
            .prepare_cached("INSERT OR IGNORE INTO statement(seq, hash, signed) VALUES(?1, ?2, ?3)")?
            .execute(params![to_i64(seq), hash.0, signed])?;
        Ok(())
    }

    fn statements(&mut self) -> Result<Vec<Vec<u8>>> {
        let mut query = self.conn.prepare_cached("SELECT signed FROM statement ORDER BY seq, hash")?;
        let all = query.query_map([], |row| row.get(0))?.collect::<rusqlite::Result<_>>()?;
        Ok(all)
    }

    fn each_fact(&mut self, see: &mut dyn FnMut(FactState)) -> Result<()> {
        let mut query =
            self.conn.prepare_cached("SELECT rec, field, hash, flags FROM fact ORDER BY rec, field, hash")?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            let flags: i64 = row.get(3)?;
            see(FactState {
                rec: RecordId(row.get(0)?),
                field: row.get(1)?,
                hash: Hash32(row.get(2)?),
                state: state(flags),
                admitted: counts(flags),
                live: is_live(flags),
            });
        }
        Ok(())
    }
}

/// One value of the `meta` table.
pub(super) fn meta(conn: &Connection, key: &str) -> Result<Option<Vec<u8>>> {
    let mut query = conn.prepare_cached("SELECT value FROM meta WHERE key = ?1")?;
    Ok(query.query_row([key], |row| row.get(0)).optional()?)
}

/// Writes one value of the `meta` table.
pub(super) fn set_meta(conn: &Connection, key: &str, value: &[u8]) -> Result<()> {
    conn.prepare_cached("INSERT OR REPLACE INTO meta(key, value) VALUES(?1, ?2)")?.execute(params![key, value])?;
    Ok(())
}
