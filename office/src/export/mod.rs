//! Exports: what the filter of the list finds, in open forms, for the office or for the public.
//!
//! Comes in: an office, the names of a pack, a filter, and who reads it. Goes out: one file, whole or not at all, that says
//! what it was filtered by and out of how many. [`scope`](Scope) chooses and reads one inquiry after the other; `columns`
//! says which fields may leave; the rest are forms. Sealed inquiries are in none of them, nor what the resident did not agree
//! to, nor what was erased. A character that nobody looked at has no row in any: not looked is not absent.

mod area;
mod case;
mod columns;
mod csv;
mod darwin;
mod dump;
mod few;
mod form;
mod ids;
mod map;
mod scope;
pub mod sdd;
mod state;
mod tables;
mod whole;
mod xlsx;

pub use area::outlines;
pub use csv::{beside, write as write_csv};
pub use darwin::{Licence, write as write_darwin};
pub use dump::{schema as dump_schema, write as write_dump};
pub use form::Form;
pub use map::{By, write as write_map};
pub use scope::{Ask, Denominators, MAP_DELAY_DAYS, Scope};
use serde_json::Value as Json;
pub use state::{beside as beside_report, write as write_state_report};
pub use tables::Table;
pub use whole::whole;
pub use xlsx::write as write_xlsx;

/// Who reads an export.
#[derive(Clone, Copy, Default, PartialEq, Eq, Debug, clap::ValueEnum)]
pub enum Audience {
    /// Anybody: coarse places, days, counts and ids of the pack, of who agreed to be counted.
    #[default]
    Public,
    /// The office and its volunteers: also their words and numbers, never an address, a point or a contact.
    Office,
}

impl Audience {
    /// Its word.
    pub fn name(self) -> &'static str {
        match self {
            Self::Public => "public",
            Self::Office => "office",
        }
    }
}

/// What was written.
#[derive(Clone, PartialEq, Debug)]
pub struct Written {
    /// Bytes of the file.
    pub bytes: u64,
    /// What it says of itself: filter, denominators, rows.
    pub about: Json,
}
