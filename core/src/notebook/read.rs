//! Reading one record: live values, history; what is being typed.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, params};
use serde_json::Value as Json;

use super::{
    enrolled::Enrolled,
    open::Notebook,
    shown,
    store::{Rows, meta},
    view::{Author, FieldView, HistoryEntry, LiveValue, Record},
};
use crate::{
    error::{Error, Result},
    ids::{DeviceId, Hash32, LogId, RecordId},
    log::{Candidate, Head, Pick, Slot, Store, conflicts_with, is_hidden, shown_order},
    record::{self, EXISTENCE, Kind, Role, Type, Value},
};

/// One live value with its author.
#[derive(Clone, Debug)]
pub(super) struct Live {
    pub(super) field: u32,
    pub(super) candidate: Candidate,
    pub(super) author: Author,
}

/// The kind of a record, if anything is known of it.
pub(super) fn kind_of(conn: &Connection, rec: &RecordId) -> Result<Option<Kind>> {
    let sql = "SELECT kind FROM record WHERE rec = ?1 UNION ALL SELECT kind FROM snapshot WHERE rec = ?1 LIMIT 1";
    let id: Option<u32> = conn.prepare_cached(sql)?.query_row([rec.0], |row| row.get(0)).optional()?;
    Ok(id.and_then(Kind::from_id))
}

/// The number of the newest reply taken; 0 when none was.
pub(super) fn snapshot_number(conn: &Connection) -> Result<u64> {
    let raw = meta(conn, "snapshot")?;
    Ok(raw.and_then(|raw| raw.try_into().ok()).map_or(0, u64::from_be_bytes))
}

/// The live values of a record, as the whole of its fields: of the log, and on a phone of the office's newest reply.
/// Own changes that the reply covers are left to it; what own later changes supersede is taken out.
pub(super) fn live(conn: &Connection, office: &Enrolled, rec: &RecordId) -> Result<Vec<Live>> {
    let mut rows = Rows::new(conn);
    let mut times: BTreeMap<Hash32, (u64, Hash32)> = BTreeMap::new();
    for (_, row) in rows.changes(Pick::Record(*rec))? {
        let head = Head::from_cbor(&row.head)?;
        times.insert(row.hash, (head.wall_ms, head.cert));
    }
    let covered = covered_logs(conn)?;
    let is_covered = |log: &LogId, seq: u64| covered.get(log).is_some_and(|to| seq <= *to);
    let mut found = snapshot_rows(conn, rec)?;
    let mut named: BTreeSet<(u32, Hash32)> = BTreeSet::new();
    for fact in rows.facts(rec, None)? {
        if is_covered(&fact.log, fact.seq) {
            continue;
        }
        if fact.admitted {
            named.extend(fact.preds.iter().map(|p| (fact.field, *p)));
        }
        let Some((wall_ms, cert)) = times.get(&fact.hash).filter(|_| fact.live) else { continue };
        let value = match fact.slot {
            Slot::Body { value, .. } => Some(value),
            Slot::Absent(_) => None,
        };
        let author = author(office, fact.log.device, cert);
        let rank = author.role.map_or(0, Role::rank);
        let at_ms = office.authority.corrected(&fact.log, fact.seq, *wall_ms);
        found.push(Live { field: fact.field, candidate: Candidate { value, rank, at_ms, hash: fact.hash }, author });
    }
    found.retain(|l| !named.contains(&(l.field, l.candidate.hash)));
    found.sort_by_key(|l| (l.field, l.candidate.hash));
    // Where the office holds an own change behind a gap, the reply shows it and no receipt covers it: it is one value.
    found.dedup_by_key(|l| (l.field, l.candidate.hash));
    Ok(found)
}

/// Own logs and how far the newest reply covers them. Empty at an office, and before the first reply.
fn covered_logs(conn: &Connection) -> Result<BTreeMap<LogId, u64>> {
    let mut query = conn.prepare_cached("SELECT device, incarnation, received_to FROM log WHERE received_to > 0")?;
    let rows = query.query_map([], |row| {
        let log = LogId { device: DeviceId(row.get(0)?), incarnation: u64::from_be_bytes(row.get(1)?) };
        Ok((log, row.get::<_, i64>(2)?.unsigned_abs()))
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn snapshot_rows(conn: &Connection, rec: &RecordId) -> Result<Vec<Live>> {
    let sql = "SELECT field, hash, device, label, rank, at_ms, value FROM snapshot WHERE rec = ?1";
    let mut query = conn.prepare_cached(sql)?;
    let rows = query.query_map([rec.0], |row| {
        let rank: u8 = row.get(4)?;
        let author =
            Author { device: DeviceId(row.get(2)?), label: row.get(3)?, role: Role::from_rank(u64::from(rank)) };
        let candidate = Candidate { value: Some(row.get(6)?), rank, at_ms: row.get(5)?, hash: Hash32(row.get(1)?) };
        Ok(Live { field: row.get(0)?, candidate, author })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn author(office: &Enrolled, device: DeviceId, cert: &Hash32) -> Author {
    match office.authority.cert_named(&device, cert) {
        Some(cert) => Author { device, label: cert.label.clone(), role: Some(cert.role) },
        None => Author { device, label: device.to_hex()[..8].to_owned(), role: None },
    }
}

/// A record as it stands, from its live values.
pub(super) fn assemble(id: RecordId, kind: Kind, live: Vec<Live>) -> Record {
    let mut by_field: BTreeMap<u32, Vec<Live>> = BTreeMap::new();
    for l in live {
        by_field.entry(l.field).or_default().push(l);
    }
    let existence: Vec<Value> = by_field
        .remove(&EXISTENCE)
        .unwrap_or_default()
        .iter()
        .filter_map(|l| Value::from_cbor(l.candidate.value.as_deref()?).ok())
        .collect();
    let hidden = is_hidden(&existence, by_field.values().flatten().map(|l| l.candidate.hash));
    let fields = by_field
        .into_iter()
        .filter_map(|(id, mut live)| {
            shown_order(&mut live, |l| &l.candidate);
            let others = conflicts_with(&live, |l| &l.candidate);
            let field = record::field(id);
            let value = |l: &Live| live_value(field.map(|f| f.ty), l);
            Some(FieldView {
                name: field.map_or_else(|| format!("field {id}"), |f| f.name.to_owned()),
                field,
                others: others.into_iter().map(|at| value(&live[at])).collect(),
                shown: value(live.first()?),
            })
        })
        .collect();
    Record { id, kind, hidden, fields }
}

fn live_value(ty: Option<Type>, live: &Live) -> LiveValue {
    LiveValue {
        value: live.candidate.value.as_deref().and_then(|raw| json_of(ty, raw)),
        author: live.author.clone(),
        at_ms: live.candidate.at_ms,
        change: live.candidate.hash,
    }
}

fn json_of(ty: Option<Type>, raw: &[u8]) -> Option<Json> {
    let value = Value::from_cbor(raw).ok()?;
    Some(record::to_json(&ty.unwrap_or(Type::Bool), &value))
}

impl Notebook {
    /// A record as it stands.
    ///
    /// # Errors
    /// [`Error::NotFound`]; of SQLite.
    pub fn show(&self, id: RecordId) -> Result<Record> {
        let inner = self.lock();
        let kind = kind_of(&inner.conn, &id)?.ok_or_else(|| Error::NotFound(format!("record {id}")))?;
        Ok(assemble(id, kind, live(&inner.conn, &inner.office, &id)?))
    }

    /// Every save of a record that this notebook holds, oldest first.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn history(&self, id: RecordId) -> Result<Vec<HistoryEntry>> {
        let inner = self.lock();
        let office = &inner.office;
        let mut rows = Rows::new(&inner.conn);
        let mut wrote: BTreeMap<Hash32, Vec<(String, Option<Json>)>> = BTreeMap::new();
        for fact in rows.facts(&id, None)? {
            let field = record::field(fact.field);
            let name = match (fact.field, field) {
                (EXISTENCE, _) => "existence".to_owned(),
                (id, None) => format!("field {id}"),
                (_, Some(field)) => field.name.to_owned(),
            };
            let value = match &fact.slot {
                Slot::Body { value, .. } => json_of(field.map(|f| f.ty), value),
                Slot::Absent(_) => None,
            };
            wrote.entry(fact.hash).or_default().push((name, value));
        }
        let mut entries = Vec::new();
        for (log, row) in rows.changes(Pick::Record(id))? {
            let head = Head::from_cbor(&row.head)?;
            let entry = HistoryEntry {
                change: row.hash,
                place: (log, row.seq),
                author: author(office, log.device, &head.cert),
                at_ms: office.authority.corrected(&log, row.seq, head.wall_ms),
                waiting: row.waiting.map(|code| code.name().to_owned()),
                wrote: wrote.remove(&row.hash).unwrap_or_default(),
            };
            entries.push(entry);
        }
        entries.sort_by_key(|entry| (entry.at_ms, entry.place));
        Ok(entries)
    }

    /// Brings lists and search up to date with what was merged.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn refresh(&self) -> Result<()> {
        self.lock().write(|tx, office| shown::refresh(tx, office))
    }

    /// What a person is typing under this key, kept until it is saved; `None` forgets it.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn keep_draft(&self, key: &str, text: Option<&str>) -> Result<()> {
        let inner = self.lock();
        match text {
            Some(text) => inner
                .conn
                .prepare_cached("INSERT OR REPLACE INTO draft(key, at_ms, text) VALUES(?1, ?2, ?3)")?
                .execute(params![key, i64::try_from(self.env.now_ms()).unwrap_or(i64::MAX), text])?,
            None => inner.conn.prepare_cached("DELETE FROM draft WHERE key = ?1")?.execute([key])?,
        };
        Ok(())
    }

    /// The draft under this key.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn draft(&self, key: &str) -> Result<Option<String>> {
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached("SELECT text FROM draft WHERE key = ?1")?;
        Ok(query.query_row([key], |row| row.get(0)).optional()?)
    }

    /// The drafts whose keys begin so: the rest of the key and the text, oldest first.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn drafts_after(&self, beginning: &str) -> Result<Vec<(String, String)>> {
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached(
            "SELECT substr(key, length(?1) + 1), text FROM draft WHERE substr(key, 1, length(?1)) = ?1 ORDER BY at_ms, key",
        )?;
        let rows = query.query_map([beginning], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }

    /// The keys of drafts that begin so, the newest draft first.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn drafts(&self, beginning: &str) -> Result<Vec<String>> {
        let inner = self.lock();
        let sql = "SELECT key FROM draft WHERE key >= ?1 AND key < ?1 || char(1114111) ORDER BY at_ms DESC, key DESC";
        let mut query = inner.conn.prepare_cached(sql)?;
        Ok(query.query_map([beginning], |row| row.get(0))?.collect::<rusqlite::Result<_>>()?)
    }
}
