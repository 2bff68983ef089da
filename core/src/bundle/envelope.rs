//! The signed envelope: from whom, to whom, how long, and the hash of what follows.

use crate::{
    cbor::{self, Reader, malformed},
    error::{Code, Error, Result},
    ids::{DeviceId, Hash32, OfficeId},
    sign::{self, Purpose, Signing},
};

/// Bytes of a signed envelope at most.
pub(super) const MAX_ENVELOPE: usize = 4 << 10;
/// Bytes of the unpacked frames at most.
pub(super) const MAX_RAW: u64 = 64 << 20;

/// Which way it goes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Sort {
    /// From a device to its office.
    Bundle = 0,
    /// From an office to one device.
    Reply = 1,
}

/// What the sender signs. The recipient stands inside the signature: a valid bundle cannot be sealed again to another office.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Envelope {
    /// Which way it goes.
    pub sort: Sort,
    /// The first twelve bytes of the file.
    pub header: Vec<u8>,
    /// The office.
    pub office: OfficeId,
    /// Short name of the key it is sealed to ([`super::seal_key_id`]).
    pub to_key: String,
    /// The sender: a device, or for a reply the device id of the office's signing key.
    pub from: DeviceId,
    /// For a reply the device it is for; for a bundle the sender again.
    pub to: DeviceId,
    /// The certificate in force for the sender; zero for a reply.
    pub cert: Hash32,
    /// Random, for reports.
    pub bundle: [u8; 16],
    /// For a reply its number, ascending for one device; 0 for a bundle.
    pub number: u64,
    /// Bytes of the frames unpacked.
    pub raw_len: u64,
    /// Bytes of the frames packed.
    pub packed_len: u64,
    /// BLAKE3 of the frames packed.
    pub packed_hash: Hash32,
    /// What the other side must know before it can check the signature: in a bundle of a phone that has no certificate yet
    /// its ask ([`crate::enrol::Ask`]), in a reply the office's card after its keys were changed. Empty otherwise, and
    /// then not written at all.
    pub ahead: Vec<u8>,
}

impl Envelope {
    /// Signs it with the sender's key; returns an untagged COSE_Sign1.
    pub fn sign(&self, key: &Signing) -> Vec<u8> {
        let payload = cbor::encode(|w| {
            w.array(if self.ahead.is_empty() { 12 } else { 13 })?;
            w.u8(self.sort as u8)?.bytes(&self.header)?.bytes(&self.office.0)?.str(&self.to_key)?;
            w.bytes(&self.from.0)?.bytes(&self.to.0)?.bytes(&self.cert.0)?.bytes(&self.bundle)?.u64(self.number)?;
            w.u64(self.raw_len)?.u64(self.packed_len)?.bytes(&self.packed_hash.0)?;
            if !self.ahead.is_empty() {
                w.bytes(&self.ahead)?;
            }
            Ok(())
        });
        key.sign(Purpose::Envelope, &self.office, &payload)
    }

    /// Reads an envelope whose signature nobody has checked yet: to find out whose key to check it with.
    pub(super) fn unchecked(signed: &[u8]) -> Result<Self> {
        Self::read(&sign::unchecked_payload(signed, Purpose::Envelope)?)
    }

    /// Checks the signature of the sender's key and the lengths it declares.
    ///
    /// # Errors
    /// `BAD_SIGNATURE`, `SCHEMA`, `NOT_FOR_US` or `TOO_BIG`.
    pub fn verify(signed: &[u8], office: &OfficeId, key: &[u8; 32]) -> Result<Self> {
        let envelope = Self::read(&sign::verify(signed, Purpose::Envelope, office, key)?)?;
        if envelope.office != *office {
            return Err(Error::refused(Code::NotForUs, "a bundle made for another office"));
        }
        if envelope.raw_len > MAX_RAW || envelope.packed_len > super::parts::MAX_CONTROL {
            return Err(Error::refused(Code::TooBig, "more text than a bundle may hold"));
        }
        Ok(envelope)
    }

    fn read(payload: &[u8]) -> Result<Self> {
        let r = &mut Reader::new(payload)?;
        let has_ahead = match r.array()? {
            12 => false,
            13 => true,
            _ => return Err(malformed("an envelope of another length")),
        };
        Ok(Self {
            sort: match r.uint()? {
                0 => Sort::Bundle,
                1 => Sort::Reply,
                _ => return Err(malformed("an envelope of another sort")),
            },
            header: r.bytes()?.to_vec(),
            office: OfficeId::from_slice(r.bytes()?)?,
            to_key: r.text()?.to_owned(),
            from: DeviceId::from_slice(r.bytes()?)?,
            to: DeviceId::from_slice(r.bytes()?)?,
            cert: Hash32::from_slice(r.bytes()?)?,
            bundle: r.bytes()?.try_into().map_err(|_| malformed("a bundle id of another length"))?,
            number: r.uint()?,
            raw_len: r.uint()?,
            packed_len: r.uint()?,
            packed_hash: Hash32::from_slice(r.bytes()?)?,
            ahead: if has_ahead { r.bytes()?.to_vec() } else { Vec::new() },
        })
    }
}
