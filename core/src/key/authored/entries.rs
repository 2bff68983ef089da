//! Characters, hosts, causes and stops as people write them, before any reference is followed.

use super::{Ordered, Text};
use crate::key::causes::{Escalate, Kind, Role};
use crate::key::characters::{Cost, Nature, Part};
use crate::key::pack::ReviewStatus;
use crate::key::settings::Settings;
use crate::key::stops::{Blocks, StopKind};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// `pack.yaml`: what the pack is, and every number that is not content of one entry.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct PackEntry {
    /// Id, kept for ever.
    pub id: String,
    /// Counts up with every change that is given out.
    pub version: u32,
    /// Day of this version, `YYYY-MM-DD`.
    pub date: String,
    /// Day after which its age is shown and a newer one asked for, `YYYY-MM-DD`. It never locks anything.
    pub not_after: String,
    /// Whether specialists have signed it.
    pub status: ReviewStatus,
    /// What people read.
    pub title: Text,
    /// Lowest and highest form of the content (`Pack::FORM`) of a core that can read it.
    pub core: (u32, u32),
    /// Chance of every frequency word.
    pub frequency: BTreeMap<String, f64>,
    /// Characters to ask first of all, whatever they would gain, in order, each with the host groups that it is asked of
    /// (none: of all).
    pub ask_first: Ordered<Vec<String>>,
    /// Constants of the differential that differ from the start values.
    #[serde(default)]
    pub settings: Settings,
}

/// One character.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[expect(missing_docs, reason = "as in the resolved `Character`")]
pub struct CharacterEntry {
    pub id: String,
    pub part: Part,
    pub cost: Cost,
    #[serde(default)]
    pub nature: Nature,
    #[serde(default)]
    pub mobile: bool,
    /// States that only say that nobody knows.
    #[serde(default)]
    pub not_known: Vec<String>,
    #[serde(default)]
    pub multi: bool,
    /// Stop that every state but the normal one raises.
    pub also_stop: Option<String>,
    /// Stops of single states.
    #[serde(default)]
    pub stop: BTreeMap<String, Vec<String>>,
    pub label: String,
    pub ask: String,
    pub how: String,
    pub normal: String,
    pub states: Ordered<String>,
    /// Frequency words.
    #[serde(default)]
    pub leak: BTreeMap<String, String>,
}

/// One host.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[expect(missing_docs, reason = "as in the resolved `Host`")]
pub struct HostEntry {
    pub id: String,
    pub name: String,
    pub sci: String,
    pub group: String,
    /// Whether people eat of it.
    #[serde(default)]
    pub edible: bool,
    pub note: Option<String>,
}

/// One cause.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[expect(missing_docs, reason = "as in the resolved `Cause`")]
pub struct CauseEntry {
    pub id: String,
    pub name: String,
    pub cause: String,
    #[serde(rename = "type")]
    pub kind: Kind,
    pub hosts: Vec<String>,
    /// Hosts and host groups that cannot have it, where the hosts are `any`.
    #[serde(default)]
    pub except: Vec<String>,
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
    /// Causes with the same advice have the same group.
    pub group: String,
    pub role: Role,
    pub escalate: Escalate,
}

/// `stops.yaml`.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct StopsEntry {
    /// Asked before anything else, in order.
    pub questions: Vec<QuestionEntry>,
    /// In the order in which they are shown.
    pub stops: Vec<StopEntry>,
}

/// A safety question.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct QuestionEntry {
    /// Id, kept for ever.
    pub id: String,
    /// The question.
    pub ask: Text,
    /// Ids of the stops that a yes raises.
    pub raises: Vec<String>,
}

/// One stop.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct StopEntry {
    /// Id, kept for ever.
    pub id: String,
    /// What it does.
    pub kind: StopKind,
    /// What may not go on while it stands.
    #[serde(default)]
    pub blocks: Vec<Blocks>,
    /// A few words.
    pub title: Text,
    /// What is shown.
    pub text: Text,
}

/// The Spanish of a character.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[expect(missing_docs, reason = "as in the character")]
pub struct CharacterWords {
    pub label: Option<String>,
    pub ask: Option<String>,
    pub how: Option<String>,
    #[serde(default)]
    pub states: BTreeMap<String, String>,
}

/// The Spanish of a cause.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[expect(missing_docs, reason = "as in the cause")]
pub struct CauseWords {
    pub name: Option<String>,
    pub cause: Option<String>,
    pub confirm: Option<String>,
    pub weather: Option<String>,
    #[serde(rename = "do")]
    pub steps: Option<String>,
    #[serde(rename = "dont")]
    pub cautions: Option<String>,
}

/// The Spanish of a host.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[expect(missing_docs, reason = "as in the host")]
pub struct HostWords {
    pub name: Option<String>,
    pub note: Option<String>,
}
