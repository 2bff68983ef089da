//! How much a notebook holds, and of how much two wrote otherwise.

use std::collections::BTreeMap;

use super::open::Notebook;
use crate::{error::Result, record::Kind};

impl Notebook {
    /// How many records of each kind are here and not deleted.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn counted(&self) -> Result<BTreeMap<Kind, u64>> {
        self.refresh()?;
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached("SELECT kind, count(*) FROM shown WHERE hidden = 0 GROUP BY kind")?;
        let rows = query.query_map([], |row| Ok((row.get::<_, u32>(0)?, row.get::<_, i64>(1)?)))?;
        let mut counted = BTreeMap::new();
        for row in rows {
            let (kind, n) = row?;
            counted.extend(Kind::from_id(kind).map(|kind| (kind, n.unsigned_abs())));
        }
        Ok(counted)
    }

    /// How many photos and thumbnails are here, and their bytes.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn photos_held(&self) -> Result<(u64, u64)> {
        let inner = self.lock();
        let sql = "SELECT count(*), coalesce(sum(size), 0) FROM blob WHERE held = 1";
        let (n, bytes): (i64, i64) =
            inner.conn.prepare_cached(sql)?.query_row([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok((n.unsigned_abs(), bytes.unsigned_abs()))
    }

    /// Of how many records two wrote otherwise.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn conflicts_counted(&self) -> Result<u64> {
        self.refresh()?;
        let inner = self.lock();
        let sql = "SELECT count(*) FROM shown WHERE conflicts > 0 AND hidden = 0";
        let n: i64 = inner.conn.prepare_cached(sql)?.query_row([], |row| row.get(0))?;
        Ok(n.unsigned_abs())
    }
}
