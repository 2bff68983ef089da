//! The pack: all content of the key, checked, with look-ups.

use super::{
    Cause, Character, Differential, Host, Language, Observations, PackProblems, Question, Settings, Stop, Text,
    authored::Source, guidance::Guidance, resolve,
};
use crate::Result;
use serde::{Deserialize, Serialize};
use std::{collections::HashMap, path::Path};

/// Whether specialists have signed the content.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
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
    /// Day of this version.
    pub date: jiff::civil::Date,
    /// Day after which its age is shown.
    pub not_after: jiff::civil::Date,
    /// Whether it was reviewed.
    pub status: ReviewStatus,
    /// What people read.
    pub title: Text,
    /// BLAKE3 of the content, hexadecimal.
    pub hash: String,
    /// Constants of the differential.
    pub settings: Settings,
    /// What can be observed.
    pub characters: Vec<Character>,
    /// What is planted.
    pub hosts: Vec<Host>,
    /// What can be the trouble.
    pub causes: Vec<Cause>,
    /// The stops in the order in which they are shown.
    pub stops: Vec<Stop>,
    /// The safety questions, asked before anything else.
    pub questions: Vec<Question>,
    /// What to do about it.
    pub guidance: Guidance,
    /// Indices of the characters to ask first of all, with the host groups that each is asked of (none: of all).
    pub ask_first: Vec<(usize, Vec<String>)>,
    pub(super) index: Index,
}

/// Where ids stand, and which causes each host can have.
#[derive(Clone, Default, Debug)]
pub(super) struct Index {
    pub characters: HashMap<String, usize>,
    pub hosts: HashMap<String, usize>,
    pub causes: HashMap<String, usize>,
    pub groups: HashMap<String, usize>,
    pub candidates: Vec<Vec<usize>>,
}

impl Pack {
    /// The form of content that this core reads.
    pub const FORM: u32 = 1;

    /// The pack that these contents make.
    ///
    /// # Errors
    /// Every problem found: every name that leads nowhere, ids given twice, impossible chances and dates, a stop that is
    /// weaker than in every pack, a form that this core cannot read.
    pub fn from_source(source: Source) -> Result<Self, PackProblems> {
        resolve::resolve(source)
    }

    /// The pack in a folder of YAML files.
    ///
    /// # Errors
    /// Every file that is not in its form; when all are, as [`Pack::from_source`].
    pub fn from_folder(folder: &Path) -> Result<Self, PackProblems> {
        Self::from_source(Source::from_folder(folder)?)
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

    /// Id, version, date and hash in one text, for records, letters and lists: `landscape 2 (2026-11-26) 3f0c9a417b2e`.
    pub fn content_version(&self) -> String {
        format!("{} {} ({}) {}", self.id, self.version, self.date, &self.hash[..12])
    }

    /// Whether specialists have signed the content.
    pub fn is_reviewed(&self) -> bool {
        self.status == ReviewStatus::Reviewed
    }

    /// What has to stand wherever content of this pack is shown; nothing once the pack is reviewed.
    pub fn notice(&self, language: Language) -> Option<&'static str> {
        (!self.is_reviewed()).then_some(match language {
            Language::En => "Unreviewed starter content: no specialist has checked it yet.",
            Language::Es => "Contenido inicial sin revisar: ningún especialista lo ha revisado todavía.",
        })
    }

    /// The differential of one plant, with the pack's [`Settings`].
    ///
    /// # Errors
    /// As [`Differential::new`].
    pub fn differential(&self, observations: &Observations) -> Result<Differential> {
        Differential::new(self, &self.settings, observations)
    }
}
