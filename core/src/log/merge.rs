//! The merge: segments and statements go in, in any order, any number of times; live flags come out right.

use super::{
    authority::{Authority, understands},
    change::{Change, Head, Slot},
    live::mark_live,
    recount::rejudge,
    segment::Segment,
    statement::Body,
    store::{ChangeRow, Fact, Inserted, Pick, SlotState, Store, keep},
};
use crate::{
    error::{Code, Result},
    fault::{self, Fault},
    ids::{Hash32, LogId, RecordId},
};

/// What one segment brought.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub struct SegmentReport {
    /// Changes that were new.
    pub new: u64,
    /// Changes that were here already.
    pub repeated: u64,
    /// Bodies that came for changes that were here without them.
    pub filled: u64,
    /// New changes that do not count, and why.
    pub waiting: Vec<(Hash32, Code)>,
    /// Changes before these that their author can no longer read.
    pub lost: u64,
    /// Places at which another change stands already.
    pub forks: Vec<u64>,
    /// Records that were not known before.
    pub new_records: Vec<RecordId>,
    /// Known records that got a new change.
    pub changed_records: Vec<RecordId>,
}

/// Adds the statements that a store holds to an authority.
///
/// # Errors
/// Of the store, or `BAD_SIGNATURE` when a kept statement is not the office's.
pub fn load_authority<S: Store + ?Sized>(store: &mut S, mut authority: Authority) -> Result<Authority> {
    for signed in store.statements()? {
        authority.take(&signed)?;
    }
    Ok(authority)
}

/// Takes in a segment whose signature was checked before.
///
/// # Errors
/// Of the store. Nothing is refused for its content: what does not count is kept and waits.
pub fn apply_segment<S: Store + ?Sized>(
    store: &mut S,
    authority: &Authority,
    segment: Segment,
) -> Result<SegmentReport> {
    let lost = segment.lost_links();
    let Segment { log, prev, changes, hashes, .. } = segment;
    let cut_off = authority.cut_off(&log.device).is_some();
    let nothing_kept = std::collections::HashSet::new();
    let mut before = lost.last().map_or(prev, |link| link.hash);
    let rows: Vec<ChangeRow> = changes
        .iter()
        .zip(&hashes)
        .map(|(change, hash)| {
            let waiting = authority.verdict(&log, &change.head, hash, cut_off.then_some(&nothing_kept));
            let rec = change.head.rec;
            let partial = change.head.fields.iter().zip(&change.slots).any(|(f, slot)| {
                matches!(slot, Slot::Absent(_)) && !authority.is_erased(&rec, f.field, change.head.generation)
            });
            let row = ChangeRow {
                seq: change.head.seq,
                hash: *hash,
                prev: before,
                rec,
                head: if fault::is(Fault::AdditionsDropped) {
                    Head { ext: None, ..change.head.clone() }.to_cbor()
                } else {
                    change.head_raw.clone()
                },
                waiting,
                partial,
            };
            before = *hash;
            row
        })
        .collect();

    store.insert_lost(&log, &lost)?;
    let mut report = SegmentReport { lost: lost.len() as u64, ..SegmentReport::default() };
    let inserted = store.insert_changes(&log, &rows)?;
    let mut facts = Vec::with_capacity(changes.len() * 4);
    let mut kinds = Vec::with_capacity(changes.len());
    for ((change, row), inserted) in changes.into_iter().zip(rows).zip(inserted) {
        match inserted {
            Inserted::New { forked } => {
                report.new += 1;
                if forked && fault::is(Fault::ForkDropped) {
                    continue;
                }
                report.forks.extend(forked.then_some(row.seq));
                report.waiting.extend(row.waiting.map(|code| (row.hash, code)));
                kinds.push((row.rec, change.head.rtype));
                push_facts(&mut facts, authority, &log, change, &row);
            }
            Inserted::Known { partial } => {
                report.repeated += 1;
                if partial {
                    report.filled += fill(store, authority, &log, change, row)?;
                }
            }
        }
    }
    kinds.sort_unstable();
    kinds.dedup_by_key(|(rec, _)| *rec);
    facts.sort_unstable_by_key(|f| (f.rec, f.field, f.hash));
    let known = store.touch_records(&kinds)?;
    settle(store, &mut facts, &kinds, &known)?;
    for ((rec, _), known) in kinds.into_iter().zip(known) {
        if known { report.changed_records.push(rec) } else { report.new_records.push(rec) }
    }
    if cut_off {
        rejudge(store, authority, Pick::Log(log))?;
    }
    Ok(report)
}

fn push_facts(facts: &mut Vec<Fact>, authority: &Authority, log: &LogId, change: Change, row: &ChangeRow) {
    let Change { head, slots, .. } = change;
    for (f, slot) in head.fields.into_iter().zip(slots) {
        let erased = authority.is_erased(&head.rec, f.field, head.generation);
        let (state, slot) = keep(slot, erased && !fault::is(Fault::LedgerNotConsulted));
        facts.push(Fact {
            rec: head.rec,
            field: f.field,
            hash: row.hash,
            log: *log,
            seq: head.seq,
            admitted: row.waiting.is_none() && understands(head.rtype, f.field),
            live: false,
            state,
            slot,
            preds: f.preds,
        });
    }
}

/// Marks what is live among the new facts and those of the same fields that are here, and writes both.
fn settle<S: Store + ?Sized>(store: &mut S, new: &mut [Fact], kinds: &[(RecordId, u32)], known: &[bool]) -> Result<()> {
    let mut updates = Vec::new();
    let mut at = 0;
    for (rec, known) in kinds.iter().map(|(rec, _)| rec).zip(known) {
        let end = at + new[at..].partition_point(|f| f.rec == *rec);
        for group in new[at..end].chunk_by_mut(|a, b| a.field == b.field) {
            if !known {
                mark_live(group);
                continue;
            }
            let here = store.facts(rec, Some(group[0].field))?;
            let first_new = here.len();
            let mut all = here;
            all.extend(group.iter().cloned());
            for changed in mark_live(&mut all) {
                match changed.checked_sub(first_new) {
                    Some(new_at) => group[new_at].live = all[changed].live,
                    None => updates.push(all[changed].clone()),
                }
            }
        }
        at = end;
    }
    store.insert_facts(new)?;
    store.update_facts(&updates)
}

/// Bodies for a change that was here without them; they match, because the change's hash holds their commitments.
fn fill<S: Store + ?Sized>(
    store: &mut S,
    authority: &Authority,
    log: &LogId,
    change: Change,
    mut row: ChangeRow,
) -> Result<u64> {
    let (mut filled, mut still) = (Vec::new(), false);
    for (f, slot) in change.head.fields.iter().zip(change.slots) {
        let fact = store.facts(&row.rec, Some(f.field))?.into_iter().find(|fact| fact.hash == row.hash);
        let Some(mut fact) = fact.filter(|fact| fact.state == SlotState::Absent) else { continue };
        let (state, slot) = keep(slot, authority.is_erased(&row.rec, f.field, change.head.generation));
        still |= state == SlotState::Absent;
        if state == SlotState::Body {
            (fact.state, fact.slot) = (state, slot);
            filled.push(fact);
        }
    }
    if filled.is_empty() {
        return Ok(0);
    }
    store.update_facts(&filled)?;
    row.partial = still;
    store.update_change(log, &row)?;
    store.touch_records(&[(row.rec, change.head.rtype)])?;
    Ok(filled.len() as u64)
}

/// Takes in a signed statement of the office log and looks again at what it touches.
///
/// # Errors
/// `BAD_SIGNATURE` or `SCHEMA` of the statement, or of the store.
pub fn apply_statement<S: Store + ?Sized>(store: &mut S, authority: &mut Authority, signed: &[u8]) -> Result<Body> {
    let said = authority.take(signed)?;
    store.insert_statement(said.seq, &Hash32::of(signed), signed)?;
    match &said.body {
        Body::Cert(cert) => {
            let device = crate::ids::DeviceId::of_key(&cert.key);
            rejudge_device(store, authority, device)?;
        }
        Body::Revoke { device, .. } => rejudge_device(store, authority, *device)?,
        Body::Admit { rec, .. } | Body::Refuse { rec, .. } | Body::Erase { rec, .. } => {
            rejudge(store, authority, Pick::Record(*rec))?;
        }
        // Neither changes what counts; a corrected clock changes what is shown.
        Body::Clock { .. } if fault::is(Fault::ClockLeavesLists) => {}
        Body::Clock { log, .. } => {
            let touched: Vec<_> = store.changes(Pick::Log(*log))?.into_iter().map(|(_, row)| row.rec).collect();
            super::recount::mark_stale(store, touched)?;
        }
        Body::Assign { .. } => {}
    }
    Ok(said.body)
}

fn rejudge_device<S: Store + ?Sized>(store: &mut S, authority: &Authority, device: crate::ids::DeviceId) -> Result<()> {
    for log in store.logs()?.into_iter().filter(|log| log.device == device) {
        rejudge(store, authority, Pick::Log(log))?;
    }
    Ok(())
}
