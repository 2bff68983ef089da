//! The derived tables behind lists and search, rebuilt record by record where the merge marked them stale.

use rusqlite::{Connection, params};
use serde_json::{Map, Value as Json};

use super::{changed, enrolled::Enrolled, read, view::Record};
use crate::{
    error::Result,
    ids::RecordId,
    record::{Kind, Privacy, Type},
};

/// Rebuilds the rows of every stale record.
pub(super) fn refresh(conn: &Connection, office: &Enrolled) -> Result<()> {
    loop {
        let stale: Vec<([u8; 16], u32)> = conn
            .prepare_cached("SELECT rec, kind FROM record WHERE stale = 1 LIMIT 500")?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<rusqlite::Result<_>>()?;
        if stale.is_empty() {
            return Ok(());
        }
        for (rec, kind) in stale {
            if let Some(kind) = Kind::from_id(kind) {
                rebuild(conn, office, RecordId(rec), kind)?;
            }
            conn.prepare_cached("UPDATE record SET stale = 0 WHERE rec = ?1")?.execute([rec])?;
        }
    }
}

fn rebuild(conn: &Connection, office: &Enrolled, id: RecordId, kind: Kind) -> Result<()> {
    let live = read::live(conn, office, &id)?;
    let changed_ms = live.iter().map(|l| l.candidate.at_ms).max().unwrap_or(0);
    let gone = live.is_empty();
    let record = read::assemble(id, kind, live);
    changed::turn(conn, id, kind, gone)?;
    conn.prepare_cached("DELETE FROM words WHERE rowid = (SELECT id FROM shown WHERE rec = ?1)")?.execute([id.0])?;
    conn.prepare_cached("DELETE FROM link WHERE source = ?1")?.execute([id.0])?;
    if gone {
        // The office's reply no longer holds it and nothing of it is this device's own.
        conn.prepare_cached("DELETE FROM shown WHERE rec = ?1")?.execute([id.0])?;
        return Ok(());
    }
    let conflicts = record.in_conflict().count();
    let fields: Map<String, Json> =
        record.fields.iter().filter_map(|f| Some((f.name.clone(), f.shown.value.clone()?))).collect();
    let row: i64 = conn
        .prepare_cached(
            "INSERT INTO shown(rec, kind, hidden, changed_ms, conflicts, fields) VALUES(?1, ?2, ?3, ?4, ?5, ?6)
             ON CONFLICT(rec) DO UPDATE SET kind = ?2, hidden = ?3, changed_ms = ?4, conflicts = ?5, fields = ?6 RETURNING id",
        )?
        .query_row(
            params![id.0, kind.id(), record.hidden, changed_ms, conflicts as i64, Json::Object(fields).to_string()],
            |row| row.get(0),
        )?;
    conn.prepare_cached("INSERT INTO words(rowid, text) VALUES(?1, ?2)")?.execute(params![row, words(&record)])?;
    let mut link = conn.prepare_cached("INSERT OR IGNORE INTO link(target, source, field) VALUES(?1, ?2, ?3)")?;
    for field in &record.fields {
        let (Some(known), Some(value)) = (field.field, &field.shown.value) else { continue };
        for target in references(&known.ty, value) {
            link.execute(params![target.0, id.0, known.id])?;
        }
    }
    Ok(())
}

/// The words by which a record is found. Nothing sealed is among them.
fn words(record: &Record) -> String {
    let mut text = String::new();
    for field in &record.fields {
        if field.field.is_some_and(|f| f.class == Privacy::Sealed) {
            continue;
        }
        for value in std::iter::once(&field.shown).chain(&field.others) {
            if let (Some(known), Some(json)) = (field.field, &value.value) {
                collect(&known.ty, json, &mut text);
            }
        }
    }
    text
}

fn collect(ty: &Type, json: &Json, text: &mut String) {
    match (ty, json) {
        (Type::Text(_) | Type::Key | Type::Word(_), Json::String(s)) => {
            text.push_str(s);
            // "leaf_spot" is found by "leaf" and by "spot".
            if s.contains(['_', '.']) {
                text.push(' ');
                text.push_str(&s.replace(['_', '.'], " "));
            }
            text.push('\n');
        }
        (Type::List(item), Json::Array(items)) => items.iter().for_each(|json| collect(item, json, text)),
        (Type::Group(parts), Json::Object(given)) => {
            for part in *parts {
                if let Some(json) = given.get(part.name) {
                    collect(&part.ty, json, text);
                }
            }
        }
        _ => {}
    }
}

fn references(ty: &Type, json: &Json) -> Vec<RecordId> {
    match (ty, json) {
        (Type::Ref(_), Json::String(id)) => id.parse().into_iter().collect(),
        (Type::List(item), Json::Array(items)) => items.iter().flat_map(|json| references(item, json)).collect(),
        _ => Vec::new(),
    }
}
