//! One change that is proposed.

use super::{Estimate, LearnSettings, Model, Tally, model::log_odds};
use serde::{Deserialize, Serialize};
use std::fmt;

/// Lowest and highest chance that a pack is given: nothing is impossible, and nothing certain.
const BOUNDS: [f64; 2] = [0.005, 0.97];

/// What a change is about.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
#[serde(tag = "what", rename_all = "snake_case", deny_unknown_fields)]
pub enum Place {
    /// How often a cause produces a state.
    Link {
        /// Id of the cause.
        cause: String,
        /// Id of the character.
        character: String,
        /// Id of the state.
        state: String,
    },
    /// How often a state is there without any listed cause.
    Leak {
        /// Id of the character.
        character: String,
        /// Id of the state.
        state: String,
    },
    /// How often a cause explains an inquiry; with a host or a month, how it differs there from all its cases.
    Prior {
        /// Id of the cause.
        cause: String,
        /// Id of the host, for one host.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        host: Option<String>,
        /// Month of the look, 1 to 12, for one month.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        month: Option<i8>,
    },
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Link { cause, character, state } => write!(f, "{cause}: {character}.{state}"),
            Self::Leak { character, state } => write!(f, "without a cause: {character}.{state}"),
            Self::Prior { cause, host, month } => {
                write!(f, "{cause}: prior")?;
                host.iter().try_for_each(|host| write!(f, " on {host}"))?;
                month.iter().try_for_each(|month| write!(f, " in month {month}"))
            }
        }
    }
}

/// A change that is proposed.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// What it is about.
    pub place: Place,
    /// The word nearest to the old chance, where there are words.
    pub old_word: Option<String>,
    /// The chance that is believed now.
    pub old: f64,
    /// The chance that the cases speak for.
    pub new: f64,
    /// The word nearest to it, where there are words.
    pub new_word: Option<String>,
    /// Cases that say something about it.
    pub cases: u32,
    /// How many times it was so in them, by responsibility.
    pub hits: f64,
    /// Where the chance lies: lower and upper end.
    pub interval: [f64; 2],
}

impl Change {
    /// The change at a place, if there are enough cases, the word, or the chance by enough, becomes another, and the
    /// cases alone speak against the old chance.
    pub(super) fn at(
        place: Place,
        old: f64,
        estimate: Estimate,
        tally: Tally,
        model: &Model,
        settings: &LearnSettings,
    ) -> Option<Self> {
        let bound = |chance: f64| chance.clamp(BOUNDS[0], BOUNDS[1]);
        let new = bound(estimate.chance);
        let word = |chance| model.nearest_word(chance).map(|w| w.name.clone());
        let (old_word, new_word) = (word(old), word(new));
        let moves = (log_odds(new) - log_odds(old)).abs() >= settings.least_log_odds;
        let material =
            moves && estimate.differs && (old_word != new_word || (new - old).abs() >= settings.least_chance);
        (material && tally.cases >= settings.fewest_cases).then(|| Self {
            place,
            old_word,
            old,
            new,
            new_word,
            cases: tally.cases,
            hits: tally.hits,
            interval: estimate.interval.map(bound),
        })
    }
}

impl fmt::Display for Change {
    /// One line: `maple_spot: leaf_spot.round  sometimes 0.35 -> usually 0.74 (12.6 of 16 cases; 0.60 to 0.86)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = |word: &Option<String>| word.as_ref().map(|w| format!("{w} ")).unwrap_or_default();
        write!(
            f,
            "{}  {}{:.2} -> {}{:.2}",
            self.place,
            word(&self.old_word),
            self.old,
            word(&self.new_word),
            self.new
        )?;
        let [low, high] = self.interval;
        write!(f, " ({:.1} of {} cases; {low:.2} to {high:.2})", self.hits, self.cases)
    }
}
