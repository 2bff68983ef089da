//! The ask: a phone's keys, signed by themselves, with a MAC by the invitation's code.

use super::{
    CheckWords,
    code::{CodeId, mac},
    text::{self, Kind},
};
use crate::{
    cbor::{self, Reader, malformed},
    error::{Code, Error, Result},
    notebook::{Card, Request, recipient_bytes, recipient_text},
    sign::{self, Purpose},
};

/// What a phone asks for, in answer to an invitation.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Ask {
    /// The phone's keys.
    pub request: Request,
    /// The keys as the phone signed them, in the form of a request file.
    pub signed_request: Vec<u8>,
    /// Which code it answers.
    pub code_id: CodeId,
    mac: blake3::Hash,
}

impl Ask {
    /// The ask of a phone with this signed request, for the office with this root key.
    ///
    /// # Errors
    /// `SCHEMA` or `BAD_SIGNATURE` when it is no request.
    pub fn new(signed_request: Vec<u8>, code: &[u8; 16], root: &[u8; 32]) -> Result<Self> {
        let request = Request::read(&signed_request)?;
        let mac = mac(code, root, &request)?;
        Ok(Self { request, signed_request, code_id: CodeId::of(code), mac })
    }

    /// Its bytes: in a text, and in the envelope of a first bundle.
    ///
    /// # Errors
    /// None for an ask that was read or made.
    pub fn to_bytes(&self) -> Result<Vec<u8>> {
        let seal = recipient_bytes(&self.request.seal)?;
        let signature = sign::signature_of(&self.signed_request, Purpose::Request)?;
        Ok(cbor::encode(|w| {
            w.array(5)?.bytes(&self.request.key)?.bytes(&seal)?.bytes(&signature)?.bytes(&self.code_id.0)?;
            w.bytes(self.mac.as_bytes())?;
            Ok(())
        }))
    }

    /// Reads what [`Ask::to_bytes`] wrote and checks that the phone itself signed it. Whether its code is right only the
    /// office knows: [`Ask::check`].
    ///
    /// # Errors
    /// `SCHEMA` or `BAD_SIGNATURE`.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self> {
        let r = &mut Reader::new(bytes)?;
        r.array_of(5)?;
        let key = r.bytes()?.try_into().map_err(|_| malformed("a key of another length"))?;
        let seal: [u8; 32] = r.bytes()?.try_into().map_err(|_| malformed("a key of another length"))?;
        let signature = r.bytes()?.try_into().map_err(|_| malformed("a signature of another length"))?;
        let code_id = CodeId(r.bytes()?.try_into().map_err(|_| malformed("a code's name"))?);
        let mac: [u8; 32] = r.bytes()?.try_into().map_err(|_| malformed("a MAC of another length"))?;
        let claimed = Request { key, seal: recipient_text(&seal) };
        let signed_request = sign::attach(Purpose::Request, &claimed.payload(), &signature);
        Ok(Self { request: Request::read(&signed_request)?, signed_request, code_id, mac: mac.into() })
    }

    /// The text for a QR code.
    ///
    /// # Errors
    /// None for an ask that was read or made.
    pub fn to_text(&self) -> Result<String> {
        Ok(text::pack(Kind::Ask, &self.to_bytes()?))
    }

    /// Reads the text.
    ///
    /// # Errors
    /// `SCHEMA`, `BAD_SIGNATURE`, `TOO_NEW`.
    pub fn from_text(text: &str) -> Result<Self> {
        Self::from_bytes(&text::unpack(Kind::Ask, text)?)
    }

    /// Checks at the office that the phone holds this code and saw this office's root key.
    ///
    /// # Errors
    /// `WRONG_CODE`.
    pub fn check(&self, code: &[u8; 16], root: &[u8; 32]) -> Result<()> {
        if mac(code, root, &self.request)? == self.mac {
            Ok(())
        } else {
            Err(Error::refused(Code::WrongCode, "the phone's ask does not fit the invitation"))
        }
    }

    /// The words that office and phone compare.
    ///
    /// # Errors
    /// `SCHEMA` when the phone's recipient is none.
    pub fn words(&self, card: &Card) -> Result<CheckWords> {
        CheckWords::of(&card.root, &self.request)
    }
}
