//! Who a notebook is: its keys, its office's card, its certificate. Enrolment by files stands here, by codes in
//! [`crate::enrol`].
//!
//! ```text
//! request = COSE_Sign1 by the device over [verifying key, age recipient]
//! card    = COSE_Sign1 by the office's root over [root key, signing key, seal recipient, recovery recipient, name,
//!           serial, [[former signing key, last place in the office log]…]]           the first card ends after the name
//! answer  = [card, [statement…]]          the statements hold the device's certificate
//! ```

use std::{fs, path::Path, str::FromStr};

use bech32::{FromBase32, ToBase32, Variant};

use crate::{
    cbor::{self, Reader, malformed},
    clock::Env,
    durable,
    error::{Code, Error, Result},
    ids::OfficeId,
    log::{Authority, FormerKey},
    sign::{self, Purpose, Signing},
};

/// Requests are made before the office is known.
const NO_OFFICE: OfficeId = OfficeId([0; 16]);

/// A device's secret keys.
#[derive(Clone)]
pub struct DeviceKeys {
    /// Signs changes and bundles.
    pub signing: Signing,
    /// Opens what is sealed to this device.
    pub seal: age::x25519::Identity,
}

impl DeviceKeys {
    /// New keys from the notebook's entropy.
    ///
    /// # Errors
    /// When 32 random bytes are no key, which does not happen.
    pub fn new(env: &Env) -> Result<Self> {
        Ok(Self { signing: Signing::from_seed(&env.random()), seal: seal_identity(&env.random())? })
    }

    /// The request that the device hands to its office.
    pub fn request(&self) -> Vec<u8> {
        let request = Request { key: self.signing.public(), seal: self.seal.to_public().to_string() };
        self.signing.sign(Purpose::Request, &NO_OFFICE, &request.payload())
    }
}

/// What age recipients as text begin with.
const RECIPIENT: &str = "age";

/// The 32 bytes of an age recipient: shorter than its text.
///
/// # Errors
/// `SCHEMA` when it is none.
pub fn recipient_bytes(recipient: &str) -> Result<[u8; 32]> {
    let wrong = || malformed("no age recipient");
    let (start, digits, variant) = bech32::decode(recipient).map_err(|_| wrong())?;
    if start != RECIPIENT || variant != Variant::Bech32 {
        return Err(wrong());
    }
    Vec::from_base32(&digits).ok().and_then(|bytes| bytes.try_into().ok()).ok_or_else(wrong)
}

/// The text of an age recipient with these 32 bytes.
pub fn recipient_text(bytes: &[u8; 32]) -> String {
    // A fixed beginning and 32 bytes always encode.
    bech32::encode(RECIPIENT, bytes.to_base32(), Variant::Bech32).unwrap_or_default()
}

/// An age identity from 32 random bytes.
///
/// # Errors
/// None for 32 bytes.
pub fn seal_identity(bytes: &[u8; 32]) -> Result<age::x25519::Identity> {
    let text = bech32::encode("age-secret-key-", bytes.to_base32(), Variant::Bech32).unwrap_or_default();
    age::x25519::Identity::from_str(&text.to_uppercase()).map_err(|e| Error::refused(Code::Schema, e))
}

/// Writes a file of mode 0600, durable on return.
///
/// # Errors
/// Of the file system.
pub fn write_secret(path: &Path, bytes: &[u8]) -> Result<()> {
    use std::io::Write;
    let mut options = fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path).map_err(Error::io("writing a key"))?;
    let written = file.write_all(bytes).and_then(|()| file.sync_all()).and_then(|()| durable::sync_name(path));
    written.map_err(Error::io("writing a key"))
}

/// What a device asks for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Request {
    /// Its verifying key.
    pub key: [u8; 32],
    /// Its age recipient.
    pub seal: String,
}

impl Request {
    /// What is signed.
    pub(crate) fn payload(&self) -> Vec<u8> {
        cbor::encode(|w| {
            w.array(2)?.bytes(&self.key)?.str(&self.seal)?;
            Ok(())
        })
    }

    /// Reads a request and checks that the device itself signed it.
    ///
    /// # Errors
    /// `SCHEMA` or `BAD_SIGNATURE`.
    pub fn read(bytes: &[u8]) -> Result<Self> {
        let parse = |payload: &[u8]| {
            let r = &mut Reader::new(payload)?;
            r.array_of(2)?;
            let key = key32(r.bytes()?)?;
            let seal = r.text()?.to_owned();
            age::x25519::Recipient::from_str(&seal).map_err(|_| malformed("no age recipient"))?;
            Ok(Self { key, seal })
        };
        let claimed: Self = parse(&sign::unchecked_payload(bytes, Purpose::Request)?)?;
        parse(&sign::verify(bytes, Purpose::Request, &NO_OFFICE, &claimed.key)?)
    }
}

fn key32(bytes: &[u8]) -> Result<[u8; 32]> {
    bytes.try_into().map_err(|_| malformed("a key of another length"))
}

/// An office's public card.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Card {
    /// The offline root key: it signs the card and is the office's identity.
    pub root: [u8; 32],
    /// The yearly signing key.
    pub key: [u8; 32],
    /// Bundles are sealed to this age recipient.
    pub seal: String,
    /// And to this one, whose key is kept in a drawer.
    pub recovery: String,
    /// The office's name.
    pub name: String,
    /// Its number, from 1: of two cards of one office the higher one is in force.
    pub serial: u64,
    /// The signing keys of earlier cards, oldest first: what they signed up to their last place in the office log stays valid.
    pub former: Vec<FormerKey>,
}

impl Card {
    /// The office's id.
    pub fn office(&self) -> OfficeId {
        OfficeId::of_key(&self.root)
    }

    /// The office log as nobody has said anything in it yet, which goes by the keys of this card.
    pub(super) fn authority(&self) -> Authority {
        let mut authority = Authority::new(self.office(), self.key);
        authority.follow(self.key, &self.former);
        authority
    }

    /// Signs the card with the root key.
    pub fn sign(&self, root: &Signing) -> Vec<u8> {
        root.sign(Purpose::Card, &self.office(), &self.payload())
    }

    /// What is signed. A first card has the form that cards had before they had numbers.
    pub(crate) fn payload(&self) -> Vec<u8> {
        let first = self.serial == 1 && self.former.is_empty();
        cbor::encode(|w| {
            w.array(if first { 5 } else { 7 })?.bytes(&self.root)?.bytes(&self.key)?;
            w.str(&self.seal)?.str(&self.recovery)?.str(&self.name)?;
            if !first {
                w.u64(self.serial)?.array(self.former.len() as u64)?;
                self.former.iter().try_for_each(|f| w.array(2)?.bytes(&f.key)?.u64(f.last).map(drop))?;
            }
            Ok(())
        })
    }

    /// Reads a card and checks that the root named in it signed it.
    ///
    /// # Errors
    /// `SCHEMA` or `BAD_SIGNATURE`.
    pub fn read(bytes: &[u8]) -> Result<Self> {
        let parse = |payload: &[u8]| {
            let r = &mut Reader::new(payload)?;
            let first = match r.array()? {
                5 => true,
                7 => false,
                _ => return Err(malformed("a card of another length")),
            };
            let mut card = Self {
                root: key32(r.bytes()?)?,
                key: key32(r.bytes()?)?,
                seal: r.text()?.to_owned(),
                recovery: r.text()?.to_owned(),
                name: r.text()?.to_owned(),
                serial: 1,
                former: Vec::new(),
            };
            if !first {
                card.serial = r.uint()?;
                for _ in 0..r.array()? {
                    r.array_of(2)?;
                    card.former.push(FormerKey { key: key32(r.bytes()?)?, last: r.uint()? });
                }
            }
            Ok(card)
        };
        let claimed: Self = parse(&sign::unchecked_payload(bytes, Purpose::Card)?)?;
        parse(&sign::verify(bytes, Purpose::Card, &claimed.office(), &claimed.root)?)
    }
}

/// The office's answer to a request: its card and the statements that concern the device.
pub fn write_answer(card: &[u8], statements: &[Vec<u8>]) -> Vec<u8> {
    cbor::encode(|w| {
        w.array(2)?.bytes(card)?.array(statements.len() as u64)?;
        statements.iter().try_for_each(|s| w.bytes(s).map(drop))
    })
}

/// Reads what [`write_answer`] wrote.
///
/// # Errors
/// `SCHEMA` when it is anything else.
pub fn read_answer(bytes: &[u8]) -> Result<(Vec<u8>, Vec<Vec<u8>>)> {
    let r = &mut Reader::new(bytes)?;
    r.array_of(2)?;
    let card = r.bytes()?.to_vec();
    let n = r.array()?;
    Ok((card, (0..n).map(|_| r.bytes().map(<[u8]>::to_vec)).collect::<Result<_>>()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::SetClock;

    #[test]
    fn a_request_or_card_with_a_flipped_byte_is_refused() {
        let env = Env::seeded(1, &SetClock::at(0));
        let keys = DeviceKeys::new(&env).unwrap();
        let root = Signing::from_seed(&[3; 32]);
        let seal = keys.seal.to_public().to_string();
        let former = vec![FormerKey { key: [4; 32], last: 9 }];
        let (key, recovery, name) = ([1; 32], seal.clone(), "Larkspur".to_owned());
        let card = Card { root: root.public(), key, recovery, seal, name, serial: 2, former };
        let first = Card { serial: 1, former: vec![], ..card.clone() };
        assert_eq!(Card::read(&first.sign(&root)).unwrap(), first);
        let signed = card.sign(&root);
        assert_eq!(Card::read(&signed).unwrap(), card);
        assert_eq!(recipient_text(&recipient_bytes(&card.seal).unwrap()), card.seal);
        assert!(recipient_bytes(&card.name).is_err());
        assert_eq!(Request::read(&keys.request()).unwrap().key, keys.signing.public());
        let request = keys.request();
        for at in 0..request.len() {
            let mut flipped = request.clone();
            flipped[at] ^= 1;
            assert!(Request::read(&flipped).is_err(), "byte {at} of the request");
        }
        for at in 0..signed.len() {
            let mut flipped = signed.clone();
            flipped[at] ^= 1;
            assert!(Card::read(&flipped).is_err(), "byte {at} of the card");
        }
    }
}
