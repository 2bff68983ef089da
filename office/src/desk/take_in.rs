//! Taking files in, with a journal of what each brought.

use std::path::Path;

use dooryard_core::{
    Code, Error, Result,
    bundle::{Epoch, Opened, Opener, TakeIn},
    job::Job,
};
use serde::{Deserialize, Serialize};

use super::{Office, WaitingFile, recovery_key};

/// Topic of the journal's lines.
const TOPIC: &str = "take-in";

/// What became of a file.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// It was taken in.
    TakenIn,
    /// It was refused and changed nothing.
    Refused,
    /// It was refused for now and a copy is kept.
    Kept,
}

/// One line of the intake log.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Taken {
    /// The file's name, without its folder.
    pub file: String,
    /// What became of it.
    pub outcome: Outcome,
    /// Code of the refusal.
    pub code: Option<String>,
    /// What it brought.
    pub report: TakeIn,
    /// Hash of the file as it came, in hex, where it was kept.
    #[serde(default)]
    pub original: Option<String>,
}

impl Taken {
    /// Whether this is the line of the log that says the same as `other`. What is said of an epoch is not written down.
    pub fn is_line_of(&self, other: &Self) -> bool {
        let report = TakeIn { epoch: None, ..other.report.clone() };
        *self == Self { report, ..other.clone() }
    }
}

impl Office {
    /// Takes a file in. A refusal is an ordinary outcome, with its code; what may matter later is kept in quarantine.
    ///
    /// # Errors
    /// What stops the work for now and leaves the file to be taken in again: a full disk, the stores, a person.
    pub fn take_in(&self, file: &Path, job: &Job) -> Result<Taken> {
        self.take_in_as(&name_of(file), file, job)
    }

    /// As [`Office::take_in`], for a file that was called `name` where it came from.
    ///
    /// # Errors
    /// As [`Office::take_in`].
    pub fn take_in_as(&self, name: &str, file: &Path, job: &Job) -> Result<Taken> {
        self.take_in_with(&self.opener(), (name, file), job)
    }

    /// As [`Office::take_in`], opened with the recovery key in a file alone: for bundles sealed to a key that is lost.
    ///
    /// # Errors
    /// As [`Office::take_in`]; `SCHEMA` when the file holds no key, `NOT_FOR_US` when it is another office's.
    pub fn recover(&self, key: &Path, file: &Path, job: &Job) -> Result<Taken> {
        let key = recovery_key(key)?;
        if key.to_public().to_string() != self.keys.card.recovery {
            return Err(Error::refused(Code::NotForUs, "the recovery key of another office"));
        }
        self.take_in_with(&Opener::new(vec![key]), (&name_of(file), file), job)
    }

    fn take_in_with(&self, opener: &Opener, (name, file): (&str, &Path), job: &Job) -> Result<Taken> {
        let name = name.to_owned();
        let life = self.epoch()?;
        let taken = match self.take_in_or_keep(opener, file, job) {
            Ok(Err(waiting)) => {
                let why = Code::from_name(&waiting.code).unwrap_or(Code::UnknownDevice);
                let refused = Some(format!("a phone that waits to be admitted. {}", why.sentence()));
                let report = TakeIn { from: waiting.label, refused, ..TakeIn::default() };
                Taken { file: name, outcome: Outcome::Kept, code: Some(waiting.code), report, original: None }
            }
            Ok(Ok(report)) => {
                // A receipt of this life names what is not here, a later life was seen, or another life of this number:
                // this office went back. A phone takes no life twice, so that two of one number need a third.
                let goes_back = |told: Epoch| told.n > life.n || told.n == life.n && (told != life || report.went_back);
                if report.epoch.is_some_and(goes_back) {
                    self.begin_epoch()?;
                }
                let original = self.keep_original(file)?;
                if brings_unknown(&report) {
                    // The log of a lost key, of a phone that is not known here: it waits until somebody takes that one on.
                    let detail = "changes of another phone, which is not known";
                    self.keep_if_it_may_matter((&name, file), Code::UnknownDevice, detail)?;
                }
                Taken { file: name, outcome: Outcome::TakenIn, code: None, report, original }
            }
            Err(Error::Refused { code, detail }) if code != Code::NoSpace => {
                let refused = Some(format!("{detail}. {}", code.sentence()));
                let kept = self.keep_if_it_may_matter((&name, file), code, &detail)?;
                let report = TakeIn { refused, ..TakeIn::default() };
                let outcome = if kept { Outcome::Kept } else { Outcome::Refused };
                Taken { file: name, outcome, code: Some(code.name().to_owned()), report, original: None }
            }
            Err(other) => return Err(other),
        };
        self.notebook.refresh()?;
        let line = serde_json::to_value(&taken).unwrap_or_default();
        self.notebook.add_to_journal(TOPIC, &line)?;
        Ok(taken)
    }

    /// Takes a file in, unless its phone waits for a person: then the file waits with it.
    fn take_in_or_keep(&self, opener: &Opener, file: &Path, job: &Job) -> Result<Result<TakeIn, WaitingFile>> {
        let opened = Opened::open(opener, &self.keys.card.office(), file)?;
        match self.keep_waiting(&opened.sender, file)? {
            Some(waiting) => Ok(Err(waiting)),
            None => opened.take_in(&self.notebook, &self.dir.join("scratch"), job).map(Ok),
        }
    }

    /// The intake log, newest first, each line with its time in milliseconds since 1970.
    ///
    /// # Errors
    /// Of the stores.
    pub fn intake_log(&self) -> Result<Vec<(i64, Taken)>> {
        let lines = self.notebook.journal(TOPIC)?;
        Ok(lines.into_iter().filter_map(|(at, line)| Some((at, serde_json::from_value(line).ok()?))).collect())
    }
}

/// Whether changes of a phone that is not known here stood in a bundle of one that is.
pub(super) fn brings_unknown(report: &TakeIn) -> bool {
    report.segments_refused.contains_key(Code::UnknownDevice.name())
}

/// What a file is called, without its folder.
fn name_of(file: &Path) -> String {
    file.file_name().map_or_else(|| file.display().to_string(), |n| n.to_string_lossy().into_owned())
}
