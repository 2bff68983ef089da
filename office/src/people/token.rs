//! Random tokens of 256 bits. What is stored is their hash; the token itself is only with whoever was given it.

use dooryard_core::clock::Env;
use subtle::ConstantTimeEq;

/// A token that was just made, or came back.
#[derive(Clone)]
pub(super) struct Token([u8; 32]);

impl Token {
    /// A new one.
    pub(super) fn new(env: &Env) -> Self {
        Self(env.random())
    }

    /// Out of its text; `None` when it is of another form.
    pub(super) fn read(text: &str) -> Option<Self> {
        let mut bytes = [0; 32];
        hex::decode_to_slice(text, &mut bytes).ok()?;
        Some(Self(bytes))
    }

    /// Its text: 64 digits.
    pub(super) fn text(&self) -> String {
        hex::encode(self.0)
    }

    /// What is stored of it. A fast hash is enough for 256 random bits.
    pub(super) fn hash(&self) -> [u8; 32] {
        blake3::derive_key("dooryard office page 1 token as stored", &self.0)
    }

    /// What the forms of a session carry: it tells nothing of the session's own token.
    pub(super) fn for_forms(&self) -> String {
        hex::encode(blake3::derive_key("dooryard office page 1 token of forms", &self.0))
    }
}

/// Whether two texts are the same, in a time that depends on their lengths alone.
pub(super) fn same(a: &str, b: &str) -> bool {
    a.as_bytes().ct_eq(b.as_bytes()).into()
}
