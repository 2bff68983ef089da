//! Writing one inquiry into the index.

use std::collections::BTreeSet;

use dooryard_core::{Result, ids::RecordId, notebook::Notebook};
use rusqlite::{Connection, OptionalExtension, params};

use super::case::{Case, Told, week_of};
use crate::page::When;

/// The rows that hold an inquiry beside its own.
const PARTS: [&str; 5] = ["host", "cause", "held", "review", "later"];

/// Writes what was worked out in place of what stood there.
pub(super) fn write(tx: &Connection, notebook: &Notebook, case: &Case) -> Result<()> {
    let no: Option<i64> = tx
        .prepare_cached("SELECT no FROM inquiry WHERE id = ?1")?
        .query_row([case.id.0], |row| row.get(0))
        .optional()?;
    for part in PARTS.iter().filter(|_| no.is_some()) {
        tx.prepare_cached(&format!("DELETE FROM {part} WHERE inquiry = ?1"))?.execute([no])?;
    }
    if case.told.is_none() && !case.sealed {
        if let Some(no) = no {
            write_members(tx, no, &[])?;
            write_words(tx, no, None)?;
            tx.prepare_cached("DELETE FROM inquiry WHERE no = ?1")?.execute([no])?;
        }
        return Ok(());
    }
    let no = write_row(tx, case)?;
    write_members(tx, no, &case.members)?;
    let Some(told) = &case.told else { return write_words(tx, no, None) };
    let words: Vec<String> = case.members.iter().map(|id| notebook.words_of(*id)).collect::<Result<_>>()?;
    let words: Vec<&str> = words.iter().map(String::as_str).filter(|words| !words.is_empty()).collect();
    write_parts(tx, no, told)?;
    write_words(tx, no, Some((&words.join("\n"), &told.names)))
}

fn write_row(tx: &Connection, case: &Case) -> Result<i64> {
    let told = case.told.as_ref();
    let text = |of: fn(&Told) -> &Option<String>| told.and_then(|t| of(t).as_deref());
    let day = told.map(|t| When::at_ms(t.opened_ms).today());
    let row = params![
        case.id.0,
        case.sealed,
        told.is_some(),
        told.map(|t| t.opened_ms),
        day.map(week_of),
        text(|t| &t.channel),
        text(|t| &t.township),
        text(|t| &t.cell),
        told.map(|t| t.status.as_str()),
        text(|t| &t.outcome),
        text(|t| &t.due),
        told.is_some_and(|t| t.stop),
        told.map_or(0, |t| i64::try_from(t.conflicts).unwrap_or(i64::MAX)),
        text(|t| &t.diagnosis),
        text(|t| &t.scout),
        told.map(|t| t.changed_ms),
        told.is_some_and(|t| t.counted),
        told.is_some_and(|t| t.halt),
        told.is_some_and(|t| t.private),
    ];
    let no = tx
        .prepare_cached(
            "INSERT INTO inquiry(id, sealed, listed, opened_ms, week, channel, township, cell, status, outcome, due,
               stop, conflicts, diagnosis, scout, changed_ms, counted, halt, private)
             VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19)
             ON CONFLICT(id) DO UPDATE SET sealed = ?2, listed = ?3, opened_ms = ?4, week = ?5, channel = ?6,
               township = ?7, cell = ?8, status = ?9, outcome = ?10, due = ?11, stop = ?12, conflicts = ?13,
               diagnosis = ?14, scout = ?15, changed_ms = ?16, counted = ?17,
               halt = ?18, private = ?19
             RETURNING no",
        )?
        .query_row(row, |row| row.get(0))?;
    Ok(no)
}

fn write_parts(tx: &Connection, no: i64, told: &Told) -> Result<()> {
    let int = |n: u64| i64::try_from(n).unwrap_or(i64::MAX);
    for host in &told.hosts {
        tx.prepare_cached("INSERT INTO host(host, inquiry, affected, present, answered) VALUES(?1, ?2, ?3, ?4, ?5)")?
            .execute(params![host.id, no, int(host.plants.0), int(host.plants.1), int(host.answered)])?;
        for (cause, _, n) in &host.causes {
            tx.prepare_cached("INSERT INTO held(host, cause, inquiry, n) VALUES(?1, ?2, ?3, ?4)")?.execute(params![
                host.id,
                cause,
                no,
                int(*n)
            ])?;
        }
    }
    for (cause, percent) in &told.causes {
        tx.prepare_cached("INSERT OR IGNORE INTO cause(cause, inquiry, percent) VALUES(?1, ?2, ?3)")?
            .execute(params![cause, no, percent])?;
    }
    for reason in &told.reviews {
        tx.prepare_cached("INSERT INTO review(reason, inquiry) VALUES(?1, ?2)")?.execute(params![reason, no])?;
    }
    for later in &told.laters {
        tx.prepare_cached("INSERT OR REPLACE INTO later(rec, inquiry, done, day, by) VALUES(?1, ?2, ?3, ?4, ?5)")?
            .execute(params![later.id.0, no, later.done, later.day, later.by])?;
    }
    Ok(())
}

/// Writes which records belong to an inquiry; what stands there already is left alone.
fn write_members(tx: &Connection, no: i64, members: &[RecordId]) -> Result<()> {
    let mut query = tx.prepare_cached("SELECT rec FROM member WHERE inquiry = ?1")?;
    let old = query.query_map([no], |row| row.get(0).map(RecordId))?.collect::<rusqlite::Result<BTreeSet<_>>>()?;
    let new: BTreeSet<RecordId> = members.iter().copied().collect();
    for id in old.difference(&new) {
        tx.prepare_cached("DELETE FROM member WHERE rec = ?1 AND inquiry = ?2")?.execute(params![id.0, no])?;
    }
    for id in new.difference(&old) {
        tx.prepare_cached("INSERT INTO member(rec, inquiry) VALUES(?1, ?2)")?.execute(params![id.0, no])?;
    }
    Ok(())
}

/// Writes the words and the names by which an inquiry is found; what stands there already is left alone.
fn write_words(tx: &Connection, no: i64, new: Option<(&str, &str)>) -> Result<()> {
    let mut query = tx.prepare_cached("SELECT text, names FROM found WHERE rowid = ?1")?;
    let old: Option<(String, String)> = query.query_row([no], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
    if old.as_ref().map(|(text, names)| (text.as_str(), names.as_str())) == new {
        return Ok(());
    }
    if old.is_some() {
        tx.prepare_cached("DELETE FROM found WHERE rowid = ?1")?.execute([no])?;
    }
    if let Some((text, names)) = new {
        let sql = "INSERT INTO found(rowid, text, names) VALUES(?1, ?2, ?3)";
        tx.prepare_cached(sql)?.execute(params![no, text, names])?;
    }
    Ok(())
}
