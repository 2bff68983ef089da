//! What a phone is told when something cannot be done: only variants that it acts on differently, as codes and
//! arguments. No sentence of a file system, of SQLite or of a person crosses.

use dooryard_core::{
    error as core,
    words::{Language, Words},
};

use crate::{secrets::SecretsError, views::Bilingual};

/// When it makes sense to try again.
pub type Retry = core::Retry;

/// When it makes sense to try again.
#[uniffi::remote(Enum)]
pub enum Retry {
    /// Trying again gives the same answer.
    Never,
    /// Later, by itself.
    Later,
    /// After this program was upgraded.
    AfterUpgrade,
    /// After a person decided something.
    AfterPerson,
}

/// What is wrong with a field.
pub type FieldCode = core::FieldCode;

/// What is wrong with a field.
#[uniffi::remote(Enum)]
pub enum FieldCode {
    /// The kind has no such field.
    UnknownField,
    /// Another type of value is needed.
    WrongType,
    /// None of the field's words.
    UnknownWord,
    /// Over the limit of the field.
    TooLong,
    /// Below or above what the field allows.
    OutOfRange,
    /// Not the form of a date, an instant, an id or a decimal.
    BadForm,
    /// A part of the group is missing.
    Missing,
    /// Another role writes this field.
    NotYours,
}

/// What is wrong with one field of a record that somebody wants to save.
pub type FieldProblem = core::FieldProblem;

/// What is wrong with one field of a record that somebody wants to save.
#[uniffi::remote(Record)]
pub struct FieldProblem {
    /// The field's name, or what was given instead of one.
    pub field: String,
    /// What is wrong with it.
    pub code: FieldCode,
}

/// Why a call on a notebook did not do what was asked.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error, uniffi::Error)]
pub enum NotebookError {
    /// A file was refused, with a code of the wire or of photos: show the sentence, offer to try again when `retry` says so.
    #[error("{code}: {}", sentence.en)]
    Refused {
        /// The code's name, such as `NOT_FOR_US` or `TOO_MANY_PIXELS`.
        code: String,
        /// When it makes sense to try again.
        retry: Retry,
        /// What happened and what to do.
        sentence: Bilingual,
    },
    /// Not saved: mark these fields.
    #[error("{} fields cannot be saved as given", problems.len())]
    Invalid {
        /// One problem a field, all of them at once.
        problems: Vec<FieldProblem>,
    },
    /// No such record, photo, file or notebook.
    #[error("not found: {what}")]
    NotFound {
        /// What was looked for, without anyone's words.
        what: String,
    },
    /// The notebook belongs to no office yet, and this needs one: handing over, comparing words. Everything is kept here. Show the
    /// sentence, and the way to the page where a code is taken.
    #[error("belongs to no office yet")]
    NotEnrolled {
        /// What to do.
        sentence: Bilingual,
    },
    /// Stopped because the token or the listener said so.
    #[error("stopped as asked")]
    Cancelled,
    /// Written by a newer version and left untouched: ask for an upgrade.
    #[error("written by a newer version ({found}, this one knows {known})")]
    NewerDatabase {
        /// Version found.
        found: i64,
        /// The highest one known here.
        known: i64,
    },
    /// The database is damaged and was set aside whole: open again to go on, and offer the file that was kept.
    #[error("damaged and set aside")]
    Damaged {
        /// Path of the damaged file.
        kept_at: String,
    },
    /// The notebook was shut down: open it again.
    #[error("shut down")]
    ShutDown,
    /// The platform's secret is locked, and the notebook's key cannot be had now: try again when the phone is unlocked.
    #[error("the key is locked")]
    KeyLocked,
    /// The platform's secret is gone for good, and with it the notebook's key; everything else in the folder is as it was. It opens
    /// with `open_with_new_key`; the office opens its last backup with its recovery key.
    #[error("the key's secret is gone")]
    KeyGone,
    /// The notebook's key was wrapped by another secret, such as when the folder came from another phone; otherwise as `KeyGone`.
    #[error("the key was wrapped elsewhere")]
    KeyForeign,
    /// The app's secret store failed in another way, or gave back the key in the clear: nothing was written.
    #[error("the secret store failed")]
    SecretsFailed,
    /// The listener itself failed; the work was stopped.
    #[error("the progress listener failed")]
    ListenerFailed,
    /// The file system or the store said no.
    #[error("storage: {what}")]
    Storage {
        /// What was tried and the kind of answer.
        what: String,
    },
}

impl From<SecretsError> for NotebookError {
    fn from(e: SecretsError) -> Self {
        match e {
            SecretsError::Locked => Self::KeyLocked,
            SecretsError::Gone => Self::KeyGone,
            SecretsError::Foreign => Self::KeyForeign,
            SecretsError::Failed => Self::SecretsFailed,
        }
    }
}

fn refused(code: core::Code, en: &str, es: &str) -> NotebookError {
    NotebookError::Refused { code: code.name().into(), retry: code.retry(), sentence: Bilingual::new(en, es) }
}

/// As the page for handing over says it.
pub(crate) fn not_enrolled() -> NotebookError {
    let [en, es] = [Language::En, Language::Es].map(|language| Words(language).say("phone-hand-no-office"));
    NotebookError::NotEnrolled { sentence: Bilingual::new(en, es) }
}

impl From<core::Error> for NotebookError {
    fn from(e: core::Error) -> Self {
        match e {
            core::Error::Refused { code, .. } => refused(code, code.sentence(), code.sentence_es()),
            core::Error::Backup { code, .. } => refused(code, code.backup_sentence(), code.backup_sentence_es()),
            core::Error::Pack { code, .. } => refused(code, code.pack_sentence(), code.pack_sentence_es()),
            core::Error::Photo(problem) => Self::Refused {
                code: problem.name().into(),
                retry: Retry::Never,
                sentence: Bilingual::new(format!("{problem}."), problem.sentence_es()),
            },
            core::Error::Invalid(problems) => Self::Invalid { problems },
            core::Error::NotFound(what) => Self::NotFound { what },
            core::Error::NotEnrolled => not_enrolled(),
            core::Error::NewerDatabase { found, known } => Self::NewerDatabase { found, known },
            core::Error::Damaged { kept_at } => Self::Damaged { kept_at: kept_at.display().to_string() },
            core::Error::Cancelled => Self::Cancelled,
            core::Error::Io { source, .. } if let Some(thrown) = SecretsError::behind(&source) => thrown.into(),
            core::Error::Io { what, source } => Self::Storage { what: format!("{what}: {}", source.kind()) },
            // The store's own text may quote what somebody wrote.
            _ => Self::Storage { what: "the notebook's database".into() },
        }
    }
}

impl From<uniffi::UnexpectedUniFFICallbackError> for NotebookError {
    fn from(_: uniffi::UnexpectedUniFFICallbackError) -> Self {
        Self::ListenerFailed
    }
}

/// One problem of one argument.
pub(crate) fn bad_form(field: &str) -> NotebookError {
    NotebookError::Invalid { problems: vec![FieldProblem { field: field.into(), code: FieldCode::BadForm }] }
}

#[cfg(test)]
mod tests {
    use std::io;

    use dooryard_core::{Code, Error, photo::PhotoProblem};

    use super::*;

    #[test]
    fn a_refusal_crosses_as_code_retry_and_sentence_without_its_detail() {
        for code in Code::ALL {
            for (error, en, es) in [
                (Error::refused(code, "Mrs. Somebody's file"), code.sentence(), code.sentence_es()),
                (Error::backup(code, "Mrs. Somebody's file"), code.backup_sentence(), code.backup_sentence_es()),
                (Error::pack(code, "Mrs. Somebody's file"), code.pack_sentence(), code.pack_sentence_es()),
            ] {
                let crossed = NotebookError::from(error);
                let NotebookError::Refused { code: name, retry, sentence } = crossed.clone() else {
                    panic!("{crossed}");
                };
                assert_eq!((name.as_str(), retry), (code.name(), code.retry()));
                assert_eq!(sentence, Bilingual::new(en, es));
                assert!(!crossed.to_string().contains("Somebody"));
            }
        }
    }

    #[test]
    fn every_other_error_keeps_what_the_caller_acts_on() {
        let problem = FieldProblem { field: "channel".into(), code: FieldCode::UnknownWord };
        let table = [
            (Error::Invalid(vec![problem.clone()]), NotebookError::Invalid { problems: vec![problem] }),
            (Error::NotFound("record 1".into()), NotebookError::NotFound { what: "record 1".into() }),
            (Error::NotEnrolled, not_enrolled()),
            (Error::Cancelled, NotebookError::Cancelled),
            (Error::NewerDatabase { found: 9, known: 2 }, NotebookError::NewerDatabase { found: 9, known: 2 }),
            (Error::Damaged { kept_at: "/a/b".into() }, NotebookError::Damaged { kept_at: "/a/b".into() }),
        ];
        for (inner, outer) in table {
            assert_eq!(NotebookError::from(inner), outer);
        }
    }

    #[test]
    fn a_photo_that_cannot_be_kept_says_why_and_what_to_do() {
        let crossed = NotebookError::from(Error::Photo(PhotoProblem::TooManyPixels));
        let NotebookError::Refused { code, retry, sentence } = crossed else { panic!("{crossed}") };
        assert_eq!((code.as_str(), retry), ("TOO_MANY_PIXELS", Retry::Never));
        assert!(sentence.en.contains("40 megapixels") && sentence.en.ends_with('.'));
        assert!(sentence.es.contains("40 megapíxeles") && sentence.es.ends_with('.'));
    }

    #[test]
    fn the_file_systems_own_words_do_not_cross() {
        let source = io::Error::new(io::ErrorKind::PermissionDenied, "a/secret/place");
        let crossed = NotebookError::from(Error::io("writing the bundle")(source));
        assert_eq!(crossed, NotebookError::Storage { what: "writing the bundle: permission denied".into() });
        let full = Error::io("writing the bundle")(io::Error::from(io::ErrorKind::StorageFull));
        assert!(matches!(NotebookError::from(full), NotebookError::Refused { code, .. } if code == "NO_SPACE"));
    }
}
