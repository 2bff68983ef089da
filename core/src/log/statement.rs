//! Statements of the office log: the only words that admit, refuse, revoke, erase, correct a clock or assign.
//!
//! ```text
//! statement = COSE_Sign1 over [seq, prev(32), kind, …]      hash = BLAKE3 of the signed bytes
//! ```

use super::authority::Cert;
use crate::{
    cbor::{self, Reader, WriteError, Writer, malformed},
    error::Result,
    ids::{DeviceId, Hash32, LogId, OfficeId, RecordId},
    record::Role,
    sign::{self, Purpose, Signing},
};

/// What a statement says.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Body {
    /// A device belongs to this office, with a role.
    Cert(Cert),
    /// Of this device only the ancestors of these changes stay admitted.
    Revoke {
        /// The device.
        device: DeviceId,
        /// Newest changes that are still its own.
        tips: Vec<Hash32>,
    },
    /// A change counts, whatever else is said.
    Admit {
        /// Its record.
        rec: RecordId,
        /// The change.
        change: Hash32,
    },
    /// A change does not count.
    Refuse {
        /// Its record.
        rec: RecordId,
        /// The change.
        change: Hash32,
    },
    /// Bodies of this record written without knowing this generation are erased, now and whenever they come.
    Erase {
        /// The record.
        rec: RecordId,
        /// Only these fields; all fields but existence when empty.
        fields: Vec<u32>,
        /// One more than the highest generation seen.
        generation: u64,
        /// Keyed hashes of erased photos ([`super::Authority::blob_key`]).
        blobs: Vec<Hash32>,
    },
    /// The clock of a log was off over a range of changes.
    Clock {
        /// The log.
        log: LogId,
        /// First change.
        from: u64,
        /// Last change.
        to: u64,
        /// What to take off its claimed time, milliseconds.
        skew_ms: i64,
    },
    /// A device may hold the private fields of a record.
    Assign {
        /// The record.
        rec: RecordId,
        /// The device.
        device: DeviceId,
    },
}

/// One statement with its place in the office log.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Statement {
    /// Its place, from 1.
    pub seq: u64,
    /// Hash of the statement before it.
    pub prev: Hash32,
    /// What it says.
    pub body: Body,
}

impl Statement {
    /// Signs it with the office's key; returns the signed bytes and their hash.
    pub fn sign(&self, key: &Signing, office: &OfficeId) -> (Vec<u8>, Hash32) {
        let payload = cbor::encode(|w| {
            let (kind, len) = self.shape();
            w.array(3 + len)?.u64(self.seq)?.bytes(&self.prev.0)?.u32(kind)?;
            self.write_body(w)
        });
        let signed = key.sign(Purpose::Statement, office, &payload);
        let hash = Hash32::of(&signed);
        (signed, hash)
    }

    fn shape(&self) -> (u32, u64) {
        match self.body {
            Body::Cert(_) => (1, 4),
            Body::Revoke { .. } => (2, 2),
            Body::Admit { .. } => (3, 2),
            Body::Refuse { .. } => (4, 2),
            Body::Erase { .. } => (5, 4),
            Body::Clock { .. } => (6, 4),
            Body::Assign { .. } => (7, 2),
        }
    }

    fn write_body(&self, w: &mut Writer<'_>) -> Result<(), WriteError> {
        match &self.body {
            Body::Cert(c) => {
                w.bytes(&c.key)?.str(&c.seal)?.u8(c.role.rank())?.str(&c.label)?;
            }
            Body::Revoke { device, tips } => {
                w.bytes(&device.0)?;
                write_hashes(w, tips)?;
            }
            Body::Admit { rec, change } | Body::Refuse { rec, change } => {
                w.bytes(&rec.0)?.bytes(&change.0)?;
            }
            Body::Erase { rec, fields, generation, blobs } => {
                w.bytes(&rec.0)?.array(fields.len() as u64)?;
                fields.iter().try_for_each(|f| w.u32(*f).map(drop))?;
                w.u64(*generation)?;
                write_hashes(w, blobs)?;
            }
            Body::Clock { log, from, to, skew_ms } => {
                w.bytes(&log.to_bytes())?.u64(*from)?.u64(*to)?.i64(*skew_ms)?;
            }
            Body::Assign { rec, device } => {
                w.bytes(&rec.0)?.bytes(&device.0)?;
            }
        }
        Ok(())
    }

    /// The place that a signed statement claims, before anybody checked it: to find out whose key to check it with.
    ///
    /// # Errors
    /// `SCHEMA`.
    pub(super) fn claimed_seq(bytes: &[u8]) -> Result<u64> {
        let payload = sign::unchecked_payload(bytes, Purpose::Statement)?;
        let r = &mut Reader::new(&payload)?;
        r.array()?;
        r.uint()
    }

    /// Checks a signed statement with the office's key and reads it.
    ///
    /// # Errors
    /// `BAD_SIGNATURE` or `SCHEMA`.
    pub fn verify(bytes: &[u8], office: &OfficeId, key: &[u8; 32]) -> Result<Self> {
        let payload = sign::verify(bytes, Purpose::Statement, office, key)?;
        let r = &mut Reader::new(&payload)?;
        r.array()?;
        let seq = r.uint()?;
        let prev = Hash32::from_slice(r.bytes()?)?;
        let body = match r.uint()? {
            1 => {
                let key = r.bytes()?.try_into().map_err(|_| malformed("a key of another length"))?;
                let seal = r.text()?.to_owned();
                let role = Role::from_rank(r.uint()?).ok_or_else(|| malformed("an unknown role"))?;
                Body::Cert(Cert { key, seal, role, label: r.text()?.to_owned(), seq })
            }
            2 => Body::Revoke { device: DeviceId::from_slice(r.bytes()?)?, tips: read_hashes(r)? },
            kind @ (3 | 4) => {
                let (rec, change) = (RecordId::from_slice(r.bytes()?)?, Hash32::from_slice(r.bytes()?)?);
                if kind == 3 { Body::Admit { rec, change } } else { Body::Refuse { rec, change } }
            }
            5 => {
                let rec = RecordId::from_slice(r.bytes()?)?;
                let n = r.array()?;
                let small = |n: u64| u32::try_from(n).map_err(|_| malformed("a field's number"));
                let fields = (0..n).map(|_| small(r.uint()?)).collect::<Result<_>>()?;
                Body::Erase { rec, fields, generation: r.uint()?, blobs: read_hashes(r)? }
            }
            6 => Body::Clock { log: LogId::from_slice(r.bytes()?)?, from: r.uint()?, to: r.uint()?, skew_ms: r.int()? },
            7 => Body::Assign { rec: RecordId::from_slice(r.bytes()?)?, device: DeviceId::from_slice(r.bytes()?)? },
            _ => return Err(malformed("a statement of an unknown kind")),
        };
        Ok(Self { seq, prev, body })
    }
}

fn write_hashes(w: &mut Writer<'_>, hashes: &[Hash32]) -> Result<(), WriteError> {
    w.array(hashes.len() as u64)?;
    hashes.iter().try_for_each(|h| w.bytes(&h.0).map(drop))
}

fn read_hashes(r: &mut Reader<'_>) -> Result<Vec<Hash32>> {
    let n = r.array()?;
    (0..n).map(|_| Hash32::from_slice(r.bytes()?)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_statement_survives_signing_and_holds_for_its_office_only() {
        let key = Signing::from_seed(&[1; 32]);
        let office = OfficeId([1; 16]);
        let (rec, device, h) = (RecordId([2; 16]), DeviceId([3; 16]), Hash32([4; 32]));
        let log = LogId { device, incarnation: 1 };
        for body in [
            Body::Cert(Cert { key: [5; 32], seal: "age1x".into(), role: Role::Lead, label: "Lead 1".into(), seq: 9 }),
            Body::Revoke { device, tips: vec![h] },
            Body::Admit { rec, change: h },
            Body::Refuse { rec, change: h },
            Body::Erase { rec, fields: vec![201], generation: 2, blobs: vec![h] },
            Body::Clock { log, from: 1, to: 9, skew_ms: -5 },
            Body::Assign { rec, device },
        ] {
            let said = Statement { seq: 9, prev: h, body };
            let (bytes, hash) = said.sign(&key, &office);
            assert_eq!(Statement::verify(&bytes, &office, &key.public()).unwrap(), said);
            assert_eq!(hash, Hash32::of(&bytes));
            assert!(Statement::verify(&bytes, &OfficeId([2; 16]), &key.public()).is_err());
        }
    }
}
