//! The office page: plain HTML made here, no script, on this machine only, for people with an account.
//!
//! Comes in: an office and a pack. Goes out: pages of inquiries, of bundles taken in and of phones, in the project's own
//! look. What is sealed never shows; an address, a point and a contact only when somebody asks for them.

mod accounts;
mod answers;
#[cfg(test)]
mod asks;
mod audit;
mod bundles;
mod choices;
mod clash;
mod desk;
mod downloads;
mod filter;
mod four;
mod frame;
mod gather;
mod guard;
mod history;
mod inquiries;
mod inquiry;
mod intake;
mod keeping;
mod language;
mod lines;
mod names;
mod own;
mod person;
mod phones;
mod picture;
mod place;
mod reading;
mod reasons;
mod routes;
#[cfg(test)]
pub(crate) mod sample;
#[cfg(test)]
mod sample_county;
mod serve;
mod shots;
mod sign_in;
mod situation;
mod stops;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_hostile;
#[cfg(test)]
mod tests_keeping;
#[cfg(test)]
mod tests_language;
#[cfg(test)]
mod tests_list;
#[cfg(test)]
mod tests_people;
#[cfg(test)]
mod tests_security;
#[cfg(test)]
mod tests_words;
mod trouble;
mod views;
mod words;

pub use bundles::{Bundle, Waits, bundle};
pub use clash::{Clash, cause_words, clash, value_words};
pub use filter::Filter;
pub use four::STATUSES;
pub use frame::pegs;
pub use gather::{Whole, day_of, reference};
pub use history::kinds_words;
pub use inquiries::sealed_words;
pub use intake::{missing, waiting};
pub use names::Names;
pub use reasons::{Reasons, observations, percent, reasons};
pub use routes::router;
pub use serve::serve;
pub use situation::situation;
pub use words::{When, count, instant_ms, number, sentence_case};
