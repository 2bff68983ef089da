//! The county office: enrol devices, take bundles in, review, reply, and the office page.
//!
//! [`desk`] is what only an office does; [`page`] shows it; [`command`] scripts it; [`report`] says what a take-in brought.

pub mod command;
pub mod counts;
pub mod desk;
pub mod export;
pub mod index;
pub mod ledger;
pub mod pack;
pub mod page;
pub mod people;
pub mod report;
