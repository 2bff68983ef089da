//! Pages of inquiries by key: the newest first, however many there are.

use std::fmt;

use dooryard_core::{Result, ids::RecordId};
use rusqlite::{Connection, params_from_iter, types::Value as Sql};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

use super::{
    Index,
    ask::{Ask, Wanted, Where},
    remembered::About,
};

/// Where an inquiry stands in the order of lists: by when it was opened, and by its id.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Key {
    /// When it was opened, milliseconds since 1970.
    pub opened_ms: i64,
    /// Its id.
    pub id: RecordId,
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.opened_ms, self.id)
    }
}

impl Serialize for Key {
    fn serialize<S: Serializer>(&self, to: S) -> std::result::Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Key {
    fn deserialize<D: Deserializer<'de>>(from: D) -> std::result::Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        let key =
            text.split_once('.').and_then(|(ms, id)| Some(Self { opened_ms: ms.parse().ok()?, id: id.parse().ok()? }));
        key.ok_or_else(|| D::Error::custom("a key is a time and a record"))
    }
}

/// From where a page goes.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub enum From {
    /// The newest.
    #[default]
    Newest,
    /// Those that come after this one in the list: older ones.
    After(Key),
    /// Those that come right before this one in the list: newer ones.
    Before(Key),
}

/// One inquiry of a page.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Row {
    /// Its key.
    pub key: Key,
    /// Where it stands.
    pub status: String,
    /// When anything of it was last changed, milliseconds since 1970.
    pub changed_ms: i64,
    /// Values in conflict.
    pub conflicts: u64,
    /// The first day on which a follow-up that nobody answered is due.
    pub due: Option<String>,
    /// How far the newest diagnosis is confirmed.
    pub diagnosis: Option<String>,
}

/// One page.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Listed {
    /// Inquiries that match, on all pages.
    pub total: u64,
    /// How many of these are not closed.
    pub open: u64,
    /// The rows, newest first.
    pub rows: Vec<Row>,
    /// From where the newer page goes; `None` when there is nothing newer.
    pub newer: Option<From>,
    /// From where the older page goes; `None` when there is nothing older.
    pub older: Option<From>,
}

impl Index {
    /// A page of at most `limit` rows, with the exact number of all that match.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn page(&self, ask: &Ask, from: From, limit: usize) -> Result<Listed> {
        self.read(|conn| {
            let hits = ask.look_up(conn, &self.remembered)?;
            let newest = ask.conditions(conn, &hits, Wanted::Newest)?;
            // One more than the page tells whether there are others behind it.
            let mut rows = select(conn, &newest, from, limit + 1)?;
            let more = rows.len() > limit;
            let there = |from: From| Ok::<_, dooryard_core::Error>(!select(conn, &newest, from, 1)?.is_empty());
            let (is_newer, is_older) = if let From::Before(_) = from {
                rows.drain(..rows.len().saturating_sub(limit));
                (more, rows.last().map_or(Ok(false), |row| there(From::After(row.key)))?)
            } else {
                rows.truncate(limit);
                let first = rows.first().filter(|_| from != From::Newest);
                (first.map_or(Ok(false), |row| there(From::Before(row.key)))?, more)
            };
            let (total, open) = match ask.only_status() {
                true => tallied(conn, &ask.status)?,
                false => self
                    .remembered
                    .of(conn, About::Sum, ask, || counted(conn, &ask.conditions(conn, &hits, Wanted::All)?))?,
            };
            let newer = rows.first().filter(|_| is_newer).map(|row| From::Before(row.key));
            let older = rows.last().filter(|_| is_older).map(|row| From::After(row.key));
            Ok(Listed { total, open, rows, newer, older })
        })
    }

    /// The ids of all that match, newest first.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn ids(&self, ask: &Ask) -> Result<Vec<RecordId>> {
        self.read(|conn| {
            let found = ask.conditions(conn, &ask.look_up(conn, &self.remembered)?, Wanted::All)?;
            let order = "ORDER BY i.opened_ms DESC, i.id DESC";
            let sql = format!("SELECT i.id FROM {} WHERE {} {order}", found.source, found.sql);
            let mut query = conn.prepare_cached(&sql)?;
            let ids = query.query_map(params_from_iter(found.values), |row| row.get(0).map(RecordId))?;
            Ok(ids.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// Inquiries that lists may show, in all.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn inquiries(&self) -> Result<u64> {
        self.read(|conn| Ok(tallied(conn, "")?.0))
    }

    /// How many inquiries that lists may show stand somewhere, such as at `open`.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn standing(&self, status: &str) -> Result<u64> {
        self.read(|conn| {
            let sql = "SELECT coalesce(sum(n), 0) FROM tally WHERE status = ?1";
            Ok(conn.prepare_cached(sql)?.query_row([status], |row| row.get::<_, i64>(0))?.unsigned_abs())
        })
    }

    /// Inquiries that nobody has answered and in which a stop that halts was raised: how many, and the newest of them.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn halted(&self, most: usize) -> Result<(u64, Vec<RecordId>)> {
        let (mut count, mut newest) = (0, Vec::new());
        self.read(|conn| {
            for status in ["open", "waiting"] {
                let of = "FROM inquiry WHERE listed = 1 AND halt = 1 AND status = ?1";
                let n = conn.prepare_cached(&format!("SELECT count(*) {of}"))?.query_row([status], |row| row.get(0));
                count += n.map(i64::unsigned_abs)?;
                let order = format!("ORDER BY opened_ms DESC, id DESC LIMIT {most}");
                let mut query = conn.prepare_cached(&format!("SELECT opened_ms, id {of} {order}"))?;
                let keys = query.query_map([status], |row| Ok((row.get::<_, i64>(0)?, row.get(1).map(RecordId)?)))?;
                newest.extend(keys.collect::<rusqlite::Result<Vec<_>>>()?);
            }
            Ok(())
        })?;
        newest.sort_unstable_by(|a, b| b.cmp(a));
        newest.truncate(most);
        Ok((count, newest.into_iter().map(|(_, id)| id).collect()))
    }

    /// Sealed records in all, also those that belong to no inquiry.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn sealed_records(&self) -> Result<u64> {
        let sql = "SELECT (SELECT count(*) FROM inquiry WHERE sealed = 1) + (SELECT count(*) FROM lone)";
        self.read(|conn| Ok(conn.prepare_cached(sql)?.query_row([], |row| row.get::<_, i64>(0))?.unsigned_abs()))
    }
}

/// The rows of a page.
fn select(conn: &Connection, conditions: &Where, from: From, limit: usize) -> Result<Vec<Row>> {
    let (sql, values) = statement(conditions, from, limit);
    let mut query = conn.prepare_cached(&sql)?;
    let read = query.query_map(params_from_iter(values), |row| {
        Ok(Row {
            key: Key { opened_ms: row.get(0)?, id: RecordId(row.get(1)?) },
            status: row.get(2)?,
            changed_ms: row.get(3)?,
            conflicts: row.get::<_, i64>(4)?.unsigned_abs(),
            due: row.get(5)?,
            diagnosis: row.get(6)?,
        })
    })?;
    let mut rows = read.collect::<rusqlite::Result<Vec<_>>>()?;
    rows.sort_by_key(|row| std::cmp::Reverse(row.key));
    Ok(rows)
}

/// The statement that finds the rows of a page, with its values.
pub(super) fn statement(conditions: &Where, from: From, limit: usize) -> (String, Vec<Sql>) {
    let mut values = conditions.values.clone();
    let mut bind = |key: Key| values.extend([Sql::Integer(key.opened_ms), Sql::Blob(key.id.0.to_vec())]);
    let (bound, order) = match from {
        From::Newest => ("", "DESC"),
        From::After(key) => {
            bind(key);
            (" AND (i.opened_ms, i.id) < (?, ?)", "DESC")
        }
        From::Before(key) => {
            bind(key);
            (" AND (i.opened_ms, i.id) > (?, ?)", "ASC")
        }
    };
    let sql = format!(
        "SELECT i.opened_ms, i.id, i.status, i.changed_ms, i.conflicts, i.due, i.diagnosis FROM {}
         WHERE {}{bound} ORDER BY i.opened_ms {order}, i.id {order} LIMIT {limit}",
        conditions.source, conditions.sql
    );
    (sql, values)
}

/// How many match, and how many of these are not closed: counted.
fn counted(conn: &Connection, conditions: &Where) -> Result<(u64, u64)> {
    let sql = format!(
        "SELECT count(*), count(nullif(i.status, 'closed')) FROM {} WHERE {}",
        conditions.source, conditions.sql
    );
    Ok(conn.prepare_cached(&sql)?.query_row(params_from_iter(&conditions.values), both)?)
}

/// The same of all that stand somewhere, or stand anywhere: known without counting.
fn tallied(conn: &Connection, status: &str) -> Result<(u64, u64)> {
    let sql = "SELECT coalesce(sum(n), 0), coalesce(sum(n) FILTER (WHERE status <> 'closed'), 0) FROM tally
               WHERE ?1 IN ('', status)";
    Ok(conn.prepare_cached(sql)?.query_row([status], both)?)
}

fn both(row: &rusqlite::Row<'_>) -> rusqlite::Result<(u64, u64)> {
    Ok((row.get::<_, i64>(0)?.unsigned_abs(), row.get::<_, i64>(1)?.unsigned_abs()))
}
