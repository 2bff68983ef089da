//! The answer: a phone's certificate, and the office's card where it is newer than the one of the invitation.

use super::text::{self, Kind};
use crate::{
    cbor::{self, Reader},
    error::Result,
};

/// An office's answer to an ask.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Answer {
    /// The signed card; `None` when the phone has it from the invitation.
    pub signed_card: Option<Vec<u8>>,
    /// The signed statement with the certificate.
    pub statement: Vec<u8>,
}

impl Answer {
    /// The text for a QR code.
    pub fn to_text(&self) -> String {
        let body = cbor::encode(|w| {
            w.array(2)?.bytes(&self.statement)?.bytes(self.signed_card.as_deref().unwrap_or_default())?;
            Ok(())
        });
        text::pack(Kind::Answer, &body)
    }

    /// Reads the text. Signatures are checked where it is taken.
    ///
    /// # Errors
    /// `SCHEMA`, `TOO_NEW`.
    pub fn from_text(text: &str) -> Result<Self> {
        let body = text::unpack(Kind::Answer, text)?;
        let r = &mut Reader::new(&body)?;
        r.array_of(2)?;
        let (statement, card) = (r.bytes()?.to_vec(), r.bytes()?.to_vec());
        Ok(Self { signed_card: Some(card).filter(|card| !card.is_empty()), statement })
    }
}
