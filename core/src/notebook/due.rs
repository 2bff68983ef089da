//! Follow-ups by the day on which somebody asks.

use rusqlite::{params_from_iter, types::Value as Sql};
use serde_json::Value as Json;

use super::{
    list::{COLUMNS, read_row},
    open::Notebook,
    view::Summary,
};
use crate::{
    error::{Code, Error, Result},
    record::Kind,
};

/// Whether nothing is left to ask: as somebody said, or else once an answer is there.
const DONE: &str = "coalesce(json_extract(fields, '$.done'), json_extract(fields, '$.answered') IS NOT NULL
    OR coalesce(json_extract(fields, '$.answer'), '') <> '')";
const DUE: &str = "coalesce(json_extract(fields, '$.due'), '9999-12-31')";

/// Which follow-ups.
#[derive(Clone, Default, Debug)]
pub struct DueAsk {
    /// Those that are answered instead of the others.
    pub done: bool,
    /// Only those due on this day or before, `2026-07-20`; of all, when empty.
    pub until: String,
    /// Where the page before ended.
    pub after: Option<String>,
    /// Rows at most.
    pub limit: usize,
}

impl Summary {
    /// Of a follow-up, whether nothing is left to ask: the rule of the lists, of one row.
    pub fn is_done(&self) -> bool {
        let said = self.fields.get("done").and_then(Json::as_bool);
        let answer = || self.text("answer").is_some_and(|answer| !answer.is_empty());
        said.unwrap_or_else(|| self.text("answered").is_some() || answer())
    }
}

impl Notebook {
    /// Follow-ups by day, the earliest first; where the page ended, nothing where it is the last.
    ///
    /// # Errors
    /// `SCHEMA` for an end of a page that is none; of SQLite.
    pub fn follow_ups(&self, ask: &DueAsk) -> Result<(Vec<Summary>, Option<String>)> {
        self.refresh()?;
        let mut sql = format!(
            "SELECT {COLUMNS}, {DUE} || '.' || id FROM shown WHERE kind = {} AND hidden = 0 AND {DONE} = ?1",
            Kind::FollowUp.id()
        );
        let mut values = vec![Sql::Integer(i64::from(ask.done))];
        if !ask.until.is_empty() {
            sql.push_str(&format!(" AND {DUE} <= ?"));
            values.push(Sql::Text(ask.until.clone()));
        }
        if let Some(after) = &ask.after {
            let place = after.split_once('.').and_then(|(due, row)| Some((due, row.parse::<i64>().ok()?)));
            let (due, row) = place.ok_or_else(|| Error::refused(Code::Schema, "that is no place in a list"))?;
            sql.push_str(&format!(" AND ({DUE}, id) > (?, ?)"));
            values.extend([Sql::Text(due.to_owned()), Sql::Integer(row)]);
        }
        sql.push_str(&format!(" ORDER BY {DUE}, id LIMIT {}", ask.limit + 1));
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached(&sql)?;
        let read = |row: &rusqlite::Row<'_>| Ok((read_row(row)?, row.get::<_, String>(6)?));
        let mut rows: Vec<(Option<Summary>, String)> =
            query.query_map(params_from_iter(&values), read)?.collect::<rusqlite::Result<_>>()?;
        let more = rows.len() > ask.limit;
        rows.truncate(ask.limit);
        let last = rows.last().map(|(_, key)| key.clone()).filter(|_| more);
        Ok((rows.into_iter().filter_map(|(row, _)| row).collect(), last))
    }
}
