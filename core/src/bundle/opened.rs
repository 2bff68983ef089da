//! A bundle opened as far as its envelope: who sent it, before anything of it is taken in.

use std::{io::Read, path::Path};

use super::{
    control::read_envelope,
    envelope::{Envelope, Sort},
    parts::PartsReader,
    seal::Opener,
};
use crate::{
    enrol::Ask,
    error::{Code, Error, Result},
    ids::{DeviceId, OfficeId},
};

/// The sender of a bundle as the bundle says.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Sender {
    /// The device, as claimed: nobody checked it yet.
    pub device: DeviceId,
    /// The ask of a phone that has no certificate yet. The envelope's signature by the keys in it was checked, the code was not.
    pub ask: Option<Ask>,
}

/// A bundle of which the envelope was read and nothing else.
pub struct Opened<'o> {
    /// Who sent it.
    pub sender: Sender,
    pub(super) opener: &'o Opener,
    pub(super) parts: PartsReader,
    /// Bytes of the sealed text.
    pub(super) length: u64,
    /// The envelope as it was signed, and what it says.
    pub(super) signed: Vec<u8>,
    pub(super) claimed: Envelope,
    /// What follows the envelope.
    pub(super) plain: Box<dyn Read>,
}

impl<'o> Opened<'o> {
    /// Opens a bundle for this office. Merges nothing, writes nothing.
    ///
    /// # Errors
    /// `BAD_MAGIC`, `TOO_NEW`, `TOO_BIG`, `CUT`, `PART_HASH`, `SCHEMA`; `NOT_FOR_US`; `BAD_SIGNATURE` of an ask that another
    /// device sent; of the file system.
    pub fn open(opener: &'o Opener, office: &OfficeId, file: &Path) -> Result<Self> {
        let mut parts = PartsReader::open(file)?;
        let (length, sealed) = parts.control("its first part")?;
        let mut plain = opener.open(sealed)?;
        let signed = read_envelope(&mut plain)?;
        let claimed = Envelope::unchecked(&signed)?;
        if claimed.office != *office {
            return Err(Error::refused(Code::NotForUs, "a bundle made for another office"));
        }
        if claimed.sort != Sort::Bundle {
            return Err(Error::refused(Code::NotForUs, "a reply, not a bundle"));
        }
        let sender = Sender { device: claimed.from, ask: ask(&claimed, &signed, office)? };
        Ok(Self { sender, opener, parts, length, signed, claimed, plain: Box::new(plain) })
    }
}

/// The ask in an envelope, which the same keys must have signed.
fn ask(claimed: &Envelope, signed: &[u8], office: &OfficeId) -> Result<Option<Ask>> {
    if claimed.ahead.is_empty() {
        return Ok(None);
    }
    let ask = Ask::from_bytes(&claimed.ahead)?;
    let envelope = Envelope::verify(signed, office, &ask.request.key)?;
    if envelope.from != DeviceId::of_key(&ask.request.key) {
        return Err(Error::refused(Code::BadSignature, "an ask of another device than the sender"));
    }
    Ok(Some(ask))
}
