//! What a notebook has to hand over: own changes and photos that no receipt covers.

use std::path::PathBuf;

use rusqlite::{Connection, OptionalExtension, params};

use super::{
    blobs,
    erased::is_named,
    invited::read_invited,
    open::Notebook,
    read,
    store::{Rows, meta},
};
use crate::{
    bundle::LogEntry,
    error::{Error, Result},
    ids::{BlobId, DeviceId, Hash32, LogId, OfficeId, RecordId},
    log::{Change, Head, MAX_CHANGES, Segment, Slot, Store},
    sign::Signing,
};

/// Bytes of values after which a segment is closed.
const AIM_BYTES: usize = 1 << 20;

/// How far an own log is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LogState {
    /// The log.
    pub log: LogId,
    /// Its newest change.
    pub tip: u64,
    /// The last change that a receipt proves.
    pub received_to: u64,
}

/// A photo or thumbnail beside the database.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BlobRow {
    /// Its content address.
    pub id: BlobId,
    /// Its bytes.
    pub size: u64,
    /// Whether it was in a bundle before.
    pub handed: bool,
}

impl Notebook {
    /// Who signs bundles: office, device, certificate, key.
    pub(crate) fn sender(&self) -> Result<(OfficeId, DeviceId, Hash32, Signing)> {
        let inner = self.lock();
        let office = inner.belonging()?;
        let (cert, ..) = office.cert(&inner.log.device)?;
        // What it was before its key was lost is no certificate, and no invitation.
        if cert == Hash32::ZERO && read_invited(&inner.conn)?.is_none() {
            return Err(Error::NotEnrolled);
        }
        Ok((office.card.office(), inner.log.device, cert, inner.keys.signing.clone()))
    }

    /// The newest receipt taken, verbatim; empty when none was.
    pub(crate) fn newest_receipt(&self) -> Result<Vec<u8>> {
        Ok(meta(&self.lock().conn, "receipt")?.unwrap_or_default())
    }

    /// The logs of this device, of this incarnation and earlier ones, and those of its keys that were lost.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn own_logs(&self) -> Result<Vec<LogState>> {
        let mut logs = self.logs()?;
        let inner = self.lock();
        logs.retain(|state| inner.owns(&state.log));
        Ok(logs)
    }

    /// Every log of which something is here.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn logs(&self) -> Result<Vec<LogState>> {
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached(
            "SELECT device, incarnation, received_to, (SELECT max(seq) FROM change WHERE change.log = log.id) FROM log ORDER BY id",
        )?;
        let rows = query.query_map([], |row| {
            let log = LogId { device: DeviceId(row.get(0)?), incarnation: u64::from_be_bytes(row.get(1)?) };
            let tip: Option<i64> = row.get(3)?;
            Ok(LogState {
                log,
                tip: tip.unwrap_or(0).unsigned_abs(),
                received_to: row.get::<_, i64>(2)?.unsigned_abs(),
            })
        })?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }

    /// The next segment of a log after a place; `None` at its end. One that this device wrote is signed.
    ///
    /// # Errors
    /// [`Error::NotEnrolled`]; of SQLite.
    pub fn segment_after(&self, log: &LogId, after: u64) -> Result<Option<Segment>> {
        let inner = self.lock();
        let office = inner.belonging()?.card.office();
        let mut segment = read_segment(&inner.conn, &office, log, after)?;
        if let Some(segment) = segment.as_mut().filter(|segment| segment.log.device == inner.log.device) {
            segment.close(&inner.keys.signing, &office, read::snapshot_number(&inner.conn)?);
        }
        Ok(segment)
    }

    /// Photos that no receipt covers: first those that were in no bundle yet, and of both the small ones, so that thumbnails go
    /// ahead of originals.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn blobs_to_offer(&self) -> Result<Vec<BlobRow>> {
        let inner = self.lock();
        let sql = "SELECT id, size, handed FROM blob WHERE held = 1 AND received = 0 ORDER BY handed, size > 65536, id";
        let mut query = inner.conn.prepare_cached(sql)?;
        let rows = query.query_map([], |row| {
            Ok(BlobRow { id: BlobId(row.get(0)?), size: row.get::<_, i64>(1)?.unsigned_abs(), handed: row.get(2)? })
        })?;
        let rows: Vec<BlobRow> = rows.collect::<rusqlite::Result<_>>()?;
        // A restored database may know a photo whose file was erased since: the text must go all the same. One that nothing names,
        // as after a stop before its record was written, no office would keep.
        let mut offered = Vec::new();
        for row in rows {
            if self.blob_path(&row.id).exists() && is_named(&inner.conn, &row.id)? {
                offered.push(row);
            }
        }
        Ok(offered)
    }

    /// Where the bytes of a photo stand, whether they are here or not.
    pub fn blob_path(&self, id: &BlobId) -> PathBuf {
        blobs::path_of(&self.photos(), id)
    }

    /// Remembers what went into a bundle.
    pub(crate) fn mark_handed(&self, logs: &[LogEntry], handed: &[BlobRow]) -> Result<()> {
        self.lock().write(|tx, _| {
            let mut rows = Rows::new(tx);
            for entry in logs {
                let id = rows.log_id(&entry.log)?;
                tx.prepare_cached("UPDATE log SET handed_to = max(handed_to, ?2) WHERE id = ?1")?
                    .execute(params![id, entry.tip as i64])?;
            }
            for blob in handed {
                tx.prepare_cached("UPDATE blob SET handed = 1 WHERE id = ?1")?.execute([blob.id.0])?;
            }
            Ok(())
        })
    }

    /// Takes back that a receipt proves what stands after a place of an own log.
    pub(super) fn offer_again(&self, log: &LogId, after: u64) -> Result<()> {
        self.lock().write(|tx, _| {
            let id = Rows::new(tx).log_id(log)?;
            tx.prepare_cached(
                "UPDATE log SET received_to = min(received_to, ?2), handed_to = min(handed_to, ?2) WHERE id = ?1",
            )?
            .execute(params![id, after as i64])?;
            Ok(())
        })
    }

    /// Adds a line to the journal. No words of anyone may stand in it.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn add_to_journal(&self, topic: &str, entry: &serde_json::Value) -> Result<()> {
        let at = i64::try_from(self.env.now_ms()).unwrap_or(i64::MAX);
        self.lock()
            .conn
            .prepare_cached("INSERT INTO journal(at_ms, topic, entry) VALUES(?1, ?2, ?3)")?
            .execute(params![at, topic, entry.to_string()])?;
        Ok(())
    }

    /// The journal's lines of one topic, newest first, each with its time in milliseconds since 1970.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn journal(&self, topic: &str) -> Result<Vec<(i64, serde_json::Value)>> {
        let inner = self.lock();
        let mut query =
            inner.conn.prepare_cached("SELECT at_ms, entry FROM journal WHERE topic = ?1 ORDER BY id DESC")?;
        let rows = query.query_map([topic], |row| Ok((row.get(0)?, row.get::<_, String>(1)?)))?;
        let mut lines = Vec::new();
        for row in rows {
            let (at, entry) = row?;
            lines.push((at, serde_json::from_str(&entry).unwrap_or_default()));
        }
        Ok(lines)
    }

    /// Whether the bytes of a photo are here.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn holds_blob(&self, id: &BlobId) -> Result<bool> {
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached("SELECT held FROM blob WHERE id = ?1")?;
        Ok(query.query_row([id.0], |row| row.get(0)).optional()?.unwrap_or(false))
    }
}

/// The next changes of a log, as far as they follow each other without a break; unsigned. Those at its beginning that cannot be
/// read any more stand in it by their hash alone; one in between ends it.
fn read_segment(conn: &Connection, office: &OfficeId, log: &LogId, after: u64) -> Result<Option<Segment>> {
    let mut rows = Rows::new(conn);
    let id = rows.log_id(log)?;
    let mut query = conn.prepare_cached(
        "SELECT seq, hash, prev, rec, head FROM change WHERE log = ?1 AND seq > ?2
         UNION ALL SELECT seq, hash, prev, NULL, NULL FROM lost l WHERE log = ?1 AND seq > ?2
           AND NOT EXISTS(SELECT 1 FROM change c WHERE c.log = l.log AND c.seq = l.seq)
         ORDER BY seq LIMIT ?3",
    )?;
    let mut found = query.query(params![id, after as i64, MAX_CHANGES as i64])?;
    let (mut lost, mut changes, mut last, mut bytes) = (Vec::new(), Vec::new(), None, 0);
    let mut first_prev = Hash32::ZERO;
    while let Some(row) = found.next()? {
        let (seq, hash, prev): (i64, _, _) = (row.get(0)?, Hash32(row.get(1)?), Hash32(row.get(2)?));
        let follows = last == Some((seq - 1, prev));
        if bytes > AIM_BYTES || (!changes.is_empty() && !follows) {
            break;
        }
        if !follows {
            lost.clear();
            first_prev = prev;
        }
        let rec: Option<[u8; 16]> = row.get(3)?;
        let read = match rec {
            Some(rec) => read_change(&mut rows, office, log, (hash, prev), RecordId(rec), row.get(4)?)?,
            None => None,
        };
        match read {
            Some(change) => {
                bytes += change.head_raw.len() + change.slots.iter().map(slot_len).sum::<usize>();
                changes.push(change);
            }
            None if changes.is_empty() => lost.push(hash),
            None => break,
        }
        last = Some((seq, hash));
    }
    Ok((!changes.is_empty()).then(|| Segment::after_lost(office, *log, first_prev, lost, changes)))
}

/// The sound change at a place of a log, with its hash and the hash before it; none when there is none that can be read.
pub(super) fn sound_change(
    conn: &Connection,
    office: &OfficeId,
    log: &LogId,
    seq: u64,
) -> Result<Option<(Hash32, Hash32, Change)>> {
    let mut rows = Rows::new(conn);
    let id = rows.log_id(log)?;
    let mut query = conn.prepare_cached("SELECT hash, prev, rec, head FROM change WHERE log = ?1 AND seq = ?2")?;
    let mut found = query.query(params![id, seq as i64])?;
    while let Some(row) = found.next()? {
        let (hash, prev) = (Hash32(row.get(0)?), Hash32(row.get(1)?));
        if let Some(change) = read_change(&mut rows, office, log, (hash, prev), RecordId(row.get(2)?), row.get(3)?)? {
            return Ok(Some((hash, prev, change)));
        }
    }
    Ok(None)
}

/// A kept change, if it is still the one that its hash names; none when any of it is gone or was changed on the disk.
pub(super) fn read_change(
    rows: &mut Rows<'_>,
    office: &OfficeId,
    log: &LogId,
    (hash, prev): (Hash32, Hash32),
    rec: RecordId,
    head_raw: Vec<u8>,
) -> Result<Option<Change>> {
    let Ok(head) = Head::from_cbor(&head_raw) else { return Ok(None) };
    let mut slots = Vec::with_capacity(head.fields.len());
    for f in &head.fields {
        let fact = rows.facts(&rec, Some(f.field))?.into_iter().find(|fact| fact.hash == hash);
        let Some(fact) = fact else { return Ok(None) };
        slots.push(fact.slot);
    }
    let change = Change { head, head_raw, slots };
    Ok((change.hash(office, log, &prev) == hash).then_some(change))
}

fn slot_len(slot: &Slot) -> usize {
    match slot {
        Slot::Body { value, .. } => 16 + value.len(),
        Slot::Absent(_) => 32,
    }
}
