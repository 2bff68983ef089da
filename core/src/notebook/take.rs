//! Taking in what others wrote: segments, statements, photos; and what is still to come.

use std::{collections::BTreeMap, io::Read};

use rusqlite::{Connection, params};
use serde::Serialize;

use super::{
    blobs,
    enrolled::Enrolled,
    erased::{erased_photos_in, is_blob_erased, note_erased, take_statement},
    open::Notebook,
    shown,
    store::Rows,
};
use crate::{
    bundle::{BlobEntry, Level, LogEntry},
    error::{Error, Result},
    fault::{self, Fault},
    ids::{BlobId, DeviceId, Hash32, LogId, RecordId},
    log::{Authority, Body, Link, Run, Segment, SegmentReport, Statement, Store, apply_segment, missing, runs},
    record,
    sign::Signing,
};

/// A range of changes that is not here.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct Gap {
    /// The log, as people see it.
    pub log: String,
    /// Whose log it is.
    pub label: String,
    /// First change missing.
    pub from: u64,
    /// Last change missing.
    pub to: u64,
    /// Their author can no longer read them and said so: nothing will come, unless an older bundle or a backup has them.
    pub lost: bool,
}

impl Notebook {
    /// Merges a segment whose signature was checked. On disk when this returns.
    ///
    /// # Errors
    /// [`Error::NotEnrolled`]; of SQLite.
    pub fn take_segment(&self, segment: Segment) -> Result<SegmentReport> {
        let signature = segment.signature.clone();
        let (log, to) = (segment.log, segment.to());
        let mut inner = self.lock();
        let (report, erased) = inner.write(|tx, office| {
            let office = office.ok_or(Error::NotEnrolled)?;
            let photos = erased_photos_in(&office.authority, &segment);
            let mut rows = Rows::new(tx);
            let report = apply_segment(&mut rows, &office.authority, segment)?;
            let id = rows.log_id(&log)?;
            tx.prepare_cached(
                "UPDATE log SET tip_signature = ?2 WHERE id = ?1 AND ?3 >= (SELECT max(seq) FROM change WHERE log = ?1)",
            )?
            .execute(params![id, signature, to as i64])?;
            Ok((report, note_erased(tx, &office.authority, photos)?))
        })?;
        if erased {
            self.scrub(&inner)?;
        }
        Ok(report)
    }

    /// Takes in signed statements of the office log. When one erases, the words are gone from every file on return.
    ///
    /// # Errors
    /// `BAD_SIGNATURE`, `SCHEMA`; of SQLite.
    pub fn take_statements(&self, signed: &[Vec<u8>]) -> Result<()> {
        let mut inner = self.lock();
        let erased = inner.write(|tx, office| {
            let office = office.ok_or(Error::NotEnrolled)?;
            let mut erased = false;
            for signed in signed {
                erased |= take_statement(tx, office, signed)?;
            }
            shown::refresh(tx, office)?;
            Ok(erased)
        })?;
        if erased {
            self.scrub(&inner)?;
            drop(inner);
            self.settle_damaged()?;
        }
        Ok(())
    }

    /// Says something in the office log: `body` is given the place that it will have. Signs it, keeps it, applies it; returns the
    /// signed statement. The place is taken inside the transaction, however many processes say something.
    ///
    /// # Errors
    /// `BAD_SIGNATURE` when `key` is not the office's; of SQLite.
    pub fn say(&self, key: &Signing, body: impl FnOnce(u64) -> Body) -> Result<Vec<u8>> {
        let mut inner = self.lock();
        let (signed, erased) = inner.write(|tx, office| {
            let office = office.ok_or(Error::NotEnrolled)?;
            let (newest, prev) = office.authority.newest();
            let said = Statement { seq: newest + 1, prev, body: body(newest + 1) };
            let (signed, _) = said.sign(key, &office.card.office());
            let erased = take_statement(tx, office, &signed)?;
            shown::refresh(tx, office)?;
            Ok((signed, erased))
        })?;
        if erased {
            self.scrub(&inner)?;
            drop(inner);
            self.settle_damaged()?;
        }
        Ok(signed)
    }

    /// The signed statements of the office log that this notebook holds, in order.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn statements(&self) -> Result<Vec<Vec<u8>>> {
        Rows::new(&self.lock().conn).statements()
    }

    /// A copy of the office log as this notebook knows it.
    ///
    /// # Errors
    /// [`Error::NotEnrolled`].
    pub fn authority(&self) -> Result<Authority> {
        Ok(self.lock().enrolled()?.authority.clone())
    }

    /// Remembers how far a sender said that its logs go.
    pub(crate) fn note_claims(&self, sender: &DeviceId, logs: &[LogEntry]) -> Result<()> {
        self.lock().write(|tx, _| {
            let mut rows = Rows::new(tx);
            // A sender speaks for its own logs only.
            for entry in logs.iter().filter(|entry| entry.tip > 0 && entry.log.device == *sender) {
                let id = rows.log_id(&entry.log)?;
                tx.prepare_cached("UPDATE log SET claimed_to = max(claimed_to, ?2) WHERE id = ?1")?
                    .execute(params![id, entry.tip as i64])?;
            }
            Ok(())
        })
    }

    /// Remembers photos that a manifest names, unless they were erased. Returns those whose bytes are not here.
    pub(crate) fn expect_blobs(&self, entries: &[BlobEntry]) -> Result<Vec<BlobId>> {
        self.lock().write(|tx, office| {
            let authority = &office.ok_or(Error::NotEnrolled)?.authority;
            let mut wanted = Vec::new();
            for entry in entries {
                if is_blob_erased(tx, authority, &entry.id)? {
                    continue;
                }
                tx.prepare_cached("INSERT OR IGNORE INTO blob(id, size, held) VALUES(?1, ?2, 0)")?
                    .execute(params![entry.id.0, entry.size as i64])?;
                let held: bool = tx
                    .prepare_cached("SELECT held FROM blob WHERE id = ?1")?
                    .query_row([entry.id.0], |row| row.get(0))?;
                wanted.extend((!held).then_some(entry.id));
            }
            Ok(wanted)
        })
    }

    /// Stores the bytes of an expected photo; durable on return.
    pub(crate) fn store_blob(&self, id: &BlobId, source: &mut dyn Read) -> Result<()> {
        blobs::put_expected(&self.photos(), source, id)?;
        self.lock().conn.prepare_cached("UPDATE blob SET held = 1, let_go = 0 WHERE id = ?1")?.execute([id.0])?;
        Ok(())
    }

    /// Stores the bytes of a photo that came another way than in a bundle, unless it was erased; durable on return. Says
    /// whether it was new here.
    pub(crate) fn adopt_blob(&self, id: &BlobId, source: &mut dyn Read) -> Result<bool> {
        let erased = {
            let inner = self.lock();
            is_blob_erased(&inner.conn, &inner.enrolled()?.authority, id)?
        };
        if erased || self.holds_blob(id)? {
            return Ok(false);
        }
        let size = blobs::put_expected(&self.photos(), source, id)?;
        self.lock()
            .conn
            .prepare_cached(
                "INSERT INTO blob(id, size, held) VALUES(?1, ?2, 1) ON CONFLICT(id) DO UPDATE SET held = 1, let_go = 0",
            )?
            .execute(params![id.0, size as i64])?;
        Ok(true)
    }

    /// Photos and thumbnails that manifests or photo records name and whose bytes have not come.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn blobs_awaited(&self) -> Result<Vec<BlobId>> {
        let inner = self.lock();
        // A content address in a fact stands behind the two bytes that CBOR needs for its length.
        let mut query = inner.conn.prepare_cached(&format!(
            "SELECT id FROM blob WHERE held = 0 AND let_go = 0
             UNION SELECT substr(value, 3) FROM fact WHERE field IN ({}) AND salt IS NOT NULL AND length(value) = 35
               AND substr(value, 3) NOT IN (SELECT id FROM blob WHERE held = 1 OR let_go = 1)
             ORDER BY 1",
            record::blob_fields()
        ))?;
        Ok(query.query_map([], |row| row.get(0).map(BlobId))?.collect::<rusqlite::Result<_>>()?)
    }

    /// The ranges of every log that are known to exist and are not here: those that have not come, and those reported lost.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn gaps(&self) -> Result<Vec<Gap>> {
        let inner = self.lock();
        let (mut found, all_lost) = (Vec::new(), Rows::new(&inner.conn).lost()?);
        for (log, claimed, mut links) in chains(&inner.conn, Level::Stored)? {
            let end = links.iter().map(|l| l.seq).max().unwrap_or(0).max(claimed);
            let label = label_of(inner.enrolled()?, &log.device);
            let absent = missing(&links, end);
            links.extend(all_lost.iter().filter(|(of, _)| *of == log).map(|(_, link)| *link));
            let awaited = missing(&links, end);
            let lost = without(&absent, &awaited).into_iter().map(|range| (range, true));
            let mut all: Vec<_> = awaited.into_iter().map(|range| (range, false)).chain(lost).collect();
            all.sort_unstable();
            found.extend(all.into_iter().map(|((from, to), lost)| Gap {
                log: log.to_string(),
                label: label.clone(),
                from,
                to,
                lost,
            }));
        }
        Ok(found)
    }

    /// The unbroken runs held of a device's logs. More than one over the same places is a fork.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn runs_of(&self, device: &DeviceId) -> Result<Vec<(LogId, Run)>> {
        let inner = self.lock();
        let chains = chains(&inner.conn, Level::Stored)?.into_iter().filter(|(log, ..)| log.device == *device);
        Ok(chains.flat_map(|(log, _, links)| runs(&links).into_iter().map(move |run| (log, run))).collect())
    }

    /// How many changes of a device are here, how many of them do not count.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn count_of(&self, device: &DeviceId) -> Result<(u64, u64)> {
        let inner = self.lock();
        let sql = "SELECT count(*), count(waiting) FROM change WHERE log IN (SELECT id FROM log WHERE device = ?1)";
        Ok(inner.conn.prepare_cached(sql)?.query_row([device.0], |row| {
            Ok((row.get::<_, i64>(0)?.unsigned_abs(), row.get::<_, i64>(1)?.unsigned_abs()))
        })?)
    }

    /// Changes of a device that do not count, and why.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn waiting_of(&self, device: &DeviceId) -> Result<Vec<(RecordId, Hash32, String)>> {
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached(
            "SELECT rec, hash, waiting FROM change WHERE waiting IS NOT NULL AND log IN (SELECT id FROM log WHERE device = ?1)",
        )?;
        let rows = query.query_map([device.0], |row| Ok((RecordId(row.get(0)?), Hash32(row.get(1)?), row.get(2)?)))?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }
}

/// The ranges of `all` less those of `some`, which lie within them. Both ascend.
fn without(all: &[(u64, u64)], some: &[(u64, u64)]) -> Vec<(u64, u64)> {
    let mut left = Vec::new();
    for (from, to) in all {
        let mut next = *from;
        for (start, end) in some.iter().filter(|(start, end)| from <= start && end <= to) {
            left.push((next, start - 1));
            next = end + 1;
        }
        left.push((next, *to));
    }
    left.retain(|(from, to)| from <= to);
    left
}

/// Every log with the highest place anyone spoke of, and its chain as far as it is held at this level.
pub(super) fn chains(conn: &Connection, level: Level) -> Result<Vec<(LogId, u64, Vec<Link>)>> {
    let mut logs: BTreeMap<i64, (LogId, u64, Vec<Link>)> = conn
        .prepare_cached("SELECT id, device, incarnation, claimed_to FROM log")?
        .query_map([], |row| {
            let log = LogId { device: DeviceId(row.get(1)?), incarnation: u64::from_be_bytes(row.get(2)?) };
            Ok((row.get(0)?, (log, row.get::<_, i64>(3)?.unsigned_abs(), Vec::new())))
        })?
        .collect::<rusqlite::Result<_>>()?;
    let mut query =
        conn.prepare_cached("SELECT log, seq, hash, prev FROM change WHERE safe >= ?1 ORDER BY log, seq, hash")?;
    let level = if fault::is(Fault::StoredCountsAsSafe) { Level::Stored } else { level };
    let mut rows = query.query([level as u8])?;
    while let Some(row) = rows.next()? {
        if let Some((.., links)) = logs.get_mut(&row.get(0)?) {
            let seq = row.get::<_, i64>(1)?.unsigned_abs();
            links.push(Link { seq, hash: Hash32(row.get(2)?), prev: Hash32(row.get(3)?) });
        }
    }
    let mut all: Vec<_> = logs.into_values().collect();
    all.sort_by_key(|(log, ..)| *log);
    Ok(all)
}

pub(super) fn label_of(office: &Enrolled, device: &DeviceId) -> String {
    office.authority.cert_of(device).map_or_else(|| device.to_hex()[..8].to_owned(), |(_, cert)| cert.label.clone())
}
