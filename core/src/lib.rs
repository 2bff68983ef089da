//! Everything the phones and the county office of Dooryard decide alike.
//!
//! What lives where, from the bottom up: [`record`] says what a record is; [`log`] turns saves into changes and merges
//! them, without any I/O; [`notebook`] keeps them in SQLite; [`enrol`] makes a phone one of an office's; [`bundle`] carries
//! them sealed and signed; [`archive`] is the form of backups, [`own_data`] what a person can take along and read.
//! [`words`] holds what programs say. [`key`], [`danger`] and [`photo`] know no storage; [`advice`] and [`letter`] stand on the key; [`learn`] and [`table`]
//! learn from cases. [`inquiry`] puts records and the key together, [`tell`] says them to people. No network, no async, no unsafe code.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod advice;
pub mod archive;
pub mod bundle;
pub mod cbor;
pub mod clock;
pub mod danger;
pub mod durable;
pub mod enrol;
pub mod error;
pub mod fault;
pub mod ids;
pub mod inquiry;
pub mod job;
pub mod key;
pub mod learn;
pub mod letter;
pub mod log;
pub mod notebook;
pub mod own_data;
pub mod photo;
pub mod record;
pub mod sign;
pub mod table;
pub mod tell;
pub mod view;
pub mod words;

pub use error::{Code, Error, Result};
