//! What can be observed.

use super::Text;
use serde::{Deserialize, Serialize};

/// Where on the plant or site a character is looked at.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[expect(missing_docs, reason = "the names say it")]
pub enum Part {
    Site,
    WholePlant,
    RootFlare,
    Trunk,
    Branch,
    Twig,
    Bud,
    Leaf,
    Flower,
    Fruit,
    Lawn,
}

/// What a look costs, from cheapest to dearest.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum Cost {
    /// Eyes only.
    Glance,
    /// Hand, lens, white paper, ruler.
    Touch,
    /// A cut: slight harm to the plant.
    Knife,
    /// A hole with hand tools.
    Dig,
    /// A sample, a fee and days of waiting.
    Lab,
}

/// How a character enters the differential.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum Nature {
    /// A circumstance of site, weather or history: it shifts the odds of causes and is produced by none.
    Circumstance,
    /// Something causes produce, and many other things do, too.
    #[default]
    Effect,
    /// An effect that hardly anything else produces.
    Sign,
}

/// One observable character.
#[derive(Clone, PartialEq, Debug)]
pub struct Character {
    /// Id, kept for ever.
    pub id: String,
    /// Where to look.
    pub part: Part,
    /// What the look costs.
    pub cost: Cost,
    /// How it enters the differential.
    pub nature: Nature,
    /// Whether several states can be there at once; otherwise exactly one is.
    pub multi: bool,
    /// Whether it looks for something that is often away or hidden at the visit, so that finding none says less.
    pub mobile: bool,
    /// A short noun phrase, for lists.
    pub label: Text,
    /// The question.
    pub ask: Text,
    /// How to look.
    pub how: Text,
    /// The states in the order they are shown; at least two.
    pub states: Vec<State>,
    /// Index in `states` of the one that means nothing is wrong here.
    pub normal: usize,
}

/// One state of a character.
#[derive(Clone, PartialEq, Debug)]
pub struct State {
    /// Id within the character, kept for ever.
    pub id: String,
    /// What people read.
    pub text: Text,
    /// Chance that the state is there when no listed cause explains it, where the pack gives it; above 0 and below 1.
    pub leak: Option<f64>,
    /// Whether picking it only says that nobody knows.
    pub not_known: bool,
    /// Ids of the stops it raises.
    pub stops: Vec<String>,
}

impl Character {
    /// Index of the state with this id.
    pub fn state_index(&self, id: &str) -> Option<usize> {
        self.states.iter().position(|s| s.id == id)
    }

    /// Indices of all states but the normal one.
    pub fn abnormal(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.states.len()).filter(|s| *s != self.normal)
    }
}
