//! The bundle: sealed parts that go from a device to an office, or back as a reply. File ending `.yard`.
//!
//! ```text
//! "\x89YRD\r\n\x1a\n" version u16le flags u16le
//! part*  type u8, length u64le, id 32 (BLAKE3 of the sealed bytes), bytes: one age v1 file
//! end    0xff, count u32le, BLAKE3 of all ids
//! 1 CONTROL, first: age( u16be length || envelope, COSE_Sign1 || zstd(frames) || zeros )
//! 2 BLOB:           age( photo id 33, offset u64be, bytes of at most 4 MiB )
//! envelope: its last entry, where there is one, is the ask of a phone without a certificate, or in a reply the office's new card
//! frame = type u8, length u32be, bytes      1 manifest, first; 2 segment; 3 statement; 4 receipt; 5 snapshot record
//! ```
//! No names and no paths stand in it. In comes a notebook and a file; out go bytes or a report of what was taken in. All
//! limits are checked before memory is given; nothing is trusted before the envelope's signature holds.

mod assembly;
mod control;
mod envelope;
#[cfg(test)]
mod flipped_tests;
#[cfg(test)]
mod hostile_tests;
mod look;
#[cfg(test)]
mod lost_key_tests;
mod make;
mod manifest;
mod opened;
mod parts;
mod receipt;
mod reply;
mod seal;
mod take_in;
mod take_reply;

pub use envelope::{Envelope, Sort};
pub use look::{Look, PartLook, look_inside, names_any};
pub use make::BundleSummary;
pub use manifest::{BlobEntry, LogEntry, Manifest};
pub use opened::{Opened, Sender};
pub use parts::{MAGIC, WIRE_VERSION};
pub use receipt::{Epoch, Level, Receipt};
pub use reply::{ReplyMade, make_reply};
pub(crate) use seal::seal_into;
pub use seal::{Opener, seal_key_id};
pub use take_in::{TakeIn, take_in};
pub use take_reply::ReplyTaken;
