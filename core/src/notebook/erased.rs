//! Erasing: the words go from every file of the folder, with the photos that they name, whatever stops in between.

use rusqlite::{Connection, Transaction, TransactionBehavior, params};

use super::{
    blobs,
    damaged::set_aside,
    enrolled::Enrolled,
    open::{Inner, Notebook},
    scratch,
    store::{Rows, meta, set_meta},
};
use crate::{
    durable,
    error::{Error, Result},
    fault::{self, Fault},
    ids::{BlobId, Hash32, RecordId},
    log::{Authority, Body, Head, Pick, Segment, Slot, Store, apply_statement},
    record::{self, Type, Value},
    sign::Signing,
};

/// How keys of drafts begin that say what can be taken back: their text names the records, with what stood in them.
pub const UNDO: &str = "undo/";

/// Set in the transaction that erases, until every file was cleaned.
const UNCLEAN: &str = "unclean";

impl Notebook {
    /// Erases a record's bodies, now and whenever they come, with the photos that it names.
    ///
    /// # Errors
    /// [`Error::NotFound`]; as [`Notebook::say`].
    pub fn erase(&self, key: &Signing, rec: RecordId, fields: &[u32]) -> Result<()> {
        let body = {
            let inner = self.lock();
            let office = &inner.office;
            let mut rows = Rows::new(&inner.conn);
            let changes = rows.changes(Pick::Record(rec))?;
            if changes.is_empty() {
                return Err(Error::NotFound(format!("record {rec}")));
            }
            let mut highest = office.authority.generation(&rec);
            for (_, row) in &changes {
                highest = highest.max(Head::from_cbor(&row.head)?.generation);
            }
            let blobs = blobs_of(&mut rows, &rec, fields)?.iter().map(|b| office.authority.blob_key(b)).collect();
            Body::Erase { rec, fields: fields.to_vec(), generation: highest + 1, blobs }
        };
        self.say(key, |_| body).map(drop)
    }

    /// Makes erased words unreadable in every file of this folder: index, free pages, write-ahead log, photos, copies.
    pub(super) fn scrub(&self, inner: &Inner) -> Result<()> {
        // Nothing is written between the look and the erasing, by no other process either.
        let tx = Transaction::new_unchecked(&inner.conn, TransactionBehavior::Immediate)?;
        let mut photos = all_blobs(&tx)?;
        // A restored database may not know a photo that stands here still. Whose it is cannot be told: once something is
        // erased it goes, unless a damaged database that stands aside may know it.
        photos.extend(blobs::all(&self.photos())?);
        let unnamed_go = is_unclean(&tx)? && set_aside(&self.dir)?.is_empty();
        for id in photos {
            if is_blob_erased(&tx, &inner.office.authority, &id)? || unnamed_go && !is_known(&tx, &id)? {
                blobs::erase(&self.photos(), &id)?;
                tx.prepare_cached("DELETE FROM blob WHERE id = ?1")?.execute([id.0])?;
            }
        }
        tx.commit()?;
        scratch::sweep(&self.dir)?;
        self.clean(inner)
    }

    /// Folds what was deleted out of the text index and the write-ahead log. Where another process reads at this moment, the mark
    /// stays for [`Notebook::finish_erasing`].
    pub(super) fn clean(&self, inner: &Inner) -> Result<()> {
        inner.conn.execute_batch("INSERT INTO words(words) VALUES('optimize');")?;
        set_meta(&inner.conn, UNCLEAN, &[1])?;
        // Marked as done only when the emptied log is on the disk. What the mark itself puts there holds no words.
        if durable::fold_in(&inner.conn)? {
            set_meta(&inner.conn, UNCLEAN, &[])?;
            durable::fold_in(&inner.conn)?;
        }
        Ok(())
    }

    /// Cleans every file after an erasure, this one or one that was stopped before it could: by a full disk, a power cut, another
    /// process that read.
    pub(super) fn finish_erasing(&self) -> Result<()> {
        if self.scrub_marked()? { self.settle_damaged() } else { Ok(()) }
    }

    /// As [`Notebook::finish_erasing`], but for damaged files that were set aside. Says whether there was anything to clean.
    pub(super) fn scrub_marked(&self) -> Result<bool> {
        let inner = self.lock();
        let unclean = is_unclean(&inner.conn)?;
        if unclean {
            self.scrub(&inner)?;
        }
        Ok(unclean)
    }
}

fn is_unclean(conn: &Connection) -> Result<bool> {
    Ok(meta(conn, UNCLEAN)?.is_some_and(|set| set == [1]))
}

/// Applies one statement inside a transaction. One that is known already touches no draft: what is typed after an erasure is
/// new.
pub(super) fn take_statement(tx: &Connection, office: &mut Enrolled, signed: &[u8]) -> Result<()> {
    let known = tx.prepare_cached("SELECT 1 FROM statement WHERE hash = ?1")?.exists([Hash32::of(signed).0])?;
    if known {
        office.authority.take(signed)?;
        return Ok(());
    }
    let named = erased_record(office, signed)?.map_or_else(|| Ok(Vec::new()), |rec| all_of(tx, &rec))?;
    let body = apply_statement(&mut Rows::new(tx), &mut office.authority, signed)?;
    if let Body::Erase { rec, .. } = &body {
        tx.prepare_cached("DELETE FROM draft WHERE instr(key, ?1) > 0 OR instr(key, ?2) = 1 AND instr(text, ?1) > 0")?
            .execute([rec.to_string().as_str(), UNDO])?;
        if !fault::is(Fault::SnapshotKeepsErased) {
            tx.prepare_cached("DELETE FROM snapshot WHERE rec = ?1")?.execute([rec.0])?;
        }
        // What lists and search say of it may rest on the snapshot alone.
        tx.prepare_cached("UPDATE record SET stale = 1 WHERE rec = ?1")?.execute([rec.0])?;
        let left = all_of(tx, rec)?;
        note_erased(tx, &office.authority, named.into_iter().filter(|id| !left.contains(id)))?;
        set_meta(tx, UNCLEAN, &[1])?;
    }
    Ok(())
}

fn erased_record(office: &Enrolled, signed: &[u8]) -> Result<Option<RecordId>> {
    Ok(match office.authority.verify(signed)?.body {
        Body::Erase { rec, .. } => Some(rec),
        _ => None,
    })
}

fn all_of(conn: &Connection, rec: &RecordId) -> Result<Vec<BlobId>> {
    blobs_of(&mut Rows::new(conn), rec, &[])
}

/// The photos that erased values of a segment name: the statement that erases them could not know of them.
pub(super) fn erased_photos_in(authority: &Authority, segment: &Segment) -> Vec<BlobId> {
    let mut named = Vec::new();
    for change in &segment.changes {
        let head = &change.head;
        for (f, slot) in head.fields.iter().zip(&change.slots) {
            if authority.is_erased(&head.rec, f.field, head.generation) {
                named.extend(blob_in(f.field, slot));
            }
        }
    }
    named
}

/// Remembers photos as erased, but for those that a value names which stays. Says whether there were any: then the notebook is marked
/// as not clean.
pub(super) fn note_erased(
    tx: &Connection,
    authority: &Authority,
    named: impl IntoIterator<Item = BlobId>,
) -> Result<bool> {
    let mut any = false;
    for id in named {
        if !authority.is_blob_erased(&id) && !stands_in_a_value(tx, &id)? {
            tx.prepare_cached("INSERT OR IGNORE INTO erased_blob(key) VALUES(?1)")?
                .execute([authority.blob_key(&id).0])?;
            any = true;
        }
    }
    if any {
        set_meta(tx, UNCLEAN, &[1])?;
    }
    Ok(any)
}

/// Whether a value that is here names a photo.
pub(super) fn stands_in_a_value(conn: &Connection, id: &BlobId) -> Result<bool> {
    let value = Value::Bytes(id.0.to_vec()).to_cbor();
    Ok(conn.prepare_cached(&naming())?.exists(params![value])?)
}

/// The values that name a photo, in the words of the index `fact_photo`: in others it is not used.
fn naming() -> String {
    let fields = record::blob_fields();
    format!(
        "SELECT 1 FROM fact WHERE field IN ({fields}) AND salt IS NOT NULL AND length(value) = 35 AND value = ?1 LIMIT 1"
    )
}

/// Whether anything here knows a photo: its row, or what is written of it.
fn is_known(conn: &Connection, id: &BlobId) -> Result<bool> {
    Ok(conn.prepare_cached("SELECT 1 FROM blob WHERE id = ?1")?.exists([id.0])? || is_named(conn, id)?)
}

/// Whether a value names a photo, or what the office gave back after a restore.
pub(super) fn is_named(conn: &Connection, id: &BlobId) -> Result<bool> {
    let value = Value::Bytes(id.0.to_vec()).to_cbor();
    let sql = format!("SELECT 1 FROM snapshot WHERE field IN ({}) AND value = ?1 LIMIT 1", record::blob_fields());
    Ok(stands_in_a_value(conn, id)? || conn.prepare_cached(&sql)?.exists(params![value])?)
}

/// Whether a photo was erased and must not be stored again.
pub(super) fn is_blob_erased(conn: &Connection, authority: &Authority, id: &BlobId) -> Result<bool> {
    let mut query = conn.prepare_cached("SELECT 1 FROM erased_blob WHERE key = ?1")?;
    Ok(authority.is_blob_erased(id) || query.exists([authority.blob_key(id).0])?)
}

fn all_blobs(conn: &Connection) -> Result<Vec<BlobId>> {
    let mut query = conn.prepare_cached("SELECT id FROM blob")?;
    Ok(query.query_map([], |row| row.get(0).map(BlobId))?.collect::<rusqlite::Result<_>>()?)
}

/// The photos that the covered fields of a record name; all fields when none is given.
fn blobs_of(rows: &mut Rows<'_>, rec: &RecordId, fields: &[u32]) -> Result<Vec<BlobId>> {
    let facts = rows.facts(rec, None)?;
    let covered = facts.iter().filter(|fact| fields.is_empty() || fields.contains(&fact.field));
    Ok(covered.filter_map(|fact| blob_in(fact.field, &fact.slot)).collect())
}

fn blob_in(field: u32, slot: &Slot) -> Option<BlobId> {
    let Slot::Body { value, .. } = slot else { return None };
    record::field(field).filter(|f| f.ty == Type::Blob)?;
    match Value::from_cbor(value) {
        Ok(Value::Bytes(id)) => BlobId::from_slice(&id).ok(),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_names_a_photo_is_found_without_going_over_all_values() {
        let dir = tempfile::tempdir().unwrap();
        let conn = super::super::schema::open(&dir.path().join("notebook.db"), false).unwrap();
        let mut plan = conn.prepare(&format!("EXPLAIN QUERY PLAN {}", naming())).unwrap();
        let steps: Vec<String> =
            plan.query_map([vec![0u8]], |row| row.get(3)).unwrap().map(|step| step.unwrap()).collect();
        assert!(steps.iter().all(|step| step.contains("USING INDEX fact_photo (value=?)")), "{steps:?}");
    }
}
