//! Files that could not be taken in and may matter later: kept sealed, under their own hash, with a reason.

use std::{
    fs,
    path::{Path, PathBuf},
};

use dooryard_core::{Code, Error, Result, bundle::names_any, error::Retry, job::Job, notebook::write_secret};
use serde::{Deserialize, Serialize};

use super::{
    Office, Outcome, Taken,
    kept_files::{hash_of, keep},
    take_in::brings_unknown,
};

/// A file in quarantine.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Quarantined {
    /// BLAKE3 of the file, in hex: its name here.
    pub id: String,
    /// What it was called where it came from; empty where that was not written down.
    #[serde(default)]
    pub file: String,
    /// Why it is here.
    pub code: String,
    /// The reason in words.
    pub reason: String,
    /// Bytes.
    pub bytes: u64,
    /// When it was put here, milliseconds since 1970.
    pub at_ms: u64,
    /// A record stands in it of which something was erased: a person decides whether it is kept.
    #[serde(default)]
    pub holds_erased: bool,
}

impl Office {
    fn quarantine(&self) -> PathBuf {
        self.dir.join("quarantine")
    }

    /// Keeps a copy where trying again later, or a person, may change the answer. Says whether it did.
    pub(super) fn keep_if_it_may_matter(&self, (name, file): (&str, &Path), code: Code, detail: &str) -> Result<bool> {
        if !matches!(code.retry(), Retry::AfterPerson | Retry::AfterUpgrade) || !file.is_file() {
            return Ok(false);
        }
        let what = || Error::io("keeping a file in quarantine");
        let (id, bytes) = hash_of(file).map_err(what())?;
        let folder = self.quarantine();
        keep(file, &folder, &id).map_err(what())?;
        let at_ms = self.notebook.env().now_ms();
        let reason = format!("{detail}. {}", code.sentence());
        let (file, code) = (name.to_owned(), code.name().to_owned());
        let note = Quarantined { id: id.clone(), file, code, reason, bytes, at_ms, holds_erased: false };
        let text = serde_json::to_string_pretty(&note).unwrap_or_default();
        write_secret(&folder.join(format!("{id}.json")), text.as_bytes())?;
        Ok(true)
    }

    /// The files in quarantine, in order of time.
    ///
    /// # Errors
    /// Of the file system.
    pub fn quarantined(&self) -> Result<Vec<Quarantined>> {
        let mut found: Vec<Quarantined> = Vec::new();
        for entry in fs::read_dir(self.quarantine()).map_err(Error::io("looking into quarantine"))?.flatten() {
            if entry.path().extension().is_some_and(|e| e == "json") {
                let text = fs::read_to_string(entry.path()).map_err(Error::io("looking into quarantine"))?;
                found.extend(serde_json::from_str::<Quarantined>(&text));
            }
        }
        let erased: Vec<_> = self.notebook.authority()?.erased_records().copied().collect();
        if !erased.is_empty() {
            for kept in &mut found {
                let file = self.quarantine().join(format!("{}.yard", kept.id));
                kept.holds_erased = names_any(&file, &self.opener(), &erased, &[])?.unwrap_or(false);
            }
        }
        found.sort_by(|a, b| (a.at_ms, &a.id).cmp(&(b.at_ms, &b.id)));
        Ok(found)
    }

    /// Takes everything in quarantine in again; what goes through leaves it.
    ///
    /// # Errors
    /// As [`Office::take_in`].
    pub fn retry_quarantined(&self, job: &Job) -> Result<Vec<Taken>> {
        self.quarantined()?.iter().map(|kept| self.retry(kept, job)).collect()
    }

    /// Takes one file in quarantine in again.
    ///
    /// # Errors
    /// [`Error::NotFound`]; as [`Office::take_in`].
    pub fn retry_one_quarantined(&self, id: &str, job: &Job) -> Result<Taken> {
        self.retry(&self.quarantined_one(id)?, job)
    }

    fn retry(&self, kept: &Quarantined, job: &Job) -> Result<Taken> {
        let path = self.quarantine().join(format!("{}.yard", kept.id));
        let called = if kept.file.is_empty() { format!("{}.yard", kept.id) } else { kept.file.clone() };
        let again = self.take_in_as(&called, &path, job)?;
        if again.outcome == Outcome::TakenIn && !brings_unknown(&again.report) {
            self.remove_quarantined(&kept.id)?;
        }
        Ok(again)
    }

    fn quarantined_one(&self, id: &str) -> Result<Quarantined> {
        let found = self.quarantined()?.into_iter().find(|kept| kept.id == id);
        found.ok_or_else(|| Error::NotFound("a file of that number in quarantine".into()))
    }

    fn remove_quarantined(&self, id: &str) -> Result<()> {
        ["yard", "json"].into_iter().try_for_each(|ending| {
            fs::remove_file(self.quarantine().join(format!("{id}.{ending}"))).map_err(Error::io("emptying quarantine"))
        })
    }

    /// Throws a file out of quarantine: a person decided that it is not wanted.
    ///
    /// # Errors
    /// [`Error::NotFound`]; of the file system.
    pub fn drop_quarantined(&self, id: &str) -> Result<()> {
        self.remove_quarantined(&self.quarantined_one(id)?.id)
    }

    /// Removes what a stopped process left half done.
    pub(super) fn sweep(&self) -> Result<()> {
        let what = || Error::io("tidying up after a stop");
        for (folder, all) in [("scratch", true), ("quarantine", false)] {
            for entry in fs::read_dir(self.dir.join(folder)).map_err(what())?.flatten() {
                if all || entry.path().extension().is_some_and(|e| e == "new") {
                    fs::remove_file(entry.path()).map_err(what())?;
                }
            }
        }
        Ok(())
    }
}
