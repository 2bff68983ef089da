//! Getting back what can still be read of a damaged database that was set aside.

use std::path::Path;

use rusqlite::{Connection, OpenFlags, params};

use super::{
    identity::write_answer,
    open::Notebook,
    outbound::sound_change,
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
            let (mut run, mut last, mut hole): (Option<Run>, _, u64) = (None, Hash32::ZERO, 0);
            for seq in 1..=end {
                // One by one: a page that cannot be read costs only what stands on it.
                let Some((hash, prev, change)) = sound_change(&conn, &office, &log, seq).ok().flatten() else {
                    recovered.unreadable += 1;
                    hole += 1;
                    self.merge_run(&office, log, run.take(), &mut recovered)?;
                    continue;
                };
                let begin = || match hole {
                    0 => Run { prev, lost: Vec::new(), changes: Vec::new() },
                    // The hash of the last one lost stands in the change after it; the one before it is known of a hole of one.
                    1 => Run { prev: last, lost: vec![prev], changes: Vec::new() },
                    _ => Run { prev: Hash32::ZERO, lost: vec![prev], changes: Vec::new() },
                };
                run.get_or_insert_with(begin).changes.push(change);
                (hole, last) = (0, hash);
                if run.as_ref().is_some_and(|run| run.changes.len() == RUN) {
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

    fn merge_run(&self, office: &OfficeId, log: LogId, run: Option<Run>, recovered: &mut Recovered) -> Result<()> {
        if let Some(Run { prev, lost, changes }) = run {
            let segment = Segment::after_lost(office, log, prev, lost, changes);
            let before = segment.from().saturating_sub(1);
            let merged = self.take_segment(segment)?;
            if merged.new > 0 {
                // What a receipt was believed to prove was not here: it is offered again.
                self.offer_again(&log, before)?;
            }
            recovered.changes += merged.new;
            recovered.here += merged.repeated;
        }
        Ok(())
    }
}

/// Changes that follow each other, behind some that are lost.
struct Run {
    prev: Hash32,
    lost: Vec<Hash32>,
    changes: Vec<Change>,
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
