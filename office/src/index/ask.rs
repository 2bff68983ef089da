//! What is asked of the index: filters, as conditions of SQL.

use dooryard_core::Result;
use jiff::civil::Date;
use rusqlite::{Connection, functions::Context, params, types::Value as Sql};

use super::remembered::{About, Remembered};
use crate::page::day_begins_ms;

/// Which inquiries. The default is all of them. Empty text asks nothing.
#[derive(Clone, Default, PartialEq, Eq, Hash, Debug)]
pub struct Ask {
    /// Words that stand in its records or in the names of its hosts and causes, all of them, as beginnings of words.
    pub words: String,
    /// The words are looked for in the names alone: who must not see what is private learns nothing of it by asking.
    pub names_only: bool,
    /// Where it stands: `open`, `waiting`, `answered`, `closed`.
    pub status: String,
    /// What became of the plant.
    pub outcome: String,
    /// How it came.
    pub channel: String,
    /// Host of the pack.
    pub host: String,
    /// A cause that the newest diagnosis names. One that is regulated finds nothing.
    pub cause: String,
    /// How far the newest diagnosis is confirmed.
    pub diagnosis: String,
    /// Township.
    pub township: String,
    /// Public cell.
    pub cell: String,
    /// Who took it.
    pub scout: String,
    /// Why it was reviewed.
    pub review: String,
    /// A stop was raised.
    pub stop: bool,
    /// Values are in conflict.
    pub conflict: bool,
    /// Opened on this day or later, in the county's time.
    pub from: Option<Date>,
    /// Opened on this day or earlier.
    pub to: Option<Date>,
    /// A follow-up that nobody answered is due on this day or earlier.
    pub due: Option<Date>,
}

/// So few are taken together and put in order; of more, the newest are looked through.
const FEW: i64 = 200;
/// What narrows is counted up to here where all are wanted.
const ALL: i64 = 20_000;
/// Words that stand in so many, and in this part of all, narrow so little that nobody lists where they stand. The counties of
/// tests are small: there some words stand in many, and others do not.
const MANY: i64 = if cfg!(test) { 4 } else { 2_000 };
const MANY_OF: i64 = 20;

/// What is wanted of those that match.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    /// Some of the newest.
    Newest,
    /// Every one.
    All,
}

/// Where to look, and conditions on the table `inquiry` as `i`, with their values in order.
pub(super) struct Where {
    /// What stands behind `FROM`: the table, or first what narrows most.
    pub(super) source: String,
    pub(super) sql: String,
    pub(super) values: Vec<Sql>,
}

impl Where {
    fn add(&mut self, condition: &str, value: impl Into<Sql>) {
        self.sql.push_str(" AND ");
        self.sql.push_str(condition);
        self.values.push(value.into());
    }
}

/// Inquiries in which the words stand.
pub(super) enum Hits {
    /// No words are asked for.
    Any,
    /// So many, in a table of the connection that is in memory alone.
    Table(i64),
    /// A good part of all: each inquiry is asked whether it is one of them.
    Many(Vec<u8>),
}

impl Ask {
    /// Whether it asks for nothing but where an inquiry stands.
    pub(super) fn only_status(&self) -> bool {
        *self == Self { status: self.status.clone(), names_only: self.names_only, ..Self::default() }
    }

    /// Only its days: what a share is out of.
    pub(super) fn days(&self) -> Self {
        Self { from: self.from, to: self.to, names_only: self.names_only, ..Self::default() }
    }

    /// Looks the words up, once for all that is asked of them.
    pub(super) fn look_up(&self, conn: &Connection, remembered: &Remembered) -> Result<Hits> {
        let words = match_expression(&self.words);
        if words.is_empty() {
            return Ok(Hits::Any);
        }
        let words = if self.names_only { format!("names : ({words})") } else { words };
        let all: i64 = conn.prepare_cached("SELECT coalesce(sum(n), 0) FROM tally")?.query_row([], |row| row.get(0))?;
        let enough = MANY.max(all / MANY_OF);
        let sql = "SELECT count(*) FROM (SELECT 1 FROM found WHERE found MATCH ?1 LIMIT ?2)";
        let n: i64 = conn.prepare_cached(sql)?.query_row(params![words, enough], |row| row.get(0))?;
        if n >= enough {
            let ask = Self { words: self.words.clone(), names_only: self.names_only, ..Self::default() };
            return Ok(Hits::Many(remembered.of(conn, About::Hits, &ask, || bits(conn, &words))?));
        }
        conn.execute_batch("CREATE TEMP TABLE IF NOT EXISTS hit(no INTEGER PRIMARY KEY); DELETE FROM temp.hit")?;
        let sql = "INSERT INTO temp.hit(no) SELECT rowid FROM found WHERE found MATCH ?1";
        conn.prepare_cached(sql)?.execute([words])?;
        Ok(Hits::Table(n))
    }

    /// The conditions, with the words as they were looked up.
    pub(super) fn conditions(&self, conn: &Connection, hits: &Hits, wanted: Wanted) -> Result<Where> {
        let mut found = Where { source: "inquiry i".into(), sql: "i.listed = 1".into(), values: Vec::new() };
        let first = self.narrowest(conn, hits, wanted)?;
        for (text, condition) in [
            (&self.status, "i.status = ?"),
            (&self.outcome, "i.outcome = ?"),
            (&self.channel, "i.channel = ?"),
            (&self.diagnosis, "i.diagnosis = ?"),
            (&self.township, "i.township = ?"),
            (&self.cell, "i.cell = ?"),
            (&self.scout, "i.scout = ?"),
        ] {
            if !text.is_empty() {
                found.add(condition, text.clone());
            }
        }
        for (table, column, text) in self.parts() {
            if first == Some(table) {
                found.source = format!("{table} n CROSS JOIN inquiry i ON i.no = n.inquiry");
                found.add(&format!("n.{column} = ?"), text.to_owned());
            } else {
                let there = format!("EXISTS(SELECT 1 FROM {table} p WHERE p.{column} = ? AND p.inquiry = i.no)");
                found.add(&there, text.to_owned());
            }
        }
        match hits {
            Hits::Any => {}
            Hits::Table(_) if first == Some("hit") => {
                found.source = "temp.hit n CROSS JOIN inquiry i ON i.no = n.no".into();
            }
            Hits::Table(_) => found.sql.push_str(" AND EXISTS(SELECT 1 FROM temp.hit h WHERE h.no = i.no)"),
            Hits::Many(bits) => found.add("is_hit(?, i.no)", bits.clone()),
        }
        let next = |day: Date| day.tomorrow().ok();
        if let Some(from) = self.from.and_then(day_begins_ms) {
            found.add("i.opened_ms >= ?", from);
        }
        if let Some(to) = self.to.and_then(next).and_then(day_begins_ms) {
            found.add("i.opened_ms < ?", to);
        }
        if let Some(day) = self.due {
            found.add("i.due <= ?", day.to_string());
        }
        if self.stop {
            found.sql.push_str(" AND i.stop = 1");
        }
        if self.conflict {
            found.sql.push_str(" AND i.conflicts > 0");
        }
        if first.is_none() {
            found.source.push_str(self.few_of_all());
        }
        Ok(found)
    }

    /// The index of inquiries that few stand in, named: SQLite would rather walk through all of them in order.
    fn few_of_all(&self) -> &'static str {
        match (self.conflict, self.stop && self.scout.is_empty() && self.township.is_empty()) {
            (true, _) => " INDEXED BY inquiry_conflict",
            (_, true) => " INDEXED BY inquiry_stop",
            _ => "",
        }
    }

    /// What is asked of the tables beside that of inquiries: (table, column, value).
    fn parts(&self) -> impl Iterator<Item = (&'static str, &'static str, &str)> {
        let all = [("host", "host", &self.host), ("cause", "cause", &self.cause), ("review", "reason", &self.review)];
        all.into_iter()
            .filter(|(.., text)| !text.is_empty())
            .map(|(table, column, text)| (table, column, text.as_str()))
    }

    /// The table to begin with, where one narrows enough for what is wanted, and more than what is asked of the inquiry itself.
    fn narrowest(&self, conn: &Connection, hits: &Hits, wanted: Wanted) -> Result<Option<&'static str>> {
        let most = if wanted == Wanted::All { ALL } else { FEW };
        let count = |table: &str, condition: &str, text: &str| -> Result<i64> {
            let sql = format!("SELECT count(*) FROM (SELECT 1 FROM {table} WHERE {condition} = ?1 LIMIT ?2)");
            Ok(conn.prepare_cached(&sql)?.query_row(params![text, most + 1], |row| row.get(0))?)
        };
        let enough = |n: i64| wanted == Wanted::All || n <= most;
        let mut best = match hits {
            Hits::Table(n) if enough(*n) => Some((*n, Some("hit"))),
            _ => None,
        };
        for (column, text) in [("scout", &self.scout), ("township", &self.township)] {
            if wanted == Wanted::All && !text.is_empty() {
                let n = count("inquiry", &format!("listed = 1 AND {column}"), text)?;
                best = best.filter(|(least, _)| *least <= n).or(Some((n, None)));
            }
        }
        for (table, column, text) in self.parts() {
            let n = count(table, column, text)?;
            if enough(n) && best.is_none_or(|(least, _)| n < least) {
                best = Some((n, Some(table)));
            }
        }
        Ok(best.and_then(|(_, table)| table))
    }
}

/// The numbers of the inquiries in which words stand, a bit each.
fn bits(conn: &Connection, words: &str) -> Result<Vec<u8>> {
    let mut bits = Vec::new();
    let mut query = conn.prepare_cached("SELECT rowid FROM found WHERE found MATCH ?1")?;
    let mut rows = query.query([words])?;
    while let Some(row) = rows.next()? {
        let (at, bit) = place(row.get(0)?);
        if bits.len() <= at {
            bits.resize(at + 1, 0);
        }
        if let Some(byte) = bits.get_mut(at) {
            *byte |= bit;
        }
    }
    Ok(bits)
}

/// The byte and the bit of a number.
fn place(no: i64) -> (usize, u8) {
    (usize::try_from(no / 8).unwrap_or(usize::MAX), 1 << no.rem_euclid(8))
}

/// `is_hit(bits, no)`: whether the bit of a number is set.
pub(super) fn is_hit(given: &Context<'_>) -> rusqlite::Result<bool> {
    let (at, bit) = place(given.get(1)?);
    let bits = given.get_raw(0).as_blob()?;
    Ok(bits.get(at).is_some_and(|byte| byte & bit != 0))
}

/// Every word quoted, so that nothing a person types is an operator of the text index.
fn match_expression(words: &str) -> String {
    let quoted = words.split_whitespace().map(|w| format!("\"{}\"*", w.replace('"', "\"\"")));
    quoted.collect::<Vec<_>>().join(" ")
}
