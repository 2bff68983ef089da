//! Replies made, with a journal of what each phone was told.

use std::path::Path;

use dooryard_core::{
    Code, Error, Result,
    bundle::{ReplyMade, make_reply},
    ids::DeviceId,
    job::Job,
};
use serde::{Deserialize, Serialize};

use super::Office;

/// Topic of the journal's lines.
const TOPIC: &str = "reply";

/// What a phone was told with one reply.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Told {
    /// The phone, in hex.
    pub device: String,
    /// The reply's number.
    pub number: u64,
    /// Changes of the phone that it says are held.
    pub changes: u64,
    /// Photos and thumbnails of the phone that it says are held.
    pub photos: u64,
    /// It also says what of them is safe in a backup off this machine.
    pub safe: bool,
}

impl Office {
    /// Writes the reply for a device.
    ///
    /// # Errors
    /// `UNKNOWN_DEVICE`; `CODE_USED` while nobody has decided which of two phones is the right one; of the stores.
    pub fn make_reply(&self, device: DeviceId, out: &Path, job: &Job) -> Result<ReplyMade> {
        job.step(0, 1)?;
        if self.is_any_frozen()? && self.is_frozen(device)? {
            return Err(Error::refused(Code::CodeUsed, "a reply for this phone"));
        }
        if self.have_keys_changed() {
            return Err(Error::refused(Code::KeysChanged, "a reply"));
        }
        let made = make_reply(&self.notebook, &self.keys.signing, self.epoch()?, device, out)?;
        let ReplyMade { number, changes, photos, safe, .. } = made;
        let told = Told { device: device.to_string(), number, changes, photos, safe };
        self.notebook.add_to_journal(TOPIC, &serde_json::to_value(&told).unwrap_or_default())?;
        job.step(1, 1)?;
        Ok(made)
    }

    /// What phones were told, newest first, each with its time in milliseconds since 1970.
    ///
    /// # Errors
    /// Of the stores.
    pub fn told(&self) -> Result<Vec<(i64, Told)>> {
        let lines = self.notebook.journal(TOPIC)?;
        Ok(lines.into_iter().filter_map(|(at, line)| Some((at, serde_json::from_value(line).ok()?))).collect())
    }
}
