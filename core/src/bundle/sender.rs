//! Who sent a bundle, before anything of it is taken in: to know which bundles have to wait for a person.

use std::path::Path;

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

/// Reads who sent a bundle. Merges nothing, writes nothing.
///
/// # Errors
/// As the take-in for what is no bundle of this office.
pub fn sender(opener: &Opener, office: &OfficeId, file: &Path) -> Result<Sender> {
    let mut parts = PartsReader::open(file)?;
    let (_, sealed) = parts.control("its first part")?;
    let signed = read_envelope(&mut opener.open(sealed)?)?;
    let claimed = Envelope::unchecked(&signed)?;
    if claimed.sort != Sort::Bundle || claimed.ahead.is_empty() {
        return Ok(Sender { device: claimed.from, ask: None });
    }
    let ask = Ask::from_bytes(&claimed.ahead)?;
    let envelope = Envelope::verify(&signed, office, &ask.request.key)?;
    if envelope.from != DeviceId::of_key(&ask.request.key) {
        return Err(Error::refused(Code::BadSignature, "an ask of another device than the sender"));
    }
    Ok(Sender { device: envelope.from, ask: Some(ask) })
}
