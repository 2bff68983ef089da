//! Writing one inquiry into the index.

use std::collections::BTreeMap;

use dooryard_core::{Result, ids::RecordId, notebook::Notebook};
use rusqlite::{Connection, OptionalExtension, params};

use super::case::{Case, Told, week_of};
use crate::page::When;

/// Bits of a member's id below the number of its inquiry.
pub(super) const BITS: u32 = 20;
const MASK: i64 = (1 << BITS) - 1;

/// The record that no notebook has: the names of the pack.
const OF_PACK: RecordId = RecordId([0; 16]);

/// The rows that hold an inquiry beside its own.
const PARTS: [&str; 4] = ["host", "cause", "held", "review"];

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
            tx.prepare_cached("DELETE FROM inquiry WHERE no = ?1")?.execute([no])?;
        }
        return Ok(());
    }
    let no = write_row(tx, case)?;
    let mut members: Vec<(RecordId, String)> = case.members.iter().map(|id| (*id, String::new())).collect();
    if let Some(told) = &case.told {
        for (id, words) in &mut members {
            *words = notebook.words_of(*id)?;
        }
        // Names of the pack are found like the words of one record more, which no notebook has.
        members.push((OF_PACK, told.names.clone()));
        write_parts(tx, no, told)?;
    }
    write_members(tx, no, &members)
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
        day.map(|d| d.to_string()),
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
    ];
    let no = tx
        .prepare_cached(
            "INSERT INTO inquiry(id, sealed, listed, opened_ms, day, week, channel, township, cell, status, outcome, due,
               stop, conflicts, diagnosis, scout, changed_ms, counted)
             VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18)
             ON CONFLICT(id) DO UPDATE SET sealed = ?2, listed = ?3, opened_ms = ?4, day = ?5, week = ?6, channel = ?7,
               township = ?8, cell = ?9, status = ?10, outcome = ?11, due = ?12, stop = ?13, conflicts = ?14,
               diagnosis = ?15, scout = ?16, changed_ms = ?17, counted = ?18
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
    Ok(())
}

/// Writes the records of an inquiry and their words; what stands there already is left alone.
fn write_members(tx: &Connection, no: i64, members: &[(RecordId, String)]) -> Result<()> {
    let (first, last) = (no << BITS, no << BITS | MASK);
    let mut query = tx.prepare_cached(
        "SELECT m.id, m.rec, coalesce(f.text, f.names, '') FROM member m LEFT JOIN found f ON f.rowid = m.id
         WHERE m.id BETWEEN ?1 AND ?2",
    )?;
    let mut old: BTreeMap<(RecordId, String), i64> = BTreeMap::new();
    let mut next = first;
    for row in query.query_map([first, last], |row| Ok((row.get(0)?, RecordId(row.get(1)?), row.get(2)?)))? {
        let (id, rec, words): (i64, RecordId, String) = row?;
        next = next.max(id + 1);
        old.insert((rec, words), id);
    }
    let new: Vec<&(RecordId, String)> = members.iter().filter(|member| old.remove(*member).is_none()).collect();
    for ((_, words), id) in &old {
        if !words.is_empty() {
            tx.prepare_cached("DELETE FROM found WHERE rowid = ?1")?.execute([id])?;
        }
        tx.prepare_cached("DELETE FROM member WHERE id = ?1")?.execute([id])?;
    }
    // Numbers of one inquiry are spent by edits: once they come to an end, they are dealt out anew.
    if next + i64::try_from(new.len()).unwrap_or(i64::MAX) > last {
        tx.prepare_cached("DELETE FROM found WHERE rowid BETWEEN ?1 AND ?2")?.execute([first, last])?;
        tx.prepare_cached("DELETE FROM member WHERE id BETWEEN ?1 AND ?2")?.execute([first, last])?;
        return insert_members(tx, first, members);
    }
    insert_members(tx, next, new)
}

fn insert_members<'a>(
    tx: &Connection,
    from: i64,
    members: impl IntoIterator<Item = &'a (RecordId, String)>,
) -> Result<()> {
    for (id, (rec, words)) in (from..).zip(members) {
        tx.prepare_cached("INSERT INTO member(id, rec) VALUES(?1, ?2)")?.execute(params![id, rec.0])?;
        if !words.is_empty() {
            let column = if *rec == OF_PACK { "names" } else { "text" };
            tx.prepare_cached(&format!("INSERT INTO found(rowid, {column}) VALUES(?1, ?2)"))?
                .execute(params![id, words])?;
        }
    }
    Ok(())
}
