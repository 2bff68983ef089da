//! The three files of a pack as people write them, before any reference is followed.

use super::causes::{Escalate, Kind, Role};
use super::characters::{Cost, Part};
use super::pack::ReviewStatus;
use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};
use std::{collections::BTreeMap, fmt, marker::PhantomData};

/// A mapping in the order in which it is written.
pub(super) struct Ordered<V>(pub Vec<(String, V)>);

impl<V> Default for Ordered<V> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<'de, V: Deserialize<'de>> Deserialize<'de> for Ordered<V> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Entries<V>(PhantomData<V>);
        impl<'de, V: Deserialize<'de>> Visitor<'de> for Entries<V> {
            type Value = Ordered<V>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a mapping")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Ordered<V>, A::Error> {
                let mut entries = Vec::new();
                while let Some(entry) = map.next_entry()? {
                    entries.push(entry);
                }
                Ok(Ordered(entries))
            }
        }
        deserializer.deserialize_map(Entries(PhantomData))
    }
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PackFile {
    pub id: String,
    pub version: u32,
    pub date: String,
    pub status: ReviewStatus,
    pub language: String,
    pub title: String,
    #[serde(default)]
    pub not_known: Vec<String>,
    #[serde(default)]
    pub mobile: Vec<String>,
    #[serde(default)]
    pub stops: Vec<StopEntry>,
    #[serde(default)]
    pub also_stops: BTreeMap<String, String>,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StopEntry {
    pub id: String,
    pub from: Option<String>,
    pub text: Option<String>,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CharactersFile {
    pub meta: CharactersMeta,
    pub characters: Vec<CharacterEntry>,
}

/// The parts of the file's head that the program uses; the rest is for its readers.
#[derive(serde::Deserialize)]
pub(super) struct CharactersMeta {
    #[serde(default)]
    pub setting: Vec<String>,
    #[serde(default)]
    pub specific_signs: Vec<String>,
    #[serde(default)]
    pub stops: BTreeMap<String, String>,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CharacterEntry {
    pub id: String,
    pub part: Part,
    pub cost: Cost,
    #[serde(default)]
    pub multi: bool,
    #[serde(default)]
    pub stop: BTreeMap<String, String>,
    pub ask: String,
    pub how: String,
    pub normal: String,
    pub states: Ordered<String>,
    #[serde(default)]
    pub leak: BTreeMap<String, String>,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct DisordersFile {
    pub meta: DisordersMeta,
    pub hosts: Vec<HostEntry>,
    pub disorders: Vec<CauseEntry>,
}

/// The part of the file's head that the program uses; the rest is for its readers.
#[derive(serde::Deserialize)]
pub(super) struct DisordersMeta {
    pub frequency: BTreeMap<String, f64>,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct HostEntry {
    pub id: String,
    pub name: String,
    pub sci: String,
    pub group: String,
    pub note: Option<String>,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CauseEntry {
    pub id: String,
    pub name: String,
    pub cause: String,
    #[serde(rename = "type")]
    pub kind: Kind,
    pub hosts: Vec<String>,
    pub prior: String,
    pub key: Ordered<String>,
    #[serde(default)]
    pub fits: Ordered<String>,
    #[serde(default)]
    pub against: Ordered<String>,
    pub confirm: String,
    #[serde(default)]
    pub confusers: Vec<String>,
    pub window: (String, String),
    pub weather: String,
    #[serde(rename = "do")]
    pub steps: String,
    #[serde(rename = "dont")]
    pub cautions: String,
    pub role: Role,
    pub escalate: Escalate,
}
