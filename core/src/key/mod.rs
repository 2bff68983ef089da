//! The symptom key: from what was seen on a plant to a ranked list of causes, with reasons.
//!
//! What lives here: the pack (content as typed values, checked on reading), the stops that observed states raise, and the
//! differential. What comes in: the pack, and the observations of one plant. What goes out: the
//! ranked causes with probabilities, words, reasons for and against, what was not looked at, and the stops. Nothing here
//! stores anything or knows a clock; the same pack and observations give the same answer, in any order of findings.
//!
//! Not looked, could not tell and absent are three things: only what was seen, or looked for and not there, is evidence.

pub mod authored;
mod case;
mod causes;
mod characters;
pub mod check;
mod circumstance;
mod differential;
mod distribution;
mod evidence;
pub mod file;
pub mod guidance;
mod hazard;
mod look;
mod observe;
mod pack;
mod prior;
mod problem;
mod reasons;
mod resolve;
mod season;
mod sets;
mod settings;
pub mod shelf;
mod solve;
mod stops;
mod words;

#[cfg(test)]
pub(crate) mod tests;

pub use authored::{Source, Text};

pub use crate::words::Language;
pub use case::{Case, Looks, Truth, TruthRole};
pub use causes::{Cause, Escalate, Frequency, Host, Kind, Link, Role};
pub use characters::{Character, Cost, Nature, Part, State};
pub use differential::{Band, Differential, RankedAdvice, RankedCause, RankedSet};
pub use look::{Effect, Look, Move, NextLooks};
pub use observe::{Observation, Observations, Status};
pub use pack::{Pack, ReviewStatus};
pub use problem::{PackProblem, PackProblems};
pub use reasons::{Reason, Said};
pub use season::Window;
pub use settings::Settings;
pub use stops::{Blocks, Question, RaisedStop, Stop, StopKind, stop_id, under_seal};
pub use words::{ProbabilityWord, percent};
