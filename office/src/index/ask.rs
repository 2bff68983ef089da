//! What is asked of the index: filters, as conditions of SQL.

use dooryard_core::Result;
use jiff::civil::Date;
use rusqlite::{Connection, types::Value as Sql};

use super::write::BITS;

/// Which inquiries. The default is all of them. Empty text asks nothing.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub struct Ask {
    /// Words that stand in one record of it, all of them, as beginnings of words; or in the names of its hosts and causes.
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

/// Conditions on the table `inquiry` as `i`, with their values in order.
pub(super) struct Where {
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

impl Ask {
    /// Whether it asks for nothing but where an inquiry stands.
    pub(super) fn only_status(&self) -> bool {
        *self == Self { status: self.status.clone(), names_only: self.names_only, ..Self::default() }
    }

    /// Only its days: what a share is out of.
    pub(super) fn days(&self) -> Self {
        Self { from: self.from, to: self.to, names_only: self.names_only, ..Self::default() }
    }

    /// The conditions. Words are looked up once, into a table of this connection that is in memory alone.
    pub(super) fn conditions(&self, conn: &Connection) -> Result<Where> {
        let mut found = Where { sql: "i.listed = 1".into(), values: Vec::new() };
        for (text, condition) in [
            (&self.status, "i.status = ?"),
            (&self.outcome, "i.outcome = ?"),
            (&self.channel, "i.channel = ?"),
            (&self.diagnosis, "i.diagnosis = ?"),
            (&self.township, "i.township = ?"),
            (&self.cell, "i.cell = ?"),
            (&self.scout, "i.scout = ?"),
            (&self.host, "EXISTS(SELECT 1 FROM host p WHERE p.host = ? AND p.inquiry = i.no)"),
            (&self.cause, "EXISTS(SELECT 1 FROM cause p WHERE p.cause = ? AND p.inquiry = i.no)"),
            (&self.review, "EXISTS(SELECT 1 FROM review p WHERE p.reason = ? AND p.inquiry = i.no)"),
        ] {
            if !text.is_empty() {
                found.add(condition, text.clone());
            }
        }
        for (day, condition) in [(self.from, "i.day >= ?"), (self.to, "i.day <= ?"), (self.due, "i.due <= ?")] {
            if let Some(day) = day {
                found.add(condition, day.to_string());
            }
        }
        if self.stop {
            found.sql.push_str(" AND i.stop = 1");
        }
        if self.conflict {
            found.sql.push_str(" AND i.conflicts > 0");
        }
        let words = match_expression(&self.words);
        if !words.is_empty() {
            let words = if self.names_only { format!("names : ({words})") } else { words };
            look_up(conn, &words)?;
            found.sql.push_str(" AND EXISTS(SELECT 1 FROM temp.hit h WHERE h.no = i.no)");
        }
        Ok(found)
    }
}

fn look_up(conn: &Connection, words: &str) -> Result<()> {
    conn.execute_batch("CREATE TEMP TABLE IF NOT EXISTS hit(no INTEGER PRIMARY KEY); DELETE FROM temp.hit")?;
    let sql = format!("INSERT INTO temp.hit(no) SELECT DISTINCT rowid >> {BITS} FROM found WHERE found MATCH ?1");
    conn.prepare_cached(&sql)?.execute([words])?;
    Ok(())
}

/// Every word quoted, so that nothing a person types is an operator of the text index.
fn match_expression(words: &str) -> String {
    let quoted = words.split_whitespace().map(|w| format!("\"{}\"*", w.replace('"', "\"\"")));
    quoted.collect::<Vec<_>>().join(" ")
}
