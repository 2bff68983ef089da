//! The index as a program that runs for long holds it: opened once, and opened anew should its file be gone.

use std::{
    path::PathBuf,
    sync::{Arc, Mutex, PoisonError},
};

use dooryard_core::{Error, Result, notebook::Notebook};

use super::Index;
use crate::page::Names;

/// The index of one office, opened when somebody first asks.
pub struct Held {
    folder: PathBuf,
    names: Names,
    index: Mutex<Option<Arc<Index>>>,
}

impl Held {
    /// Of an office's folder and the names of its pack.
    pub fn new(folder: PathBuf, names: Names) -> Self {
        Self { folder, names, index: Mutex::default() }
    }

    /// The index, up to the notebook as it stands.
    ///
    /// # Errors
    /// Of the stores. One that was wiped meanwhile (by an erasure that could not be followed) is made anew.
    pub fn followed(&self, notebook: &Notebook) -> Result<Arc<Index>> {
        let index = self.open(None)?;
        match index.follow(notebook) {
            Ok(_) => Ok(index),
            Err(Error::Storage(_)) => {
                let again = self.open(Some(&index))?;
                again.follow(notebook)?;
                Ok(again)
            }
            Err(e) => Err(e),
        }
    }

    /// The one that is open, unless it is `broken`; or else a new one.
    fn open(&self, broken: Option<&Arc<Index>>) -> Result<Arc<Index>> {
        let mut held = self.index.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(index) = held.as_ref().filter(|index| !broken.is_some_and(|broken| Arc::ptr_eq(index, broken))) {
            return Ok(index.clone());
        }
        *held = None;
        let index = Arc::new(Index::open(&self.folder, &self.names)?);
        Ok(held.insert(index).clone())
    }
}

#[cfg(test)]
mod tests {
    use dooryard_core::record::Kind;
    use dooryard_tests::{Yard, save};
    use serde_json::json;

    use super::*;

    #[test]
    fn it_is_opened_once_follows_and_is_made_anew_when_its_file_was_wiped() {
        let yard = Yard::new(380, 0).unwrap();
        let notebook = yard.office.notebook();
        let held = Held::new(yard.office.folder().to_owned(), Names::default());
        save(notebook, Kind::Inquiry, json!({"summary": "one"})).unwrap();
        let first = held.followed(notebook).unwrap();
        save(notebook, Kind::Inquiry, json!({"summary": "two"})).unwrap();
        let second = held.followed(notebook).unwrap();
        assert!(Arc::ptr_eq(&first, &second));
        assert_eq!(second.inquiries().unwrap(), 2);
        super::super::wipe(yard.office.folder()).unwrap();
        save(notebook, Kind::Inquiry, json!({"summary": "three"})).unwrap();
        assert_eq!(held.followed(notebook).unwrap().inquiries().unwrap(), 3);
    }
}
