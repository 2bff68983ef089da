//! Counts of what matches, each with what it is out of: per host and cause, per township, per week, per place of the map.

use std::collections::BTreeMap;

use dooryard_core::Result;
use rusqlite::{Connection, Row, params_from_iter};

use super::{
    Index,
    ask::{Ask, Wanted, Where},
    remembered::About,
};
use crate::counts::{Counts, HostCount};

impl Index {
    /// Counts per host and cause of what matches and may be counted.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn counts(&self, ask: &Ask) -> Result<Counts> {
        self.read(|conn| self.remembered.of(conn, About::Counts, ask, || self.counts_in(conn, ask)))
    }

    fn counts_in(&self, conn: &Connection, ask: &Ask) -> Result<Counts> {
        let found = ask.conditions(conn, &ask.look_up(conn, &self.remembered)?, Wanted::All)?;
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
pub(super) fn each<T>(
    conn: &Connection,
    (join, found): (&str, &Where),
    columns: &str,
    group: &str,
    read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
) -> Result<Vec<T>> {
    let sql = format!("SELECT {columns} FROM {} {join} WHERE {} {group}", found.source, found.sql);
    let mut query = conn.prepare_cached(&sql)?;
    Ok(query.query_map(params_from_iter(&found.values), read)?.collect::<rusqlite::Result<_>>()?)
}

/// Adds that they may be counted.
pub(super) fn counted(mut found: Where) -> Where {
    found.sql.push_str(" AND i.counted = 1");
    found
}

pub(super) fn whole(row: &Row<'_>, at: usize) -> rusqlite::Result<u64> {
    Ok(row.get::<_, i64>(at)?.unsigned_abs())
}
