//! Backups of an office: brought back whole, merged, after an erasure, in bad shape; and what phones do then.
#![allow(clippy::unwrap_used, reason = "a test")]

mod comes_back;
mod keys;
mod steps;
