//! Causes, hosts and the words that tie causes to states.

use super::{Text, season::Window};
use serde::{Deserialize, Serialize};

/// A word for how often something is so. The pack gives each a chance.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Frequency {
    AlmostNever,
    Rarely,
    Occasionally,
    Sometimes,
    Often,
    Usually,
    NearlyAlways,
}

impl Frequency {
    /// All words, from the lowest up.
    pub const ALL: [Self; 7] = [
        Self::AlmostNever,
        Self::Rarely,
        Self::Occasionally,
        Self::Sometimes,
        Self::Often,
        Self::Usually,
        Self::NearlyAlways,
    ];

    /// The word as packs write it.
    pub fn name(self) -> &'static str {
        match self {
            Self::AlmostNever => "almost_never",
            Self::Rarely => "rarely",
            Self::Occasionally => "occasionally",
            Self::Sometimes => "sometimes",
            Self::Often => "often",
            Self::Usually => "usually",
            Self::NearlyAlways => "nearly_always",
        }
    }

    /// The word with this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|w| w.name() == name)
    }
}

/// What sort of thing a cause is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[expect(missing_docs, reason = "the names say it")]
pub enum Kind {
    Abiotic,
    Fungus,
    Bacterium,
    Oomycete,
    Virus,
    Phytoplasma,
    Nematode,
    Insect,
    Mite,
    Animal,
    Natural,
}

/// What part a cause plays in a plant's trouble.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum Role {
    /// Can start the trouble by itself on a sound plant.
    Primary,
    /// Rarely harms a vigorous plant: look for the stress that came first.
    StressTriggered,
    /// Follows other damage: never the only cause.
    Secondary,
    /// Site, weather or people.
    Environment,
    /// Looks alarming and needs no treatment.
    Harmless,
}

/// Who has to answer.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum Escalate {
    /// A volunteer may answer from approved text.
    None,
    /// The educator confirms before advice goes out.
    Educator,
    /// A sample before advice beyond general care.
    Lab,
    /// A qualified or licensed tree-care professional on site.
    Arborist,
    /// Stop: the educator notifies the state plant regulatory official.
    Regulated,
}

/// What is planted: a kind or a group of kinds that share their troubles.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Host {
    /// Id, kept for ever.
    pub id: String,
    /// What people read.
    pub name: Text,
    /// Scientific name or names.
    pub scientific: String,
    /// Tree, conifer, shrub, perennial, vegetable or lawn.
    pub group: String,
    /// Whether people eat of it.
    pub edible: bool,
    /// What to know about it.
    pub note: Option<Text>,
}

/// A word that ties a cause to a state of a character.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Link {
    /// Index of the character in the pack.
    pub character: usize,
    /// Index of the state in the character.
    pub state: usize,
    /// The word.
    pub word: Frequency,
    /// The pack's chance for it, above 0 and below 1.
    pub chance: f64,
}

/// One cause: disease, insect, site, weather, people, or harmless.
#[derive(Clone, PartialEq, Debug)]
pub struct Cause {
    /// Id, kept for ever.
    pub id: String,
    /// What people read.
    pub name: Text,
    /// What brings it about.
    pub origin: Text,
    /// What sort of thing it is.
    pub kind: Kind,
    /// Whether every host can have it but those of `except`; `hosts` is empty then.
    pub any_host: bool,
    /// Indices of the hosts that cannot have it although the others can.
    pub except: Vec<usize>,
    /// Indices of its hosts in the pack.
    pub hosts: Vec<usize>,
    /// How often it explains an inquiry about such a host, as a chance.
    pub prior: f64,
    /// States it produces, with the chance that it does. Never a normal state.
    pub key: Vec<Link>,
    /// Normal states to be expected, with the chance of them.
    pub fits: Vec<Link>,
    /// States that speak against it, with the (low) chance of them under this cause.
    pub against: Vec<Link>,
    /// How to confirm it.
    pub confirm: Text,
    /// Indices in the pack of the causes it is mistaken for.
    pub confusers: Vec<usize>,
    /// When in the year it is reported.
    pub window: Window,
    /// The weather it comes with.
    pub weather: Text,
    /// What to do, and when.
    pub steps: Text,
    /// What not to do, and when not.
    pub cautions: Text,
    /// Index of its advice group in the pack.
    pub group: usize,
    /// Its part in the trouble.
    pub role: Role,
    /// Who has to answer.
    pub escalate: Escalate,
}

impl Cause {
    /// Whether the plant with this host (index in the pack) can have it.
    pub fn fits_host(&self, host: usize) -> bool {
        if self.any_host { !self.except.contains(&host) } else { self.hosts.contains(&host) }
    }

    /// Chance that it produces the state; nothing if it is not said to.
    pub fn chance(&self, character: usize, state: usize) -> Option<f64> {
        find(&self.key, character, state)
    }
}

/// The chance of the link to this state.
pub(super) fn find(links: &[Link], character: usize, state: usize) -> Option<f64> {
    links.iter().find(|l| l.character == character && l.state == state).map(|l| l.chance)
}
