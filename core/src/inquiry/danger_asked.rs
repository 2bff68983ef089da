//! What stands in an inquiry of its danger: the safety questions with their answers, and which stops somebody read.

use std::collections::BTreeMap;

use serde_json::{Value as Json, json};

use super::save;
use crate::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Record},
    record::Kind,
};

/// That somebody read a stop.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StopRead {
    /// Its id.
    pub stop: String,
    /// When, with the zone.
    pub at: String,
    /// BLAKE3 of the text that was read, as 64 hexadecimal digits.
    pub wording: String,
    /// Pack and version that it came from.
    pub content: String,
}

/// What the safety questions were answered with, by id of the question: `yes`, `unsure` or `no`.
pub fn asked(inquiry: &Record) -> BTreeMap<String, String> {
    let rows = inquiry.get("asked").and_then(Json::as_array).into_iter().flatten();
    let pair = |row: &Json| Some((row.get("question")?.as_str()?.to_owned(), row.get("answer")?.as_str()?.to_owned()));
    rows.filter_map(pair).collect()
}

/// Writes down what the safety questions were answered with.
///
/// # Errors
/// As [`Notebook::save`].
pub fn write_asked(notebook: &Notebook, inquiry: RecordId, asked: &BTreeMap<String, String>) -> Result<()> {
    let rows = asked.iter().map(|(question, answer)| json!({ "question": question, "answer": answer }));
    let rows: Vec<Json> = rows.collect();
    save(notebook, Kind::Inquiry, Some(inquiry), json!({ "asked": rows })).map(drop)
}

/// Every time that somebody read a stop, of two that wrote it at once both, the oldest first.
pub fn stops_read(inquiry: &Record) -> Vec<StopRead> {
    let of_field = inquiry.fields.iter().filter(|f| f.name == "stops_read");
    let values = of_field.flat_map(|f| std::iter::once(&f.shown).chain(&f.others));
    let rows = values.filter_map(|v| v.value.as_ref()?.as_array()).flatten();
    let text = |row: &Json, name: &str| row.get(name).and_then(Json::as_str).unwrap_or_default().to_owned();
    let mut all: Vec<StopRead> = Vec::new();
    for row in rows {
        let [stop, at, wording, content] = ["stop", "at", "wording", "content"].map(|name| text(row, name));
        let read = StopRead { stop, at, wording, content };
        if !all.contains(&read) {
            all.push(read);
        }
    }
    all.sort_by(|a, b| a.at.cmp(&b.at));
    all
}

/// Writes down that somebody read a stop, beside what was read before.
///
/// # Errors
/// As [`Notebook::save`].
pub fn write_stop_read(notebook: &Notebook, inquiry: &Record, read: StopRead) -> Result<()> {
    let mut all = stops_read(inquiry);
    // Of one stop in one wording the last reading stands; the history holds the others.
    all.retain(|known| (&known.stop, &known.wording) != (&read.stop, &read.wording));
    all.push(read);
    let row = |r: &StopRead| json!({ "stop": r.stop, "at": r.at, "wording": r.wording, "content": r.content });
    let rows: Vec<Json> = all.iter().map(row).collect();
    save(notebook, Kind::Inquiry, Some(inquiry.id), json!({ "stops_read": rows })).map(drop)
}
