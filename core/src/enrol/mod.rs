//! Enrolment without internet: three short texts that fit a QR code, and six words that two people compare.
//!
//! ```text
//! 1 invitation   office to phone    the signed card, a one-time code of 128 bits, role, label, expiry
//! 2 ask          phone to office    the phone's keys, its signature over them, a MAC by the code
//! 3 answer       office to phone    the certificate, with the card when it is newer than the invitation's
//! text = "DY" number ":" base45( version || CBOR || check(4) ) "."      check: BLAKE3 over all before it
//! ```
//! Two-way, the three are shown and read on the spot. One-way, on paper, the phone has the invitation alone: its first bundle
//! carries the ask in its envelope and waits sealed at the office until a person admits the phone by its words.
//!
//! In come texts and keys; out come texts, or refusals with a code. Nothing here reads a clock or a file.

mod answer;
mod ask;
mod code;
mod invitation;
mod phone;
#[cfg(test)]
mod tests;
mod text;
mod words;

pub use answer::Answer;
pub use ask::Ask;
pub use code::CodeId;
pub use invitation::Invitation;
pub use words::{CheckWords, WORDS};

pub use crate::notebook::Invited;
