//! Carrying what was written before an office was known over to the office: the same saves, in its words.
//!
//! A notebook that belongs to no office writes for one of its own, that of its device ([`Card::own`]). A change's hash holds the
//! office, so each is written anew: head, salts, values, claimed times and places stay as they are, what names a change by
//! its hash names the new one. What comes out follows from what went in alone, so that the same change, read out of a backup
//! later, is known here and at the office.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, Transaction, params};

use super::{
    enrolled::Enrolled,
    erased::{erased_photos_in, note_erased},
    identity::{Card, DeviceKeys},
    outbound::read_change,
    read, shown,
    store::{Rows, meta, set_meta},
};
use crate::{
    error::Result,
    ids::{DeviceId, Hash32, LogId, OfficeId, RecordId},
    log::{Change, FieldHead, Head, MAX_CHANGES, Segment, Slot, Tip, apply_segment},
    record::{EXISTENCE, Value},
};

/// A change with its place.
pub(super) struct Written {
    pub(super) log: LogId,
    pub(super) hash: Hash32,
    pub(super) prev: Hash32,
    pub(super) change: Change,
}

/// Changes in an office's words.
pub(super) struct Carried {
    /// In the order of logs and places; one that no other precedes names the hash before it as lost.
    pub(super) segments: Vec<Segment>,
    /// What each hash became.
    names: BTreeMap<Hash32, Hash32>,
}

/// Every change that a database holds for this office, as far as its hash follows from its content, in the order of its logs.
pub(super) fn written(conn: &Connection, office: &OfficeId) -> Result<Vec<Written>> {
    let mut rows = Rows::new(conn);
    let mut query = conn.prepare_cached("SELECT log, hash, prev, rec, head FROM change ORDER BY log, seq, hash")?;
    let mut found = query.query([])?;
    let mut all = Vec::new();
    while let Some(row) = found.next()? {
        let log = rows.log(row.get(0)?)?;
        let (hash, prev, rec) = (Hash32(row.get(1)?), Hash32(row.get(2)?), RecordId(row.get(3)?));
        if let Some(change) = read_change(&mut rows, office, &log, (hash, prev), rec, row.get(4)?)? {
            all.push(Written { log, hash, prev, change });
        }
    }
    Ok(all)
}

/// The same changes in an office's words.
pub(super) fn carried(written: Vec<Written>, to: &OfficeId) -> Carried {
    let mut open: BTreeSet<Hash32> = written.iter().map(|w| w.hash).collect();
    let (mut names, mut anew, mut left) = (BTreeMap::new(), Vec::new(), written);
    // What a change names was there before it: each round carries those of which nothing named is still to come. A log is in
    // order, so that one round does it unless logs of several lives name each other.
    loop {
        let before = left.len();
        left.retain(|w| {
            if named(w).iter().any(|hash| open.contains(hash)) {
                return true;
            }
            let name = |hash: &Hash32| names.get(hash).copied().unwrap_or(*hash);
            let (prev, change) = (name(&w.prev), in_other_words(&w.change, name));
            let follows = w.change.head.seq == 1 || names.contains_key(&w.prev);
            let hash = change.hash(to, &w.log, &prev);
            names.insert(w.hash, hash);
            open.remove(&w.hash);
            anew.push((follows, Written { log: w.log, hash, prev, change }));
            false
        });
        if left.is_empty() || left.len() == before {
            break;
        }
    }
    anew.sort_by_key(|(_, w)| (w.log, w.change.head.seq));
    Carried { segments: segments(anew, to), names }
}

/// The hashes that a change names.
fn named(written: &Written) -> Vec<Hash32> {
    let change = &written.change;
    let mut all = vec![written.prev];
    for (field, slot) in change.head.fields.iter().zip(&change.slots) {
        all.extend(field.preds.iter().copied());
        all.extend(deletion(field, slot).unwrap_or_default());
    }
    all
}

/// What a deletion had seen.
fn deletion(field: &FieldHead, slot: &Slot) -> Option<Vec<Hash32>> {
    let Slot::Body { value, .. } = slot else { return None };
    match Value::from_cbor(value).ok().filter(|_| field.field == EXISTENCE)? {
        Value::List(parts) => match parts.as_slice() {
            [Value::Int(0), Value::List(seen)] => seen
                .iter()
                .map(|hash| match hash {
                    Value::Bytes(hash) => Hash32::from_slice(hash).ok(),
                    _ => None,
                })
                .collect(),
            _ => None,
        },
        _ => None,
    }
}

/// The same change with other hashes in it.
fn in_other_words(change: &Change, name: impl Fn(&Hash32) -> Hash32) -> Change {
    let renamed = |hashes: &[Hash32]| {
        let mut hashes: Vec<Hash32> = hashes.iter().map(&name).collect();
        hashes.sort_unstable();
        hashes
    };
    let slots = change.head.fields.iter().zip(&change.slots).map(|(field, slot)| match (deletion(field, slot), slot) {
        (Some(seen), Slot::Body { salt, .. }) => {
            let seen = renamed(&seen).into_iter().map(|hash| Value::Bytes(hash.0.to_vec())).collect();
            Slot::Body { salt: *salt, value: Value::List(vec![Value::Int(0), Value::List(seen)]).to_cbor() }
        }
        _ => slot.clone(),
    });
    let fields = change.head.fields.iter().map(|f| FieldHead { field: f.field, preds: renamed(&f.preds) }).collect();
    Change::new(Head { fields, ..change.head.clone() }, slots.collect())
}

/// Changes in a row make a segment. Where the one before is not among them, its hash stands as lost: in no office's words.
fn segments(anew: Vec<(bool, Written)>, to: &OfficeId) -> Vec<Segment> {
    let (mut all, mut run): (Vec<Segment>, Vec<Written>) = (Vec::new(), Vec::new());
    let mut lost = None;
    let close = |run: &mut Vec<Written>, lost: &mut Option<Hash32>| {
        let first = run.first().map(|w| (w.log, w.prev))?;
        let changes = run.drain(..).map(|w| w.change).collect();
        let (prev, lost) = lost.take().map_or((first.1, Vec::new()), |hash| (Hash32::ZERO, vec![hash]));
        Some(Segment::after_lost(to, first.0, prev, lost, changes))
    };
    for (follows, w) in anew {
        let goes_on = run
            .last()
            .is_some_and(|last| (last.log, last.change.head.seq + 1, last.hash) == (w.log, w.change.head.seq, w.prev));
        if !goes_on || run.len() == MAX_CHANGES {
            all.extend(close(&mut run, &mut lost));
            lost = (!follows).then_some(w.prev);
        }
        run.push(w);
    }
    all.extend(close(&mut run, &mut lost));
    all
}

/// Carries everything that a notebook holds for the office of its own over to the one it belongs to from now on, in the
/// transaction in which it becomes so.
pub(super) fn carry_over(tx: &Transaction<'_>, keys: &DeviceKeys, from: &Enrolled, to: &Enrolled) -> Result<()> {
    if !from.is_own() || to.is_own() {
        return Ok(());
    }
    write_anew(tx, keys, &from.card.office(), to, None)
}

/// Writes what a notebook holds for an office anew for the one it belongs to. With `former`, only what that device wrote, as this
/// one's: no office knew it, and its key is lost.
pub(super) fn write_anew(
    tx: &Transaction<'_>,
    keys: &DeviceKeys,
    from: &OfficeId,
    to: &Enrolled,
    former: Option<DeviceId>,
) -> Result<()> {
    let mut written = written(tx, from)?;
    written.retain(|w| former.is_none_or(|former| former == w.log.device));
    let mut rows = Rows::new(tx);
    let mut change = tx.prepare_cached("DELETE FROM change WHERE log = ?1 AND seq = ?2 AND hash = ?3")?;
    let mut fact = tx.prepare_cached("DELETE FROM fact WHERE rec = ?1 AND field = ?2 AND hash = ?3")?;
    for w in &written {
        let head = &w.change.head;
        change.execute(params![rows.log_id(&w.log)?, head.seq as i64, w.hash.0])?;
        for field in &head.fields {
            fact.execute(params![head.rec.0, field.field, w.hash.0])?;
        }
    }
    if former.is_some() {
        written.iter_mut().for_each(|w| w.log.device = keys.signing.device());
    }
    let Carried { segments, names } = carried(written, &to.card.office());
    for segment in segments {
        let photos = erased_photos_in(&to.authority, &segment);
        apply_segment(&mut rows, &to.authority, segment)?;
        note_erased(tx, &to.authority, photos)?;
    }
    if let Some(tip) = meta(tx, "last_tip")? {
        let tip = Hash32::from_slice(&tip)?;
        set_meta(tx, "last_tip", &names.get(&tip).copied().unwrap_or(tip).0)?;
    }
    sign_tips(tx, keys, &to.card)?;
    tx.execute_batch("UPDATE record SET stale = 1")?;
    shown::refresh(tx, to)
}

/// Signs the newest change of each log of this device anew.
pub(super) fn sign_tips(tx: &Transaction<'_>, keys: &DeviceKeys, card: &Card) -> Result<()> {
    let mut rows = Rows::new(tx);
    let device = keys.signing.device();
    let ids: Vec<i64> = tx
        .prepare_cached("SELECT id FROM log WHERE device = ?1")?
        .query_map([device.0], |row| row.get(0))?
        .collect::<rusqlite::Result<_>>()?;
    for id in ids {
        let newest = tx
            .prepare_cached("SELECT seq, hash FROM change WHERE log = ?1 ORDER BY seq DESC LIMIT 1")?
            .query_row([id], |row| Ok((row.get::<_, i64>(0)?.unsigned_abs(), Hash32(row.get(1)?))))
            .optional()?;
        let Some((to, hash)) = newest else { continue };
        let tip = Tip { log: rows.log(id)?, from: 1, to, hash, snapshot: read::snapshot_number(tx)? };
        tx.prepare_cached("UPDATE log SET tip_signature = ?2 WHERE id = ?1")?
            .execute(params![id, tip.sign(&keys.signing, &card.office())])?;
    }
    Ok(())
}

impl Card {
    /// The card of the office of its own for which a device writes before it belongs to another: nobody signed it, and it is never
    /// handed to anyone. Its identity is the device's, so that a database begun anew, or out of a backup, goes on in it.
    pub(super) fn own(keys: &DeviceKeys) -> Self {
        let seal = keys.seal.to_public().to_string();
        Self {
            root: keys.signing.public(),
            key: keys.signing.public(),
            recovery: seal.clone(),
            seal,
            name: String::new(),
            serial: 1,
            former: Vec::new(),
        }
    }
}
