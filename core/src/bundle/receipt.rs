//! A receipt: the office's signed statement of what it durably holds, by hash, with level and epoch.

use crate::{
    cbor::{self, Reader, malformed},
    error::{Code, Result},
    ids::{BlobId, Hash32, LogId, OfficeId},
    log::Run,
    sign::{self, Purpose, Signing},
};

/// How safely the office holds it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Level {
    /// On this disk.
    Stored = 0,
    /// In a verified backup off this machine, or on a second one.
    Safe = 1,
}

/// One life of the office's database. A restored office begins a new one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Epoch {
    /// Its number.
    pub n: u64,
    /// Random: two lives of one number are two epochs.
    pub random: [u8; 16],
}

/// What the office holds of one device.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Receipt {
    /// The office's epoch.
    pub epoch: Epoch,
    /// How safely it is held.
    pub level: Level,
    /// Unbroken runs, each with the hash of its last change.
    pub runs: Vec<(LogId, Run)>,
    /// Photos and thumbnails held.
    pub blobs: Vec<BlobId>,
    /// Changes held of which a body has not come.
    pub without_bodies: Vec<Hash32>,
    /// Changes held that do not count, and why.
    pub waiting: Vec<(Hash32, Code)>,
}

impl Receipt {
    /// Signs it with the office's key.
    pub fn sign(&self, key: &Signing, office: &OfficeId) -> Vec<u8> {
        let payload = cbor::encode(|w| {
            w.array(7)?.u64(self.epoch.n)?.bytes(&self.epoch.random)?.u8(self.level as u8)?;
            w.array(self.runs.len() as u64)?;
            for (log, run) in &self.runs {
                w.array(4)?.bytes(&log.to_bytes())?.u64(run.from)?.u64(run.to)?.bytes(&run.tip.0)?;
            }
            w.array(self.blobs.len() as u64)?;
            self.blobs.iter().try_for_each(|b| w.bytes(&b.0).map(drop))?;
            w.array(self.without_bodies.len() as u64)?;
            self.without_bodies.iter().try_for_each(|h| w.bytes(&h.0).map(drop))?;
            w.array(self.waiting.len() as u64)?;
            for (hash, code) in &self.waiting {
                w.array(2)?.bytes(&hash.0)?.str(code.name())?;
            }
            Ok(())
        });
        key.sign(Purpose::Receipt, office, &payload)
    }

    /// Checks a signed receipt and reads it.
    ///
    /// # Errors
    /// `BAD_SIGNATURE` or `SCHEMA`.
    pub fn verify(signed: &[u8], office: &OfficeId, key: &[u8; 32]) -> Result<Self> {
        let payload = sign::verify(signed, Purpose::Receipt, office, key)?;
        let r = &mut Reader::new(&payload)?;
        r.array_of(7)?;
        let n = r.uint()?;
        let random = r.bytes()?.try_into().map_err(|_| malformed("an epoch"))?;
        let level = match r.uint()? {
            0 => Level::Stored,
            _ => Level::Safe,
        };
        let mut receipt = Self {
            epoch: Epoch { n, random },
            level,
            runs: Vec::new(),
            blobs: Vec::new(),
            without_bodies: Vec::new(),
            waiting: Vec::new(),
        };
        for _ in 0..r.array()? {
            r.array_of(4)?;
            let log = LogId::from_slice(r.bytes()?)?;
            receipt.runs.push((log, Run { from: r.uint()?, to: r.uint()?, tip: Hash32::from_slice(r.bytes()?)? }));
        }
        for _ in 0..r.array()? {
            receipt.blobs.push(BlobId::from_slice(r.bytes()?)?);
        }
        for _ in 0..r.array()? {
            receipt.without_bodies.push(Hash32::from_slice(r.bytes()?)?);
        }
        for _ in 0..r.array()? {
            r.array_of(2)?;
            let hash = Hash32::from_slice(r.bytes()?)?;
            // A code of a newer version: all that matters is that the change waits.
            receipt.waiting.push((hash, Code::from_name(r.text()?).unwrap_or(Code::TooNew)));
        }
        Ok(receipt)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::DeviceId;

    #[test]
    fn a_receipt_survives_signing_and_belongs_to_its_office() {
        let key = Signing::from_seed(&[1; 32]);
        let office = OfficeId([1; 16]);
        let log = LogId { device: DeviceId([2; 16]), incarnation: 5 };
        let receipt = Receipt {
            epoch: Epoch { n: 3, random: [9; 16] },
            level: Level::Safe,
            runs: vec![(log, Run { from: 1, to: 8, tip: Hash32([4; 32]) })],
            blobs: vec![BlobId::of(b"leaf")],
            without_bodies: vec![Hash32([5; 32])],
            waiting: vec![(Hash32([6; 32]), Code::ForbiddenField)],
        };
        let signed = receipt.sign(&key, &office);
        assert_eq!(Receipt::verify(&signed, &office, &key.public()).unwrap(), receipt);
        assert!(Receipt::verify(&signed, &OfficeId([2; 16]), &key.public()).is_err());
    }
}
