//! The pack: all content of the key, checked, with look-ups.

use super::{
    Cause, Character, Differential, Host, Observations, PackProblems, Settings, Stop, authored, problem::PackProblem,
    resolve,
};
use crate::Result;
use serde::{Deserialize, Serialize};
use std::collections::HashMap;

/// Whether specialists have signed the content.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ReviewStatus {
    /// Written to start with; nobody has signed it.
    UnreviewedStarter,
    /// Every entry was signed by a specialist.
    Reviewed,
}

/// A content pack. Every index inside it points at something that is there.
#[derive(Clone, Debug)]
pub struct Pack {
    /// Id, kept for ever.
    pub id: String,
    /// Counts up with every change that is given out.
    pub version: u32,
    /// Day of this version, `YYYY-MM-DD`.
    pub date: jiff::civil::Date,
    /// Whether it was reviewed.
    pub status: ReviewStatus,
    /// Language of its texts, as a BCP 47 tag.
    pub language: String,
    /// What people read.
    pub title: String,
    /// What can be observed.
    pub characters: Vec<Character>,
    /// What is planted.
    pub hosts: Vec<Host>,
    /// What can be the trouble.
    pub causes: Vec<Cause>,
    /// The stops in the order in which they are shown.
    pub stops: Vec<Stop>,
    pub(super) index: Index,
}

/// Where ids stand, and which causes each host can have.
#[derive(Clone, Default, Debug)]
pub(super) struct Index {
    pub characters: HashMap<String, usize>,
    pub hosts: HashMap<String, usize>,
    pub causes: HashMap<String, usize>,
    pub candidates: Vec<Vec<usize>>,
}

impl Pack {
    /// Reads a pack from the texts of its three files.
    ///
    /// # Errors
    /// Every problem found: a file that is not in its form, every name that leads nowhere, ids given twice, impossible
    /// chances and dates. References are followed only when all three files could be read.
    pub fn from_yaml(pack: &str, characters: &str, disorders: &str) -> Result<Self, PackProblems> {
        let mut problems = Vec::new();
        let pack = read::<authored::PackFile>("pack", pack, &mut problems);
        let characters = read::<authored::CharactersFile>("characters", characters, &mut problems);
        let disorders = read::<authored::DisordersFile>("disorders", disorders, &mut problems);
        match (pack, characters, disorders) {
            (Some(pack), Some(characters), Some(disorders)) => resolve::resolve(pack, characters, disorders),
            _ => Err(PackProblems(problems)),
        }
    }

    /// The character with this id.
    pub fn character(&self, id: &str) -> Option<&Character> {
        self.index.characters.get(id).map(|i| &self.characters[*i])
    }

    /// The host with this id.
    pub fn host(&self, id: &str) -> Option<&Host> {
        self.index.hosts.get(id).map(|i| &self.hosts[*i])
    }

    /// The cause with this id.
    pub fn cause(&self, id: &str) -> Option<&Cause> {
        self.index.causes.get(id).map(|i| &self.causes[*i])
    }

    /// The stop with this id.
    pub fn stop(&self, id: &str) -> Option<&Stop> {
        self.stops.iter().find(|s| s.id == id)
    }

    /// Id, version and date in one text, for records, letters and lists: `landscape 1 (2026-11-25)`.
    pub fn content_version(&self) -> String {
        format!("{} {} ({})", self.id, self.version, self.date)
    }

    /// Whether specialists have signed the content.
    pub fn is_reviewed(&self) -> bool {
        self.status == ReviewStatus::Reviewed
    }

    /// What has to stand wherever content of this pack is shown; nothing once the pack is reviewed.
    pub fn notice(&self) -> Option<&'static str> {
        (!self.is_reviewed()).then_some("Unreviewed starter content: no specialist has checked it yet.")
    }

    /// The differential of one plant, with the start values of [`Settings`].
    ///
    /// # Errors
    /// As [`Differential::new`].
    pub fn differential(&self, observations: &Observations) -> Result<Differential> {
        Differential::new(self, &Settings::default(), observations)
    }
}

fn read<T: serde::de::DeserializeOwned>(file: &'static str, text: &str, problems: &mut Vec<PackProblem>) -> Option<T> {
    serde_saphyr::from_str(text)
        .map_err(|e| problems.push(PackProblem::Unreadable { file, message: e.to_string() }))
        .ok()
}
