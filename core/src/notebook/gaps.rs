//! What is here of every log, and what is still to come.

use std::collections::BTreeMap;

use rusqlite::Connection;
use serde::Serialize;

use super::{enrolled::Enrolled, open::Notebook, store::Rows};
use crate::{
    bundle::Level,
    error::Result,
    fault::{self, Fault},
    ids::{DeviceId, Hash32, LogId, RecordId},
    log::{Link, Run, Store, missing, runs},
};

/// A range of changes that is not here.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct Gap {
    /// The log, as people see it.
    pub log: String,
    /// Whose log it is.
    pub label: String,
    /// First change missing.
    pub from: u64,
    /// Last change missing.
    pub to: u64,
    /// Their author can no longer read them and said so: nothing will come, unless an older bundle or a backup has them.
    pub lost: bool,
}

impl Notebook {
    /// The ranges of every log that are known to exist and are not here: those that have not come, and those reported lost.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn gaps(&self) -> Result<Vec<Gap>> {
        let inner = self.lock();
        let (mut found, all_lost) = (Vec::new(), Rows::new(&inner.conn).lost()?);
        for (log, claimed, mut links) in chains(&inner.conn, Level::Stored)? {
            let end = links.iter().map(|l| l.seq).max().unwrap_or(0).max(claimed);
            let label = label_of(&inner.office, &log.device);
            let absent = missing(&links, end);
            links.extend(all_lost.iter().filter(|(of, _)| *of == log).map(|(_, link)| *link));
            let awaited = missing(&links, end);
            let lost = without(&absent, &awaited).into_iter().map(|range| (range, true));
            let mut all: Vec<_> = awaited.into_iter().map(|range| (range, false)).chain(lost).collect();
            all.sort_unstable();
            found.extend(all.into_iter().map(|((from, to), lost)| Gap {
                log: log.to_string(),
                label: label.clone(),
                from,
                to,
                lost,
            }));
        }
        Ok(found)
    }

    /// The unbroken runs held of a device's logs. More than one over the same places is a fork.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn runs_of(&self, device: &DeviceId) -> Result<Vec<(LogId, Run)>> {
        let inner = self.lock();
        let chains = chains(&inner.conn, Level::Stored)?.into_iter().filter(|(log, ..)| log.device == *device);
        Ok(chains.flat_map(|(log, _, links)| runs(&links).into_iter().map(move |run| (log, run))).collect())
    }

    /// How many changes of a device are here, how many of them do not count.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn count_of(&self, device: &DeviceId) -> Result<(u64, u64)> {
        let inner = self.lock();
        let sql = "SELECT count(*), count(waiting) FROM change WHERE log IN (SELECT id FROM log WHERE device = ?1)";
        Ok(inner.conn.prepare_cached(sql)?.query_row([device.0], |row| {
            Ok((row.get::<_, i64>(0)?.unsigned_abs(), row.get::<_, i64>(1)?.unsigned_abs()))
        })?)
    }

    /// How many changes are here that do not count, of all devices.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn waiting(&self) -> Result<u64> {
        let inner = self.lock();
        let sql = "SELECT count(*) FROM change WHERE waiting IS NOT NULL";
        Ok(inner.conn.prepare_cached(sql)?.query_row([], |row| row.get::<_, i64>(0))?.unsigned_abs())
    }

    /// Changes of a device that do not count, and why.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn waiting_of(&self, device: &DeviceId) -> Result<Vec<(RecordId, Hash32, String)>> {
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached(
            "SELECT rec, hash, waiting FROM change WHERE waiting IS NOT NULL AND log IN (SELECT id FROM log WHERE device = ?1)",
        )?;
        let rows = query.query_map([device.0], |row| Ok((RecordId(row.get(0)?), Hash32(row.get(1)?), row.get(2)?)))?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }
}

/// The ranges of `all` less those of `some`, which lie within them. Both ascend.
fn without(all: &[(u64, u64)], some: &[(u64, u64)]) -> Vec<(u64, u64)> {
    let mut left = Vec::new();
    for (from, to) in all {
        let mut next = *from;
        for (start, end) in some.iter().filter(|(start, end)| from <= start && end <= to) {
            left.push((next, start - 1));
            next = end + 1;
        }
        left.push((next, *to));
    }
    left.retain(|(from, to)| from <= to);
    left
}

/// Every log with the highest place anyone spoke of, and its chain as far as it is held at this level.
pub(super) fn chains(conn: &Connection, level: Level) -> Result<Vec<(LogId, u64, Vec<Link>)>> {
    let mut logs: BTreeMap<i64, (LogId, u64, Vec<Link>)> = conn
        .prepare_cached("SELECT id, device, incarnation, claimed_to FROM log")?
        .query_map([], |row| {
            let log = LogId { device: DeviceId(row.get(1)?), incarnation: u64::from_be_bytes(row.get(2)?) };
            Ok((row.get(0)?, (log, row.get::<_, i64>(3)?.unsigned_abs(), Vec::new())))
        })?
        .collect::<rusqlite::Result<_>>()?;
    let mut query =
        conn.prepare_cached("SELECT log, seq, hash, prev FROM change WHERE safe >= ?1 ORDER BY log, seq, hash")?;
    let level = if fault::is(Fault::StoredCountsAsSafe) { Level::Stored } else { level };
    let mut rows = query.query([level as u8])?;
    while let Some(row) = rows.next()? {
        if let Some((.., links)) = logs.get_mut(&row.get(0)?) {
            let seq = row.get::<_, i64>(1)?.unsigned_abs();
            links.push(Link { seq, hash: Hash32(row.get(2)?), prev: Hash32(row.get(3)?) });
        }
    }
    let mut all: Vec<_> = logs.into_values().collect();
    all.sort_by_key(|(log, ..)| *log);
    Ok(all)
}

fn label_of(office: &Enrolled, device: &DeviceId) -> String {
    office.authority.cert_of(device).map_or_else(|| device.to_hex()[..8].to_owned(), |(_, cert)| cert.label.clone())
}
