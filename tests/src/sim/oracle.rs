//! The rules once more, as plainly as they can be said: no cache, no order, every question asked of all changes and all
//! statements. What the merge keeps is compared with this.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    ids::{DeviceId, Hash32, RecordId},
    log::{Body, Cert, Slot},
    record::{self, EXISTENCE, Kind, Privacy, Role},
};

use super::held::{Held, HeldChange};

/// A field of a record.
pub type Place = (RecordId, u32);

/// What should be known of one field of one change.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Expected {
    /// The ledger covers it.
    pub erased: bool,
    /// It counts.
    pub admitted: bool,
    /// It is live.
    pub live: bool,
}

/// The live values of each field, the one to be shown first: change and value.
pub type LiveValues = BTreeMap<Place, Vec<(Hash32, Option<Vec<u8>>)>>;

/// What decides which value is shown, highest first.
type Rank = (bool, u8, i64, Hash32);
type Ranked = Vec<(Rank, Option<Vec<u8>>)>;

/// Answers from what a store holds.
pub struct Oracle<'h>(pub &'h Held);

impl Oracle<'_> {
    fn said(&self) -> impl Iterator<Item = &Body> {
        self.0.statements.iter().map(|(_, said)| &said.body)
    }

    /// What the statement with the highest place says, of those for which `pick` has an answer.
    fn last_word<T>(&self, pick: impl Fn(&Body) -> Option<T>) -> Option<T> {
        let words = self.0.statements.iter().filter_map(|(_, said)| Some((said.seq, pick(&said.body)?)));
        words.max_by_key(|(seq, _)| *seq).map(|(_, word)| word)
    }

    /// The certificate that a change names, if it is one of its author.
    pub fn cert(&self, hash: &Hash32, device: &DeviceId) -> Option<&Cert> {
        let named = self.0.statements.iter().find(|(h, _)| h == hash);
        match named.map(|(_, said)| &said.body) {
            Some(Body::Cert(cert)) if DeviceId::of_key(&cert.key) == *device => Some(cert),
            _ => None,
        }
    }

    /// The role of a device by its newest certificate.
    pub fn role(&self, device: &DeviceId) -> Option<Role> {
        self.last_word(|body| match body {
            Body::Cert(cert) if DeviceId::of_key(&cert.key) == *device => Some(cert.role),
            _ => None,
        })
    }

    /// The highest erase generation of a record.
    pub fn generation(&self, rec: &RecordId) -> u64 {
        let generations = self.said().filter_map(|body| match body {
            Body::Erase { rec: of, generation, .. } if of == rec => Some(*generation),
            _ => None,
        });
        generations.max().unwrap_or(0)
    }

    /// Whether the ledger covers a body of this field written at this generation.
    pub fn erased(&self, (rec, field): &Place, written_at: u64) -> bool {
        *field != EXISTENCE
            && self.said().any(|body| match body {
                Body::Erase { rec: of, fields, generation, .. } => {
                    of == rec && written_at < *generation && (fields.is_empty() || fields.contains(field))
                }
                _ => false,
            })
    }

    /// Whether a device may hold the private fields of a record: it wrote to it, or it was assigned.
    pub fn concerns(&self, rec: &RecordId, device: &DeviceId) -> bool {
        let wrote = self.0.changes.values().any(|c| c.head.rec == *rec && c.log.device == *device);
        wrote || self.said().any(|b| matches!(b, Body::Assign { rec: of, device: to } if of == rec && to == device))
    }

    /// Whether a device may read a field of a record.
    pub fn may_read(&self, (rec, field): &Place, device: &DeviceId) -> bool {
        let Some(role) = self.role(device) else { return false };
        match record::field(*field).map(|f| f.class) {
            None => *field == EXISTENCE,
            Some(Privacy::Public | Privacy::Office) => true,
            Some(Privacy::Private) => role >= Role::Educator || self.concerns(rec, device),
            Some(Privacy::Sealed) => role >= Role::Educator,
        }
    }

    /// For a revoked device: the changes from which its own chain leads to a change that the revocation names.
    fn kept(&self, device: &DeviceId) -> Option<BTreeSet<Hash32>> {
        let tips = self.last_word(|body| match body {
            Body::Revoke { device: of, tips } if of == device => Some(tips.clone()),
            _ => None,
        })?;
        let mut kept = BTreeSet::new();
        for tip in tips {
            let mut at = Some(tip);
            let log = self.0.changes.get(&tip).map(|c| c.log);
            while let Some(hash) = at {
                let change = self.0.changes.get(&hash).filter(|c| Some(c.log) == log);
                at = change.filter(|_| kept.insert(hash)).map(|c| c.prev);
            }
        }
        Some(kept)
    }

    fn counts(&self, hash: &Hash32, change: &HeldChange, kept: Option<&BTreeSet<Hash32>>) -> bool {
        let decided = self.last_word(|body| match body {
            Body::Admit { change, .. } if change == hash => Some(true),
            Body::Refuse { change, .. } if change == hash => Some(false),
            _ => None,
        });
        if let Some(decided) = decided {
            return decided;
        }
        let head = &change.head;
        let Some(cert) = self.cert(&head.cert, &change.log.device) else { return false };
        let may_write = |field: u32| match record::field(field) {
            Some(known) => known.kind.id() == head.rtype && known.writers.has(cert.role),
            None => true,
        };
        let once =
            head.rtype != Kind::Custody.id() || head.fields.iter().all(|f| f.preds.is_empty() && f.field != EXISTENCE);
        head.kind == 0
            && head.crit.is_none()
            && head.generation <= self.generation(&head.rec)
            && kept.is_none_or(|kept| kept.contains(hash))
            && head.fields.iter().all(|f| may_write(f.field))
            && once
    }

    /// What should be known of every field of every change.
    pub fn expected(&self) -> BTreeMap<(RecordId, u32, Hash32), Expected> {
        let mut all = BTreeMap::new();
        let devices: BTreeSet<DeviceId> = self.0.changes.values().map(|c| c.log.device).collect();
        let kept: BTreeMap<_, _> = devices.into_iter().map(|d| (d, self.kept(&d))).collect();
        let mut named: BTreeSet<(RecordId, u32, Hash32)> = BTreeSet::new();
        for (hash, change) in &self.0.changes {
            let head = &change.head;
            let counts = self.counts(hash, change, kept.get(&change.log.device).and_then(Option::as_ref));
            for f in &head.fields {
                let known =
                    Kind::from_id(head.rtype).is_some() && (f.field == EXISTENCE || record::field(f.field).is_some());
                let admitted = counts && known;
                if admitted {
                    named.extend(f.preds.iter().map(|p| (head.rec, f.field, *p)));
                }
                let erased = self.erased(&(head.rec, f.field), head.generation);
                all.insert((head.rec, f.field, *hash), Expected { erased, admitted, live: false });
            }
        }
        for (place, expected) in &mut all {
            expected.live = expected.admitted && !named.contains(place);
        }
        all
    }

    /// The claimed time of a change, corrected by the last word on it.
    pub fn at_ms(&self, change: &HeldChange) -> i64 {
        let skew = self.last_word(|body| match body {
            Body::Clock { log, from, to, skew_ms }
                if *log == change.log && (*from..=*to).contains(&change.head.seq) =>
            {
                Some(*skew_ms)
            }
            _ => None,
        });
        i64::try_from(change.head.wall_ms).unwrap_or(i64::MAX).saturating_sub(skew.unwrap_or(0))
    }

    /// The live values of every field, the one to be shown first: a body before none, then role, time, hash.
    pub fn live(&self) -> LiveValues {
        let mut all: BTreeMap<Place, Ranked> = BTreeMap::new();
        for fact in self.0.facts.iter().filter(|fact| fact.live) {
            let Some(change) = self.0.changes.get(&fact.hash) else { continue };
            let value = match &fact.slot {
                Slot::Body { value, .. } => Some(value.clone()),
                Slot::Absent(_) => None,
            };
            let role = self.cert(&change.head.cert, &change.log.device).map_or(0, |cert| cert.role.rank());
            let rank = (value.is_some(), role, self.at_ms(change), fact.hash);
            all.entry((fact.rec, fact.field)).or_default().push((rank, value));
        }
        let sorted = all.into_iter().map(|(place, mut live)| {
            live.sort_by_key(|(rank, _)| std::cmp::Reverse(*rank));
            (place, live.into_iter().map(|((.., hash), value)| (hash, value)).collect())
        });
        sorted.collect()
    }
}
