//! What is to be asked later, by day, page by page.

use std::{fmt, str::FromStr};

use dooryard_core::{Result, ids::RecordId};
use jiff::civil::Date;
use rusqlite::{params_from_iter, types::Value as Sql};

use super::Index;

/// Stands for a day that nobody wrote down: behind every day.
pub(super) const NO_DAY: &str = "~";

/// How a follow-up lies to today.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Stand {
    /// Due before today.
    Late,
    /// Due today.
    Today,
    /// Due after today, or on no day.
    Coming,
    /// Answered, or done with.
    Done,
}

impl Stand {
    /// All of them, in the order of the day.
    pub const ALL: [Self; 4] = [Self::Late, Self::Today, Self::Coming, Self::Done];

    /// Its rows of the table, with the values of the condition in order.
    fn of(self, today: Date, by: Option<&str>) -> (String, Vec<Sql>) {
        let (done, day) = match self {
            Self::Late => (0, Some("<")),
            Self::Today => (0, Some("=")),
            Self::Coming => (0, Some(">")),
            Self::Done => (1, None),
        };
        let mut values = Vec::new();
        let mut sql = format!("FROM later l WHERE l.done = {done}");
        let mut add = |column: &str, than: &str, value: String| {
            sql.push_str(&format!(" AND l.{column} {than} ?"));
            values.push(Sql::Text(value));
        };
        if let Some(than) = day {
            add("day", than, today.to_string());
        }
        if let Some(by) = by {
            add("by", "=", by.to_owned());
        }
        (sql, values)
    }
}

/// Where a follow-up stands in the order of its list.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LaterKey {
    day: String,
    /// Its record.
    pub id: RecordId,
}

impl fmt::Display for LaterKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.day, self.id)
    }
}

impl FromStr for LaterKey {
    type Err = ();

    fn from_str(text: &str) -> std::result::Result<Self, ()> {
        let (day, id) = text.split_once('.').ok_or(())?;
        Ok(Self { day: day.to_owned(), id: id.parse().map_err(drop)? })
    }
}

/// One follow-up of an inquiry that lists may show.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Later {
    /// Its key.
    pub key: LaterKey,
    /// The inquiry that it belongs to.
    pub inquiry: RecordId,
}

impl Index {
    /// How many are late, due today, to come and done; `by` asks for those of one person alone, as records name them.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn later_counts(&self, today: Date, by: Option<&str>) -> Result<[u64; 4]> {
        self.read(|conn| {
            let count = |stand: Stand| -> Result<u64> {
                let (of, values) = stand.of(today, by);
                let mut query = conn.prepare_cached(&format!("SELECT count(*) {of}"))?;
                Ok(query.query_row(params_from_iter(values), |row| row.get::<_, i64>(0))?.unsigned_abs())
            };
            let [late, due, coming, done] = Stand::ALL.map(count);
            Ok([late?, due?, coming?, done?])
        })
    }

    /// A page of at most `limit`: the earliest day first, of what is done the latest. `after` is the last one of the page
    /// before.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn later(
        &self,
        stand: Stand,
        today: Date,
        by: Option<&str>,
        after: Option<&LaterKey>,
        limit: usize,
    ) -> Result<Vec<Later>> {
        let (order, than) = if stand == Stand::Done { ("DESC", "<") } else { ("ASC", ">") };
        let (mut of, mut values) = stand.of(today, by);
        if let Some(after) = after {
            of.push_str(&format!(" AND (l.day, l.rec) {than} (?, ?)"));
            values.extend([Sql::Text(after.day.clone()), Sql::Blob(after.id.0.to_vec())]);
        }
        let sql = format!(
            "SELECT l.day, l.rec, (SELECT i.id FROM inquiry i WHERE i.no = l.inquiry) {of} ORDER BY l.day {order}, l.rec {order} LIMIT {limit}"
        );
        self.read(|conn| {
            let mut query = conn.prepare_cached(&sql)?;
            let rows = query.query_map(params_from_iter(values), |row| {
                let key = LaterKey { day: row.get(0)?, id: RecordId(row.get(1)?) };
                Ok(Later { key, inquiry: RecordId(row.get(2)?) })
            })?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }
}
