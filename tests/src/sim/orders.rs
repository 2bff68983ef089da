//! The same changes and statements in other orders, cut otherwise, some of them twice: in memory, and at a second machine.

use std::{collections::BTreeMap, path::PathBuf};

use dooryard_core::{
    clock::Env,
    ids::{Hash32, LogId},
    log::{Authority, Change, Fact, Memory, Segment, Slot, SlotState, apply_segment, apply_statement, digest, recount},
};
use dooryard_office::desk::Office;
use rand::{Rng, seq::SliceRandom};

use super::{
    Checked, check_office, ensure,
    held::{Eyes, Held},
    truth::Truth,
    world::World,
};

/// One thing that can reach a store.
enum Item {
    Segment(LogId, Hash32, Vec<Change>),
    Statement(Vec<u8>),
}

/// How statements and changes follow each other.
#[derive(Clone, Copy)]
enum Order {
    Mixed,
    StatementsFirst,
    StatementsLast,
}

/// All that a store holds, as it came: bodies that were erased are in it again, those that never came are not.
fn items(world: &mut World, held: &Held, order: Order) -> Vec<Item> {
    let mut pieces = Vec::new();
    let facts: BTreeMap<(Hash32, u32), &Fact> = held.facts.iter().map(|f| ((f.hash, f.field), f)).collect();
    let mut logs: BTreeMap<(LogId, u64, Hash32), &Hash32> = BTreeMap::new();
    for (hash, change) in &held.changes {
        logs.insert((change.log, change.head.seq, *hash), hash);
    }
    let mut run: Option<(LogId, Hash32, Vec<Change>, Hash32)> = None;
    for ((log, _, hash), _) in logs {
        let Some(written) = world.truth.written.get(&hash) else { continue };
        let change = as_it_came(&world.truth, &facts, &hash);
        let follows = run.as_ref().is_some_and(|(l, .., last)| *l == log && *last == written.prev);
        if follows && world.random.random_bool(0.7) {
            if let Some((.., changes, last)) = &mut run {
                changes.push(change);
                *last = hash;
            }
            continue;
        }
        pieces.extend(run.take().map(|(log, prev, changes, _)| Item::Segment(log, prev, changes)));
        run = Some((log, written.prev, vec![change], hash));
    }
    pieces.extend(run.map(|(log, prev, changes, _)| Item::Segment(log, prev, changes)));
    let again: Vec<Item> = pieces.iter().filter(|_| world.random.random_bool(0.1)).map(copy).collect();
    pieces.extend(again);
    let mut statements: Vec<Item> = held.signed.iter().cloned().map(Item::Statement).collect();
    statements.shuffle(&mut world.random);
    pieces.shuffle(&mut world.random);
    match order {
        Order::StatementsFirst => statements.extend(pieces),
        Order::StatementsLast => {
            pieces.extend(statements);
            return pieces;
        }
        Order::Mixed => {
            statements.extend(pieces);
            statements.shuffle(&mut world.random);
        }
    }
    statements
}

fn copy(item: &Item) -> Item {
    match item {
        Item::Segment(log, prev, changes) => Item::Segment(*log, *prev, changes.clone()),
        Item::Statement(signed) => Item::Statement(signed.clone()),
    }
}

fn as_it_came(truth: &Truth, facts: &BTreeMap<(Hash32, u32), &Fact>, hash: &Hash32) -> Change {
    let mut change = truth.written[hash].change.clone();
    for (f, slot) in change.head.fields.iter().zip(&mut change.slots) {
        if facts.get(&(*hash, f.field)).is_some_and(|fact| fact.state == SlotState::Absent) {
            *slot = Slot::Absent(slot.commit());
        }
    }
    change
}

/// The model in memory, fed in two orders, and counted anew.
pub fn in_memory(world: &mut World) -> Checked {
    let held = world.eyes.look()?;
    let wanted = world.office.notebook().digest()?;
    let (office, key) = (held.office, world.office.card().key);
    let apart = if world.random.random_bool(0.5) { Order::StatementsFirst } else { Order::StatementsLast };
    for (order, check) in [(Order::Mixed, "I1 convergence"), (apart, "I16 authority")] {
        let (mut memory, mut authority) = (Memory::default(), Authority::new(office, key));
        for item in items(world, &held, order) {
            match item {
                Item::Statement(signed) => drop(apply_statement(&mut memory, &mut authority, &signed)?),
                Item::Segment(log, prev, changes) => {
                    apply_segment(&mut memory, &authority, Segment::new(&office, log, prev, changes))?;
                }
            }
        }
        let found = digest(&mut memory, &authority)?;
        ensure(check, found == wanted, || "the model in memory has another state than the office".into())?;
        recount(&mut memory, &authority)?;
        let found = digest(&mut memory, &authority)?;
        ensure(check, found == wanted, || "counted anew, the model has another state than the office".into())?;
    }
    Ok(())
}

/// The office's spare machine: an older copy that gets everything in another order, and every file.
pub fn at_the_spare(world: &mut World) -> Checked {
    let Some(folder) = world.spare.take().map(|spare| spare.path) else { return Ok(()) };
    let held = world.eyes.look()?;
    let office = Office::open(&folder, Env::seeded(world.random.random(), &world.clock))?;
    let mut files = world.taken.clone();
    files.shuffle(&mut world.random);
    let path: PathBuf = world.dir.path().join("carried.yard");
    for item in items(world, &held, Order::Mixed) {
        match item {
            Item::Statement(signed) => office.notebook().take_statements(&[signed])?,
            Item::Segment(log, prev, changes) => {
                office.notebook().take_segment(Segment::new(&held.office, log, prev, changes))?;
            }
        }
        if let Some(bytes) = files.pop() {
            std::fs::write(&path, bytes)?;
            office.take_in(&path, &dooryard_core::job::Job::silent())?;
        }
    }
    let same = office.notebook().digest()? == world.office.notebook().digest()?;
    ensure("I1 convergence", same, || "the spare machine has another state than the office".into())?;
    let there = Eyes::on(office.notebook(), &world.read)?.look()?;
    check_office::unchanged(&world.truth, &there)?;
    check_office::nothing_erased_left(&world.truth, &there, &folder)
}
