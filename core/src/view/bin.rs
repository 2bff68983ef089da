//! The bin: what was taken away can be undone at once, and is here until somebody brings it back. Nothing is lost.

use super::{act::Undo, place_write::put_place_back, reader::View, records::short};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    notebook::{Only, PageAsk, Summary},
    record::Kind,
    words::sentence_case,
};

/// A page of the bin.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BinPage {
    /// The rows, taken away last first.
    pub rows: Vec<BinRow>,
    /// What to hand back for the next page; empty where this is the last.
    pub next: String,
    /// Said where there is nothing.
    pub none: String,
}

/// What was taken away.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BinRow {
    /// The record.
    pub record: RecordId,
    /// What it is: `A photo`.
    pub head: String,
    /// What stands in it.
    pub text: String,
    /// When it was last changed, that is taken away.
    pub at: String,
    /// Path of a small picture; empty where there is none.
    pub picture: String,
}

/// What can be taken away by whoever holds the phone. Hand-overs of samples are written once and never changed.
const KINDS: [Kind; 8] =
    [Kind::Inquiry, Kind::Plant, Kind::Visit, Kind::Finding, Kind::Photo, Kind::Sample, Kind::FollowUp, Kind::Advice];
/// Rows of a page at most.
const MOST: u32 = 50;

/// A page of the bin.
///
/// # Errors
/// `SCHEMA` for an end of a page that is none; of SQLite.
pub fn bin(view: &View<'_>, after: &str, limit: u32) -> Result<BinPage> {
    let ask = PageAsk {
        kinds: KINDS.to_vec(),
        deleted: true,
        words: String::new(),
        only: Only::All,
        after: if after.is_empty() { None } else { Some(after.parse()?) },
        limit: limit.clamp(1, MOST) as usize,
    };
    let (found, next) = view.notebook.page(&ask)?;
    let rows: Vec<BinRow> = found.iter().map(|row| bin_row(view, row)).collect();
    let none = if rows.is_empty() { view.say("phone-bin-none") } else { String::new() };
    Ok(BinPage { rows, next: next.map_or_else(String::new, |key| key.to_string()), none })
}

fn bin_row(view: &View<'_>, row: &Summary) -> BinRow {
    let sealed = crate::key::under_seal(crate::inquiry::stops(row.fields.get("stops")));
    let text = match row.kind {
        _ if sealed => String::new(),
        Kind::Inquiry => row.text("summary").or_else(|| row.text("question")).map_or_else(String::new, short),
        Kind::Plant => view.names.host(row.text("host").unwrap_or_default()),
        Kind::Finding => {
            let (what, state) = view.names.finding(row.text("character").unwrap_or_default(), row.text("state"));
            state.map_or(what.clone(), |state| format!("{what}: {state}"))
        }
        Kind::Photo => row.text("part").map_or_else(String::new, |part| sentence_case(&view.telling().word(part))),
        Kind::FollowUp => row.text("question").map_or_else(String::new, short),
        Kind::Sample => row.text("plant_part").map_or_else(String::new, sentence_case),
        _ => String::new(),
    };
    BinRow {
        record: row.id,
        head: if sealed { view.say("phone-sealed") } else { sentence_case(&view.telling().kind(row.kind, 1)) },
        text,
        at: view.when.full_ms(row.changed_ms),
        picture: view.blob(row.fields.get("thumbnail")),
    }
}

/// Takes a record away: it is in the bin when this returns, and the undo of it says what was done.
///
/// # Errors
/// `SCHEMA` for what cannot be taken away; [`Error::NotFound`]; as [`crate::notebook::Notebook::delete`].
pub fn take_away(view: &View<'_>, record: RecordId) -> Result<Undo> {
    let kind = view.notebook.show(record)?.kind;
    if !KINDS.contains(&kind) {
        return Err(Error::refused(Code::Schema, "that cannot be taken away"));
    }
    view.notebook.delete(record)?;
    let what = sentence_case(&view.telling().kind(kind, 1));
    Ok(Undo { record, place: None, text: view.with("phone-taken-away", [("what", &what)]) })
}

/// Does the contrary of what was done last.
///
/// # Errors
/// `FORBIDDEN_FIELD` for a position where a child asks or a stop says so by now; as [`bring_back`] and
/// [`crate::notebook::Notebook::save`].
pub fn undo(view: &View<'_>, undo: &Undo) -> Result<()> {
    match undo.place {
        Some(place) => put_place_back(view, undo.record, place),
        None => bring_back(view, undo.record),
    }
}

/// Brings a record back out of the bin.
///
/// # Errors
/// [`Error::NotFound`]; as [`crate::notebook::Notebook::restore`].
pub fn bring_back(view: &View<'_>, record: RecordId) -> Result<()> {
    view.notebook.restore(record)
}
