//! What is kept elsewhere and brought back: backups, one's own data, and what the phone lets go of. Paths in, paths out.

use std::{path::Path, sync::Arc};

use dooryard_core::{clock::Env, notebook, own_data};

use crate::{
    errors::NotebookError,
    notebook::FieldNotebook,
    progress::{CancelToken, ProgressListener, watched},
    secrets::{Secrets, Supplied},
};

/// What a backup holds.
pub type BackedUp = notebook::BackedUp;

/// What a backup holds.
#[uniffi::remote(Record)]
pub struct BackedUp {
    /// Photos and thumbnails in it.
    pub photos: u64,
    /// Bytes of the file.
    pub bytes: u64,
}

/// What a backup brought.
pub type Merged = notebook::Merged;

/// What a backup brought.
#[uniffi::remote(Record)]
pub struct Merged {
    /// Changes that were not here.
    pub changes: u64,
    /// Changes that were here already.
    pub here: u64,
    /// Values that came for changes that were here without them.
    pub filled: u64,
    /// Photos and thumbnails that were not here.
    pub photos: u64,
    /// Drafts of the backup that stand beside a different one from now on.
    pub drafts_aside: u64,
    /// Some of it was written under the log of this notebook and was not here: it goes on under a log of its own.
    pub new_log: bool,
}

/// What a person lets the phone let go of, once it is safe at the office.
pub type LetGo = notebook::LetGo;

/// What a person lets the phone let go of, once it is safe at the office.
#[uniffi::remote(Enum)]
pub enum LetGo {
    /// Nothing.
    Nothing,
    /// Originals of photos; thumbnails stay.
    Originals,
    /// Originals, and names and ways to reach a person.
    OriginalsAndContacts,
}

/// What was let go of.
pub type LetGone = notebook::LetGone;

/// What was let go of.
#[uniffi::remote(Record)]
pub struct LetGone {
    /// The rule by which it went.
    pub rule: LetGo,
    /// Originals that went.
    pub originals: u64,
    /// Bytes that they took.
    pub bytes: u64,
    /// Values of contacts that went.
    pub contact_values: u64,
    /// Own originals that stay, because no receipt proves that they are safe.
    pub originals_kept: u64,
}

/// What was written as one's own data.
pub type Exported = own_data::Exported;

/// What was written as one's own data.
#[uniffi::remote(Record)]
pub struct Exported {
    /// Records, deleted ones too.
    pub records: u64,
    /// Photos and thumbnails.
    pub photos: u64,
    /// Photos that a record names and whose bytes are not on this device.
    pub photos_elsewhere: u64,
    /// Bytes of the file.
    pub bytes: u64,
}

/// What was brought in of one's own data.
pub type Imported = own_data::Imported;

/// What was brought in of one's own data.
#[uniffi::remote(Record)]
pub struct Imported {
    /// Records of which something was written.
    pub records: u64,
    /// Values written.
    pub values: u64,
    /// Values that stand here already, or stood here and were changed since.
    pub here: u64,
    /// Values that this notebook's role may not write.
    pub not_yours: u64,
    /// Records that stay out, because something of them was erased.
    pub erased: u64,
    /// Photos and thumbnails that were not here.
    pub photos: u64,
}

#[uniffi::export]
impl FieldNotebook {
    /// Puts a backup into the folder `path`, which has its key and no database any more, and opens it.
    ///
    /// # Errors
    /// `NotFound` when the key is gone too: join the office anew and hand it the backup, which its recovery key opens.
    /// `Refused` with `NOT_FOR_US` when another device made it, `SCHEMA` when the folder holds a notebook or the file is no
    /// backup, `CUT`, `BAD_SIGNATURE`, `PART_HASH`, `NO_SPACE`; `NewerDatabase`; the key's; `Cancelled`; what the listener
    /// throws. Nothing was replaced.
    #[uniffi::constructor(default(token = None, listener = None))]
    pub fn restore_backup(
        path: String,
        backup_path: String,
        secrets: Arc<dyn Secrets>,
        token: Option<Arc<CancelToken>>,
        listener: Option<Arc<dyn ProgressListener>>,
    ) -> Result<Arc<Self>, NotebookError> {
        let (folder, backup, secrets) = (Path::new(&path), Path::new(&backup_path), Supplied(secrets));
        let restore = |job: &_| notebook::Notebook::restore_backup_with(folder, backup, Env::system(), job, &secrets);
        Ok(Self::holding(watched(token, listener, restore)?))
    }

    /// Writes the notebook with its photos into one file, sealed to this notebook's key and the office's recovery key. The file
    /// appears whole, read back once, or not at all.
    ///
    /// # Errors
    /// `Cancelled`; what the listener throws; `Refused` with `NO_SPACE`; `Storage`.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn back_up(
        &self,
        out_path: String,
        token: Option<Arc<CancelToken>>,
        listener: Option<Arc<dyn ProgressListener>>,
    ) -> Result<BackedUp, NotebookError> {
        let core = self.core()?;
        watched(token, listener, |job| core.back_up(Path::new(&out_path), job))
    }

    /// Merges a backup of this notebook into it: nothing of either is lost, and the same one twice changes nothing.
    ///
    /// # Errors
    /// `Refused` with `NOT_FOR_US` when another device made it, `CUT`, `SCHEMA`, `BAD_SIGNATURE`, `PART_HASH`; `NewerDatabase`:
    /// nothing was changed. `Cancelled` and what the listener throws: photos may be left; merge it again.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn merge_backup(
        &self,
        path: String,
        token: Option<Arc<CancelToken>>,
        listener: Option<Arc<dyn ProgressListener>>,
    ) -> Result<Merged, NotebookError> {
        let core = self.core()?;
        watched(token, listener, |job| core.merge_backup(Path::new(&path), job))
    }

    /// What may be let go of; nothing until a person says otherwise.
    ///
    /// # Errors
    /// `Storage`.
    pub fn letting_go(&self) -> Result<LetGo, NotebookError> {
        Ok(self.core()?.letting_go()?)
    }

    /// Sets what may be let go of. It goes with `let_go`.
    ///
    /// # Errors
    /// `Storage`.
    pub fn set_letting_go(&self, rule: LetGo) -> Result<(), NotebookError> {
        Ok(self.core()?.set_letting_go(rule)?)
    }

    /// Lets go of what the rule names and a verified backup of the office holds. Everything else stays.
    ///
    /// # Errors
    /// `Storage`. `Cancelled` and what the listener throws: bytes that are left go the next time.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn let_go(
        &self,
        token: Option<Arc<CancelToken>>,
        listener: Option<Arc<dyn ProgressListener>>,
    ) -> Result<LetGone, NotebookError> {
        let core = self.core()?;
        watched(token, listener, |job| core.let_go_watched(job))
    }

    /// Writes everything that the notebook shows into a zip file that a person can read. It is not sealed. The file appears
    /// whole or not at all.
    ///
    /// # Errors
    /// `Cancelled`; what the listener throws; `Refused` with `NO_SPACE`; `Storage`.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn export_own_data(
        &self,
        out_path: String,
        token: Option<Arc<CancelToken>>,
        listener: Option<Arc<dyn ProgressListener>>,
    ) -> Result<Exported, NotebookError> {
        let core = self.core()?;
        watched(token, listener, |job| own_data::export(&core, Path::new(&out_path), job))
    }

    /// Brings what `export_own_data` wrote into this notebook, as saves of its own. The same file twice changes nothing.
    ///
    /// # Errors
    /// `Refused` with `SCHEMA`, `BOMB`, `TOO_BIG`, `PART_HASH`, `CUT`; `Invalid`: nothing was changed.
    /// `Cancelled` and what the listener throws: what was brought in stays; bring it in again.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn import_own_data(
        &self,
        path: String,
        token: Option<Arc<CancelToken>>,
        listener: Option<Arc<dyn ProgressListener>>,
    ) -> Result<Imported, NotebookError> {
        let core = self.core()?;
        watched(token, listener, |job| own_data::import(&core, Path::new(&path), job))
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::secrets::tests::Turned;

    #[test]
    fn a_backup_comes_back_where_its_key_is_and_nowhere_else() {
        let dir = tempfile::tempdir().unwrap();
        let path = |name: &str| dir.path().join(name).display().to_string();
        let secrets: Arc<Turned> = Arc::default();
        let made = FieldNotebook::create(path("phone"), secrets.clone()).unwrap();
        let request = made.enrolment_request().unwrap();
        assert_eq!(made.back_up(path("backup"), None, None).unwrap().photos, 0);
        made.shutdown();
        let restore = |to: &str| FieldNotebook::restore_backup(path(to), path("backup"), secrets.clone(), None, None);
        assert!(matches!(restore("phone").err(), Some(NotebookError::Refused { code, .. }) if code == "SCHEMA"));
        assert!(matches!(restore("elsewhere").err(), Some(NotebookError::NotFound { .. })));
        fs::remove_file(dir.path().join("phone/notebook.db")).unwrap();
        assert_eq!(restore("phone").unwrap().enrolment_request().unwrap(), request);
    }
}
