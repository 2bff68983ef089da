//! What a person may say otherwise in a letter before it goes out: paragraphs and steps, each with its own id.

use super::Changes;
use crate::key::authored::BlockKind;

/// Where a piece stands in the letter.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Place {
    /// The first paragraph.
    Opening,
    /// After the causes; nothing unless a person writes it.
    Think,
    /// What to find out first.
    Check,
    /// What to do now.
    Now,
    /// What to do later.
    Later,
    /// When to call.
    Call,
    /// Before the regards; nothing unless a person writes it.
    Closing,
}

/// A piece of a letter that may be changed.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Piece {
    /// Its id: that of the step, or of its place.
    pub id: String,
    /// Where it stands.
    pub place: Place,
    /// The words of the pack, or of every letter.
    pub given: String,
    /// The words that stand there now; empty where it was left out.
    pub text: String,
}

impl Piece {
    /// Whether a person changed it or left it out.
    pub fn is_changed(&self) -> bool {
        self.text != self.given
    }
}

/// The pieces of one letter, as they are written.
pub(super) struct Pieces<'c> {
    changes: &'c Changes,
    list: Vec<Piece>,
}

impl<'c> Pieces<'c> {
    pub fn new(changes: &'c Changes) -> Self {
        Self { changes, list: Vec::new() }
    }

    /// A paragraph, in the words that stand there now.
    pub fn paragraph(&mut self, place: Place, given: &str) -> String {
        let id = match place {
            Place::Think => "think",
            Place::Closing => "closing",
            _ => "opening",
        };
        self.add(id, place, given.to_owned())
    }

    /// A step of one of the kinds that may be changed; nothing when it was left out.
    pub fn step(&mut self, kind: BlockKind, id: &str, given: String) -> Option<String> {
        let place = match kind {
            BlockKind::Check => Place::Check,
            BlockKind::When => Place::Later,
            BlockKind::CallBack => Place::Call,
            BlockKind::Now | BlockKind::WhenNot | BlockKind::Caution => Place::Now,
        };
        Some(self.add(id, place, given)).filter(|text| !text.is_empty())
    }

    fn add(&mut self, id: &str, place: Place, given: String) -> String {
        let text = self.changes.get(id).map_or_else(|| given.clone(), |text| text.trim().to_owned());
        self.list.push(Piece { id: id.to_owned(), place, given, text: text.clone() });
        text
    }

    pub fn into_list(self) -> Vec<Piece> {
        self.list
    }
}
