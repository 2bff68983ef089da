//! Small parts that several screens share.

use crate::ids::RecordId;

/// One choice of a list.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Choice {
    /// What is handed back when it is chosen.
    pub id: String,
    /// Its words.
    pub text: String,
    /// It is the chosen one.
    pub chosen: bool,
}

/// A line with its label.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Line {
    /// What it is about.
    pub label: String,
    /// Its words.
    pub text: String,
}

/// What can be undone just now.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Undo {
    /// The record to bring back; with a place, the inquiry that goes back to it.
    pub record: RecordId,
    /// The place with the position that was taken away.
    pub place: Option<RecordId>,
    /// What was done: `Photo taken away.`
    pub text: String,
}
