//! One inquiry: all that belongs to it, what is known of its plants, and what is written into it while somebody looks, asks
//! and tells.
//!
//! Comes in: a notebook and a pack. Goes out: records read together, stops that stand, differentials with their next looks, and
//! saves of findings, calls and letters. Words for people are made in [`crate::tell`]; the office page and the phones call the
//! same functions.

mod answers;
mod call;
mod call_write;
mod danger_asked;
mod known;
mod letter;
mod named;
mod observed;
mod situation;
mod whole;

pub use answers::{Answer, Looker, answer, answered, own_findings, take_back, visit_today};
pub use call::{CONSENTS, Call, Problem, first_plant};
pub use call_write::{Forget, LIVES, is_shared};
pub use danger_asked::{StopRead, asked, stops_read, write_asked, write_stop_read};
pub use known::{Known, raised, record_stops};
pub use letter::{Made, Occasioned, PIECE, Sending, Writing, keep, make};
pub use named::named_causes;
pub use observed::{day_of, observations};
pub use situation::situation;
pub use whole::{Whole, is_gone, reference, stops};

use serde_json::{Map, Value as Json};

use crate::{Result, ids::RecordId, notebook::Notebook, record::Kind};

/// Saves fields of a record, given as one JSON object.
///
/// # Errors
/// As [`Notebook::save`].
pub fn save(notebook: &Notebook, kind: Kind, id: Option<RecordId>, fields: Json) -> Result<RecordId> {
    let Json::Object(fields) = fields else { return notebook.save(kind, id, &Map::new()) };
    notebook.save(kind, id, &fields)
}
