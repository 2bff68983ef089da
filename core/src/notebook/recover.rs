//! Getting back what can still be read of a damaged database that was set aside.

use std::path::Path;

use rusqlite::{Connection, OpenFlags, params};

use super::{
    carried::{Written, carried},
    identity::{Card, write_answer},
    invited::read_invited,
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
    /// Of SQLite when not even the office's card can be read; [`Error::NotFound`] when there is no such file; `NOT_FOR_US` when
    /// its owner belonged to another office.
    pub fn recover(&self, damaged: &Path) -> Result<Recovered> {
        if !damaged.is_file() {
            return Err(Error::NotFound("the damaged file".into()));
        }
        let conn = Connection::open_with_flags(damaged, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        let mut rows = Rows::new(&conn);
        let office = self.follow_office_of(&conn)?;
        self.adopt_former_of(&conn)?;
        let mut recovered = Recovered::default();
        if office != self.lock().office.card.office() {
            return self.recover_carried(&conn, &office);
        }
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
            self.adopt_signature(&conn, &log)?;
        }
        self.adopt_photos()?;
        self.refresh()?;
        Ok(recovered)
    }

    /// The newest signature of a log's author: without the author's key nothing else closes it.
    fn adopt_signature(&self, damaged: &Connection, log: &LogId) -> Result<()> {
        let read = damaged.query_row(
            "SELECT tip_signature FROM log WHERE device = ?1 AND incarnation = ?2",
            params![log.device.0, log.incarnation.to_be_bytes()],
            |row| row.get::<_, Option<Vec<u8>>>(0),
        );
        let Some(signature) = read.ok().flatten() else { return Ok(()) };
        self.lock().write(|tx, _| {
            let id = Rows::new(tx).log_id(log)?;
            tx.execute(
                "UPDATE log SET tip_signature = ?2 WHERE id = ?1 AND coalesce(tip_signature, x'') = x''",
                params![id, signature],
            )?;
            Ok(())
        })
    }

    /// Becomes the office's that the owner of a damaged database belonged to. Gives the office for which it was written: that one,
    /// or the owner's own where it belonged to none.
    fn follow_office_of(&self, damaged: &Connection) -> Result<OfficeId> {
        let Some(card) = meta(damaged, "card")? else { return Ok(Card::own(&self.lock().keys).office()) };
        // The certificates are signed: damaged ones are refused here.
        let statements = Rows::new(damaged).statements()?;
        match read_invited(damaged)? {
            Some(invited) => {
                self.accept(&card, invited)?;
                self.adopt_statements(&statements)?;
            }
            None => self.enrol(&write_answer(&card, &statements))?,
        }
        Ok(Card::read(&card)?.office())
    }

    /// As [`Notebook::recover`], of a database that was written before this notebook belonged to an office.
    fn recover_carried(&self, damaged: &Connection, office: &OfficeId) -> Result<Recovered> {
        let (mut recovered, mut found) = (Recovered::default(), Vec::new());
        for (log, end) in ends(damaged, &mut Rows::new(damaged))? {
            for seq in 1..=end {
                match sound_change(damaged, office, &log, seq).ok().flatten() {
                    Some((hash, prev, change)) => found.push(Written { log, hash, prev, change }),
                    None => recovered.unreadable += 1,
                }
            }
        }
        for segment in carried(found, &self.office()?).segments {
            self.merge_segment(segment, &mut recovered)?;
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
            self.merge_segment(Segment::after_lost(office, log, prev, lost, changes), recovered)?;
        }
        Ok(())
    }

    fn merge_segment(&self, segment: Segment, recovered: &mut Recovered) -> Result<()> {
        let (log, before) = (segment.log, segment.from().saturating_sub(1));
        let merged = self.take_segment(segment)?;
        if merged.new > 0 {
            // What a receipt was believed to prove was not here: it is offered again.
            self.offer_again(&log, before)?;
        }
        recovered.changes += merged.new;
        recovered.here += merged.repeated;
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
