//! Counts over weeks and places, for the season board, the monthly report and the map. Each is of what matches and may be counted.

use std::collections::BTreeMap;

use dooryard_core::Result;
use rusqlite::Connection;

use super::{
    Index,
    ask::{Ask, Wanted, Where},
    count::{counted, each, whole},
    remembered::About,
};
use crate::page::day_of_ms;

/// One plant, or one cause of it, in one week.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Weekly {
    /// Host of the pack.
    pub host: String,
    /// A cause held about even or likelier; empty for the plant itself.
    pub cause: String,
    /// The ISO week in which the inquiries were opened, such as `2026-W30`.
    pub week: String,
    /// Inquiries about the plant, or those in which the cause is held.
    pub n: u64,
}

impl Index {
    /// Inquiries per plant and week, and per plant, cause and week.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn weekly(&self, ask: &Ask) -> Result<Vec<Weekly>> {
        self.read(|conn| {
            self.remembered.of(conn, About::Weekly, ask, || {
                let found = counted(self.matching(conn, ask)?);
                let read = |row: &rusqlite::Row<'_>| {
                    Ok(Weekly { host: row.get(0)?, cause: row.get(1)?, week: row.get(2)?, n: whole(row, 3)? })
                };
                let join = |part: &str| format!("CROSS JOIN {part} p ON p.inquiry = i.no");
                let mut rows =
                    each(conn, (&join("host"), &found), "p.host, '', i.week, count(*)", "GROUP BY 1, 3", read)?;
                rows.extend(each(
                    conn,
                    (&join("held"), &found),
                    "p.host, p.cause, i.week, sum(p.n)",
                    "GROUP BY 1, 2, 3",
                    read,
                )?);
                Ok(rows)
            })
        })
    }

    /// Inquiries per week, and how many of them have a diagnosis.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn answered_by_week(&self, ask: &Ask) -> Result<BTreeMap<String, (u64, u64)>> {
        self.read(|conn| {
            self.remembered.of(conn, About::Answered, ask, || {
                let found = counted(self.matching(conn, ask)?);
                let rows =
                    each(conn, ("", &found), "i.week, count(*), count(i.diagnosis)", "GROUP BY i.week", |row| {
                        Ok((row.get(0)?, (whole(row, 1)?, whole(row, 2)?)))
                    })?;
                Ok(rows.into_iter().collect())
            })
        })
    }

    /// Inquiries by the words of one column: how they came, where they stand, how far the newest diagnosis is confirmed, what
    /// became of the plant. Those without a word stand under the empty one.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn by(&self, ask: &Ask, what: What) -> Result<BTreeMap<String, u64>> {
        self.read(|conn| {
            self.remembered.of(conn, About::By(what.column()), ask, || {
                let found = counted(self.matching(conn, ask)?);
                let columns = format!("coalesce({}, '') AS word, count(*)", what.column());
                let rows =
                    each(conn, ("", &found), &columns, "GROUP BY word", |row| Ok((row.get(0)?, whole(row, 1)?)))?;
                Ok(rows.into_iter().collect())
            })
        })
    }

    /// Inquiries per township and cell: (township, cell, how many).
    ///
    /// # Errors
    /// Of SQLite.
    pub fn places(&self, ask: &Ask) -> Result<Vec<(String, String, u64)>> {
        self.read(|conn| {
            self.remembered.of(conn, About::Places, ask, || {
                let found = counted(self.matching(conn, ask)?);
                let columns = "coalesce(i.township, '') AS a, coalesce(i.cell, '') AS b, count(*)";
                each(conn, ("", &found), columns, "GROUP BY i.township, i.cell", |row| {
                    Ok((row.get(0)?, row.get(1)?, whole(row, 2)?))
                })
            })
        })
    }

    /// How many inquiries match and may not be counted.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn left_out(&self, ask: &Ask) -> Result<u64> {
        self.read(|conn| {
            self.remembered.of(conn, About::LeftOut, ask, || {
                let mut found = self.matching(conn, ask)?;
                found.sql.push_str(" AND i.counted = 0");
                Ok(each(conn, ("", &found), "count(*)", "", |row| whole(row, 0))?.iter().sum())
            })
        })
    }

    fn matching(&self, conn: &Connection, ask: &Ask) -> Result<Where> {
        ask.conditions(conn, &ask.look_up(conn, &self.remembered)?, Wanted::All)
    }

    /// The first and the last day on which an inquiry was opened; nothing where there is none.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn days(&self) -> Result<Option<(String, String)>> {
        self.read(|conn| {
            let sql = "SELECT (SELECT opened_ms FROM inquiry WHERE listed = 1 ORDER BY opened_ms LIMIT 1),
                     (SELECT opened_ms FROM inquiry WHERE listed = 1 ORDER BY opened_ms DESC LIMIT 1)";
            let both: (Option<i64>, Option<i64>) =
                conn.prepare_cached(sql)?.query_row([], |row| Ok((row.get(0)?, row.get(1)?)))?;
            let day = |ms: Option<i64>| ms.and_then(day_of_ms).map(|day| day.to_string());
            Ok(day(both.0).zip(day(both.1)))
        })
    }
}

/// Of what inquiries are counted.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum What {
    /// How they came.
    Channel,
    /// Where they stand.
    Status,
    /// How far the newest diagnosis is confirmed.
    Diagnosis,
    /// What became of the plant.
    Outcome,
    /// In which township.
    Township,
}

impl What {
    /// Its word.
    pub fn name(self) -> &'static str {
        self.column().strip_prefix("i.").unwrap_or_default()
    }

    fn column(self) -> &'static str {
        match self {
            Self::Channel => "i.channel",
            Self::Status => "i.status",
            Self::Diagnosis => "i.diagnosis",
            Self::Outcome => "i.outcome",
            Self::Township => "i.township",
        }
    }
}
