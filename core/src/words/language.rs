//! The languages that programs and content packs speak.

use serde::{Deserialize, Serialize};

/// A language that people are spoken to in.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum Language {
    /// English, as in the United States.
    #[default]
    En,
    /// Spanish, as in the United States.
    Es,
}

impl Language {
    /// Every language.
    pub const ALL: [Self; 2] = [Self::En, Self::Es];

    /// The tag of BCP 47.
    pub fn tag(self) -> &'static str {
        match self {
            Self::En => "en",
            Self::Es => "es",
        }
    }

    /// What its speakers call it.
    pub fn own_name(self) -> &'static str {
        match self {
            Self::En => "English",
            Self::Es => "Español",
        }
    }

    /// The language with this tag; of a longer tag (`es-US`) its first part counts.
    pub fn from_tag(tag: &str) -> Option<Self> {
        let first = tag.split(['-', '_']).next().unwrap_or_default();
        Self::ALL.into_iter().find(|l| first.eq_ignore_ascii_case(l.tag()))
    }
}
