//! The notebook as a phone holds it: one object, opened once, shared between threads.

use std::{
    path::Path,
    sync::{Arc, PoisonError, RwLock},
};

use dooryard_core::{clock::Env, notebook::Notebook};

use crate::{
    conversions::many,
    errors::NotebookError,
    progress::{CancelToken, ProgressListener, watched},
    requests::{Kind, ListRequest, RecordId, fields},
    secrets::{Secrets, Supplied},
    views::{BundleSummary, ConflictView, HistoryEntryView, PageView, RecordView, ReplyView, Way},
};

/// A device's notebook in one folder. Calls block: call from a thread that may wait.
#[derive(uniffi::Object)]
pub struct FieldNotebook {
    open: RwLock<Option<Arc<Notebook>>>,
}

impl FieldNotebook {
    pub(crate) fn holding(notebook: Notebook) -> Arc<Self> {
        Arc::new(Self { open: RwLock::new(Some(Arc::new(notebook))) })
    }

    pub(crate) fn core(&self) -> Result<Arc<Notebook>, NotebookError> {
        self.open.read().unwrap_or_else(PoisonError::into_inner).clone().ok_or(NotebookError::ShutDown)
    }
}

#[uniffi::export]
impl FieldNotebook {
    /// Makes a new notebook in the folder `path`, which must not hold one. Its key is written as `secrets` wraps it.
    ///
    /// # Errors
    /// `Refused` when there is one already; what `secrets` throws, and then no key is left behind; `Storage`.
    #[uniffi::constructor]
    pub fn create(path: String, secrets: Arc<dyn Secrets>) -> Result<Arc<Self>, NotebookError> {
        Ok(Self::holding(Notebook::create_with(Path::new(&path), Env::system(), &Supplied(secrets))?))
    }

    /// Opens the notebook in the folder `path`. A key that stands there in the clear is wrapped from then on.
    ///
    /// # Errors
    /// `NotFound` when there is none; `NewerDatabase`; `Damaged` (open again to go on with an empty one); `KeyLocked`,
    /// `KeyGone`, `KeyForeign`, `SecretsFailed`: nothing was touched.
    #[uniffi::constructor]
    pub fn open(path: String, secrets: Arc<dyn Secrets>) -> Result<Arc<Self>, NotebookError> {
        Ok(Self::holding(Notebook::open_with(Path::new(&path), Env::system(), &Supplied(secrets))?))
    }

    /// Opens the notebook in the folder `path` under a new key, where `open` says `KeyGone` or `KeyForeign` or finds no key beside the
    /// database. All that is in it stays; the old key's file is kept beside. The office has to take the phone on again before
    /// anything can be handed over, and then gets what was written with the old key too.
    ///
    /// # Errors
    /// `Refused` when the key can still be read; `KeyLocked` while it is only locked; `SecretsFailed`; as `open`: nothing was touched.
    #[uniffi::constructor]
    pub fn open_with_new_key(path: String, secrets: Arc<dyn Secrets>) -> Result<Arc<Self>, NotebookError> {
        Ok(Self::holding(Notebook::open_with_new_key(Path::new(&path), Env::system(), &Supplied(secrets))?))
    }

    /// Saves fields of a record, given as one JSON object; makes the record when `id` is none. On disk when it returns.
    ///
    /// # Errors
    /// `Invalid` with one problem a field; `Refused` with `NO_SPACE`.
    pub fn save(&self, kind: Kind, id: Option<RecordId>, fields_json: String) -> Result<RecordId, NotebookError> {
        Ok(self.core()?.save(kind, id, &fields(&fields_json)?)?)
    }

    /// Takes in a photo file: keeps the original and a thumbnail, reads its metadata, saves a `photo` record. Values in
    /// `fields_json` win over those read from the file.
    ///
    /// # Errors
    /// As `save`; `Refused` when it is no photo that can be kept; `NotFound` when there is no such file.
    pub fn add_photo(&self, path: String, fields_json: String) -> Result<RecordId, NotebookError> {
        Ok(self.core()?.add_photo(Path::new(&path), &fields(&fields_json)?)?)
    }

    /// One page of the records asked for.
    ///
    /// # Errors
    /// `Invalid` when a value to compare with is no JSON.
    pub fn list(&self, request: ListRequest) -> Result<PageView, NotebookError> {
        Ok(self.core()?.list(&request.try_into()?)?.into())
    }

    /// Records in which all these words stand, as beginnings of words; best first.
    ///
    /// # Errors
    /// `Storage`.
    pub fn search(&self, words: String) -> Result<PageView, NotebookError> {
        Ok(self.core()?.search(&words)?.into())
    }

    /// One record as it stands.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn show(&self, id: RecordId) -> Result<RecordView, NotebookError> {
        Ok(self.core()?.show(id)?.into())
    }

    /// Every save of a record, oldest first.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn history(&self, id: RecordId) -> Result<Vec<HistoryEntryView>, NotebookError> {
        Ok(many(self.core()?.history(id)?))
    }

    /// Every field that was written differently by two who had not seen each other.
    ///
    /// # Errors
    /// `Storage`.
    pub fn conflicts(&self) -> Result<Vec<ConflictView>, NotebookError> {
        Ok(many(self.core()?.conflicts()?))
    }

    /// Deletes a record: it is hidden, nothing is lost.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn delete(&self, id: RecordId) -> Result<(), NotebookError> {
        Ok(self.core()?.delete(id)?)
    }

    /// Brings a deleted record back.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn restore(&self, id: RecordId) -> Result<(), NotebookError> {
        Ok(self.core()?.restore(id)?)
    }

    /// How far a record is on its way to the office.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn way(&self, id: RecordId) -> Result<Way, NotebookError> {
        Ok(self.core()?.way(id)?)
    }

    /// Writes everything that the office has not confirmed into a sealed, signed file for it. The file appears whole or
    /// not at all.
    ///
    /// # Errors
    /// `NotEnrolled`; `Cancelled`; what the listener throws; `Refused` with `NO_SPACE`.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn make_bundle(
        &self,
        out_path: String,
        token: Option<Arc<CancelToken>>,
        listener: Option<Arc<dyn ProgressListener>>,
    ) -> Result<BundleSummary, NotebookError> {
        let core = self.core()?;
        watched(token, listener, |job| core.make_bundle(Path::new(&out_path), job))
    }

    /// Takes in the office's reply.
    ///
    /// # Errors
    /// `Refused` with the reason, nothing changed; `Cancelled`; what the listener throws.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn take_reply(
        &self,
        path: String,
        token: Option<Arc<CancelToken>>,
        listener: Option<Arc<dyn ProgressListener>>,
    ) -> Result<ReplyView, NotebookError> {
        let core = self.core()?;
        Ok(watched(token, listener, |job| core.take_reply(Path::new(&path), job))?.into())
    }

    /// Takes away everything in the folder `path`, which holds nothing but files that were made of this notebook, where something
    /// was erased since they were last taken away. Says whether it did. Asked after each file of the office, after a backup was
    /// brought back, and at each start.
    ///
    /// # Errors
    /// `Storage`: asking again goes on.
    pub fn heed_given_out(&self, path: String) -> Result<bool, NotebookError> {
        Ok(self.core()?.heed_given_out(Path::new(&path))?)
    }

    /// Folds everything into the database file: before the phone sleeps.
    ///
    /// # Errors
    /// `Storage`.
    pub fn pause(&self) -> Result<(), NotebookError> {
        Ok(self.core()?.pause()?)
    }

    /// Lets the database go; a call still under way finishes first. Every later call gives `ShutDown`. Asking twice is
    /// fine.
    pub fn shutdown(&self) {
        self.open.write().unwrap_or_else(PoisonError::into_inner).take();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{enrolment::EnrolmentView, secrets::tests::Turned};

    fn secrets() -> Arc<Turned> {
        Arc::default()
    }

    fn notebook() -> (tempfile::TempDir, String, Arc<FieldNotebook>) {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("phone").display().to_string();
        let notebook = FieldNotebook::create(path.clone(), secrets()).unwrap();
        (dir, path, notebook)
    }

    #[test]
    fn before_an_office_knows_it_a_notebook_keeps_what_is_saved_and_hands_nothing_over() {
        let (dir, _path, notebook) = notebook();
        assert_eq!(notebook.enrolment(), Ok(EnrolmentView::NotInvited));
        assert!(!notebook.enrolment_request().unwrap().is_empty());
        let saved = notebook.save(Kind::Inquiry, None, r#"{"channel": "yard"}"#.into()).unwrap();
        assert!(notebook.show(saved).is_ok());
        let out = dir.path().join("x.yard").display().to_string();
        let refused = notebook.make_bundle(out, None, None).unwrap_err();
        let NotebookError::NotEnrolled { sentence } = refused else { panic!("{refused}") };
        assert!(sentence.en.contains("Ask your county's office") && sentence.es.contains("Pida su código"));
    }

    #[test]
    fn a_second_notebook_in_the_same_folder_and_none_in_an_empty_one_are_refused() {
        let (dir, path, _notebook) = notebook();
        assert!(matches!(FieldNotebook::create(path, secrets()).err(), Some(NotebookError::Refused { .. })));
        let empty = dir.path().join("empty").display().to_string();
        assert!(matches!(FieldNotebook::open(empty, secrets()).err(), Some(NotebookError::NotFound { .. })));
    }

    #[test]
    fn after_shutdown_every_call_says_so_and_opening_again_works() {
        let (_dir, path, notebook) = notebook();
        let request = notebook.enrolment_request().unwrap();
        notebook.shutdown();
        notebook.shutdown();
        assert_eq!(notebook.list(ListRequest::default()), Err(NotebookError::ShutDown));
        let again = FieldNotebook::open(path, secrets()).unwrap();
        assert_eq!(again.enrolment_request().unwrap(), request);
    }
}
