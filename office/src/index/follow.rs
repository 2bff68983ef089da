//! Following the notebook: what changed since, which inquiries that touches, and these worked out anew.

use std::{collections::BTreeSet, path::Path};

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Changed, Notebook},
    record::Kind,
};
use rusqlite::{Connection, TransactionBehavior};

use super::{
    Index,
    case::Case,
    gather::{Touched, rows_around, touched},
    names_of, names_text,
    store::{FILE, clear, mark, open, scrub, set_mark, wipe},
    write::write,
};
use crate::{ledger::seals_alone, page::Names};

/// Turns of one transaction.
const STEP: usize = 2_000;
/// Inquiries worked out at once.
const BATCH: usize = 100;

/// How far the index has come.
struct Mark {
    database: i64,
    turn: u64,
    /// Erasures of which every trace is gone; `None` while that has to be seen to.
    erased: Option<i64>,
    /// All was worked out once.
    whole: bool,
    names: String,
}

impl Mark {
    fn read(conn: &Connection) -> Result<Option<Self>> {
        let Some(database) = mark(conn, "database")? else { return Ok(None) };
        Ok(Some(Self {
            database,
            turn: mark::<i64>(conn, "turn")?.unwrap_or(0).unsigned_abs(),
            erased: mark::<Option<i64>>(conn, "erased")?.flatten(),
            whole: mark(conn, "whole")?.unwrap_or(false),
            names: mark(conn, "names")?.unwrap_or_default(),
        }))
    }

    /// Whether the index may go on from here.
    fn fits(&self, changed: &Changed, names: &str) -> bool {
        self.database == changed.database.cast_signed() && changed.newest >= self.turn && self.names == names
    }
}

/// What was worked out while one call follows.
#[derive(Default)]
struct Work {
    /// Inquiries that were worked out.
    done: BTreeSet<RecordId>,
    /// The newest turn when everything was begun from nothing: up to it, what is done needs no second look.
    from_nothing: Option<u64>,
    /// Inquiries worked out in all.
    count: u64,
}

impl Index {
    /// Brings the index up to the notebook as it stands, in steps that each leave it whole. Returns how many inquiries were
    /// worked out. After an erasure its words are gone from the file on return, or, where somebody reads at this moment, with
    /// a later call.
    ///
    /// # Errors
    /// Of the stores; what was done stays done.
    pub fn follow(&self, notebook: &Notebook) -> Result<u64> {
        let mut conn = self.lock();
        let names = names_text(&self.names);
        let mut work = Work::default();
        loop {
            let at = Mark::read(&conn)?.filter(|at| at.whole || work.from_nothing.is_some());
            let turn = at.as_ref().map_or(0, |at| at.turn);
            let changed = notebook.changed_since(turn, STEP)?;
            let Some(at) = at.filter(|at| at.fits(&changed, &names)) else {
                begin(&mut conn, &changed, &names)?;
                work = Work { from_nothing: Some(changed.newest), count: work.count, ..Work::default() };
                continue;
            };
            if changed.records.is_empty() {
                if !at.whole {
                    set_mark(&conn, "whole", true)?;
                }
                if at.erased != Some(changed.erased.cast_signed()) {
                    clean(&conn, &changed)?;
                }
                return Ok(work.count);
            }
            step(&mut conn, notebook, &self.names, (turn, &changed), &mut work)?;
        }
    }

    /// Sees to it that what was erased in the notebook is erased in the index of an office's folder too, when there is one: it
    /// is brought up to the notebook with the names that it was made with. One of another database, or that cannot be followed,
    /// is wiped. Without an erasure nothing is done.
    ///
    /// # Errors
    /// Of the notebook or the file system.
    pub fn heed(folder: &Path, notebook: &Notebook) -> Result<()> {
        if !folder.join(FILE).exists() {
            return Ok(());
        }
        let now = notebook.changed_since(0, 0)?;
        let conn = open(folder)?;
        let Some(at) = Mark::read(&conn)? else { return Ok(()) };
        let is_same = at.database == now.database.cast_signed();
        if is_same && at.erased == Some(now.erased.cast_signed()) {
            return Ok(());
        }
        let names = names_of(&at.names).filter(|_| is_same);
        let followed = names.map(|names| Self::over(conn, folder, names).follow(notebook));
        if matches!(followed, Some(Ok(_))) { Ok(()) } else { wipe(folder) }
    }
}

/// Empties the index for a database whose turns it does not know.
fn begin(conn: &mut Connection, changed: &Changed, names: &str) -> Result<()> {
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    clear(&tx)?;
    set_mark(&tx, "database", changed.database.cast_signed())?;
    set_mark(&tx, "turn", 0)?;
    set_mark(&tx, "names", names)?;
    Ok(tx.commit()?)
}

/// Takes the traces of erased words out of the file. Marked as done only when they are gone.
fn clean(conn: &Connection, changed: &Changed) -> Result<()> {
    if scrub(conn)? { set_mark(conn, "erased", changed.erased.cast_signed()) } else { Ok(()) }
}

/// Follows one page of turns, in one transaction.
fn step(
    conn: &mut Connection,
    notebook: &Notebook,
    names: &Names,
    (from, changed): (u64, &Changed),
    work: &mut Work,
) -> Result<()> {
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    if mark::<i64>(&tx, "turn")?.map(i64::unsigned_abs) != Some(from) {
        // Another process was here meanwhile.
        return Ok(tx.rollback()?);
    }
    let fresh = |turn: u64| work.from_nothing.is_some_and(|newest| turn <= newest);
    let mut records = Vec::new();
    for (id, kind, _) in &changed.records {
        let owners = if fresh(changed.turn) { owners(&tx, id)? } else { Vec::new() };
        let seen = !owners.is_empty() && owners.iter().all(|owner| work.done.contains(owner));
        if !seen || *kind == Kind::Alert {
            records.push((*id, *kind));
        }
    }
    let Touched { mut inquiries, records: places, alerts } = touched(notebook, &records)?;
    for id in &places {
        inquiries.extend(owners(&tx, id)?);
    }
    if fresh(changed.turn) {
        inquiries.retain(|id| !work.done.contains(id));
    }
    let inquiries = Vec::from_iter(inquiries);
    for batch in inquiries.chunks(BATCH) {
        for case in Case::all(&rows_around(notebook, batch)?, batch, names) {
            write(&tx, notebook, &case)?;
        }
    }
    for (id, ..) in changed.records.iter().filter(|(_, kind, _)| *kind == Kind::Alert) {
        tx.prepare_cached("DELETE FROM lone WHERE rec = ?1")?.execute([id.0])?;
    }
    for alert in alerts.iter().filter(|alert| seals_alone(alert)) {
        tx.prepare_cached("INSERT OR IGNORE INTO lone(rec) VALUES(?1)")?.execute([alert.id.0])?;
    }
    set_mark(&tx, "turn", i64::try_from(changed.turn).unwrap_or(i64::MAX))?;
    tx.commit()?;
    work.count += inquiries.len() as u64;
    work.done.extend(inquiries);
    Ok(())
}

/// The inquiries to which the index knows a record to belong.
fn owners(tx: &Connection, record: &RecordId) -> Result<Vec<RecordId>> {
    let mut query =
        tx.prepare_cached("SELECT i.id FROM member m JOIN inquiry i ON i.no = m.inquiry WHERE m.rec = ?1")?;
    Ok(query.query_map([record.0], |row| row.get(0).map(RecordId))?.collect::<rusqlite::Result<_>>()?)
}
