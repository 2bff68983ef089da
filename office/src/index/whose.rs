//! To which inquiries a record belongs, and whether one of them is under seal.

use dooryard_core::{Result, ids::RecordId};

use super::Index;

impl Index {
    /// Whether an inquiry is under seal.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn is_sealed(&self, inquiry: RecordId) -> Result<bool> {
        self.read(|conn| {
            let mut query = conn.prepare_cached("SELECT 1 FROM inquiry WHERE id = ?1 AND sealed = 1")?;
            Ok(query.exists([inquiry.0])?)
        })
    }

    /// Whether a record belongs to an inquiry that is under seal.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn is_under_seal(&self, record: RecordId) -> Result<bool> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(
                "SELECT 1 FROM member m JOIN inquiry i ON i.no = m.inquiry WHERE m.rec = ?1 AND i.sealed = 1",
            )?;
            Ok(query.exists([record.0])?)
        })
    }

    /// The inquiries to which a record belongs, also those that no list may show.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn whose(&self, record: RecordId) -> Result<Vec<RecordId>> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(
                "SELECT i.id FROM member m JOIN inquiry i ON i.no = m.inquiry WHERE m.rec = ?1 ORDER BY i.id",
            )?;
            Ok(query.query_map([record.0], |row| row.get(0).map(RecordId))?.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// The inquiries that lists may show and to which a record belongs. A site or a contact may belong to several.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn inquiries_of(&self, record: RecordId) -> Result<Vec<RecordId>> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(
                "SELECT i.id FROM member m JOIN inquiry i ON i.no = m.inquiry WHERE m.rec = ?1 AND i.listed = 1
                 ORDER BY i.id",
            )?;
            Ok(query.query_map([record.0], |row| row.get(0).map(RecordId))?.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// The inquiries that lists may show and whose numbers end so: two at most, which says that there are several. `end` are
    /// the last signs of a number, six or more.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn ending(&self, end: &str) -> Result<Vec<RecordId>> {
        let end: String = end.chars().filter(|c| *c != '-').collect::<String>().to_uppercase();
        let Some(six) = end.len().checked_sub(6).and_then(|at| end.get(at..)) else { return Ok(Vec::new()) };
        self.read(|conn| {
            let mut query = conn.prepare_cached(
                "SELECT id FROM inquiry WHERE substr(hex(id), -6) = ?1 AND listed = 1
                   AND substr(hex(id), -length(?2)) = ?2 LIMIT 2",
            )?;
            Ok(query
                .query_map([six, end.as_str()], |row| row.get(0).map(RecordId))?
                .collect::<rusqlite::Result<_>>()?)
        })
    }
}
