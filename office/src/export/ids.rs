//! Numbers of records in exports.

use dooryard_core::{Result, ids::RecordId};

use super::Audience;
use crate::desk::Office;

/// How records are numbered for the readers of an export.
pub struct Ids(Option<[u8; 32]>);

impl Ids {
    /// For these readers: the office reads its own numbers; the public a keyed hash of them, the same in every export, from
    /// which nobody gets back to the record or to the time it was made.
    ///
    /// # Errors
    /// Of the office's key.
    pub fn new(office: &Office, audience: Audience) -> Result<Self> {
        Ok(Self(match audience {
            Audience::Office => None,
            Audience::Public => Some(office.public_id_key()?),
        }))
    }

    /// The number of a record.
    pub fn of(&self, id: RecordId) -> String {
        match &self.0 {
            None => id.to_string(),
            Some(key) => hex::encode(blake3::keyed_hash(key, &id.0).as_bytes().first_chunk::<16>().unwrap_or(&[0; 16])),
        }
    }
}
