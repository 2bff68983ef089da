//! What was ever written, and what the office was given of it: known to nobody in the history.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    ids::{BlobId, Hash32, LogId, RecordId},
    log::{Change, Slot},
    record::{self, Kind, Type, Value},
};

use super::{
    words::{self, Word},
    world::OwnChange,
};

/// A change as its author wrote it.
pub struct Written {
    /// Its log.
    pub log: LogId,
    /// Hash of the one before it.
    pub prev: Hash32,
    /// The change with all bodies.
    pub change: Change,
}

/// A change on its way: its log, its place, its hash, the fields whose body goes with it.
pub type Carried = (LogId, u64, Hash32, Vec<u32>);

/// What the office must hold: all that it was given in the state of its disk that it goes on from.
#[derive(Clone, Default)]
pub struct Given {
    /// Changes that it took in.
    pub changes: BTreeSet<Hash32>,
    /// Fields of changes whose body came.
    pub bodies: BTreeSet<(Hash32, u32)>,
    /// How far senders said that their logs go.
    pub claimed: BTreeMap<LogId, u64>,
}

impl Given {
    /// Notes what came.
    pub fn note(&mut self, changes: &[Carried], tips: &[(LogId, u64)]) {
        for (_, _, hash, bodies) in changes {
            self.changes.insert(*hash);
            self.bodies.extend(bodies.iter().map(|field| (*hash, *field)));
        }
        for (log, tip) in tips {
            let claimed = self.claimed.entry(*log).or_default();
            *claimed = (*tip).max(*claimed);
        }
    }

    /// This and what stands in another state of its disk.
    pub fn with(mut self, other: &Self) -> Self {
        self.changes.extend(&other.changes);
        self.bodies.extend(&other.bodies);
        let tips: Vec<_> = other.claimed.iter().map(|(log, tip)| (*log, *tip)).collect();
        self.note(&[], &tips);
        self
    }

    /// Whether all of it stands in another state too.
    pub fn is_within(&self, other: &Self) -> bool {
        let claimed = |(log, tip): (&LogId, &u64)| other.claimed.get(log).is_some_and(|there| tip <= there);
        self.changes.is_subset(&other.changes)
            && self.bodies.is_subset(&other.bodies)
            && self.claimed.iter().all(claimed)
    }
}

/// Everything.
#[derive(Default)]
pub struct Truth {
    /// Every change that anyone wrote.
    pub written: BTreeMap<Hash32, Written>,
    /// Every record with its kind.
    pub records: Vec<(RecordId, Kind)>,
    /// Where each word was written.
    pub words: BTreeMap<Word, BTreeSet<(Hash32, u32)>>,
    /// Where each photo is named: record, field, generation of the change.
    pub photos: BTreeMap<BlobId, BTreeSet<(RecordId, u32, u64)>>,
    /// What the office must hold.
    pub given: Given,
    /// Every statement that the office made.
    pub said: BTreeSet<Hash32>,
}

impl Truth {
    /// The photos that changes of a record name.
    pub fn photos_of(&self, rec: &RecordId) -> Vec<BlobId> {
        let of = self.photos.iter().filter(|(_, places)| places.iter().any(|(of, ..)| of == rec));
        of.map(|(id, _)| *id).collect()
    }

    /// Notes changes as written.
    pub fn note(&mut self, changes: Vec<OwnChange>) {
        for (log, hash, prev, change) in changes {
            if self.written.contains_key(&hash) {
                continue;
            }
            let slots = change.head.fields.iter().zip(&change.slots);
            for (f, slot) in slots {
                let Slot::Body { value, .. } = slot else { continue };
                for word in words::found_in(value) {
                    self.words.entry(word).or_default().insert((hash, f.field));
                }
                if let Some(id) = photo_in(f.field, value) {
                    let place = (change.head.rec, f.field, change.head.generation);
                    self.photos.entry(id).or_default().insert(place);
                }
            }
            self.written.insert(hash, Written { log, prev, change });
        }
    }
}

/// The photo that a field names.
fn photo_in(field: u32, value: &[u8]) -> Option<BlobId> {
    let is_photo = record::field(field).is_some_and(|f| f.ty == Type::Blob);
    let value = Value::from_cbor(value).ok().filter(|_| is_photo)?;
    BlobId::from_slice(value.as_bytes()?).ok()
}
