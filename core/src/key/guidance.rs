//! The pack's advice, with every reference followed.

pub use super::authored::{BlockKind, FollowUp, Needs};
use super::{Text, Window};

/// Something a person may do, or may have done already.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Act {
    /// Id, kept for ever.
    pub id: String,
    /// Its words in a tick list.
    pub text: Text,
}

/// One step.
#[derive(Clone, PartialEq, Debug)]
pub struct Block {
    /// Id, kept for ever.
    pub id: String,
    /// Where in the letter it stands.
    pub kind: BlockKind,
    /// Indices of the acts it asks for.
    pub acts: Vec<usize>,
    /// The least evidence for the cause.
    pub needs: Needs,
    /// When in the year it can be done; told for later outside it.
    pub season: Option<Window>,
    /// Only for hosts of these groups, where there are any.
    pub host_groups: Vec<String>,
    /// Only for these hosts (indices), where there are any.
    pub hosts: Vec<usize>,
    /// Only for plants that people eat of, or only for others.
    pub edible: Option<bool>,
    /// Left out when one of these acts (indices) was done already.
    pub unless_done: Vec<usize>,
    /// The step.
    pub text: Text,
}

/// Causes with the same advice.
#[derive(Clone, PartialEq, Debug)]
pub struct Group {
    /// Id, kept for ever.
    pub id: String,
    /// What to do, in a few words.
    pub name: Text,
    /// Harm that following it avoids, 1 to 5.
    pub harm: u8,
    /// Indices of its blocks.
    pub blocks: Vec<usize>,
    /// Indices of all acts its blocks ask for.
    pub acts: Vec<usize>,
    /// What is asked later.
    pub follow_up: Option<FollowUp>,
}

/// Acts that must not be told together.
#[derive(Clone, PartialEq, Debug)]
pub struct Conflict {
    /// Indices of the acts.
    pub acts: Vec<usize>,
    /// Index of the block that is told instead.
    pub check: usize,
    /// A state seen (indices of character and state) settles it in favor of an act (index).
    pub settled_by: Vec<(usize, usize, usize)>,
}

/// All advice of a pack.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Guidance {
    /// What can be done.
    pub acts: Vec<Act>,
    /// The steps.
    pub blocks: Vec<Block>,
    /// Causes with the same advice.
    pub groups: Vec<Group>,
    /// What contradicts what.
    pub conflicts: Vec<Conflict>,
    /// Index of the group told while nothing can be named.
    pub general: usize,
}

impl Guidance {
    /// Id of the group told while nothing can be named.
    pub const GENERAL: &'static str = "general_care";

    /// Index of the act with this id.
    pub fn act(&self, id: &str) -> Option<usize> {
        self.acts.iter().position(|a| a.id == id)
    }
}
