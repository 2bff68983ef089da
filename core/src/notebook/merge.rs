//! Merging a backup into a notebook that has data: nothing of either is lost, and what is erased stays erased.

use std::path::Path;

use rusqlite::{Connection, OptionalExtension, Transaction, params};

use super::{
    backup::BackupSort,
    blobs,
    carried::{carried, sign_tips, written},
    enrolled::Enrolled,
    erased::{erased_photos_in, is_blob_erased, note_erased, take_statement},
    identity::{Card, write_answer},
    invited::read_invited,
    open::{Notebook, new_incarnation},
    shown,
    store::{Rows, meta},
    unpack::Unpacked,
};
use crate::{
    bundle::Opener,
    error::{Code, Error, Result},
    ids::{BlobId, DeviceId, Hash32, LogId, OfficeId, RecordId},
    job::Job,
    log::{Change, Head, Segment, Slot, Store, apply_segment},
};

/// Changes that go to the merge at once.
const RUN: usize = 500;

/// What a backup brought.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug, serde::Serialize)]
pub struct Merged {
    /// Changes that were not here.
    pub changes: u64,
    /// Changes that were here already.
    pub here: u64,
    /// Values that came for changes that were here without them.
    pub filled: u64,
    /// Photos and thumbnails that were not here.
    pub photos: u64,
    /// Drafts of the backup that stand beside a different one from now on.
    pub drafts_aside: u64,
    /// Some of it was written under the log of this notebook and was not here: it goes on under a log of its own.
    pub new_log: bool,
}

impl Notebook {
    /// Merges a backup of this notebook into it.
    ///
    /// # Errors
    /// `NOT_FOR_US` when another device or a device of another office made it; `CUT`, `SCHEMA`, `BAD_SIGNATURE`,
    /// `PART_HASH`, [`Error::NewerDatabase`]: nothing was changed.
    pub fn merge_backup(&self, backup: &Path, job: &Job) -> Result<Merged> {
        let opener = self.opener();
        let unpacked = Unpacked::of(&self.dir, backup, &opener)?;
        if unpacked.head.sort != BackupSort::Notebook || unpacked.head.key != self.lock().keys.signing.public() {
            return Err(Error::backup(Code::NotForUs, "a backup of another notebook"));
        }
        self.merge(&unpacked, backup, &opener, job)
    }

    /// Merges a backup of another device of the same office, opened with the office's keys: its own changes and its photos.
    ///
    /// # Errors
    /// As [`Notebook::merge_backup`]; `UNKNOWN_DEVICE` when the office has no certificate for it.
    pub fn merge_backup_of_device(&self, backup: &Path, opener: &Opener, job: &Job) -> Result<Merged> {
        let unpacked = Unpacked::of(&self.dir, backup, opener)?;
        if unpacked.head.sort != BackupSort::Notebook || unpacked.head.office != self.office()? {
            return Err(Error::backup(Code::NotForUs, "a backup of another office's device"));
        }
        let device = DeviceId::of_key(&unpacked.head.key);
        if self.authority()?.cert_of(&device).is_none() {
            return Err(Error::backup(Code::UnknownDevice, format!("device {device}")));
        }
        self.merge(&unpacked, backup, opener, job)
    }

    /// Merges what was unpacked and checked; the caller knows whose it is.
    pub(super) fn merge(&self, unpacked: &Unpacked, backup: &Path, opener: &Opener, job: &Job) -> Result<Merged> {
        let image = Connection::open(unpacked.image())?;
        let card = meta(&image, "card")?;
        let statements = Rows::new(&image).statements()?;
        let maker = DeviceId::of_key(&unpacked.head.key);
        let own = unpacked.head.sort == BackupSort::Office || maker == self.device();
        // Made before the notebook belonged to an office, it was written for the office of its own.
        let made_for = match &card {
            Some(card) => Card::read(card)?.office(),
            None => Card::own(&self.lock().keys).office(),
        };
        if let Some(card) = card.filter(|_| own) {
            match self.card() {
                // An office's keys change with its key file alone.
                Ok(known) if known.root == Card::read(&card)?.root => {
                    if unpacked.head.sort == BackupSort::Notebook {
                        self.follow_card(&card)?;
                    }
                }
                Ok(_) => return Err(Error::backup(Code::NotForUs, "a backup of another office")),
                Err(_) => match read_invited(&image)? {
                    Some(invited) => self.accept(&card, invited)?,
                    None => self.enrol(&write_answer(&card, &statements))?,
                },
            }
        }
        if own && unpacked.head.sort == BackupSort::Notebook {
            self.adopt_former_of(&image)?;
        }
        let mut inner = self.lock();
        let (log, keys) = (inner.log, inner.keys.clone());
        let mut merged = inner.write(|tx, office| {
            for signed in &statements {
                take_statement(tx, office, signed)?;
            }
            let from = Source { image: &image, office: made_for, only: (!own).then_some(maker) };
            let mut merged = Merged::default();
            if made_for == office.card.office() {
                from.merge_changes(tx, office, &log, &mut merged)?;
                from.merge_lost(tx)?;
            } else {
                from.merge_carried(tx, office, &log, &mut merged)?;
                sign_tips(tx, &keys, &office.card)?;
            }
            from.merge_blobs(tx)?;
            if own {
                let erased = from.erased_since(office)?;
                merged.drafts_aside = from.merge_drafts(tx, &erased)?;
                from.merge_replies(tx, &erased)?;
            }
            tx.execute_batch("UPDATE record SET stale = 1")?;
            shown::refresh(tx, office)?;
            Ok(merged)
        })?;
        if merged.new_log {
            inner.log.incarnation = new_incarnation(&self.dir, &self.env, &inner.conn)?;
        }
        drop(inner);
        unpacked.each_photo(backup, opener, job, &mut |id, body| {
            if self.wants(id)? {
                blobs::put_expected(&self.photos(), body, id)?;
                self.lock()
                    .conn
                    .prepare_cached("UPDATE blob SET held = 1, let_go = 0 WHERE id = ?1")?
                    .execute([id.0])?;
                merged.photos += 1;
            }
            Ok(())
        })?;
        self.scrub(&self.lock())?;
        self.settle_damaged()?;
        Ok(merged)
    }

    fn wants(&self, id: &BlobId) -> Result<bool> {
        let inner = self.lock();
        let erased = is_blob_erased(&inner.conn, &inner.office.authority, id)?;
        let held: Option<bool> = inner
            .conn
            .prepare_cached("SELECT held FROM blob WHERE id = ?1")?
            .query_row([id.0], |row| row.get(0))
            .optional()?;
        Ok(held == Some(false) && !erased)
    }
}

/// The database that came out of a backup.
pub(super) struct Source<'i> {
    pub(super) image: &'i Connection,
    pub(super) office: OfficeId,
    /// Only what this device wrote.
    only: Option<DeviceId>,
}

impl Source<'_> {
    fn merge_changes(&self, tx: &Transaction<'_>, office: &Enrolled, own: &LogId, merged: &mut Merged) -> Result<()> {
        let mut rows = Rows::new(self.image);
        for log in rows.logs()?.into_iter().filter(|log| self.only.is_none_or(|only| only == log.device)) {
            let id = rows.log_id(&log)?;
            let mut query = self
                .image
                .prepare_cached("SELECT hash, prev, rec, head FROM change WHERE log = ?1 ORDER BY seq, hash")?;
            let mut found = query.query([id])?;
            let mut run: Vec<(Hash32, Change)> = Vec::new();
            let mut first_prev = Hash32::ZERO;
            while let Some(row) = found.next()? {
                let (hash, prev) = (Hash32(row.get(0)?), Hash32(row.get(1)?));
                let change = read_change(&mut rows, RecordId(row.get(2)?), &hash, row.get(3)?)?;
                let follows = run.last().is_some_and(|(last, _)| *last == prev) && run.len() < RUN;
                if !follows {
                    self.merge_run(tx, office, own, log, (first_prev, std::mem::take(&mut run)), merged)?;
                    first_prev = prev;
                }
                run.push((hash, change));
            }
            self.merge_run(tx, office, own, log, (first_prev, run), merged)?;
            self.merge_log(tx, &log, id)?;
        }
        Ok(())
    }

    fn merge_run(
        &self,
        tx: &Transaction<'_>,
        office: &Enrolled,
        own: &LogId,
        log: LogId,
        (prev, run): (Hash32, Vec<(Hash32, Change)>),
        merged: &mut Merged,
    ) -> Result<()> {
        if run.is_empty() {
            return Ok(());
        }
        let (hashes, changes): (Vec<Hash32>, Vec<Change>) = run.into_iter().unzip();
        let segment = Segment::new(&self.office, log, prev, changes);
        if segment.hashes != hashes {
            return Err(Error::backup(Code::Schema, "a change in the backup whose hash is another"));
        }
        self.merge_segment(tx, office, own, segment, merged)
    }

    /// What was written before the notebook belonged to an office, in that office's words.
    fn merge_carried(&self, tx: &Transaction<'_>, office: &Enrolled, own: &LogId, merged: &mut Merged) -> Result<()> {
        for segment in carried(written(self.image, &self.office)?, &office.card.office()).segments {
            self.merge_segment(tx, office, own, segment, merged)?;
        }
        Ok(())
    }

    fn merge_segment(
        &self,
        tx: &Transaction<'_>,
        office: &Enrolled,
        own: &LogId,
        segment: Segment,
        merged: &mut Merged,
    ) -> Result<()> {
        let log = segment.log;
        let photos = erased_photos_in(&office.authority, &segment);
        let report = apply_segment(&mut Rows::new(tx), &office.authority, segment)?;
        note_erased(tx, &office.authority, photos)?;
        merged.changes += report.new;
        merged.here += report.repeated;
        merged.filled += report.filled;
        merged.new_log |= log == *own && report.new > 0;
        Ok(())
    }

    /// The newest signature and the furthest place that anyone spoke of.
    fn merge_log(&self, tx: &Transaction<'_>, log: &LogId, image_id: i64) -> Result<()> {
        let (signature, claimed, handed, tip): (Option<Vec<u8>>, i64, i64, i64) = self
            .image
            .prepare_cached(
                "SELECT tip_signature, claimed_to, handed_to, (SELECT max(seq) FROM change WHERE log = log.id)
                 FROM log WHERE id = ?1",
            )?
            .query_row([image_id], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?)))?;
        let id = Rows::new(tx).log_id(log)?;
        tx.prepare_cached(
            "UPDATE log SET claimed_to = max(claimed_to, ?2), handed_to = max(handed_to, ?3),
               tip_signature = iif(tip_signature IS NULL OR ?4 >= (SELECT max(seq) FROM change WHERE log = ?1), coalesce(?5, tip_signature), tip_signature)
             WHERE id = ?1",
        )?
        .execute(params![id, claimed, handed, tip, signature])?;
        Ok(())
    }

    /// Changes that their authors reported lost.
    fn merge_lost(&self, tx: &Transaction<'_>) -> Result<()> {
        let mut rows = Rows::new(tx);
        for (log, link) in Rows::new(self.image).lost()? {
            if self.only.is_none_or(|only| only == log.device) {
                rows.insert_lost(&log, &[link])?;
            }
        }
        Ok(())
    }

    fn merge_blobs(&self, tx: &Transaction<'_>) -> Result<()> {
        let mut query = self.image.prepare("SELECT id, size FROM blob WHERE held = 1")?;
        let mut found = query.query([])?;
        while let Some(row) = found.next()? {
            tx.prepare_cached("INSERT OR IGNORE INTO blob(id, size, held) VALUES(?1, ?2, 0)")?
                .execute(params![row.get::<_, [u8; 33]>(0)?, row.get::<_, i64>(1)?])?;
        }
        Ok(())
    }
}

fn read_change(rows: &mut Rows<'_>, rec: RecordId, hash: &Hash32, head_raw: Vec<u8>) -> Result<Change> {
    let head = Head::from_cbor(&head_raw)?;
    let slot = |field: u32, rows: &mut Rows<'_>| -> Result<Slot> {
        let fact = rows.facts(&rec, Some(field))?.into_iter().find(|fact| fact.hash == *hash);
        fact.map(|fact| fact.slot).ok_or_else(|| Error::backup(Code::Schema, "a change in the backup without a value"))
    };
    let slots = head.fields.iter().map(|f| slot(f.field, rows)).collect::<Result<_>>()?;
    Ok(Change { head, head_raw, slots })
}
