//! What an office's verified backups hold, and what it once held: the office's side of letting go and of going back.

use rusqlite::{Connection, params};

use super::{
    backup::BackupSort,
    erased::is_blob_erased,
    image::Image,
    merge::Merged,
    open::Notebook,
    store::{meta, set_meta},
    unpack::Unpacked,
};
use crate::{
    archive::Writer,
    bundle::{Opener, Receipt},
    error::{Code, Error, Result},
    job::Job,
};

/// Highest number of an epoch that any receipt of a phone named.
const EPOCH_SEEN: &str = "epoch seen";
/// Set while there is a backup whose content counts as safe.
const SAFE: &str = "safe backup";

impl Notebook {
    /// Adds a whole copy of the database and every photo to an office's backup; returns the copy and how many photos.
    ///
    /// # Errors
    /// [`Error::Cancelled`]; `NO_SPACE`; of SQLite or the file system.
    pub fn back_up_whole(&self, writer: &mut Writer, job: &Job) -> Result<(Image, u64)> {
        let image = self.image(false)?;
        let photos = self.write_backup(writer, &image, job)?;
        Ok((image, photos))
    }

    /// Everything in this copy stands in a verified backup off this machine from now on.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn mark_safe(&self, image: &Image) -> Result<()> {
        let mut inner = self.lock();
        inner.conn.execute("ATTACH DATABASE ?1 AS kept", [image.path().to_string_lossy()])?;
        let marked = inner.write(|tx, _| {
            tx.execute_batch(
                "UPDATE change SET safe = 2 - k.partial FROM kept.change k
                   WHERE k.log = change.log AND k.seq = change.seq AND k.hash = change.hash;
                 UPDATE blob SET safe = 1 WHERE id IN (SELECT id FROM kept.blob WHERE held = 1);",
            )?;
            set_meta(tx, SAFE, &[1])
        });
        inner.conn.execute_batch("DETACH DATABASE kept")?;
        marked
    }

    /// Nothing counts as safe any more: this state came out of a backup, and the next one has to be verified first.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn forget_safe(&self) -> Result<()> {
        self.lock().write(|tx, _| {
            tx.execute_batch("UPDATE change SET safe = 0 WHERE safe > 0; UPDATE blob SET safe = 0 WHERE safe > 0;")?;
            set_meta(tx, SAFE, &[])
        })
    }

    /// Whether some backup's content counts as safe.
    pub(crate) fn has_safe_backup(&self) -> Result<bool> {
        Ok(meta(&self.lock().conn, SAFE)?.is_some_and(|set| set == [1]))
    }

    /// Merges an office's backup, which the caller checked to be of this office.
    ///
    /// # Errors
    /// As [`Notebook::merge_backup`].
    pub fn merge_office_backup(
        &self,
        unpacked: &Unpacked,
        backup: &std::path::Path,
        opener: &Opener,
        job: &Job,
    ) -> Result<Merged> {
        if unpacked.head.sort != BackupSort::Office || unpacked.head.office != self.office()? {
            return Err(Error::backup(Code::NotForUs, "a backup of another office"));
        }
        self.merge(unpacked, backup, opener, job)
    }

    /// Whether everything that a receipt of this office names is here: each newest change, and each photo unless it was
    /// erased. Remembers the number of its epoch.
    pub(crate) fn holds_all_of(&self, receipt: &Receipt) -> Result<bool> {
        self.note_epoch(receipt.epoch.n)?;
        let inner = self.lock();
        let mut change = inner.conn.prepare_cached(
            "SELECT 1 FROM change WHERE log = (SELECT id FROM log WHERE device = ?1 AND incarnation = ?2)
             AND seq = ?3 AND hash = ?4",
        )?;
        for (log, run) in &receipt.runs {
            let key = params![log.device.0, log.incarnation.to_be_bytes(), run.to as i64, run.tip.0];
            if !change.exists(key)? {
                return Ok(false);
            }
        }
        let authority = &inner.office.authority;
        let mut blob = inner.conn.prepare_cached("SELECT 1 FROM blob WHERE id = ?1 AND held = 1")?;
        for id in &receipt.blobs {
            if !is_blob_erased(&inner.conn, authority, id)? && !blob.exists([id.0])? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    fn note_epoch(&self, n: u64) -> Result<()> {
        let inner = self.lock();
        if n > epoch_seen(&inner.conn)? {
            set_meta(&inner.conn, EPOCH_SEEN, &n.to_be_bytes())?;
        }
        Ok(())
    }

    /// The highest number of an epoch that any phone spoke of.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn epoch_seen(&self) -> Result<u64> {
        epoch_seen(&self.lock().conn)
    }
}

fn epoch_seen(conn: &Connection) -> Result<u64> {
    Ok(meta(conn, EPOCH_SEEN)?.and_then(|raw| raw.try_into().ok()).map_or(0, u64::from_be_bytes))
}
