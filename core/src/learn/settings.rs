//! The numbers of learning, with their start values.

use serde::{Deserialize, Serialize};

/// The numbers of learning.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LearnSettings {
    /// How many cases the pack's own chance is worth.
    pub prior_cases: f64,
    /// Fewest cases for which a change is proposed.
    pub fewest_cases: u32,
    /// Least change, as a difference of log odds.
    pub least_log_odds: f64,
    /// Least change of the chance where the word stays the same.
    pub least_chance: f64,
    /// What a state counts as not seen where another state of a single choice was picked: it had less than the whole time
    /// to show. With competing hazards that are `h` together, `1/h - 1/(exp(h) - 1)`: .5 for small ones, .42 for 1.
    pub hidden: f64,
    /// Probability that the interval given with a change holds.
    pub interval: f64,
    /// Share of the cases that counts as earlier, when the effect is measured on the later ones.
    pub earlier: f64,
}

impl Default for LearnSettings {
    fn default() -> Self {
        Self {
            prior_cases: 10.0,
            fewest_cases: 8,
            least_log_odds: 0.4,
            least_chance: 0.1,
            hidden: 0.4,
            interval: 0.9,
            earlier: 0.7,
        }
    }
}
