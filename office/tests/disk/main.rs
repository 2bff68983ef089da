//! The commands that write, on a disk that is full and on one that loses its power.
#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, reason = "a test")]

#[path = "../common/mod.rs"]
mod common;

mod calls;
mod full;
mod given_out;
mod power_cut;
mod tasks;
mod unsynced;
