//! The office page: plain HTML made here, which needs no script, on this machine only, for people with an account.
//!
//! Comes in: an office and a pack. Goes out: pages of inquiries, of bundles taken in and of phones, in the project's own
//! look. What is sealed never shows; an address, a point and a contact only when somebody asks for them.

mod accounts;
mod answers;
mod arriving;
#[cfg(test)]
mod asks;
mod audit;
mod beside;
mod brought;
mod bundles;
mod choices;
mod clash;
mod code;
mod desk;
mod downloads;
mod enrol;
mod file_out;
mod filter;
mod four;
mod frame;
mod gather;
mod guard;
mod health;
mod held;
mod inquiries;
mod inquiry;
mod inquiry_page;
mod intake;
mod keeping;
mod language;
mod live;
mod map;
mod originals;
mod own;
mod paced;
mod person;
mod phones;
mod picture;
mod reading;
mod reasons;
mod replies;
mod request;
mod review;
mod routes;
#[cfg(test)]
pub(crate) mod sample;
#[cfg(test)]
mod sample_county;
mod season;
mod serve;
mod set_aside;
mod sign_in;
mod stops;
mod take_in;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_apart;
#[cfg(test)]
mod tests_enrol;
#[cfg(test)]
mod tests_hostile;
#[cfg(test)]
mod tests_inquiry;
#[cfg(test)]
mod tests_keeping;
#[cfg(test)]
mod tests_language;
#[cfg(test)]
mod tests_list;
#[cfg(test)]
mod tests_office;
#[cfg(test)]
mod tests_originals;
#[cfg(test)]
mod tests_people;
#[cfg(test)]
mod tests_security;
#[cfg(test)]
mod tests_style;
#[cfg(test)]
mod tests_take_in;
#[cfg(test)]
mod tests_uploads;
#[cfg(test)]
mod tests_words;
mod trouble;
mod uploads;
mod views;
mod words;
mod work;

use dooryard_core::tell::{history, lines, names, place, samples, say, shots};

pub use bundles::{Bundle, Waits, bundle};
pub use clash::{Clash, clash};
pub use dooryard_core::{inquiry::situation, key::percent};
pub use filter::Filter;
pub use four::STATUSES;
pub use frame::pegs;
pub use gather::{Whole, day_of, reference};
pub use inquiries::sealed_words;
pub use intake::{missing, waiting};
pub use names::Names;
pub use reasons::{Reasons, observations, reasons};
pub use review::{
    ROLES as REVIEW_ROLES, choice_of, keys as review_keys, numbered, scale as review_scale, status as review_status,
};
pub use routes::router;
pub use say::Say;
pub use serve::serve;
pub use words::{When, by_name, count, instant_ms, number, sentence_case};
pub(crate) use words::{day_begins_ms, day_of_ms};
