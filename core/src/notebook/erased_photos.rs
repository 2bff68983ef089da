//! Photos that were erased: those that the office's ledger names, and those that this notebook saw itself, when a record's
//! erasure met the change that names them. The office may have erased a record before it ever knew of its photo.

use std::{collections::BTreeSet, path::Path};

use rusqlite::Connection;

use super::{
    blobs,
    enrolled::Enrolled,
    open::Inner,
    store::{Rows, meta, set_meta},
};
use crate::{
    error::Result,
    ids::{BlobId, RecordId},
    log::{Authority, Body, Head, Pick, Segment, Slot, Store},
    record::{self, Type, Value},
};

/// Whether a photo must not be stored (again).
pub(super) fn is_erased(conn: &Connection, authority: &Authority, id: &BlobId) -> Result<bool> {
    Ok(authority.is_blob_erased(id) || meta(conn, &key(authority, id))?.is_some())
}

/// Remembers photos as erased, under the same keyed hashes as the ledger.
pub(super) fn remember(conn: &Connection, authority: &Authority, photos: &[BlobId]) -> Result<()> {
    photos.iter().try_for_each(|id| set_meta(conn, &key(authority, id), &[]))
}

fn key(authority: &Authority, id: &BlobId) -> String {
    format!("erased photo {}", authority.blob_key(id))
}

/// The photos in a segment that the ledger covers already.
pub(super) fn in_segment(authority: &Authority, segment: &Segment) -> Vec<BlobId> {
    let mut found = Vec::new();
    for change in &segment.changes {
        for (f, slot) in change.head.fields.iter().zip(&change.slots) {
            if is_photo(f.field) && authority.is_erased(&change.head.rec, f.field, change.head.generation) {
                found.extend(photo_in(slot));
            }
        }
    }
    found
}

/// The photos here that a statement erases; none when it says something else.
pub(super) fn by_statement(conn: &Connection, office: &Enrolled, signed: &[u8]) -> Result<Vec<BlobId>> {
    match office.authority.verify(signed)?.body {
        Body::Erase { rec, fields, generation, .. } => named(&mut Rows::new(conn), &rec, &fields, generation),
        _ => Ok(Vec::new()),
    }
}

/// The photos that these fields of a record name (all fields when none is given), in changes of a lower generation.
pub(super) fn named(rows: &mut Rows<'_>, rec: &RecordId, fields: &[u32], generation: u64) -> Result<Vec<BlobId>> {
    let mut earlier = BTreeSet::new();
    for (_, row) in rows.changes(Pick::Record(*rec))? {
        if Head::from_cbor(&row.head)?.generation < generation {
            earlier.insert(row.hash);
        }
    }
    let facts = rows.facts(rec, None)?;
    let covered = facts.iter().filter(|fact| fields.is_empty() || fields.contains(&fact.field));
    let photos = covered.filter(|fact| is_photo(fact.field) && earlier.contains(&fact.hash));
    Ok(photos.filter_map(|fact| photo_in(&fact.slot)).collect())
}

fn is_photo(field: u32) -> bool {
    record::field(field).is_some_and(|f| f.ty == Type::Blob)
}

fn photo_in(slot: &Slot) -> Option<BlobId> {
    let Slot::Body { value, .. } = slot else { return None };
    BlobId::from_slice(Value::from_cbor(value).ok()?.as_bytes()?).ok()
}

/// Removes every erased photo that is here or awaited, its bytes first: also one that a restored database does not know.
pub(super) fn wipe(inner: &mut Inner, photos: &Path) -> Result<()> {
    let mut all: BTreeSet<BlobId> = blobs::all(photos)?.into_iter().collect();
    {
        let mut query = inner.conn.prepare_cached("SELECT id FROM blob")?;
        for id in query.query_map([], |row| row.get(0).map(BlobId))? {
            all.insert(id?);
        }
    }
    for id in all {
        if is_erased(&inner.conn, &inner.enrolled()?.authority, &id)? {
            blobs::erase(photos, &id)?;
            inner.conn.prepare_cached("DELETE FROM blob WHERE id = ?1")?.execute([id.0])?;
        }
    }
    Ok(())
}
