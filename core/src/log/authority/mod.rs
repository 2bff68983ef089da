//! What the office log says, ready to be asked: who is certified, cut off, admitted, refused; what is erased; whose clock was off.

use std::collections::{BTreeMap, HashMap, HashSet};

use super::{
    change::Head,
    statement::{Body, Statement},
};
use crate::{
    error::{Code, Result},
    fault::{self, Fault},
    ids::{BlobId, DeviceId, Hash32, LogId, OfficeId, RecordId},
    record::{self, EXISTENCE, Kind, Role},
};

/// A device's certificate.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Cert {
    /// Its verifying key.
    pub key: [u8; 32],
    /// Its sealing key, an age recipient: replies are sealed to it.
    pub seal: String,
    /// Its role.
    pub role: Role,
    /// What people call it, such as `Scout 3`; never a name.
    pub label: String,
    /// The place of the statement in the office log; of two certificates of a device the higher one is in force.
    pub seq: u64,
}

/// A signing key that the office used before: only what stands up to its last place in the office log is valid, so that a
/// key that leaks after it was replaced can say nothing new.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FormerKey {
    /// The verifying key.
    pub key: [u8; 32],
    /// The last place in the office log that it signed.
    pub last: u64,
}

/// One entry of the erasure ledger.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Erasure {
    /// Fields covered; all but existence when empty.
    pub fields: Vec<u32>,
    /// Bodies of changes with a lower generation are erased.
    pub generation: u64,
}

/// The office log as a function of its statements; the order in which they came does not matter.
#[derive(Clone, Debug)]
pub struct Authority {
    office: OfficeId,
    key: [u8; 32],
    former: Vec<FormerKey>,
    expected: Option<(DeviceId, Cert)>,
    certs: HashMap<Hash32, Cert>,
    in_force: BTreeMap<DeviceId, (u64, Hash32)>,
    first: HashMap<DeviceId, (u64, Hash32)>,
    revoked: HashMap<DeviceId, (u64, Vec<Hash32>)>,
    decided: HashMap<Hash32, (u64, bool)>,
    ledger: BTreeMap<RecordId, Vec<Erasure>>,
    erased_blobs: HashSet<Hash32>,
    clocks: HashMap<LogId, Vec<(u64, u64, u64, i64)>>,
    assigned: HashSet<(RecordId, DeviceId)>,
    newest: (u64, Hash32),
}

impl Authority {
    /// The empty log of the office whose signing key is `key`.
    pub fn new(office: OfficeId, key: [u8; 32]) -> Self {
        Self {
            office,
            key,
            former: Vec::new(),
            expected: None,
            certs: HashMap::new(),
            in_force: BTreeMap::new(),
            first: HashMap::new(),
            revoked: HashMap::new(),
            decided: HashMap::new(),
            ledger: BTreeMap::new(),
            erased_blobs: HashSet::new(),
            clocks: HashMap::new(),
            assigned: HashSet::new(),
            newest: (0, Hash32::ZERO),
        }
    }

    /// Follows a change of the office's keys: what former keys signed up to their last place stays valid.
    pub fn follow(&mut self, key: [u8; 32], former: &[FormerKey]) {
        self.key = key;
        self.former = former.to_vec();
    }

    /// On a phone that was invited: judges its own changes by the role it was invited to, until its certificate comes.
    pub fn expect(&mut self, cert: Cert) {
        self.expected = Some((DeviceId::of_key(&cert.key), cert));
    }

    /// Checks a signed statement with the key that was in force at its place, and reads it.
    ///
    /// # Errors
    /// `BAD_SIGNATURE` or `SCHEMA`.
    pub fn verify(&self, signed: &[u8]) -> Result<Statement> {
        let seq = Statement::claimed_seq(signed)?;
        let former = self.former.iter().filter(|f| seq <= f.last).min_by_key(|f| f.last);
        Statement::verify(signed, &self.office, former.map_or(&self.key, |f| &f.key))
    }

    /// The office.
    pub fn office(&self) -> OfficeId {
        self.office
    }

    /// Takes in a signed statement. Taking one in again changes nothing.
    ///
    /// # Errors
    /// `BAD_SIGNATURE` or `SCHEMA`.
    pub fn take(&mut self, signed: &[u8]) -> Result<Statement> {
        let said = self.verify(signed)?;
        let (seq, hash) = (said.seq, Hash32::of(signed));
        match said.body.clone() {
            Body::Cert(cert) => {
                let device = DeviceId::of_key(&cert.key);
                let entry = self.in_force.entry(device).or_insert((seq, hash));
                if seq >= entry.0 {
                    *entry = (seq, hash);
                }
                let first = self.first.entry(device).or_insert((seq, hash));
                if seq < first.0 {
                    *first = (seq, hash);
                }
                self.certs.insert(hash, cert);
            }
            Body::Revoke { device, tips } => {
                let entry = self.revoked.entry(device).or_insert_with(|| (seq, tips.clone()));
                if seq >= entry.0 {
                    *entry = (seq, tips);
                }
            }
            Body::Admit { change, .. } => self.decide(change, seq, true),
            Body::Refuse { change, .. } => self.decide(change, seq, false),
            Body::Erase { rec, fields, generation, blobs } => {
                let entries = self.ledger.entry(rec).or_default();
                let entry = Erasure { fields, generation };
                if !entries.contains(&entry) {
                    entries.push(entry);
                }
                self.erased_blobs.extend(blobs);
            }
            Body::Clock { log, from, to, skew_ms } => {
                let ranges = self.clocks.entry(log).or_default();
                ranges.push((seq, from, to, skew_ms));
                ranges.sort_unstable();
                ranges.dedup();
            }
            Body::Assign { rec, device } => {
                self.assigned.insert((rec, device));
            }
        }
        if seq > self.newest.0 {
            self.newest = (seq, hash);
        }
        Ok(said)
    }

    fn decide(&mut self, change: Hash32, seq: u64, admit: bool) {
        let entry = self.decided.entry(change).or_insert((seq, admit));
        if seq >= entry.0 || fault::is(Fault::LastComeWins) {
            *entry = (seq, admit);
        }
    }

    /// Place and hash of the newest statement known.
    pub fn newest(&self) -> (u64, Hash32) {
        self.newest
    }

    /// The certificate of a device that a change or an envelope names. None at all, 32 zeros, stands for the device's first:
    /// a phone on paper writes before its certificate has come.
    pub fn cert_named(&self, device: &DeviceId, named: &Hash32) -> Option<&Cert> {
        if *named != Hash32::ZERO {
            return self.certs.get(named).filter(|cert| DeviceId::of_key(&cert.key) == *device);
        }
        match self.first.get(device) {
            Some((_, hash)) => self.certs.get(hash),
            None => self.expected.as_ref().filter(|(expected, _)| expected == device).map(|(_, cert)| cert),
        }
    }

    /// The certificate in force for a device, with its hash.
    pub fn cert_of(&self, device: &DeviceId) -> Option<(Hash32, &Cert)> {
        let (_, hash) = self.in_force.get(device)?;
        Some((*hash, self.certs.get(hash)?))
    }

    /// Every certified device with the certificate in force, in order of ids.
    pub fn devices(&self) -> impl Iterator<Item = (DeviceId, &Cert)> {
        self.in_force.iter().filter_map(|(device, (_, hash))| Some((*device, self.certs.get(hash)?)))
    }

    /// For a revoked device: the changes whose ancestors stay admitted.
    pub fn cut_off(&self, device: &DeviceId) -> Option<&[Hash32]> {
        self.revoked.get(device).map(|(_, tips)| tips.as_slice())
    }

    /// The records whose private fields a device may hold by assignment.
    pub fn assigned_to<'a>(&'a self, device: &'a DeviceId) -> impl Iterator<Item = RecordId> + 'a {
        self.assigned.iter().filter(move |(_, to)| to == device).map(|(rec, _)| *rec)
    }

    /// The records of which something was erased.
    pub fn erased_records(&self) -> impl Iterator<Item = &RecordId> {
        self.ledger.keys()
    }

    /// The highest erase generation of a record.
    pub fn generation(&self, rec: &RecordId) -> u64 {
        self.ledger.get(rec).and_then(|entries| entries.iter().map(|e| e.generation).max()).unwrap_or(0)
    }

    /// Whether a body of this field, written at this generation, is erased.
    pub fn is_erased(&self, rec: &RecordId, field: u32, generation: u64) -> bool {
        field != EXISTENCE
            && self.ledger.get(rec).is_some_and(|entries| {
                entries.iter().any(|e| generation < e.generation && (e.fields.is_empty() || e.fields.contains(&field)))
            })
    }

    /// The keyed hash under which an erased photo is remembered.
    pub fn blob_key(&self, blob: &BlobId) -> Hash32 {
        Hash32(
            *blake3::Hasher::new_derive_key("dooryard erased blob v1")
                .update(&self.office.0)
                .update(&blob.0)
                .finalize()
                .as_bytes(),
        )
    }

    /// Whether a photo was erased and must not be stored again.
    pub fn is_blob_erased(&self, blob: &BlobId) -> bool {
        !self.erased_blobs.is_empty() && self.erased_blobs.contains(&self.blob_key(blob))
    }

    /// The claimed time of a change, corrected by the highest verdict that covers it. Milliseconds since 1970.
    pub fn corrected(&self, log: &LogId, seq: u64, wall_ms: u64) -> i64 {
        let claimed = i64::try_from(wall_ms).unwrap_or(i64::MAX);
        let covering = |ranges: &Vec<(u64, u64, u64, i64)>| {
            ranges.iter().rev().find(|(_, from, to, _)| (*from..=*to).contains(&seq)).map(|(.., skew)| *skew)
        };
        claimed.saturating_sub(self.clocks.get(log).and_then(covering).unwrap_or(0))
    }

    /// Why a change does not count, or `None` when it does. `kept`: for a revoked device, the changes that stay its own.
    pub fn verdict(&self, log: &LogId, head: &Head, hash: &Hash32, kept: Option<&HashSet<Hash32>>) -> Option<Code> {
        match self.decided.get(hash) {
            Some((_, true)) => return None,
            Some((_, false)) => return Some(Code::RefusedByOffice),
            None => {}
        }
        if head.crit.is_some() || head.kind > 1 {
            return Some(Code::TooNew);
        }
        let Some(cert) = self.cert_named(&log.device, &head.cert) else { return Some(Code::UnknownDevice) };
        if kept.is_some_and(|kept| !kept.contains(hash)) {
            return Some(Code::Revoked);
        }
        if head.generation > self.generation(&head.rec) && !fault::is(Fault::GenerationUnchecked) {
            return Some(Code::Gap);
        }
        let allowed = head.fields.iter().all(|f| {
            let known = record::field(f.field);
            // A hand-over of a sample is written once; nothing supersedes or deletes it.
            let once = head.rtype == Kind::Custody.id() && (!f.preds.is_empty() || f.field == EXISTENCE);
            !once && known.is_none_or(|known| known.kind.id() == head.rtype && known.writers.has(cert.role))
        });
        // A request to the office (kind 1) sets nothing: only statements of the office log decide.
        if allowed && head.kind == 0 { None } else { Some(Code::ForbiddenField) }
    }
}

/// Whether this version understands the field: fields it does not know are kept, but neither live nor superseding.
pub(super) fn understands(rtype: u32, field: u32) -> bool {
    Kind::from_id(rtype).is_some() && (field == EXISTENCE || record::field(field).is_some())
}

#[cfg(test)]
mod tests;
