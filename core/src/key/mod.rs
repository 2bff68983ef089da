//! The symptom key: from what was seen on a plant to a ranked list of causes, with reasons.
//!
//! What lives here: the pack (content as typed values, checked on reading), the stops that observed states raise, and the
//! first differential. What comes in: the pack as three texts, and the observations of one plant. What goes out: the
//! ranked causes with probabilities, words, reasons for and against, what was not looked at, and the stops. Nothing here
//! stores, reads a file or knows a clock; the same pack and observations give the same answer, in any order of findings.
//!
//! Not looked, could not tell and absent are three things: only what was seen, or looked for and not there, is evidence.

mod authored;
mod causes;
mod characters;
mod circumstance;
mod differential;
mod evidence;
mod hazard;
mod observe;
mod pack;
mod prior;
mod problem;
mod reasons;
mod resolve;
mod season;
mod sets;
mod settings;
mod stops;
mod words;

#[cfg(test)]
mod tests;

pub use causes::{Cause, Escalate, Frequency, Host, Kind, Link, Role};
pub use characters::{Character, Cost, Nature, Part, State};
pub use differential::{Band, Differential, RankedCause, RankedSet};
pub use observe::{Observation, Observations, Status};
pub use pack::{Pack, ReviewStatus};
pub use problem::{PackProblem, PackProblems};
pub use reasons::{Reason, Said};
pub use season::Window;
pub use settings::Settings;
pub use stops::{RaisedStop, Stop};
pub use words::ProbabilityWord;
