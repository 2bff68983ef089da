//! A proposal: changes for a person to read and to say yes or no to.

use super::{Change, Effect, LearnSettings, Model, Outcome, Stated, effect, estimate};
use serde::{Deserialize, Serialize};
use std::fmt;

/// Changes that the cases speak for. It is data: nothing changes until somebody says yes to it.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Proposal {
    /// Which content it is about, as `Pack::content_version` gives it.
    pub content_version: String,
    /// How many outcomes it was fitted on.
    pub outcomes: u32,
    /// The changes, links first, then leaks and priors.
    pub changes: Vec<Change>,
    /// What it would have done for later cases, fitted on earlier ones; nothing if there are too few.
    pub effect: Option<Effect>,
    /// What outcomes name and the pack does not have: findings and causes that were passed over.
    pub unknown: Vec<String>,
    /// The numbers it was made with.
    pub settings: LearnSettings,
}

impl Proposal {
    /// What the outcomes speak for; `with` and `rank` as in [`measure`](super::measure).
    pub fn new<P>(
        content_version: String,
        model: &Model,
        outcomes: &[Outcome],
        settings: &LearnSettings,
        with: impl Fn(&[Change]) -> P,
        rank: impl Fn(&P, &Outcome) -> Vec<Stated>,
    ) -> Self {
        let (changes, unknown) = estimate::changes(model, outcomes, settings);
        Self {
            content_version,
            outcomes: u32::try_from(outcomes.len()).unwrap_or(u32::MAX),
            changes,
            effect: effect::measure(model, outcomes, settings, with, rank),
            unknown: unknown.into_iter().collect(),
            settings: *settings,
        }
    }
}

impl fmt::Display for Proposal {
    /// A diff to read: one line for each change, then the effect.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "Proposal for {}, from {} confirmed cases", self.content_version, self.outcomes)?;
        if self.changes.is_empty() {
            writeln!(f, "  no change: the cases are too few, or agree with the pack")?;
        }
        for change in &self.changes {
            writeln!(f, "  {change}")?;
        }
        match &self.effect {
            None => writeln!(f, "Effect: not measured, too few cases")?,
            Some(e) => {
                let what = format!("{} changes from the {} earlier cases", e.changes, e.fitted_on);
                writeln!(f, "Effect of {what} on the {} later ones:", e.before.cases)?;
                for (name, before, after) in [
                    ("first choice right", e.before.first, e.after.first),
                    ("among the first three", e.before.three, e.after.three),
                    ("Brier", e.before.brier, e.after.brier),
                    ("log loss", e.before.log_loss, e.after.log_loss),
                ] {
                    writeln!(f, "  {name}: {before:.3} before, {after:.3} after")?;
                }
            }
        }
        if !self.unknown.is_empty() {
            writeln!(f, "Passed over, not in the pack: {}", self.unknown.join(", "))?;
        }
        write!(f, "Nothing was changed.")
    }
}
