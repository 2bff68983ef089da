//! Counts of what matches, each with what it is out of: per host and cause, per township, per week, per place of the map.

use std::collections::BTreeMap;

use dooryard_core::Result;
use rusqlite::{Connection, Row, params_from_iter};

use super::{
    Index,
    ask::{Ask, Where},
};
use crate::counts::{Counts, HostCount};

/// How many inquiries match, out of all of the same place or week that may be counted.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Share {
    /// The township or the week; empty where nobody wrote it down.
    pub what: String,
    /// Those that match.
    pub n: u64,
    /// All on the days asked for.
    pub of: u64,
}

/// One place of the map.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Spot {
    /// Township; empty where nobody wrote it down.
    pub township: String,
    /// Public cell; empty where nobody wrote it down.
    pub cell: String,
    /// Inquiries that match.
    pub n: u64,
    /// All on the days asked for.
    pub of: u64,
}

impl Index {
    /// Counts per host and cause of what matches and may be counted.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn counts(&self, ask: &Ask) -> Result<Counts> {
        self.read(|conn| self.counts_in(conn, ask))
    }

    fn counts_in(&self, conn: &Connection, ask: &Ask) -> Result<Counts> {
        let found = ask.conditions(conn)?;
        let all = each(conn, ("", &found), "count(*)", "", |row| whole(row, 0))?.iter().sum::<u64>();
        let found = counted(found);
        let inquiries = each(conn, ("", &found), "count(*)", "", |row| whole(row, 0))?.iter().sum();
        // What narrows comes first; of everything, the parts are walked through in their own order.
        let join =
            |part: &str| format!("{} JOIN {part} p ON p.inquiry = i.no", if *ask == ask.days() { "" } else { "CROSS" });
        let columns = "p.host, count(*), sum(p.affected), sum(p.present), sum(p.answered)";
        let hosts = each(conn, (&join("host"), &found), columns, "GROUP BY p.host", |row| {
            let id: String = row.get(0)?;
            Ok(HostCount {
                name: self.names.host(&id),
                id,
                inquiries: whole(row, 1)?,
                plants: (whole(row, 2)?, whole(row, 3)?),
                answered: whole(row, 4)?,
                causes: Vec::new(),
            })
        })?;
        let mut by_host: BTreeMap<String, HostCount> = hosts.into_iter().map(|row| (row.id.clone(), row)).collect();
        let held =
            each(conn, (&join("held"), &found), "p.host, p.cause, sum(p.n)", "GROUP BY p.host, p.cause", |row| {
                Ok((row.get::<_, String>(0)?, row.get::<_, String>(1)?, whole(row, 2)?))
            })?;
        for (host, cause, n) in held {
            if let Some(row) = by_host.get_mut(&host) {
                row.causes.push((cause.clone(), self.names.cause(&cause), n));
            }
        }
        Ok(Counts::in_order(inquiries, all - inquiries, by_host.into_values().collect()))
    }

    /// What matches and may be counted per township, in the order of their names.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn townships(&self, ask: &Ask) -> Result<Vec<Share>> {
        self.shares(ask, "i.township")
    }

    /// What matches and may be counted per week (`2026-W30`), the oldest first. Weeks without any inquiry are not among them.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn weeks(&self, ask: &Ask) -> Result<Vec<Share>> {
        self.shares(ask, "i.week")
    }

    fn shares(&self, ask: &Ask, column: &str) -> Result<Vec<Share>> {
        let shares = self.grouped(ask, column, "''")?;
        Ok(shares.into_iter().map(|((what, _), (n, of))| Share { what, n, of }).collect())
    }

    /// What matches and may be counted per township and cell, for the map.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn map(&self, ask: &Ask) -> Result<Vec<Spot>> {
        let spots = self.grouped(ask, "i.township", "i.cell")?;
        Ok(spots.into_iter().map(|((township, cell), (n, of))| Spot { township, cell, n, of }).collect())
    }

    /// (matching, all of the days) by two columns.
    fn grouped(&self, ask: &Ask, a: &str, b: &str) -> Result<BTreeMap<(String, String), (u64, u64)>> {
        let columns = format!("coalesce({a}, '') AS a, coalesce({b}, '') AS b, count(*)");
        let read = |row: &Row<'_>| Ok(((row.get(0)?, row.get(1)?), whole(row, 2)?));
        self.read(|conn| {
            let of = |ask: &Ask| each(conn, ("", &counted(ask.conditions(conn)?)), &columns, "GROUP BY a, b", read);
            let mut groups: BTreeMap<(String, String), (u64, u64)> = BTreeMap::new();
            for (key, of) in of(&ask.days())? {
                groups.insert(key, (if *ask == ask.days() { of } else { 0 }, of));
            }
            if *ask != ask.days() {
                for (key, n) in of(ask)? {
                    groups.entry(key).or_default().0 = n;
                }
            }
            Ok(groups)
        })
    }

    /// What filters can offer, in order: the townships, the scouts, the hosts and the causes of all inquiries that lists may
    /// show.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn offered(&self) -> Result<[Vec<String>; 4]> {
        self.read(|conn| {
            let distinct = |sql: &str| -> Result<Vec<String>> {
                let mut query = conn.prepare_cached(sql)?;
                Ok(query.query_map([], |row| row.get(0))?.collect::<rusqlite::Result<_>>()?)
            };
            let column = |column: &str| distinct(&steps(column, "inquiry", "listed = 1 AND"));
            let part = |part: &str| distinct(&steps(part, part, ""));
            Ok([column("township")?, column("scout")?, part("host")?, part("cause")?])
        })
    }
}

/// The different values of a column that leads an index, from one to the next: as many steps as there are values.
fn steps(column: &str, table: &str, and: &str) -> String {
    format!(
        "WITH RECURSIVE v(x) AS (SELECT (SELECT min({column}) FROM {table} WHERE {and} {column} IS NOT NULL)
           UNION ALL SELECT (SELECT min({column}) FROM {table} WHERE {and} {column} > x) FROM v WHERE x IS NOT NULL)
         SELECT x FROM v WHERE x IS NOT NULL"
    )
}

/// Rows of inquiries that match, with each of them joined as `p` where `join` says so.
fn each<T>(
    conn: &Connection,
    (join, found): (&str, &Where),
    columns: &str,
    group: &str,
    read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
) -> Result<Vec<T>> {
    let sql = format!("SELECT {columns} FROM inquiry i {join} WHERE {} {group}", found.sql);
    let mut query = conn.prepare_cached(&sql)?;
    Ok(query.query_map(params_from_iter(&found.values), read)?.collect::<rusqlite::Result<_>>()?)
}

/// Adds that they may be counted.
fn counted(mut found: Where) -> Where {
    found.sql.push_str(" AND i.counted = 1");
    found
}

fn whole(row: &Row<'_>, at: usize) -> rusqlite::Result<u64> {
    Ok(row.get::<_, i64>(at)?.unsigned_abs())
}
