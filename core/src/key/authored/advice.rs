//! Advice as people write it: steps in blocks, blocks in groups, and acts that contradict each other.

use super::{Ordered, Text};
use serde::{Deserialize, Serialize};

/// `advice.yaml`, or the files of `advice/` put together.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct AdviceEntry {
    /// Things a person may do, or may have done already, with the words of a tick list.
    pub acts: Ordered<Text>,
    /// Acts that contradict each other.
    pub conflicts: Vec<ConflictEntry>,
    /// The steps.
    pub blocks: Vec<BlockEntry>,
    /// Causes with the same advice.
    pub groups: Vec<GroupEntry>,
}

/// Acts that must not be told together.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct ConflictEntry {
    /// Ids of the acts.
    pub acts: Vec<String>,
    /// Id of the block, of kind `check`, that is told instead and says what to do for each outcome.
    pub check: String,
    /// `character.state`, when seen, settles it in favor of an act; the first one that was seen counts.
    #[serde(default)]
    pub settled_by: Ordered<String>,
}

/// Where in the letter a step stands.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum BlockKind {
    /// To find out before acting.
    Check,
    /// To do now.
    Now,
    /// To do at another time.
    When,
    /// Not to do, or when not.
    WhenNot,
    /// What can hurt.
    Caution,
    /// When to call back.
    CallBack,
}

/// The least evidence for a cause before a step is told for it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum Needs {
    /// It is shown as also possible: steps that do no harm if it is something else.
    Possible,
    /// It is named as likely.
    #[default]
    Likely,
    /// Its chance is "very likely" or more: steps that cost much or cannot be undone.
    VeryLikely,
}

/// One step.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct BlockEntry {
    /// Id, kept for ever.
    pub id: String,
    /// Where it stands.
    pub kind: BlockKind,
    /// Ids of the acts it asks for.
    #[serde(default)]
    pub acts: Vec<String>,
    /// The least evidence.
    #[serde(default)]
    pub needs: Needs,
    /// First and last day `MM-DD` on which it can be done; told for later outside them.
    pub season: Option<(String, String)>,
    /// Only for hosts of these groups.
    #[serde(default)]
    pub host_groups: Vec<String>,
    /// Only for these hosts.
    #[serde(default)]
    pub hosts: Vec<String>,
    /// Only for plants that people eat of, or only for others.
    pub edible: Option<bool>,
    /// Left out when one of these acts was done already.
    #[serde(default)]
    pub unless_done: Vec<String>,
    /// The step.
    pub text: Text,
}

/// What is asked later.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct FollowUp {
    /// Days after the advice.
    pub days: u16,
    /// The question.
    pub ask: Text,
}

/// Causes with the same advice.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct GroupEntry {
    /// Id, kept for ever.
    pub id: String,
    /// What to do, in a few words.
    pub name: Text,
    /// Harm that following it avoids: 5 people, 4 the plant or other plants, 3 a setback, 2 crop or looks, 1 hardly any.
    pub harm: u8,
    /// Ids of its blocks.
    pub blocks: Vec<String>,
    /// What is asked later.
    pub follow_up: Option<FollowUp>,
}
