//! Learning from cases whose cause was confirmed: how often the words of a pack hold, and how right its answers were.
//!
//! What comes in: outcomes, and a model in plain values (an adapter takes it from a pack). What goes out: a proposal, which
//! is data for a person to read, its effect on later cases that it was not fitted on, and figures of calibration. Nothing
//! here changes a pack by itself.

mod beta;
mod calibration;
mod change;
mod effect;
mod estimate;
mod from_pack;
mod model;
mod outcome;
mod priors;
mod proposal;
mod publish;
mod settings;
mod tally;

#[cfg(test)]
mod tests;

pub use beta::{Estimate, posterior, wilson};
pub use calibration::{Bin, Calibration, Group, brier, kappa};
pub use change::{Change, Place};
pub use effect::{Effect, Score, measure, split_by_time};
pub use from_pack::{NotPublished, applied, rank};
pub use model::{LearnCause, LearnCharacter, LearnLink, LearnState, Model, Word};
pub use outcome::{Basis, Confirmed, Outcome, OutcomeProblem, OutcomeProblems, Stated};
pub use proposal::Proposal;
pub use publish::publish;
pub use settings::LearnSettings;
pub use tally::{Shares, Tally, shares};
