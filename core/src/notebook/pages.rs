//! Long lists in pages: each page begins where the one before it ended, whatever was written meanwhile.

use std::{fmt, str::FromStr};

use rusqlite::{params_from_iter, types::Value as Sql};

use super::{
    list::{COLUMNS, match_expression, read_row},
    open::Notebook,
    underway::unhanded,
    view::Summary,
};
use crate::{
    error::{Code, Error, Result},
    record::Kind,
};

/// Where a page ended: `1784600000000.12`.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct PageKey {
    changed_ms: i64,
    row: i64,
}

impl fmt::Display for PageKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.changed_ms, self.row)
    }
}

impl FromStr for PageKey {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let parts = text.split_once('.').and_then(|(ms, row)| Some((ms.parse().ok()?, row.parse().ok()?)));
        let (changed_ms, row) = parts.ok_or_else(|| Error::refused(Code::Schema, "that is no place in a list"))?;
        Ok(Self { changed_ms, row })
    }
}

/// Which rows.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub enum Only {
    /// All.
    #[default]
    All,
    /// Those under which a draft stands: `begun ` and the record's id in hexadecimal digits.
    Begun,
    /// Those of which something of this device is in no bundle yet: of the record itself or of what refers to it.
    NotHanded,
    /// Those changed since, milliseconds since 1970.
    Since(i64),
}

/// What a page is asked of. Last changed first.
#[derive(Clone, Debug)]
pub struct PageAsk {
    /// The kinds listed.
    pub kinds: Vec<Kind>,
    /// Deleted records instead of the others.
    pub deleted: bool,
    /// Words that all stand in the record, as beginnings of words; or its number of eight letters.
    pub words: String,
    /// Which rows.
    pub only: Only,
    /// Where the page before ended.
    pub after: Option<PageKey>,
    /// Rows at most.
    pub limit: usize,
}

impl Notebook {
    /// One page of a list, and where it ended; nothing where it is the last.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn page(&self, ask: &PageAsk) -> Result<(Vec<Summary>, Option<PageKey>)> {
        self.refresh()?;
        let mut values: Vec<Sql> = vec![Sql::Integer(i64::from(ask.deleted))];
        let kinds: Vec<String> = ask.kinds.iter().map(|kind| kind.id().to_string()).collect();
        // Records that were begun are few: with a plus before it SQLite does not go over all of the kind for them.
        let by = if ask.only == Only::Begun { "+kind" } else { "kind" };
        let mut sql = format!("SELECT {COLUMNS}, id FROM shown WHERE {by} IN ({}) AND hidden = ?1", kinds.join(", "));
        let mut and = |condition: &str, given: Vec<Sql>| {
            sql.push_str(" AND ");
            sql.push_str(condition);
            values.extend(given);
        };
        let words = match_expression(&ask.words);
        if !words.is_empty() {
            // The number of an inquiry as a letter has it, [`RecordId::short`], is found too.
            let number = ask.words.trim().to_lowercase();
            and(
                "(id IN (SELECT rowid FROM words WHERE words MATCH ?) OR lower(substr(hex(rec), -8)) = ?)",
                vec![Sql::Text(words), Sql::Text(number)],
            );
        }
        match ask.only {
            Only::All => {}
            Only::Begun => {
                and("rec IN (SELECT unhex(substr(key, 7)) FROM draft WHERE key >= 'begun ' AND key < 'begun!')", vec![])
            }
            Only::NotHanded => {
                let inner = self.lock();
                and(&unhanded(&inner.conn)?, vec![]);
            }
            Only::Since(ms) => and("changed_ms >= ?", vec![Sql::Integer(ms)]),
        }
        if let Some(PageKey { changed_ms, row }) = ask.after {
            and("(changed_ms, id) < (?, ?)", vec![Sql::Integer(changed_ms), Sql::Integer(row)]);
        }
        sql.push_str(&format!(" ORDER BY changed_ms DESC, id DESC LIMIT {}", ask.limit + 1));
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached(&sql)?;
        let read = |row: &rusqlite::Row<'_>| Ok((read_row(row)?, row.get::<_, i64>(6)?));
        let mut rows: Vec<(Option<Summary>, i64)> =
            query.query_map(params_from_iter(&values), read)?.collect::<rusqlite::Result<_>>()?;
        let more = rows.len() > ask.limit;
        rows.truncate(ask.limit);
        let last = rows.last().and_then(|(row, id)| Some(PageKey { changed_ms: row.as_ref()?.changed_ms, row: *id }));
        Ok((rows.into_iter().filter_map(|(row, _)| row).collect(), last.filter(|_| more)))
    }
}
