//! Getting back what can still be read of a damaged database that was set aside.

use std::path::Path;

use rusqlite::{Connection, OpenFlags, params};

use super::{
    identity::write_answer,
    open::Notebook,
    outbound::read_segment,
    store::{Rows, meta},
};
use crate::{
    error::{Error, Result},
    ids::{Hash32, LogId, OfficeId},
    log::{Change, Segment, Store},
};

/// Changes that are merged in one transaction.
const RUN: usize = 500;

/// What was got back.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug, serde::Serialize)]
pub struct Recovered {
    /// Changes that were not in this notebook and are now.
    pub changes: u64,
    /// Changes that were in it already.
    pub here: u64,
    /// Places of the logs that could not be read.
    pub unreadable: u64,
}

impl Recovered {
    /// Whether anything could be read at all.
    pub(super) fn any(&self) -> bool {
        self.changes + self.here > 0
    }
}

impl Notebook {
    /// Reads a damaged database as far as it can be read and merges what is sound: a change counts only where its hash
    /// follows from its content. The damaged file is not touched.
    ///
    /// # Errors
    /// Of SQLite when not even the office's card can be read; [`Error::NotFound`] when there is no such file.
    pub fn recover(&self, damaged: &Path) -> Result<Recovered> {
        if !damaged.is_file() {
            return Err(Error::NotFound("the damaged file".into()));
        }
        let conn = Connection::open_with_flags(damaged, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        let mut rows = Rows::new(&conn);
        if let Some(card) = meta(&conn, "card")? {
            // The certificates are signed: damaged ones are refused here.
            self.enrol(&write_answer(&card, &rows.statements()?))?;
        }
        let office = self.office()?;
        let mut recovered = Recovered::default();
        for (log, end) in ends(&conn, &mut rows)? {
            let mut run: Option<(Hash32, Vec<Change>)> = None;
            for after in 0..end {
                // One by one: a page that cannot be read costs only what stands on it.
                let sound = read_segment(&conn, &office, &log, after, 1).ok().flatten();
                let sound = sound.filter(|read| read.from() == after + 1 && is_stored(&conn, read));
                let Some(read) = sound else {
                    recovered.unreadable += 1;
                    self.merge_run(&office, log, run.take(), &mut recovered)?;
                    continue;
                };
                let (_, changes) = run.get_or_insert_with(|| (read.prev, Vec::new()));
                changes.extend(read.changes);
                if changes.len() == RUN {
                    self.merge_run(&office, log, run.take(), &mut recovered)?;
                }
            }
            self.merge_run(&office, log, run.take(), &mut recovered)?;
        }
        self.adopt_photos()?;
        self.refresh()?;
        Ok(recovered)
    }

    /// Photos that stand in the folder under an address that a value names, and that the new database knows nothing of.
    fn adopt_photos(&self) -> Result<()> {
        for id in self.blobs_awaited()? {
            if let Ok(file) = std::fs::metadata(self.blob_path(&id)) {
                self.lock()
                    .conn
                    .prepare_cached("INSERT OR IGNORE INTO blob(id, size, held) VALUES(?1, ?2, 1)")?
                    .execute(params![id.0, file.len() as i64])?;
            }
        }
        Ok(())
    }

    fn merge_run(
        &self,
        office: &OfficeId,
        log: LogId,
        run: Option<(Hash32, Vec<Change>)>,
        recovered: &mut Recovered,
    ) -> Result<()> {
        if let Some((prev, changes)) = run {
            let merged = self.take_segment(Segment::new(office, log, prev, changes))?;
            recovered.changes += merged.new;
            recovered.here += merged.repeated;
        }
        Ok(())
    }
}

/// The logs of a damaged database and the last place of each that an index still knows.
fn ends(conn: &Connection, rows: &mut Rows<'_>) -> Result<Vec<(LogId, u64)>> {
    let mut query = conn.prepare("SELECT id, (SELECT max(seq) FROM change WHERE change.log = log.id) FROM log")?;
    let found = query.query_map([], |row| Ok((row.get::<_, i64>(0)?, row.get::<_, Option<i64>>(1)?)))?;
    found
        .map(|row| {
            let (id, end) = row?;
            Ok((rows.log(id)?, end.unwrap_or(0).unsigned_abs()))
        })
        .collect()
}

/// Whether the hash that follows from what was read is the one under which it was kept.
fn is_stored(conn: &Connection, read: &Segment) -> bool {
    let sql = "SELECT 1 FROM change WHERE log = (SELECT id FROM log WHERE device = ?1 AND incarnation = ?2) AND seq = ?3 AND hash = ?4";
    let key = params![read.log.device.0, read.log.incarnation.to_be_bytes(), read.to() as i64, read.tip().0];
    conn.prepare_cached(sql).and_then(|mut query| query.exists(key)).unwrap_or(false)
}
