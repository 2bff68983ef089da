//! The one-time code of an invitation: what it is called without being told, and the MAC that proves who holds it.

use crate::{
    error::Result,
    ids::OfficeId,
    notebook::{Request, recipient_bytes},
};

/// The name of a code: eight bytes that do not give it away.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct CodeId(pub [u8; 8]);

impl CodeId {
    /// The name of this code.
    pub fn of(code: &[u8; 16]) -> Self {
        let mut id = [0; 8];
        id.copy_from_slice(&blake3::derive_key("dooryard enrol code id v1", code)[..8]);
        Self(id)
    }

    /// Lowercase hexadecimal text.
    pub fn to_hex(&self) -> String {
        hex::encode(self.0)
    }
}

/// BLAKE3 keyed by the code, over the office's root key and the phone's two keys. `blake3::Hash` compares in constant time.
pub(super) fn mac(code: &[u8; 16], root: &[u8; 32], request: &Request) -> Result<blake3::Hash> {
    let key = blake3::derive_key("dooryard enrol mac v1", code);
    Ok(blake3::Hasher::new_keyed(&key)
        .update(&OfficeId::of_key(root).0)
        .update(root)
        .update(&request.key)
        .update(&recipient_bytes(&request.seal)?)
        .finalize())
}
