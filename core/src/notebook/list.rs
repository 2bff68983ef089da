//! Lists and search over what is shown.

use rusqlite::{Row, params_from_iter, types::Value as Sql};
use serde_json::Value as Json;

use super::{
    open::Notebook,
    view::{Page, Query, Summary},
};
use crate::{error::Result, ids::RecordId, record::Kind};

/// Rows of a page when the query does not say.
const PAGE: usize = 100;

impl Notebook {
    /// Records that match, last changed first.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn list(&self, query: &Query) -> Result<Page> {
        self.refresh()?;
        let (filter, values) = conditions(query);
        let inner = self.lock();
        let total: i64 = inner
            .conn
            .prepare_cached(&format!("SELECT count(*) FROM shown WHERE {filter}"))?
            .query_row(params_from_iter(&values), |row| row.get(0))?;
        let limit = if query.limit == 0 { PAGE } else { query.limit };
        let sql = format!(
            "SELECT {COLUMNS} FROM shown WHERE {filter}
             ORDER BY changed_ms DESC, rec DESC LIMIT {limit} OFFSET {}",
            query.offset
        );
        let mut rows = inner.conn.prepare_cached(&sql)?;
        let rows = rows.query_map(params_from_iter(&values), read_row)?.collect::<rusqlite::Result<Vec<_>>>()?;
        let rows = rows.into_iter().flatten().collect();
        Ok(Page { total: usize::try_from(total).unwrap_or(0), rows })
    }

    /// Records whose text holds all these words, as beginnings of words, whatever their accents.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn search(&self, words: &str) -> Result<Page> {
        self.list(&Query { words: words.to_owned(), ..Query::default() })
    }

    /// The rows of these records, hidden ones too, each once; as up to date as the last list.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn rows_of(&self, ids: &[RecordId]) -> Result<Vec<Summary>> {
        self.rows_where("rec IN (SELECT unhex(value) FROM json_each(?1))", ids)
    }

    /// The rows of all records one of whose references points to one of these, hidden ones too, each once; as up to date as the
    /// last list.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn rows_referring(&self, ids: &[RecordId]) -> Result<Vec<Summary>> {
        let targets = "SELECT unhex(value) FROM json_each(?1)";
        self.rows_where(&format!("rec IN (SELECT source FROM link WHERE target IN ({targets}))"), ids)
    }

    fn rows_where(&self, condition: &str, ids: &[RecordId]) -> Result<Vec<Summary>> {
        let ids: Vec<String> = ids.iter().map(|id| hex::encode(id.0)).collect();
        let inner = self.lock();
        let sql = format!("SELECT {COLUMNS} FROM shown WHERE {condition} ORDER BY rec");
        let mut query = inner.conn.prepare_cached(&sql)?;
        let rows = query.query_map([Json::from(ids).to_string()], read_row)?.collect::<rusqlite::Result<Vec<_>>>()?;
        Ok(rows.into_iter().flatten().collect())
    }
}

pub(super) const COLUMNS: &str = "rec, kind, hidden, changed_ms, conflicts, fields";

pub(super) fn read_row(row: &Row<'_>) -> rusqlite::Result<Option<Summary>> {
    let fields: String = row.get(5)?;
    let Some(kind) = Kind::from_id(row.get(1)?) else { return Ok(None) };
    Ok(Some(Summary {
        id: RecordId(row.get(0)?),
        kind,
        hidden: row.get(2)?,
        changed_ms: row.get(3)?,
        conflicts: row.get(4)?,
        fields: serde_json::from_str(&fields).unwrap_or_default(),
    }))
}

fn conditions(query: &Query) -> (String, Vec<Sql>) {
    let (mut sql, mut values) = (vec!["1".to_owned()], Vec::new());
    let mut push = |condition: &str, given: Vec<Sql>| {
        sql.push(condition.to_owned());
        values.extend(given);
    };
    if let Some(kind) = query.kind {
        push("kind = ?", vec![Sql::Integer(i64::from(kind.id()))]);
    }
    if !query.with_hidden {
        push("hidden = 0", vec![]);
    }
    if query.in_conflict {
        push("conflicts > 0", vec![]);
    }
    let words = match_expression(&query.words);
    if !words.is_empty() {
        push("id IN (SELECT rowid FROM words WHERE words MATCH ?)", vec![Sql::Text(words)]);
    }
    if let Some(target) = query.refers_to {
        push("rec IN (SELECT source FROM link WHERE target = ?)", vec![Sql::Blob(target.0.to_vec())]);
    }
    for (field, value) in &query.equals {
        let value = match value {
            Json::String(s) => Sql::Text(s.clone()),
            Json::Bool(b) => Sql::Integer(i64::from(*b)),
            Json::Number(n) => n.as_i64().map_or_else(|| Sql::Real(n.as_f64().unwrap_or(0.0)), Sql::Integer),
            other => Sql::Text(other.to_string()),
        };
        push("json_extract(fields, '$.' || ?) IS ?", vec![Sql::Text(format!("\"{}\"", field.replace('"', ""))), value]);
    }
    (sql.join(" AND "), values)
}

/// Every word quoted, so that nothing a person types is an operator of the text index.
pub(super) fn match_expression(words: &str) -> String {
    let quoted = words.split_whitespace().map(|w| format!("\"{}\"*", w.replace('"', "\"\"")));
    quoted.collect::<Vec<_>>().join(" ")
}
