//! A segment: changes in a row of one log, and the signature that closes them.
//!
//! ```text
//! segment = [log(24), from, prev(32), [lost(32) …, change (bytes) …], signature (bytes, empty when a later segment closes it)]
//! tip     = COSE_Sign1 over [log(24), from, to, hash of to, snapshot number seen]
//! ```
//! The chain makes one signature over the newest hash good for all before it; so a log of a lost phone can be carried
//! verbatim by another device with the newest signature alone.
//!
//! A change that its author can no longer read stands as its bare hash, reported lost, so that it does not hold back those after it.
//! Nothing binds a bare hash to what stands before it: such hashes stand only before the changes of a segment, and no
//! signature is good for anything before them.

use super::{chain::Link, change::Change};
use crate::{
    cbor::{self, Reader},
    error::{Code, Error, Result},
    ids::{Hash32, LogId, OfficeId},
    sign::{self, Purpose, Signing},
};

/// Changes of a segment at most.
pub const MAX_CHANGES: usize = 2_000;
/// Bytes of a segment at most (a last change may pass the aim of 1 MiB).
pub const MAX_SEGMENT: usize = 2 << 20;

/// What the author signs at every save: the newest change of its log.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Tip {
    /// The log.
    pub log: LogId,
    /// First change that the signature covers.
    pub from: u64,
    /// Last change that it covers.
    pub to: u64,
    /// Hash of the last change.
    pub hash: Hash32,
    /// Number of the newest reply that the author had taken.
    pub snapshot: u64,
}

impl Tip {
    /// Signs it.
    pub fn sign(&self, key: &Signing, office: &OfficeId) -> Vec<u8> {
        let payload = cbor::encode(|w| {
            w.array(5)?
                .bytes(&self.log.to_bytes())?
                .u64(self.from)?
                .u64(self.to)?
                .bytes(&self.hash.0)?
                .u64(self.snapshot)?;
            Ok(())
        });
        key.sign(Purpose::Tip, office, &payload)
    }

    /// Checks a signed tip with the author's key.
    ///
    /// # Errors
    /// `BAD_SIGNATURE` or `SCHEMA`.
    pub fn verify(bytes: &[u8], office: &OfficeId, key: &[u8; 32]) -> Result<Self> {
        let payload = sign::verify(bytes, Purpose::Tip, office, key)?;
        let r = &mut Reader::new(&payload)?;
        r.array_of(5)?;
        Ok(Self {
            log: LogId::from_slice(r.bytes()?)?,
            from: r.uint()?,
            to: r.uint()?,
            hash: Hash32::from_slice(r.bytes()?)?,
            snapshot: r.uint()?,
        })
    }
}

/// A segment as read from the wire, with the hash of each change.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Segment {
    /// The log.
    pub log: LogId,
    /// Hash of the change before the first; zeros where that is not known before a lost one.
    pub prev: Hash32,
    /// Hashes of the changes before the first that is here: reported lost.
    pub lost: Vec<Hash32>,
    /// The changes in order.
    pub changes: Vec<Change>,
    /// The hash of each change.
    pub hashes: Vec<Hash32>,
    /// Signed tip that closes it, if any.
    pub signature: Vec<u8>,
}

impl Segment {
    /// A segment of changes that follow `prev`.
    pub fn new(office: &OfficeId, log: LogId, prev: Hash32, changes: Vec<Change>) -> Self {
        Self::after_lost(office, log, prev, Vec::new(), changes)
    }

    /// A segment of changes that follow some that are reported lost, and those `prev`.
    pub fn after_lost(office: &OfficeId, log: LogId, prev: Hash32, lost: Vec<Hash32>, changes: Vec<Change>) -> Self {
        let mut last = lost.last().copied().unwrap_or(prev);
        let hashes = changes
            .iter()
            .map(|change| {
                last = change.hash(office, &log, &last);
                last
            })
            .collect();
        Self { log, prev, lost, changes, hashes, signature: Vec::new() }
    }

    /// The place of its first change, here or lost.
    pub fn from(&self) -> u64 {
        self.changes.first().map_or(0, |c| c.head.seq.saturating_sub(self.lost.len() as u64))
    }

    /// The places that are reported lost.
    pub fn lost_links(&self) -> Vec<Link> {
        let befores = [self.prev].into_iter().chain(self.lost.iter().copied());
        let links = (self.from()..).zip(&self.lost).zip(befores);
        links.map(|((seq, hash), prev)| Link { seq, hash: *hash, prev }).collect()
    }

    /// The place of its last change.
    pub fn to(&self) -> u64 {
        self.changes.last().map_or(0, |c| c.head.seq)
    }

    /// The hash of its last change.
    pub fn tip(&self) -> Hash32 {
        self.hashes.last().copied().unwrap_or(self.prev)
    }

    /// The wire form.
    pub fn to_cbor(&self) -> Vec<u8> {
        cbor::encode(|w| {
            w.array(5)?.bytes(&self.log.to_bytes())?.u64(self.from())?.bytes(&self.prev.0)?;
            w.array((self.lost.len() + self.changes.len()) as u64)?;
            self.lost.iter().try_for_each(|hash| w.bytes(&hash.0).map(drop))?;
            for change in &self.changes {
                w.bytes(&change.to_cbor())?;
            }
            w.bytes(&self.signature)?;
            Ok(())
        })
    }

    /// Reads the wire form and computes the hashes. Says nothing yet about who wrote it.
    ///
    /// # Errors
    /// `SCHEMA` or `TOO_BIG`.
    pub fn from_cbor(bytes: &[u8], office: &OfficeId) -> Result<Self> {
        if bytes.len() > MAX_SEGMENT {
            return Err(Error::refused(Code::TooBig, "a segment over 2 MiB"));
        }
        let r = &mut Reader::new(bytes)?;
        r.array_of(5)?;
        let log = LogId::from_slice(r.bytes()?)?;
        let from = r.uint()?;
        let prev = Hash32::from_slice(r.bytes()?)?;
        let n = r.array()?;
        if n == 0 || n > MAX_CHANGES as u64 {
            return Err(Error::refused(Code::TooBig, "a segment of no or too many changes"));
        }
        let (mut lost, mut changes) = (Vec::new(), Vec::new());
        for seq in (0..n).map(|n| from.saturating_add(n)) {
            let bytes = r.bytes()?;
            // No change is this short: its head alone is longer.
            if bytes.len() == Hash32::LEN && changes.is_empty() {
                lost.push(Hash32::from_slice(bytes)?);
                continue;
            }
            let change = Change::from_cbor(bytes)?;
            if change.head.seq != seq {
                return Err(cbor::malformed("changes that do not follow each other"));
            }
            changes.push(change);
        }
        if from == 0 || changes.is_empty() {
            return Err(cbor::malformed("a segment without a change or a place"));
        }
        let signature = r.bytes()?.to_vec();
        Ok(Self { signature, ..Self::after_lost(office, log, prev, lost, changes) })
    }

    /// Closes the segment with its author's signature.
    pub fn close(&mut self, key: &Signing, office: &OfficeId, snapshot: u64) {
        let tip = Tip { log: self.log, from: self.from(), to: self.to(), hash: self.tip(), snapshot };
        self.signature = tip.sign(key, office);
    }

    /// The tip that closes the segment, checked with the author's key and against the segment's own end.
    ///
    /// # Errors
    /// `BAD_SIGNATURE` when the signature does not hold or closes something else.
    pub fn checked_tip(&self, office: &OfficeId, key: &[u8; 32]) -> Result<Tip> {
        let tip = Tip::verify(&self.signature, office, key)?;
        // How many are lost is the author's own word only where its signature begins before them.
        let says_so = self.lost.is_empty() || tip.from <= self.from();
        if (tip.log, tip.to, tip.hash) == (self.log, self.to(), self.tip()) && says_so {
            Ok(tip)
        } else {
            Err(Error::refused(Code::BadSignature, "a signature that closes another segment"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{super::change::tests::sample, *};
    use crate::ids::DeviceId;

    #[test]
    fn a_segment_survives_the_wire_and_its_signature_covers_its_end() {
        let office = OfficeId([1; 16]);
        let key = Signing::from_seed(&[1; 32]);
        let log = LogId { device: key.device(), incarnation: 7 };
        let mut segment = Segment::new(&office, log, Hash32([8; 32]), vec![sample(4), sample(5)]);
        segment.close(&key, &office, 3);
        let read = Segment::from_cbor(&segment.to_cbor(), &office).unwrap();
        assert_eq!(read, segment);
        let tip = read.checked_tip(&office, &key.public()).unwrap();
        assert_eq!((tip.from, tip.to, tip.snapshot), (4, 5, 3));

        let mut shorter = segment.clone();
        shorter.changes.pop();
        shorter.hashes.pop();
        assert!(shorter.checked_tip(&office, &key.public()).is_err());
        let other = LogId { device: DeviceId([1; 16]), incarnation: 7 };
        let moved = Segment {
            signature: segment.signature.clone(),
            ..Segment::new(&office, other, segment.prev, segment.changes.clone())
        };
        assert!(moved.checked_tip(&office, &key.public()).is_err());
    }

    #[test]
    fn a_lost_change_stands_as_its_hash_before_the_changes_and_nowhere_else() {
        let office = OfficeId([1; 16]);
        let key = Signing::from_seed(&[1; 32]);
        let log = LogId { device: key.device(), incarnation: 7 };
        let whole = Segment::new(&office, log, Hash32::ZERO, vec![sample(1), sample(2), sample(3), sample(4)]);
        let lost = whole.hashes[1..3].to_vec();
        let mut segment = Segment::after_lost(&office, log, whole.hashes[0], lost, vec![sample(4)]);
        assert_eq!((segment.from(), segment.to(), segment.tip()), (2, 4, whole.tip()), "the chain goes on over them");
        let link = |seq, at: usize| Link { seq, hash: whole.hashes[at], prev: whole.hashes[at - 1] };
        assert_eq!(segment.lost_links(), [link(2, 1), link(3, 2)]);
        segment.close(&key, &office, 0);
        let read = Segment::from_cbor(&segment.to_cbor(), &office).unwrap();
        assert_eq!(read, segment);
        assert_eq!(read.checked_tip(&office, &key.public()).unwrap().from, 2);
        // Another count of lost ones than the author's.
        let mut more = Segment { lost: [&[Hash32([9; 32])], &segment.lost[..]].concat(), ..segment.clone() };
        assert_eq!(more.checked_tip(&office, &key.public()).unwrap_err().code(), Some(Code::BadSignature));
        more.lost = vec![Hash32([9; 32])];
        let other = Segment::from_cbor(&more.to_cbor(), &office).unwrap();
        assert_eq!(other.checked_tip(&office, &key.public()).unwrap_err().code(), Some(Code::BadSignature));

        let form = |items: &[&[u8]]| {
            cbor::encode(|w| {
                w.array(5)?.bytes(&log.to_bytes())?.u64(1)?.bytes(&[0; 32])?.array(items.len() as u64)?;
                items.iter().try_for_each(|item| w.bytes(item).map(drop))?;
                w.bytes(&[])?;
                Ok(())
            })
        };
        let (change, hash) = (sample(1).to_cbor(), [7; 32]);
        for bad in [form(&[&change, &hash]), form(&[&hash]), form(&[&change, &hash, &sample(3).to_cbor()])] {
            assert_eq!(Segment::from_cbor(&bad, &office).unwrap_err().code(), Some(Code::Schema));
        }
        Segment::from_cbor(&form(&[&change]), &office).unwrap();
    }

    #[test]
    fn changes_that_skip_a_place_are_refused() {
        let office = OfficeId([1; 16]);
        let log = LogId { device: DeviceId([1; 16]), incarnation: 7 };
        let segment = Segment::new(&office, log, Hash32::ZERO, vec![sample(1), sample(3)]);
        assert_eq!(Segment::from_cbor(&segment.to_cbor(), &office).unwrap_err().code(), Some(Code::Schema));
    }
}
