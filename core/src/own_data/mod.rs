//! One's own data: everything a notebook shows, in a file that a person can read without this program, and back in.
//!
//! ```text
//! README.txt LEAME.txt      what is in it, in English and in Spanish
//! records.json              {"format", "records": [{"id", "kind", "hidden", "fields", "also", "history"}]}
//! tables/KIND.csv           one row a record, for spreadsheets; not read back
//! photos/ID.jpg|png         originals and thumbnails under their content addresses
//! ```
//! The same notebook gives the same bytes. Reading one back looks at all of it before anything is written.

mod export;
mod import;
mod table;

pub use export::{Exported, export, export_these};
pub use import::{Imported, import, is_own_data};

/// The form of `records.json`.
const FORMAT: &str = "dooryard own data 1";
const RECORDS: &str = "records.json";
const PHOTOS: &str = "photos/";
const TABLES: &str = "tables/";
const READMES: [(&str, &str); 2] =
    [("README.txt", include_str!("readme.en.txt")), ("LEAME.txt", include_str!("readme.es.txt"))];
