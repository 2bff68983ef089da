//! Backup of a whole office: keys, notebook, photos, quarantine, in one file that is read back before it counts.
//!
//! ```text
//! entries = HEAD, KEYS, CARD, DEVICE (the notebook's own key), IMAGE, BLOB*, then the files of kept_files, then the one of accounts_file,
//!           then those of county_files
//! ```
//! Sealed to the recovery key, and to the office's own so that it can be read back; signed with the office's key.

use std::{fs, path::Path};

use age::x25519::Identity;
use dooryard_core::{
    Code, Error, Result,
    archive::Writer,
    bundle::Opener,
    job::Job,
    notebook::{BackupHead, BackupSort, Merged, Unpacked},
};
use serde::Serialize;

use super::{
    Office, accounts_file, county_files,
    erasures::{Place, ledger_of},
    kept_files,
    keys::KEYS,
};

/// Entry: the text of the key file.
pub(super) const KEYS_ENTRY: u8 = 16;
/// Entry: the signed card.
pub(super) const CARD_ENTRY: u8 = 17;
/// Entry: the key of the office's own notebook.
pub(super) const DEVICE_ENTRY: u8 = 18;

/// Where the key of the office's own notebook stands.
pub(super) const DEVICE_KEY: &str = "notebook/local/device.key";

/// What a backup holds.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct OfficeBackup {
    /// Photos and thumbnails in it.
    pub photos: u64,
    /// Files of the quarantine in it.
    pub quarantined: u64,
    /// The accounts of the office page are in it, without their sessions.
    pub accounts: bool,
    /// Files of the county's own lines in it.
    pub county_files: u64,
    /// Files of the county that are too large for it: they have to be kept elsewhere.
    pub left_out: Vec<String>,
    /// Bytes of the file.
    pub bytes: u64,
    /// Its place is off this machine: receipts say `safe` of what is in it.
    pub off_machine: bool,
    /// The erasure ledger beside it.
    pub ledger: String,
}

impl Office {
    /// Writes a backup of everything, reads it back, and puts it in its place with the erasure ledger beside it. With
    /// `off_machine`, what it holds counts as safe from then on.
    ///
    /// # Errors
    /// [`Error::Cancelled`]; `NO_SPACE`; `CUT` or `BAD_SIGNATURE` when it cannot be read back: it does not count and is
    /// removed; `KEYS_CHANGED` when another program changed them meanwhile; of the stores.
    pub fn back_up(&self, out: &Path, off_machine: bool, job: &Job) -> Result<OfficeBackup> {
        let card = &self.keys.card;
        let mut writer = Writer::create(out, &[&card.recovery, &card.seal])?;
        let made_ms = self.notebook.env().now_ms();
        let head = BackupHead { sort: BackupSort::Office, office: card.office(), key: card.key, made_ms };
        head.write(&mut writer)?;
        writer.small(CARD_ENTRY, b"", &self.keys.signed_card)?;
        for (kind, name) in [(KEYS_ENTRY, KEYS), (DEVICE_ENTRY, DEVICE_KEY)] {
            let bytes = fs::read(self.dir.join(name)).map_err(Error::io("reading what is backed up"))?;
            writer.small(kind, b"", &bytes)?;
        }
        let (image, photos) = self.notebook.back_up_whole(&mut writer, job)?;
        let quarantined = kept_files::back_up(&self.dir, &mut writer)?;
        let accounts = accounts_file::back_up(&self.dir, &mut writer)?;
        let (county_files, left_out) = county_files::back_up(&self.dir, &mut writer)?;
        // Keys, card and notebook belong together.
        if self.have_keys_changed() {
            return Err(Error::refused(Code::KeysChanged, "a backup"));
        }
        let unplaced = writer.finish(&self.keys.signing, &card.office())?;
        // What cannot be read back is no backup.
        Unpacked::check(unplaced.path(), &self.opener())?;
        self.write_ledger(out)?;
        let bytes = unplaced.place()?;
        self.add_place(Place {
            file: std::path::absolute(out).unwrap_or_else(|_| out.to_owned()),
            made_ms,
            off_machine,
        })?;
        if off_machine {
            self.notebook.mark_safe(&image)?;
        }
        let ledger = ledger_of(out).display().to_string();
        Ok(OfficeBackup { photos, quarantined, accounts, county_files, left_out, bytes, off_machine, ledger })
    }

    /// Merges the backup of a phone of this office, which opens with the recovery key: the changes and photos of that phone.
    /// `key`: the recovery key, when it was put away.
    ///
    /// # Errors
    /// `NOT_FOR_US`, `UNKNOWN_DEVICE`, `CUT`, `BAD_SIGNATURE`: nothing was changed; of the stores.
    pub fn take_backup_of_phone(&self, file: &Path, key: Option<&Identity>, job: &Job) -> Result<Merged> {
        let opener = key.map_or_else(|| self.opener(), |key| Opener::new(vec![key.clone()]));
        let merged = self.notebook.merge_backup_of_device(file, &opener, job)?;
        self.notebook.refresh()?;
        Ok(merged)
    }
}
