//! Every number of the key that is not content.

use super::Cost;
use serde::{Deserialize, Serialize};

/// Constants of the differential. The start values were measured on described yard cases and lie on a flat plateau; they
/// are to be fitted again on an office's own reviewed cases. Chances and factors have no unit.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Settings {
    /// Power on the prior odds of a cause. Below 1 because prior words are ranks more than probabilities.
    pub prior_power: f64,
    /// Factor on the prior odds of a cause that any host can have.
    pub any_host_factor: f64,
    /// How many causes a plant has on average before any finding; prior odds are scaled to it.
    pub expected_causes: f64,
    /// Weight of a set of 0, 1, 2, 3 causes.
    pub size_weights: [f64; 4],
    /// Factor on the odds within `shoulder_days` of a cause's season.
    pub shoulder_factor: f64,
    /// Days before and after the season that count as shoulder.
    pub shoulder_days: u16,
    /// Factor on the odds farther from the season.
    pub out_of_season_factor: f64,
    /// One circumstance changes the odds by no less and no more than these factors.
    pub circumstance_limits: (f64, f64),
    /// Power on the likelihood of all effects together: findings are not independent.
    pub tempering: f64,
    /// No cause shows a state surer than this.
    pub highest_chance: f64,
    /// Leak of an ordinary state without a word of its own: how often something else shows it.
    pub effect_leak: f64,
    /// Leak of a specific sign without a word of its own.
    pub sign_leak: f64,
    /// Base rate of a circumstance without a word of its own.
    pub circumstance_leak: f64,
    /// Share of a cause's largest chance that goes to the other states of a single choice: a neighbour was picked.
    pub spill: f64,
    /// Chance that a finding is a mistake.
    pub mistake: f64,
    /// The same for a specific sign: fewer people take something else for it.
    pub sign_mistake: f64,
    /// Chance of a state being marked seen, where several can be, if the finding is a mistake.
    pub mistaken_seen: f64,
    /// Chance of a state being marked absent, or of "normal", where several can be seen, if the finding is a mistake.
    pub mistaken_absent: f64,
    /// Weight of states left unpicked while another one of the same character was picked.
    pub unpicked_weight: f64,
    /// One finding makes a set no less likely than by this factor.
    pub finding_floor: f64,
    /// The same for "none seen" of living things that are often not there at the visit.
    pub mobile_floor: f64,
    /// Something that speaks against a cause lowers it by no more than this factor.
    pub against_floor: f64,
    /// Base rates below this count as this when something speaks for or against a cause directly.
    pub base_floor: f64,
    /// Share of an environment cause of any host in a set's main cause, against 1 for a primary cause.
    pub everywhere_share: f64,
    /// The same for a harmless cause.
    pub harmless_share: f64,
    /// The same for a secondary cause.
    pub secondary_share: f64,
    /// A cause with a probability above this is named as likely.
    pub named_above: f64,
    /// A cause with a probability from this up is shown as also possible.
    pub possible_from: f64,
    /// A cause that the findings raised by less than this factor only idles near its prior.
    pub shown_lift: f64,
    /// How many sets of causes are given.
    pub top_sets: usize,
    /// Minutes that each look takes: glance, touch, knife, dig, laboratory.
    pub look_minutes: [f64; 5],
    /// Factor on the gain of each look for the harm it does: glance, touch, knife, dig, laboratory.
    pub look_harm: [f64; 5],
    /// Share of the gain over causes that counts beside the gain over advice.
    pub cause_gain_share: f64,
    /// A look that gains less (nats) is left out.
    pub smallest_gain: f64,
    /// A look whose answer changes the leading advice with less than this chance counts as changing nothing.
    pub changes_advice_floor: f64,
    /// So many looks that could not be told leave it unsettled, whatever the others say ...
    pub open_looks: usize,
    /// ... if they are this share of all looks tried, or more.
    pub open_share: f64,
    /// Probability of the least probable sets that the next look leaves out, all together.
    pub look_rest: f64,
    /// A reason with a smaller weight (natural log of odds) is left out.
    pub smallest_reason: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            prior_power: 0.30,
            any_host_factor: 0.30,
            expected_causes: 1.0,
            size_weights: [0.2, 1.0, 0.4, 0.15],
            shoulder_factor: 0.4,
            shoulder_days: 14,
            out_of_season_factor: 0.1,
            circumstance_limits: (0.2, 5.0),
            tempering: 0.85,
            highest_chance: 0.97,
            effect_leak: 0.04,
            sign_leak: 0.01,
            circumstance_leak: 0.15,
            spill: 0.10,
            mistake: 0.04,
            sign_mistake: 0.04,
            mistaken_seen: 0.1,
            mistaken_absent: 0.5,
            unpicked_weight: 0.3,
            finding_floor: 0.2,
            mobile_floor: 0.5,
            against_floor: 0.1,
            base_floor: 0.05,
            everywhere_share: 0.5,
            harmless_share: 0.5,
            secondary_share: 0.3,
            named_above: 0.5,
            possible_from: 0.3,
            shown_lift: 1.2,
            top_sets: 5,
            look_minutes: [0.2, 1.0, 3.0, 10.0, 60.0],
            look_harm: [1.0, 1.0, 0.7, 0.7, 0.5],
            cause_gain_share: 0.25,
            smallest_gain: 0.002,
            changes_advice_floor: 0.05,
            open_looks: 2,
            open_share: 0.2,
            look_rest: 0.01,
            smallest_reason: 0.05,
        }
    }
}

impl Settings {
    /// Minutes of a look, and the factor for its harm.
    pub fn look_cost(&self, cost: Cost) -> (f64, f64) {
        let at = cost as usize;
        (self.look_minutes[at], self.look_harm[at])
    }
}
