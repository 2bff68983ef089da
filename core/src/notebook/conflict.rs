//! Conflicts, and the sentence that tells a person of one.

use jiff::{Timestamp, tz::TimeZone};
use serde_json::Value as Json;

use super::{
    open::Notebook,
    view::{Conflict, LiveValue, Record},
};
use crate::{error::Result, ids::RecordId};

impl Notebook {
    /// Every conflict, in the order of records.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn conflicts(&self) -> Result<Vec<Conflict>> {
        self.refresh()?;
        let ids: Vec<RecordId> = {
            let inner = self.lock();
            let mut query =
                inner.conn.prepare_cached("SELECT rec FROM shown WHERE conflicts > 0 AND hidden = 0 ORDER BY rec")?;
            query.query_map([], |row| row.get(0).map(RecordId))?.collect::<rusqlite::Result<_>>()?
        };
        self.conflicts_of(ids)
    }

    /// The same of these records alone.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn conflicts_in(&self, ids: &[RecordId]) -> Result<Vec<Conflict>> {
        self.refresh()?;
        let rows = self.rows_of(ids)?;
        self.conflicts_of(rows.into_iter().filter(|row| row.conflicts > 0 && !row.hidden).map(|row| row.id))
    }

    fn conflicts_of(&self, ids: impl IntoIterator<Item = RecordId>) -> Result<Vec<Conflict>> {
        let mut conflicts = Vec::new();
        for id in ids {
            conflicts.extend(conflicts_of(&self.show(id)?));
        }
        Ok(conflicts)
    }
}

/// The conflicts of one record.
fn conflicts_of(record: &Record) -> Vec<Conflict> {
    record
        .in_conflict()
        .map(|f| {
            let mut values = vec![f.shown.clone()];
            values.extend(f.others.iter().cloned());
            let sentence = sentence(&f.name, &values);
            Conflict { record: record.id, kind: record.kind, field: f.name.clone(), values, sentence }
        })
        .collect()
}

/// "Scout 1 wrote … on 12 May; Scout 2 wrote … on 13 May, without having seen the first. Both are kept."
fn sentence(field: &str, values: &[LiveValue]) -> String {
    let mut by_time: Vec<&LiveValue> = values.iter().collect();
    by_time.sort_by_key(|v| (v.at_ms, v.change));
    let wrote = by_time.iter().map(|v| {
        let value = v.value.as_ref().map_or_else(|| "(not here)".into(), plain);
        format!("{} wrote {value} on {}", v.author.label, day(v.at_ms))
    });
    let unseen = if values.len() == 2 {
        "without having seen the first. Both are kept"
    } else {
        "none had seen the others. All are kept"
    };
    format!("{}: {}, {unseen}.", field.replace('_', " "), wrote.collect::<Vec<_>>().join("; "))
}

fn plain(value: &Json) -> String {
    match value {
        Json::String(text) => {
            let short: String = text.chars().take(80).collect();
            format!("“{short}{}”", if short.len() < text.len() { "…" } else { "" })
        }
        other => format!("“{other}”"),
    }
}

fn day(at_ms: i64) -> String {
    Timestamp::from_millisecond(at_ms)
        .map(|at| at.to_zoned_datetime(TimeZone::UTC).strftime("%-d %B %Y").to_string())
        .unwrap_or_else(|_| "a day that the clock could not say".into())
}
