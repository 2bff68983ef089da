//! Taking in what others wrote: segments, statements, photos.

use std::io::Read;

use rusqlite::params;

use super::{
    blobs,
    erased::{erased_photos_in, is_blob_erased, note_erased, stands_in_a_value, take_statement},
    open::Notebook,
    shown,
    store::Rows,
};
use crate::{
    bundle::{BlobEntry, LogEntry},
    error::Result,
    ids::{BlobId, DeviceId},
    log::{Authority, Body, Segment, SegmentReport, Statement, Store, apply_segment},
    record,
    sign::Signing,
};

/// What becomes of the photos that a manifest offers.
#[derive(Default)]
pub(crate) struct Expected {
    /// Those whose bytes are not here.
    pub wanted: Vec<BlobEntry>,
    /// How many no value here names.
    pub unnamed: u64,
}

impl Notebook {
    /// Merges a segment whose signature was checked. On disk when this returns.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn take_segment(&self, segment: Segment) -> Result<SegmentReport> {
        let signature = segment.signature.clone();
        let (log, to) = (segment.log, segment.to());
        let (report, erased) = self.lock().write(|tx, office| {
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
            self.scrub_marked()?;
        }
        Ok(report)
    }

    /// Takes in signed statements of the office log. What they erase, and what an erasure before could not clean, is gone from
    /// every file on return.
    ///
    /// # Errors
    /// `BAD_SIGNATURE`, `SCHEMA`; of SQLite. One of a full disk may come after the statements were taken: then the words go
    /// when this is done again, at [`Notebook::pause`], or at the next opening.
    pub fn take_statements(&self, signed: &[Vec<u8>]) -> Result<()> {
        if self.adopt_statements(signed)? { self.settle_damaged() } else { Ok(()) }
    }

    /// As [`Notebook::take_statements`], but for damaged files that were set aside: these may be what the statements come from.
    /// Says whether there was anything to clean.
    pub(super) fn adopt_statements(&self, signed: &[Vec<u8>]) -> Result<bool> {
        self.lock().write(|tx, office| {
            for signed in signed {
                take_statement(tx, office, signed)?;
            }
            shown::refresh(tx, office)
        })?;
        self.scrub_marked()
    }

    /// Says something in the office log: `body` is given the place that it will have. Signs it, keeps it, applies it; returns the
    /// signed statement. The place is taken inside the transaction, however many processes say something.
    ///
    /// # Errors
    /// `BAD_SIGNATURE` when `key` is not the office's; of SQLite.
    pub fn say(&self, key: &Signing, body: impl FnOnce(u64) -> Body) -> Result<Vec<u8>> {
        let signed = self.lock().write(|tx, office| {
            let (newest, prev) = office.authority.newest();
            let said = Statement { seq: newest + 1, prev, body: body(newest + 1) };
            let (signed, _) = said.sign(key, &office.card.office());
            take_statement(tx, office, &signed)?;
            shown::refresh(tx, office)?;
            Ok(signed)
        })?;
        self.finish_erasing()?;
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
    /// None.
    pub fn authority(&self) -> Result<Authority> {
        Ok(self.lock().office.authority.clone())
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

    /// Remembers photos that a manifest offers and a value here names, unless they were erased.
    ///
    /// One that no value names is left with its sender, who offers it again until a receipt names it: what named it may have
    /// been erased before it came, and then nothing here can tell that the photo was meant.
    pub(crate) fn expect_blobs(&self, entries: Vec<BlobEntry>) -> Result<Expected> {
        self.lock().write(|tx, office| {
            let mut expected = Expected::default();
            for entry in entries {
                if is_blob_erased(tx, &office.authority, &entry.id)? {
                    continue;
                }
                if !stands_in_a_value(tx, &entry.id)? {
                    expected.unnamed += 1;
                    continue;
                }
                tx.prepare_cached("INSERT OR IGNORE INTO blob(id, size, held) VALUES(?1, ?2, 0)")?
                    .execute(params![entry.id.0, entry.size as i64])?;
                let held: bool = tx
                    .prepare_cached("SELECT held FROM blob WHERE id = ?1")?
                    .query_row([entry.id.0], |row| row.get(0))?;
                expected.wanted.extend((!held).then_some(entry));
            }
            Ok(expected)
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
            is_blob_erased(&inner.conn, &inner.office.authority, id)?
        };
        if erased || self.holds_blob(id)? {
            return Ok(false);
        }
        self.lock().write(|tx, _| {
            let size = blobs::put_expected(&self.photos(), source, id)?;
            blobs::note_held(tx, id, size)
        })?;
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
}
