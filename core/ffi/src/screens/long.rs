//! Long work of the screens: told step by step, stopped by a token, paths in and sentences out.

use std::{path::Path, sync::Arc};

use dooryard_core::{job::Job, view, view::View};

use super::{
    handle::Screens,
    keeping::{HandedOver, ReplyTold},
};
use crate::{
    errors::NotebookError,
    progress::{CancelToken, ProgressListener, watched},
    requests::RecordId,
};

type Token = Option<Arc<CancelToken>>;
type Watcher = Option<Arc<dyn ProgressListener>>;

#[uniffi::export]
impl Screens {
    /// Writes what is typed into the records, and then everything that the office has not confirmed into a sealed file.
    ///
    /// # Errors
    /// `NotEnrolled`; `Cancelled`; what the listener throws; `Refused` with `NO_SPACE`.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn hand_over(&self, out_path: String, token: Token, listener: Watcher) -> Result<HandedOver, NotebookError> {
        self.long(token, listener, |v, job| view::hand_over(v, Path::new(&out_path), job))
    }

    /// Takes in the office's reply and says what it brought.
    ///
    /// # Errors
    /// `Refused` with the reason, nothing changed; `Cancelled`; what the listener throws.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn take_reply(&self, path: String, token: Token, listener: Watcher) -> Result<ReplyTold, NotebookError> {
        self.long(token, listener, |v, job| Ok(view::reply_told(v, &v.notebook.take_reply(Path::new(&path), job)?)))
    }

    /// Lets go of the photos that `let_go_offer` names, and says what came of it. The rule that stands is not changed.
    ///
    /// # Errors
    /// `Cancelled`: what went is gone, and doing it again goes on; what the listener throws; `Storage`.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn let_go(&self, token: Token, listener: Watcher) -> Result<Vec<String>, NotebookError> {
        self.long(token, listener, view::let_go)
    }

    /// Writes a backup and says what is in it.
    ///
    /// # Errors
    /// `Cancelled`; what the listener throws; `Refused` with `NO_SPACE`; `Storage`.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn back_up(&self, out_path: String, token: Token, listener: Watcher) -> Result<Vec<String>, NotebookError> {
        self.long(token, listener, |v, job| view::back_up(v, Path::new(&out_path), job))
    }

    /// Merges a backup into the notebook and says what it brought. It replaces nothing.
    ///
    /// # Errors
    /// As `FieldNotebook.merge_backup`.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn merge_backup(&self, path: String, token: Token, listener: Watcher) -> Result<Vec<String>, NotebookError> {
        self.long(token, listener, |v, job| view::merge_backup(v, Path::new(&path), job))
    }

    /// Writes one's own data into a zip file that a person can read, and says what is in it. It is not sealed.
    ///
    /// # Errors
    /// As `FieldNotebook.export_own_data`.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn write_own_data(
        &self,
        out_path: String,
        token: Token,
        listener: Watcher,
    ) -> Result<Vec<String>, NotebookError> {
        self.long(token, listener, |v, job| view::write_own_data(v, Path::new(&out_path), job))
    }

    /// Writes one inquiry with all that belongs to it into such a file, and says what is in it.
    ///
    /// # Errors
    /// `Refused` with `FORBIDDEN_FIELD` of an inquiry under seal; `NotFound`; as `write_own_data`.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn write_inquiry(
        &self,
        inquiry: RecordId,
        out_path: String,
        token: Token,
        listener: Watcher,
    ) -> Result<Vec<String>, NotebookError> {
        self.long(token, listener, |v, job| view::write_inquiry(v, inquiry, Path::new(&out_path), job))
    }

    /// Brings one's own data into the notebook and says what it brought.
    ///
    /// # Errors
    /// As `FieldNotebook.import_own_data`.
    #[uniffi::method(default(token = None, listener = None))]
    pub fn bring_own_data(&self, path: String, token: Token, listener: Watcher) -> Result<Vec<String>, NotebookError> {
        self.long(token, listener, |v, job| view::bring_own_data(v, Path::new(&path), job))
    }
}

impl Screens {
    /// Runs long work under a token and a listener.
    fn long<T>(
        &self,
        token: Token,
        listener: Watcher,
        work: impl FnOnce(&View<'_>, &Job) -> dooryard_core::Result<T>,
    ) -> Result<T, NotebookError> {
        let core = self.book().core()?;
        let done = watched(token, listener, |job| self.on(&core, |v| work(v, job)))?;
        self.listeners.tell();
        Ok(done)
    }
}
