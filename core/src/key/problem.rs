//! What is wrong with a pack, all of it at once.

use crate::{Code, Error};
use std::fmt;

/// One thing that is wrong with a pack.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum PackProblem {
    /// A file is not in its form; `message` says where and why.
    Unreadable {
        /// Its path in the folder of the pack.
        file: String,
        /// What the reader said.
        message: String,
    },
    /// Something is named that the pack does not have.
    Unknown {
        /// Where it is named, for example `oak_wilt key`.
        place: String,
        /// What it should have been: `character`, `state`, `host`, `cause`, `stop`, `frequency word`.
        what: &'static str,
        /// The name given.
        name: String,
    },
    /// Two things of one sort have the same id.
    Twice {
        /// `character`, `host`, `cause` or `stop`.
        what: &'static str,
        /// The id.
        id: String,
    },
    /// A value that cannot be as it is.
    Bad {
        /// Where it stands, for example `oak_wilt window`.
        place: String,
        /// What is wrong, in a few words.
        why: String,
    },
}

impl fmt::Display for PackProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable { file, message } => write!(f, "{file}: {message}"),
            Self::Unknown { place, what, name } => write!(f, "{place}: no {what} {name}"),
            Self::Twice { what, id } => write!(f, "{what} {id} is there twice"),
            Self::Bad { place, why } => write!(f, "{place}: {why}"),
        }
    }
}

/// Everything that is wrong with a pack; never empty.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
#[error("the pack has {} problems: {}", .0.len(), .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
pub struct PackProblems(pub Vec<PackProblem>);

impl From<PackProblems> for Error {
    fn from(problems: PackProblems) -> Self {
        Self::refused(Code::Schema, problems.to_string())
    }
}
