//! Enrolment as people type it: at one table, on paper, and what goes wrong.

#![expect(clippy::unwrap_used, reason = "a test")]

mod refused;
mod steps;
mod usual;
