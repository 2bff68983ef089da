//! What must hold at the office after everything that changes it.

use std::collections::{BTreeMap, BTreeSet, btree_map::Entry};

use dooryard_core::{
    ids::{BlobId, DeviceId, Hash32, LogId, RecordId},
    log::{Body, Slot, SlotState},
};

use super::{
    Checked, ensure,
    held::Held,
    oracle::Oracle,
    truth::Truth,
    words::{self, Word},
    world::World,
};

/// Looks at the office.
pub fn check(world: &mut World) -> Checked {
    let held = world.eyes.look()?;
    complete(&world.truth, &held)?;
    world.truth.said.extend(held.statements.iter().map(|(hash, _)| *hash));
    unchanged(&world.truth, &held)?;
    counted(world, &held)?;
    gaps_told(world, &held)?;
    forks_seen(world, &held)?;
    let notebook = world.office.notebook();
    nothing_erased_left(&world.truth, &held, world.office.folder())?;
    blobs_gone(&world.truth, &held, |id| notebook.blob_path(id).exists())
}

/// All that was taken in is there, all that the office ever said, and nothing that nobody wrote.
pub fn complete(truth: &Truth, held: &Held) -> Checked {
    let here: BTreeSet<&Hash32> = held.statements.iter().map(|(hash, _)| hash).collect();
    let unsaid = truth.said.iter().find(|hash| !here.contains(hash));
    ensure("I16 authority", unsaid.is_none(), || format!("the statement {unsaid:?} is gone"))?;
    let lost = truth.given.changes.iter().find(|hash| !held.changes.contains_key(hash));
    ensure("I3 no lost change", lost.is_none(), || format!("{lost:?} was taken in and is gone"))?;
    let strange = held.changes.keys().find(|hash| !truth.written.contains_key(hash));
    ensure("I8 authenticity", strange.is_none(), || format!("{strange:?} was written by nobody"))
}

/// Heads and values are byte for byte what their authors wrote; a body that was given is there unless it was erased.
pub fn unchanged(truth: &Truth, held: &Held) -> Checked {
    for (hash, change) in &held.changes {
        let Some(written) = truth.written.get(hash) else { continue };
        let same =
            change.head_raw == written.change.head_raw && change.log == written.log && change.prev == written.prev;
        ensure("I13 forward", same, || format!("the head of {hash:?} is another one"))?;
    }
    let originals = |hash: &Hash32, field: u32| {
        let change = &truth.written.get(hash)?.change;
        let at = change.head.fields.iter().position(|f| f.field == field)?;
        change.slots.get(at)
    };
    for fact in &held.facts {
        let Some(original) = originals(&fact.hash, fact.field) else { continue };
        let same = match &fact.slot {
            slot @ Slot::Body { .. } => slot == original || matches!(original, Slot::Absent(c) if *c == slot.commit()),
            Slot::Absent(commit) => *commit == original.commit(),
        };
        ensure("I13 forward", same, || format!("field {} of {:?} is another one", fact.field, fact.hash))?;
    }
    Ok(())
}

/// What counts, what is live, what is erased: as the rules say, counted without any cache.
fn counted(world: &World, held: &Held) -> Checked {
    let expected = Oracle(held).expected();
    let facts = held.facts.len() == expected.len();
    ensure("I3 no lost change", facts, || format!("{} facts, expected {}", held.facts.len(), expected.len()))?;
    let mut compared = Vec::new();
    for fact in &held.facts {
        let Some(wanted) = expected.get(&(fact.rec, fact.field, fact.hash)) else {
            return ensure("I4 no lost sibling", false, || {
                format!("{:?} has a field that its head has not", fact.hash)
            });
        };
        compared.push((fact, wanted));
    }
    // What counts first: what is live follows from it.
    for (fact, wanted) in &compared {
        let place = || format!("field {} of {:?}: {fact:?}, expected {wanted:?}", fact.field, fact.hash);
        ensure("I16 authority", fact.admitted == wanted.admitted, place)?;
    }
    for (fact, wanted) in compared {
        let place = || format!("field {} of {:?}: {fact:?}, expected {wanted:?}", fact.field, fact.hash);
        ensure("I4 no lost sibling", fact.live == wanted.live, place)?;
        ensure("I5 no resurrection", (fact.state == SlotState::Erased) == wanted.erased, place)?;
        let given = world.truth.given.bodies.contains(&(fact.hash, fact.field));
        let here = fact.state == SlotState::Body;
        ensure("I3 no lost change", wanted.erased || here == given, place)?;
    }
    Ok(())
}

/// The gaps that are told are exactly the places that somebody spoke of and that are not there.
fn gaps_told(world: &World, held: &Held) -> Checked {
    let mut logs: BTreeMap<LogId, BTreeSet<u64>> = BTreeMap::new();
    for change in held.changes.values() {
        logs.entry(change.log).or_default().insert(change.head.seq);
    }
    for log in world.truth.given.claimed.keys() {
        logs.entry(*log).or_default();
    }
    let mut expected = BTreeSet::new();
    for (log, here) in logs {
        let claimed = world.truth.given.claimed.get(&log).copied().unwrap_or(0);
        let end = here.last().copied().unwrap_or(0).max(claimed);
        expected.extend((1..=end).filter(|seq| !here.contains(seq)).map(|seq| (log.to_string(), seq)));
    }
    let gaps = world.office.notebook().gaps()?;
    let told: BTreeSet<_> = gaps.iter().flat_map(|g| (g.from..=g.to).map(|seq| (g.log.clone(), seq))).collect();
    ensure("I7 gap honesty", told == expected, || format!("told {told:?}, expected {expected:?}"))
}

/// Wherever two changes stand at one place, a run leads to each of them.
fn forks_seen(world: &World, held: &Held) -> Checked {
    let mut places: BTreeMap<(LogId, u64), u64> = BTreeMap::new();
    for change in held.changes.values() {
        *places.entry((change.log, change.head.seq)).or_default() += 1;
    }
    let mut runs: BTreeMap<DeviceId, Vec<(LogId, u64, u64)>> = BTreeMap::new();
    for ((log, seq), _) in places.iter().filter(|(_, count)| **count > 1) {
        if let Entry::Vacant(place) = runs.entry(log.device) {
            let found = world.office.notebook().runs_of(&log.device)?;
            place.insert(found.into_iter().map(|(log, run)| (log, run.from, run.to)).collect());
        }
        let over = runs[&log.device].iter().filter(|(l, from, to)| l == log && (from..=to).contains(&seq)).count();
        ensure("I9 forks kept and flagged", over > 1, || format!("one run over {log} {seq}, where two changes stand"))?;
    }
    Ok(())
}

/// Words of which the ledger covers every place where they were written.
pub fn erased_words(truth: &Truth, held: &Held) -> BTreeSet<Word> {
    let oracle = Oracle(held);
    let covered = |(hash, field): &(Hash32, u32)| {
        let head = truth.written.get(hash).map(|w| &w.change.head);
        head.is_some_and(|head| oracle.erased(&(head.rec, *field), head.generation))
    };
    if !held.statements.iter().any(|(_, said)| matches!(said.body, Body::Erase { .. })) {
        return BTreeSet::new();
    }
    truth.words.iter().filter(|(_, places)| places.iter().all(covered)).map(|(word, _)| *word).collect()
}

/// No erased word stands in any file of a folder.
pub fn nothing_erased_left(truth: &Truth, held: &Held, folder: &std::path::Path) -> Checked {
    let erased = erased_words(truth, held);
    if erased.is_empty() {
        return Ok(());
    }
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder)? {
            let path = entry?.path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let found = words::found_in(&std::fs::read(&path)?).into_iter().find(|word| erased.contains(word));
            ensure("I5 no resurrection", found.is_none(), || {
                let word = found.map(|w| String::from_utf8_lossy(&w).into_owned()).unwrap_or_default();
                format!("the erased word {word} stands in {}", path.display())
            })?;
        }
    }
    Ok(())
}

/// No photo is there of which the ledger covers every place where it was named.
pub fn blobs_gone(truth: &Truth, held: &Held, is_here: impl Fn(&BlobId) -> bool) -> Checked {
    let oracle = Oracle(held);
    let gone = |place: &(RecordId, u32, u64)| oracle.erased(&(place.0, place.1), place.2);
    let erased = truth.photos.iter().filter(|(_, places)| places.iter().all(gone));
    let left = erased.map(|(id, _)| id).find(|id| is_here(id));
    ensure("I5 no resurrection", left.is_none(), || format!("the erased photo {left:?} is there"))
}
