//! Looking again: verdicts, erasures and live flags recomputed from the changes themselves, and the digest over them.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use super::{
    authority::{Authority, understands},
    chain::{Link, ancestors},
    change::Head,
    live::mark_live,
    store::{Pick, SlotState, Store, keep},
};
use crate::{
    error::Result,
    ids::{Hash32, LogId, RecordId},
};

/// Rebuilds everything derived from the changes and the office log.
///
/// # Errors
/// Of the store.
pub fn recount<S: Store + ?Sized>(store: &mut S, authority: &Authority) -> Result<()> {
    for log in store.logs()? {
        rejudge(store, authority, Pick::Log(log))?;
    }
    Ok(())
}

/// BLAKE3 over every (record, field, change, slot state, counts, live) in order, the tip of the office log, and the hash and place
/// of every change that is reported lost and not here.
/// Equal on every store that holds the same changes and statements; never over values.
///
/// # Errors
/// Of the store.
pub fn digest<S: Store + ?Sized>(store: &mut S, authority: &Authority) -> Result<Hash32> {
    let mut hasher = blake3::Hasher::new_derive_key("dooryard state v1");
    hasher.update(&authority.newest().1.0);
    store.each_fact(&mut |fact| {
        hasher.update(&fact.rec.0).update(&fact.field.to_be_bytes()).update(&fact.hash.0);
        hasher.update(&[fact.state as u8, u8::from(fact.admitted), u8::from(fact.live)]);
    })?;
    for (log, link) in store.lost()? {
        hasher.update(&log.to_bytes()).update(&link.seq.to_be_bytes()).update(&link.hash.0);
    }
    Ok(Hash32(*hasher.finalize().as_bytes()))
}

/// Judges the picked changes again, and settles every record they touch.
pub(super) fn rejudge<S: Store + ?Sized>(store: &mut S, authority: &Authority, pick: Pick) -> Result<()> {
    let picked = store.changes(pick)?;
    let kept = kept_of_revoked(store, authority, picked.iter().map(|(log, _)| *log))?;
    let mut records: BTreeMap<RecordId, u32> = BTreeMap::new();
    let mut heads: BTreeMap<(RecordId, Hash32), (Head, bool)> = BTreeMap::new();
    for (log, mut row) in picked {
        let head = Head::from_cbor(&row.head)?;
        let waiting = authority.verdict(&log, &head, &row.hash, kept.get(&log));
        if waiting != row.waiting {
            row.waiting = waiting;
            store.update_change(&log, &row)?;
        }
        records.insert(row.rec, head.rtype);
        heads.insert((row.rec, row.hash), (head, waiting.is_none()));
    }
    let touched: Vec<_> = records.into_iter().collect();
    store.touch_records(&touched)?;
    for (rec, _) in touched {
        let mut facts = store.facts(&rec, None)?;
        let mut changed = BTreeSet::new();
        for (at, fact) in facts.iter_mut().enumerate() {
            let Some((head, counts)) = heads.get(&(rec, fact.hash)) else { continue };
            let admitted = *counts && understands(head.rtype, fact.field);
            let erased = fact.state != SlotState::Erased && authority.is_erased(&rec, fact.field, head.generation);
            if admitted != fact.admitted || erased {
                (fact.state, fact.slot) =
                    if erased { keep(fact.slot.clone(), true) } else { (fact.state, fact.slot.clone()) };
                fact.admitted = admitted;
                changed.insert(at);
            }
        }
        changed.extend(mark_live(&mut facts));
        let updates: Vec<_> = changed.into_iter().map(|at| facts[at].clone()).collect();
        store.update_facts(&updates)?;
    }
    Ok(())
}

fn kept_of_revoked<S: Store + ?Sized>(
    store: &mut S,
    authority: &Authority,
    logs: impl Iterator<Item = LogId>,
) -> Result<BTreeMap<LogId, HashSet<Hash32>>> {
    let revoked: BTreeSet<LogId> = logs.filter(|log| authority.cut_off(&log.device).is_some()).collect();
    let mut kept = BTreeMap::new();
    for log in revoked {
        let rows = store.changes(Pick::Log(log))?;
        let links: Vec<_> = rows.iter().map(|(_, row)| Link { seq: row.seq, hash: row.hash, prev: row.prev }).collect();
        kept.insert(log, ancestors(&links, authority.cut_off(&log.device).unwrap_or_default()));
    }
    Ok(kept)
}

/// Marks the caches of records as stale. Their kinds are known to the store already.
pub(super) fn mark_stale<S: Store + ?Sized>(store: &mut S, records: impl IntoIterator<Item = RecordId>) -> Result<()> {
    let records: BTreeSet<_> = records.into_iter().collect();
    let touched: Vec<_> = records.into_iter().map(|rec| (rec, 0)).collect();
    store.touch_records(&touched).map(drop)
}
