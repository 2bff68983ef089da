//! The history of an inquiry: who wrote what, newest first, in pages.

use super::reader::View;
use crate::{Result, ids::RecordId, notebook::HistoryEntry, record::Kind, tell::history as happened};

/// The history of an inquiry.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HistoryPage {
    /// The rows, newest first.
    pub rows: Vec<HistoryRow>,
    /// What to hand back for the next page; empty where this is the last.
    pub next: String,
}

/// What happened.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HistoryRow {
    /// The day.
    pub day: String,
    /// The time of day.
    pub clock: String,
    /// Who.
    pub who: String,
    /// What they did.
    pub what: String,
    /// Why it does not count at the office, and what to do; empty when it counts.
    pub waits: String,
    /// What was written, a line a field: no link to another record, no version, no text out of a pack. What is private is named, not
    /// told.
    pub fields: Vec<String>,
}

/// Rows of a page at most.
const MOST: u32 = 50;

/// A page of the history of an inquiry, newest first. `after` is how many rows were shown, empty for none.
///
/// # Errors
/// `SCHEMA` for an end of a page that is none; [`crate::Error::NotFound`]; of the notebook.
pub fn history(view: &View<'_>, inquiry: RecordId, after: &str, limit: u32) -> Result<HistoryPage> {
    let whole = view.whole(inquiry)?;
    let own = whole.records.iter().map(|(id, record)| (*id, record.kind));
    let site = whole.site.iter().map(|s| (s.id, Kind::Site));
    let gone = whole.gone.iter().map(|(id, kind)| (*id, *kind));
    let kinds = own.chain([(inquiry, Kind::Inquiry)]).chain(site).chain(gone);
    let saves: Vec<(RecordId, Kind, Vec<HistoryEntry>)> =
        kinds.map(|(id, kind)| Ok((id, kind, view.notebook.history(id)?))).collect::<Result<_>>()?;
    let mut told = happened::of(&whole, &saves, view.telling());
    // What the program wrote by itself is nothing that somebody did.
    told.retain(|h| !h.waits.is_empty() || h.saves.iter().any(|s| !s.aside));
    let passed: usize = match after {
        "" => 0,
        text => text.parse().map_err(|_| crate::Error::refused(crate::Code::Schema, "that is no place in a list"))?,
    };
    let limit = limit.clamp(1, MOST) as usize;
    let more = told.len() > passed + limit;
    let rows = told.into_iter().rev().skip(passed).take(limit).map(|h| HistoryRow {
        day: h.day,
        clock: h.clock,
        who: h.who,
        what: h.what,
        waits: h.waits,
        fields: h.saves.into_iter().flat_map(|s| s.own).collect(),
    });
    Ok(HistoryPage { rows: rows.collect(), next: if more { (passed + limit).to_string() } else { String::new() } })
}
