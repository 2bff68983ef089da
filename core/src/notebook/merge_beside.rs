//! What a backup holds beside the log: drafts, the office's newest reply, numbers of replies, the journal.

use rusqlite::{Connection, OptionalExtension, Transaction, params};

use super::{
    enrolled::Enrolled,
    erased::UNDO,
    letting_go::SAFE_RECEIPT,
    merge::Source,
    read,
    store::{Rows, meta, set_meta},
};
use crate::{error::Result, ids::RecordId, log::load_authority};

impl Source<'_> {
    /// Records of which something was erased that the backup's maker did not know of.
    pub(super) fn erased_since(&self, office: &Enrolled) -> Result<Vec<RecordId>> {
        let then = load_authority(&mut Rows::new(self.image), office.card.authority())?;
        let now = &office.authority;
        Ok(now.erased_records().filter(|rec| now.generation(rec) > then.generation(rec)).copied().collect())
    }

    /// A draft that differs from the one under its key stands beside it.
    pub(super) fn merge_drafts(&self, tx: &Transaction<'_>, erased: &[RecordId]) -> Result<u64> {
        let mut query = self.image.prepare("SELECT key, at_ms, text FROM draft")?;
        let mut found = query.query([])?;
        let mut aside = 0;
        while let Some(row) = found.next()? {
            let (key, at, text): (String, i64, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
            let names = |rec: &str| key.contains(rec) || key.starts_with(UNDO) && text.contains(rec);
            if erased.iter().any(|rec| names(&rec.to_string())) {
                continue;
            }
            let here: Option<String> = tx
                .prepare_cached("SELECT text FROM draft WHERE key = ?1")?
                .query_row([&key], |row| row.get(0))
                .optional()?;
            let key = match here {
                Some(here) if here == text => continue,
                Some(_) => {
                    aside += 1;
                    format!("{key} (from a backup)")
                }
                None => key,
            };
            tx.prepare_cached("INSERT OR REPLACE INTO draft(key, at_ms, text) VALUES(?1, ?2, ?3)")?
                .execute(params![key, at, text])?;
        }
        Ok(aside)
    }

    /// The office's newest reply, whole, if the backup's is the newer one; numbers of replies; the journal.
    pub(super) fn merge_replies(&self, tx: &Transaction<'_>, erased: &[RecordId]) -> Result<()> {
        if reply_age(self.image)? > reply_age(tx)? {
            if meta(self.image, "epoch")? != meta(tx, "epoch")? {
                tx.execute_batch("UPDATE log SET received_to = 0; UPDATE blob SET received = 0;")?;
            }
            for key in ["epoch", "snapshot", "receipt", SAFE_RECEIPT] {
                if let Some(value) = meta(self.image, key)? {
                    set_meta(tx, key, &value)?;
                }
            }
            tx.execute_batch("DELETE FROM snapshot")?;
            copy_rows(self.image, tx, "snapshot", "rec, field, hash, kind, device, label, rank, at_ms, value")?;
            // The next reply brings what is there of them now.
            for rec in erased {
                tx.prepare_cached("DELETE FROM snapshot WHERE rec = ?1")?.execute([rec.0])?;
            }
            let mut query = self.image.prepare("SELECT id, received_to FROM log WHERE received_to > 0")?;
            let mut found = query.query([])?;
            while let Some(row) = found.next()? {
                let log = Rows::new(self.image).log(row.get(0)?)?;
                let id = Rows::new(tx).log_id(&log)?;
                tx.prepare_cached("UPDATE log SET received_to = max(received_to, ?2) WHERE id = ?1")?
                    .execute(params![id, row.get::<_, i64>(1)?])?;
            }
        }
        let mut query = self.image.prepare(
            "SELECT key, value FROM meta WHERE key GLOB 'reply *' OR key GLOB 'epoch *' OR key GLOB 'told of *'",
        )?;
        let mut found = query.query([])?;
        while let Some(row) = found.next()? {
            let (key, value): (String, Vec<u8>) = (row.get(0)?, row.get(1)?);
            // Eight bytes, the highest first, or none: the greater one is the later one.
            if meta(tx, &key)?.is_none_or(|here| here < value) {
                set_meta(tx, &key, &value)?;
            }
        }
        let mut query = self.image.prepare("SELECT at_ms, topic, entry FROM journal ORDER BY id")?;
        let mut found = query.query([])?;
        while let Some(row) = found.next()? {
            let line: (i64, String, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
            tx.prepare_cached(
                "INSERT INTO journal(at_ms, topic, entry) SELECT ?1, ?2, ?3
                 WHERE NOT EXISTS(SELECT 1 FROM journal WHERE at_ms = ?1 AND topic = ?2 AND entry = ?3)",
            )?
            .execute(params![line.0, line.1, line.2])?;
        }
        Ok(())
    }
}

/// Epoch and number of the newest reply, comparable.
fn reply_age(conn: &Connection) -> Result<(Vec<u8>, u64)> {
    let epoch = meta(conn, "epoch")?.unwrap_or_default();
    Ok((epoch.get(..8).unwrap_or_default().to_vec(), read::snapshot_number(conn)?))
}

fn copy_rows(from: &Connection, to: &Connection, table: &str, columns: &str) -> Result<()> {
    let count = columns.split(',').count();
    let places = (1..=count).map(|n| format!("?{n}")).collect::<Vec<_>>().join(", ");
    let mut insert = to.prepare(&format!("INSERT OR REPLACE INTO {table}({columns}) VALUES({places})"))?;
    let mut query = from.prepare(&format!("SELECT {columns} FROM {table}"))?;
    let mut found = query.query([])?;
    while let Some(row) = found.next()? {
        let values: Vec<rusqlite::types::Value> = (0..count).map(|at| row.get(at)).collect::<rusqlite::Result<_>>()?;
        insert.execute(rusqlite::params_from_iter(values))?;
    }
    Ok(())
}
