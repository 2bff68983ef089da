//! A segment: changes in a row of one log, and the signature that closes them.
//!
//! ```text
//! segment = [log(24), from, prev(32), [change (bytes) …], signature (bytes, empty when a later segment closes it)]
//! tip     = COSE_Sign1 over [log(24), from, to, hash of to, snapshot number seen]
//! ```
//! The chain makes one signature over the newest hash good for all before it; so a log of a lost phone can be carried
//! verbatim by another device with the newest signature alone.

use super::change::Change;
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
    /// Hash of the change before the first.
    pub prev: Hash32,
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
        let mut last = prev;
        let hashes = changes
            .iter()
            .map(|change| {
                last = change.hash(office, &log, &last);
                last
            })
            .collect();
        Self { log, prev, changes, hashes, signature: Vec::new() }
    }

    /// The place of its first change.
    pub fn from(&self) -> u64 {
        self.changes.first().map_or(0, |c| c.head.seq)
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
            w.array(self.changes.len() as u64)?;
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
        let changes = (0..n).map(|_| Change::from_cbor(r.bytes()?)).collect::<Result<Vec<_>>>()?;
        if changes.iter().zip(from..).any(|(change, seq)| change.head.seq != seq) {
            return Err(cbor::malformed("changes that do not follow each other"));
        }
        let signature = r.bytes()?.to_vec();
        Ok(Self { signature, ..Self::new(office, log, prev, changes) })
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
        if (tip.log, tip.to, tip.hash) == (self.log, self.to(), self.tip()) {
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
    fn changes_that_skip_a_place_are_refused() {
        let office = OfficeId([1; 16]);
        let log = LogId { device: DeviceId([1; 16]), incarnation: 7 };
        let segment = Segment::new(&office, log, Hash32::ZERO, vec![sample(1), sample(3)]);
        assert_eq!(Segment::from_cbor(&segment.to_cbor(), &office).unwrap_err().code(), Some(Code::Schema));
    }
}
