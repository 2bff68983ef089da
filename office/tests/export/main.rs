//! Exports read back by others' readers: what is in them, what is not, and out of how many.

#![allow(clippy::unwrap_used, reason = "a test")]

mod command;
mod darwin;
mod dump;
mod left;
mod map;
mod numbers;
mod sdd;
mod tables;
mod yard;
