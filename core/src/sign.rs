//! Signatures: COSE_Sign1 with Ed25519, `verify_strict`, a type in the protected header and the office in the external data.
//!
//! A signature of one purpose or one office is never valid for another. The algorithm is EdDSA and nothing else.

use std::fmt;

use coset::{
    CborSerializable, CoseSign1, CoseSign1Builder, HeaderBuilder, Label, RegisteredLabelWithPrivate,
    cbor::value::Value, iana,
};
use ed25519_dalek::{Signature, Signer, VerifyingKey};

use crate::{
    cbor::Reader,
    error::{Code, Error, Result},
    ids::{DeviceId, OfficeId},
};

/// Header parameter `typ` of COSE (RFC 9596).
const TYP: i64 = 16;

/// Bytes of a protected header at most.
const MAX_PROTECTED: usize = 64;

/// What a signature is for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Purpose {
    /// The newest change of a log, at each save.
    Tip,
    /// The envelope of a bundle.
    Envelope,
    /// A statement of the office log.
    Statement,
    /// The office's card, signed by its root key.
    Card,
    /// A receipt.
    Receipt,
    /// A device's request to be enrolled, signed by itself.
    Request,
    /// The manifest of a pack file.
    Pack,
    /// The end of a backup.
    Backup,
    /// The office log as it is kept beside backups.
    Ledger,
}

impl Purpose {
    fn name(self) -> &'static str {
        match self {
            Self::Tip => "dooryard/tip",
            Self::Envelope => "dooryard/envelope",
            Self::Statement => "dooryard/statement",
            Self::Card => "dooryard/card",
            Self::Receipt => "dooryard/receipt",
            Self::Request => "dooryard/request",
            Self::Pack => "dooryard/pack",
            Self::Backup => "dooryard/backup",
            Self::Ledger => "dooryard/ledger",
        }
    }
}

/// A signing key: 32 secret bytes.
#[derive(Clone)]
pub struct Signing(ed25519_dalek::SigningKey);

impl fmt::Debug for Signing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Signing({:?})", self.device())
    }
}

impl Signing {
    /// The key with this seed.
    pub fn from_seed(seed: &[u8; 32]) -> Self {
        Self(ed25519_dalek::SigningKey::from_bytes(seed))
    }

    /// The secret seed.
    pub fn seed(&self) -> [u8; 32] {
        self.0.to_bytes()
    }

    /// The verifying key.
    pub fn public(&self) -> [u8; 32] {
        self.0.verifying_key().to_bytes()
    }

    /// The device that holds this key.
    pub fn device(&self) -> DeviceId {
        DeviceId::of_key(&self.public())
    }

    /// Signs `payload` for one purpose in one office; returns an untagged COSE_Sign1 with the payload inside.
    pub fn sign(&self, purpose: Purpose, office: &OfficeId, payload: &[u8]) -> Vec<u8> {
        let signed = unsigned(purpose, payload)
            .create_signature(&external(purpose, office), |bytes| self.0.sign(bytes).to_bytes().to_vec())
            .build();
        // Text, integers and bytes always serialise.
        signed.to_vec().unwrap_or_default()
    }
}

fn unsigned(purpose: Purpose, payload: &[u8]) -> CoseSign1Builder {
    let header = HeaderBuilder::new()
        .algorithm(iana::Algorithm::EdDSA)
        .value(TYP, Value::Text(purpose.name().to_owned()))
        .build();
    CoseSign1Builder::new().protected(header).payload(payload.to_vec())
}

/// Puts a payload and its signature together again where they travelled apart. Nothing is checked: [`verify`] does that.
pub fn attach(purpose: Purpose, payload: &[u8], signature: &[u8; 64]) -> Vec<u8> {
    unsigned(purpose, payload).signature(signature.to_vec()).build().to_vec().unwrap_or_default()
}

/// The bare signature of a COSE_Sign1: where the payload can be written again from what it says.
///
/// # Errors
/// `SCHEMA` when it is no COSE_Sign1 of this purpose.
pub fn signature_of(bytes: &[u8], purpose: Purpose) -> Result<[u8; 64]> {
    let wrong = |_| Error::refused(Code::Schema, format!("{}: no signature", purpose.name()));
    parse(bytes, purpose)?.signature.try_into().map_err(wrong)
}

fn external(purpose: Purpose, office: &OfficeId) -> Vec<u8> {
    [purpose.name().as_bytes(), &office.0].concat()
}

/// Checks a signature and returns the payload.
///
/// # Errors
/// `SCHEMA` when it is no COSE_Sign1 of this purpose, `BAD_SIGNATURE` when it does not hold.
pub fn verify(bytes: &[u8], purpose: Purpose, office: &OfficeId, key: &[u8; 32]) -> Result<Vec<u8>> {
    let signed = parse(bytes, purpose)?;
    let bad = || Error::refused(Code::BadSignature, purpose.name());
    let key = VerifyingKey::from_bytes(key).map_err(|_| bad())?;
    signed.verify_signature(&external(purpose, office), |signature, data| {
        let signature = Signature::from_slice(signature).map_err(|_| bad())?;
        key.verify_strict(data, &signature).map_err(|_| bad())
    })?;
    Ok(signed.payload.unwrap_or_default())
}

/// The payload of a signature that nobody has checked yet: only to find out whose key to check it with.
///
/// # Errors
/// `SCHEMA` when it is no COSE_Sign1 of this purpose.
pub fn unchecked_payload(bytes: &[u8], purpose: Purpose) -> Result<Vec<u8>> {
    Ok(parse(bytes, purpose)?.payload.unwrap_or_default())
}

fn parse(bytes: &[u8], purpose: Purpose) -> Result<CoseSign1> {
    let wrong = |what: &str| Error::refused(Code::Schema, format!("{}: {what}", purpose.name()));
    // Before anything is made of it: a list of numbers in the place of one of these would take 32 times its bytes.
    let r = &mut Reader::new(bytes)?;
    r.array_of(4)?;
    if r.bytes()?.len() > MAX_PROTECTED || r.map()? > 0 || r.bytes().and_then(|_| r.bytes()).is_err() {
        return Err(wrong("another form"));
    }
    let signed = CoseSign1::from_slice(bytes).map_err(|_| wrong("no signature"))?;
    let header = &signed.protected.header;
    let typ = header.rest.iter().find(|(label, _)| *label == Label::Int(TYP)).map(|(_, value)| value);
    if typ != Some(&Value::Text(purpose.name().to_owned())) {
        return Err(wrong("signed for another purpose"));
    }
    if header.alg != Some(RegisteredLabelWithPrivate::Assigned(iana::Algorithm::EdDSA)) {
        return Err(wrong("another algorithm"));
    }
    Ok(signed)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_signature_holds_for_its_purpose_office_key_and_bytes_only() {
        let (key, other) = (Signing::from_seed(&[1; 32]), Signing::from_seed(&[2; 32]));
        let office = OfficeId([7; 16]);
        let signed = key.sign(Purpose::Tip, &office, b"payload");
        assert_eq!(verify(&signed, Purpose::Tip, &office, &key.public()).unwrap(), b"payload");
        assert!(verify(&signed, Purpose::Receipt, &office, &key.public()).is_err());
        assert!(verify(&signed, Purpose::Tip, &OfficeId([8; 16]), &key.public()).is_err());
        assert!(verify(&signed, Purpose::Tip, &office, &other.public()).is_err());
        for at in 0..signed.len() {
            let mut flipped = signed.clone();
            flipped[at] ^= 1;
            assert!(verify(&flipped, Purpose::Tip, &office, &key.public()).is_err(), "byte {at}");
            assert!(verify(&signed[..at], Purpose::Tip, &office, &key.public()).is_err(), "first {at} bytes");
        }
        let signature = signature_of(&signed, Purpose::Tip).unwrap();
        assert_eq!(attach(Purpose::Tip, b"payload", &signature), signed);
        assert!(verify(&attach(Purpose::Tip, b"other", &signature), Purpose::Tip, &office, &key.public()).is_err());
    }
}
