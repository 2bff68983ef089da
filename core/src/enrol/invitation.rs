//! The invitation: what an office shows on its screen or prints on paper.

use super::text::{self, Kind};
use crate::{
    cbor::{self, Reader, malformed},
    error::{Code, Error, Result},
    log::FormerKey,
    notebook::{Card, Invited, recipient_bytes, recipient_text},
    record::Role,
    sign::{self, Purpose},
};

/// Letters of a label at most.
const MAX_LABEL: usize = 40;

/// An invitation for one person, by label.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Invitation {
    /// The office's card.
    pub card: Card,
    /// The card as the root signed it.
    pub signed_card: Vec<u8>,
    /// For whom, until when, with what code.
    pub invited: Invited,
}

impl Invitation {
    /// Puts an invitation together.
    ///
    /// # Errors
    /// `SCHEMA` when the card is none or the label is empty or too long; `BAD_SIGNATURE`.
    pub fn new(signed_card: Vec<u8>, invited: Invited) -> Result<Self> {
        if invited.label.trim().is_empty() || invited.label.chars().count() > MAX_LABEL {
            return Err(Error::refused(
                Code::Schema,
                format!("a label of 1 to {MAX_LABEL} letters, such as \"Scout 3\""),
            ));
        }
        Ok(Self { card: Card::read(&signed_card)?, signed_card, invited })
    }

    /// The text for a QR code.
    ///
    /// # Errors
    /// `SCHEMA` when the card's recipients are none.
    pub fn to_text(&self) -> Result<String> {
        let (card, invited) = (&self.card, &self.invited);
        let (seal, recovery) = (recipient_bytes(&card.seal)?, recipient_bytes(&card.recovery)?);
        let signature = sign::signature_of(&self.signed_card, Purpose::Card)?;
        let body = cbor::encode(|w| {
            w.array(13)?.bytes(&card.root)?.bytes(&card.key)?.bytes(&seal)?.bytes(&recovery)?.str(&card.name)?;
            w.u64(card.serial)?.array(card.former.len() as u64)?;
            card.former.iter().try_for_each(|f| w.array(2)?.bytes(&f.key)?.u64(f.last).map(drop))?;
            w.bytes(&signature)?.bytes(&invited.code)?.u8(invited.role.rank())?.str(&invited.label)?;
            w.u64(invited.made_ms / 1000)?.u64(invited.expires_ms / 1000)?;
            Ok(())
        });
        Ok(text::pack(Kind::Invitation, &body))
    }

    /// Reads an invitation and checks that the root named in it signed the card.
    ///
    /// # Errors
    /// `SCHEMA`, `BAD_SIGNATURE`, `TOO_NEW`.
    pub fn from_text(text: &str) -> Result<Self> {
        let body = text::unpack(Kind::Invitation, text)?;
        let r = &mut Reader::new(&body)?;
        r.array_of(13)?;
        let mut card = Card {
            root: key32(r)?,
            key: key32(r)?,
            seal: recipient_text(&key32(r)?),
            recovery: recipient_text(&key32(r)?),
            name: r.text()?.to_owned(),
            serial: r.uint()?,
            former: Vec::new(),
        };
        for _ in 0..r.array()? {
            r.array_of(2)?;
            card.former.push(FormerKey { key: key32(r)?, last: r.uint()? });
        }
        let signature = r.bytes()?.try_into().map_err(|_| malformed("a signature of another length"))?;
        let signed_card = sign::attach(Purpose::Card, &card.payload(), &signature);
        let code = r.bytes()?.try_into().map_err(|_| malformed("a code of another length"))?;
        let role = Role::from_rank(r.uint()?).ok_or_else(|| malformed("an unknown role"))?;
        let label = r.text()?.to_owned();
        let (made_ms, expires_ms) = (r.uint()?.saturating_mul(1000), r.uint()?.saturating_mul(1000));
        Self::new(signed_card, Invited { code, role, label, made_ms, expires_ms })
    }
}

fn key32(r: &mut Reader<'_>) -> Result<[u8; 32]> {
    r.bytes()?.try_into().map_err(|_| malformed("a key of another length"))
}
