//! What can go wrong, as codes a caller acts on. No name, note or coordinate ever stands in an error.

mod code;
mod spanish;

use std::{fmt, path::PathBuf};

pub use code::{Code, Retry};

/// Result of the core.
pub type Result<T, E = Error> = std::result::Result<T, E>;

/// What is wrong with one field of a record that somebody wants to save.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FieldProblem {
    /// The field's name, or what was given instead of one.
    pub field: String,
    /// What is wrong with it.
    pub code: FieldCode,
}

/// Codes of [`FieldProblem`].
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum FieldCode {
    /// The registry has no such field for this kind.
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

impl FieldCode {
    /// The code's name in `--json` and at the boundary.
    pub fn name(self) -> &'static str {
        match self {
            Self::UnknownField => "UNKNOWN_FIELD",
            Self::WrongType => "WRONG_TYPE",
            Self::UnknownWord => "UNKNOWN_WORD",
            Self::TooLong => "TOO_LONG",
            Self::OutOfRange => "OUT_OF_RANGE",
            Self::BadForm => "BAD_FORM",
            Self::Missing => "MISSING",
            Self::NotYours => "NOT_YOURS",
        }
    }
}

impl fmt::Display for FieldProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.field, self.code.name())
    }
}

/// An error of the core.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// Refused with a code of the wire; `detail` says what was looked at.
    #[error("{code}: {detail}. {}", code.sentence())]
    Refused {
        /// Why.
        code: Code,
        /// What was looked at, without anyone's words.
        detail: String,
    },
    /// A pack file was refused.
    #[error("{code}: {detail}. {}", code.pack_sentence())]
    Pack {
        /// Why.
        code: Code,
        /// What was looked at.
        detail: String,
    },
    /// A backup was refused.
    #[error("{code}: {detail}. {}", code.backup_sentence())]
    Backup {
        /// Why.
        code: Code,
        /// What was looked at.
        detail: String,
    },
    /// One or more fields cannot be saved as given.
    #[error("not saved: {}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "))]
    Invalid(Vec<FieldProblem>),
    /// No such record, photo or file.
    #[error("not found: {0}")]
    NotFound(String),
    /// The notebook belongs to no office yet, or its office has not said what it is; and this needs it.
    #[error("this notebook belongs to no office yet: take in the enrolment file first")]
    NotEnrolled,
    /// The database was written by a newer version; it was left untouched.
    #[error("the notebook was written by a newer version ({found}, this one knows {known}); it was not touched")]
    NewerDatabase {
        /// `user_version` found.
        found: i64,
        /// The highest one known here.
        known: i64,
    },
    /// The database is damaged; it was set aside whole.
    #[error("the notebook's file was damaged; it was set aside as {}", kept_at.display())]
    Damaged {
        /// Where the damaged file is now.
        kept_at: PathBuf,
    },
    /// A photo cannot be taken in.
    #[error("this photo cannot be used: {0}")]
    Photo(crate::photo::PhotoProblem),
    /// A person asked to stop.
    #[error("stopped as asked")]
    Cancelled,
    /// The file system said no.
    #[error("{what}: {source}")]
    Io {
        /// What was tried.
        what: String,
        /// What it said.
        source: std::io::Error,
    },
    /// SQLite said no.
    #[error("the notebook's store: {0}")]
    Storage(rusqlite::Error),
}

impl Error {
    /// A refusal with a code.
    pub fn refused(code: Code, detail: impl Into<String>) -> Self {
        Self::Refused { code, detail: detail.into() }
    }

    /// A refusal of a pack file with a code.
    pub fn pack(code: Code, detail: impl Into<String>) -> Self {
        Self::Pack { code, detail: detail.into() }
    }

    /// A refusal of a backup with a code.
    pub fn backup(code: Code, detail: impl Into<String>) -> Self {
        Self::Backup { code, detail: detail.into() }
    }

    /// A refusal met while reading a backup, said of the backup.
    #[must_use]
    pub fn of_backup(self) -> Self {
        match self {
            Self::Refused { code, detail } if code != Code::NoSpace => Self::Backup { code, detail },
            other => other,
        }
    }

    /// Wraps an error of the file system with what was tried; a full disk becomes `NO_SPACE`.
    pub fn io(what: impl Into<String>) -> impl FnOnce(std::io::Error) -> Self {
        let what = what.into();
        move |source| match source.kind() {
            std::io::ErrorKind::StorageFull | std::io::ErrorKind::QuotaExceeded => Self::refused(Code::NoSpace, what),
            _ => Self::Io { what, source },
        }
    }

    /// The wire code, where the error has one.
    pub fn code(&self) -> Option<Code> {
        match self {
            Self::Refused { code, .. } | Self::Pack { code, .. } | Self::Backup { code, .. } => Some(*code),
            _ => None,
        }
    }
}

impl From<rusqlite::Error> for Error {
    fn from(e: rusqlite::Error) -> Self {
        // What stands beside the database while it is open could not grow.
        let beside = e.sqlite_error().is_some_and(|e| e.extended_code == rusqlite::ffi::SQLITE_IOERR_SHMSIZE);
        match e.sqlite_error_code() {
            Some(rusqlite::ErrorCode::DiskFull) => Self::refused(Code::NoSpace, "writing the notebook"),
            _ if beside => Self::refused(Code::NoSpace, "opening the notebook"),
            _ => Self::Storage(e),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_disk_is_told_apart_from_other_errors() {
        let full = Error::io("writing")(std::io::Error::from(std::io::ErrorKind::StorageFull));
        assert_eq!(full.code(), Some(Code::NoSpace));
        let other = Error::io("writing")(std::io::Error::from(std::io::ErrorKind::PermissionDenied));
        assert_eq!(other.code(), None);
    }
}
