//! What a phone holds of its screens: the notebook, the content, who reads, and who listens.

use std::{
    path::{Path, PathBuf},
    sync::{Arc, PoisonError, RwLock},
};

use dooryard_core::{notebook::Notebook, view, view::View};

use super::{
    content::Content,
    listening::{ChangeListener, Listeners, Listening},
    shared::Reader,
};
use crate::{errors::NotebookError, notebook::FieldNotebook};

/// The screens of one notebook, for one reader. Calls block: call from a thread that may wait.
#[derive(uniffi::Object)]
pub struct Screens {
    book: Arc<FieldNotebook>,
    with_app: PathBuf,
    content: RwLock<Arc<Content>>,
    reader: RwLock<Reader>,
    pub(super) listeners: Listeners,
}

impl Screens {
    /// Runs `work` on the notebook with what a screen is made from.
    pub(super) fn on<T>(
        &self,
        core: &Notebook,
        work: impl FnOnce(&View<'_>) -> dooryard_core::Result<T>,
    ) -> dooryard_core::Result<T> {
        let content = self.content.read().unwrap_or_else(PoisonError::into_inner).clone();
        let reader = self.reader();
        work(&View::new(core, &content.pack, content.names(reader.language), &reader))
    }

    /// Runs `work` with what a screen is made from.
    pub(super) fn seen<T>(&self, work: impl FnOnce(&View<'_>) -> dooryard_core::Result<T>) -> Result<T, NotebookError> {
        Ok(self.on(&*self.book.core()?, work)?)
    }

    /// The same for an act: whoever listens is told when it is done.
    pub(super) fn done<T>(&self, work: impl FnOnce(&View<'_>) -> dooryard_core::Result<T>) -> Result<T, NotebookError> {
        let done = self.seen(work)?;
        self.listeners.tell();
        Ok(done)
    }

    /// Whether the office sent the content that is used.
    pub(super) fn is_content_sent(&self) -> bool {
        self.content.read().unwrap_or_else(PoisonError::into_inner).sent
    }

    pub(super) fn reader(&self) -> Reader {
        self.reader.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    pub(super) fn book(&self) -> &FieldNotebook {
        &self.book
    }
}

/// Erases the notebook in the folder `path`, which must not be open: its key first, then everything in the folder.
///
/// # Errors
/// `NotFound` when there is none; `Storage`: asking again goes on.
#[uniffi::export]
pub fn erase_notebook(path: String) -> Result<(), NotebookError> {
    Ok(Notebook::erase_folder(Path::new(&path))?)
}

#[uniffi::export]
impl Screens {
    /// The screens of a notebook. `pack_path` is the signed pack that came with the app; a newer one that was taken is used.
    ///
    /// # Errors
    /// `Refused` for a pack that is none; `NotFound`; `ShutDown`.
    #[uniffi::constructor]
    pub fn open(book: Arc<FieldNotebook>, pack_path: String, reader: Reader) -> Result<Arc<Self>, NotebookError> {
        let with_app = PathBuf::from(pack_path);
        let content = Content::open(book.core()?.folder(), &with_app)?;
        let (content, reader) = (RwLock::new(Arc::new(content)), RwLock::new(reader));
        Ok(Arc::new(Self { book, with_app, content, reader, listeners: Listeners::default() }))
    }

    /// Speaks another language, or in other units, from now on.
    ///
    /// # Errors
    /// None.
    pub fn set_reader(&self, reader: Reader) -> Result<(), NotebookError> {
        *self.reader.write().unwrap_or_else(PoisonError::into_inner) = reader;
        self.listeners.tell();
        Ok(())
    }

    /// Takes a newer pack that the office sent.
    ///
    /// # Errors
    /// `Refused` with `UNKNOWN_DEVICE` when nobody trusted signed it, `STALE_REPLY` when it is older; nothing was changed.
    pub fn take_pack(&self, path: String) -> Result<(), NotebookError> {
        let core = self.book.core()?;
        Content::take(core.folder(), &self.with_app, Path::new(&path))?;
        let content = Arc::new(Content::open(core.folder(), &self.with_app)?);
        *self.content.write().unwrap_or_else(PoisonError::into_inner) = content;
        self.listeners.tell();
        Ok(())
    }

    /// Tells `listener` after each act, until the handle is cancelled.
    ///
    /// # Errors
    /// None.
    pub fn listen(&self, listener: Arc<dyn ChangeListener>) -> Result<Arc<Listening>, NotebookError> {
        Ok(self.listeners.add(listener))
    }

    /// Writes what is typed into the records and folds everything into the database file: before the phone sleeps.
    ///
    /// # Errors
    /// `Storage`.
    pub fn pause(&self) -> Result<(), NotebookError> {
        self.seen(view::settle_all)?;
        self.book.pause()
    }
}
