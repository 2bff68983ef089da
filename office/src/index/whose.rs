//! To which inquiries a record belongs, and whether one of them is under seal.

use dooryard_core::{Result, ids::RecordId};

use super::{Index, write::BITS};

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
            let mut query = conn.prepare_cached(&format!(
                "SELECT 1 FROM member m JOIN inquiry i ON i.no = m.id >> {BITS} WHERE m.rec = ?1 AND i.sealed = 1"
            ))?;
            Ok(query.exists([record.0])?)
        })
    }

    /// The inquiries that lists may show and to which a record belongs. A site or a contact may belong to several.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn inquiries_of(&self, record: RecordId) -> Result<Vec<RecordId>> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(&format!(
                "SELECT DISTINCT i.id FROM member m JOIN inquiry i ON i.no = m.id >> {BITS}
                 WHERE m.rec = ?1 AND i.listed = 1 ORDER BY i.id"
            ))?;
            Ok(query.query_map([record.0], |row| row.get(0).map(RecordId))?.collect::<rusqlite::Result<_>>()?)
        })
    }
}
