//! The live values of the model are those that automerge's `get_all` gives for the same history of concurrent writes: each record a
//! map, each field of a save a `put`, devices that meet a `merge`, a copied device a `fork` with an actor of its own, a restored
//! one an older copy with a new actor.
//!
//! Left out, because the rules differ on purpose: deletions (ours hide a record and supersede nothing; there a deleted key takes
//! the values with it), erasure, everything that does not count until the office says so, and clocks, of which live values know
//! nothing. Every value is written once only: we keep two saves of equal words, there the second of them is no write.

use std::collections::BTreeSet;

use ::automerge::{ActorId, AutoCommit, ObjId, ObjType, ROOT, ReadDoc, transaction::Transactable};
use dooryard_core::{
    ids::RecordId,
    log::{Change, Slot},
    record::{Role, Value},
};
use proptest::prelude::*;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::{
    feed::{shuffled, these},
    office::{PHONES, RECORDS, cert, record},
    ops::{Op, writing},
    play::{Counts, Event, Play},
    stores::{Fed, Folders, Kept, Model},
};

/// Histories, so that the test takes some seconds.
const CASES: u32 = 96;

/// Everything that must have happened in some history, or have come of it.
const NEEDED: &[&str] = &[
    "a change",
    "a meeting",
    "a device copied",
    "a device restored with its log",
    "a device restored with a new log",
    "one live value",
    "two live values",
    "more live values",
    "a save that supersedes several values",
];

/// The live values: record, field, words.
type Live = BTreeSet<(RecordId, u32, String)>;

/// The same history in automerge.
struct Mirror {
    /// For each device its document, with what it was before each of its steps.
    devices: Vec<(AutoCommit, Vec<AutoCommit>)>,
    /// What restored devices had before.
    left: Vec<AutoCommit>,
    /// The maps of the records.
    maps: Vec<ObjId>,
    actors: u64,
}

impl Mirror {
    fn new() -> Self {
        let mut first = AutoCommit::new().with_actor(ActorId::from(0_u64.to_be_bytes()));
        let maps =
            (0..RECORDS.len()).map(|n| first.put_object(ROOT, record(n).to_string(), ObjType::Map).unwrap()).collect();
        first.commit();
        let mut mirror = Self { devices: Vec::new(), left: Vec::new(), maps, actors: 0 };
        for _ in PHONES {
            let document = mirror.with_new_actor(first.clone());
            mirror.devices.push((document, Vec::new()));
        }
        mirror
    }

    fn with_new_actor(&mut self, mut document: AutoCommit) -> AutoCommit {
        self.actors += 1;
        document.set_actor(ActorId::from(self.actors.to_be_bytes()));
        document
    }

    fn step(&mut self, event: Event, play: &Play) {
        match event {
            Event::Wrote(device, n) => {
                let (document, past) = &mut self.devices[device];
                past.push(document.clone());
                put(document, &self.maps, &play.written[n].change);
            }
            Event::Met(to, from) => {
                let mut other = self.devices[from].0.clone();
                let (document, past) = &mut self.devices[to];
                past.push(document.clone());
                document.merge(&mut other).unwrap();
            }
            Event::Forked(device) => {
                let (document, past) = self.devices[device].clone();
                let document = self.with_new_actor(document);
                self.devices.push((document, past));
            }
            Event::Restored(device, steps) => {
                let (document, past) = &mut self.devices[device];
                let mut older = past.split_off(past.len() - steps);
                self.left.push(document.clone());
                self.devices[device].0 = self.with_new_actor(older.swap_remove(0));
            }
            Event::Said(_) | Event::Nothing => {}
        }
    }

    /// The live values of one device, or of everything that anybody ever wrote.
    fn live(&self, device: Option<usize>) -> Live {
        let mut document = self.devices[device.unwrap_or(0)].0.clone();
        if device.is_none() {
            for other in self.devices.iter().map(|(document, _)| document).chain(&self.left) {
                document.merge(&mut other.clone()).unwrap();
            }
        }
        let mut live = Live::new();
        for (n, (_, fields)) in RECORDS.iter().enumerate() {
            for field in fields {
                for (value, _) in document.get_all(&self.maps[n], field.to_string()).unwrap() {
                    assert!(
                        live.insert((record(n), *field, value.as_str().unwrap().to_owned())),
                        "words written twice"
                    );
                }
            }
        }
        live
    }
}

/// Writes what a change writes.
fn put(document: &mut AutoCommit, maps: &[ObjId], change: &Change) {
    let at = (0..RECORDS.len()).find(|n| record(*n) == change.head.rec).unwrap();
    for (f, slot) in change.head.fields.iter().zip(&change.slots) {
        document.put(&maps[at], f.field.to_string(), words(slot)).unwrap();
    }
    document.commit();
}

fn words(slot: &Slot) -> String {
    let Slot::Body { value, .. } = slot else { panic!("a value without a body") };
    Value::from_cbor(value).unwrap().as_text().unwrap().to_owned()
}

fn live(kept: &Kept) -> Live {
    kept.facts.iter().filter(|f| f.live).map(|f| (f.rec, f.field, words(&f.slot))).collect()
}

#[test]
fn live_values_are_those_of_automerge() {
    let folders = Folders::new();
    crate::run(CASES, writing(), NEEDED, |history, seed| same_live_values(&folders, history, seed));
}

/// Plays a history here and there, compares what is live at each device and in the whole, and returns what happened.
fn same_live_values(folders: &Folders, history: &[Op], seed: u64) -> Result<Counts, TestCaseError> {
    let mut office = folders.office.clone();
    for phone in 0..PHONES.len() {
        office.say(cert(phone, Role::Scout, office.said.len() as u64 + 1));
    }
    let (mut play, mut mirror) = (Play::new(office), Mirror::new());
    for op in history {
        let event = play.step(op);
        mirror.step(event, &play);
    }
    let mut counts = std::mem::take(&mut play.counts);
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    for (n, seen) in play.seen().enumerate() {
        let takes = these(&play, seen, &mut random);
        let mut model = Fed::new(Model::default(), &play.office, &takes);
        prop_assert_eq!(live(&model.kept()), mirror.live(Some(n)), "at device {}", n);
    }
    let takes = shuffled(&play, &mut random, &mut Counts::new());
    let mut model = Fed::new(Model::default(), &play.office, &takes);
    let all = live(&model.kept());
    prop_assert_eq!(&all, &mirror.live(None), "in the whole");

    let mut count = |what| *counts.entry(what).or_default() += 1;
    for (at, (_, fields)) in RECORDS.iter().enumerate() {
        for field in fields {
            match all.iter().filter(|(rec, of, _)| (*rec, *of) == (record(at), *field)).count() {
                0 => {}
                1 => count("one live value"),
                2 => count("two live values"),
                _ => count("more live values"),
            }
        }
    }
    let fields = play.written.iter().flat_map(|w| &w.change.head.fields);
    fields.filter(|f| f.preds.len() > 1).for_each(|_| count("a save that supersedes several values"));
    Ok(counts)
}
