//! Which closed inquiries nobody has written to for long, for the rule of keeping.

use dooryard_core::{Result, ids::RecordId};

use super::Index;

impl Index {
    /// Closed inquiries with private words in their records, of which nothing was written since a moment (milliseconds since
    /// 1970), the oldest first.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn private_before(&self, moment_ms: i64) -> Result<Vec<RecordId>> {
        self.read(|conn| {
            let mut query = conn.prepare_cached(
                "SELECT id FROM inquiry WHERE listed = 1 AND status = 'closed' AND private = 1 AND changed_ms < ?1
                 ORDER BY changed_ms, id",
            )?;
            Ok(query.query_map([moment_ms], |row| row.get(0).map(RecordId))?.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// Whether an inquiry is closed, and nothing of it was written since a moment (milliseconds since 1970).
    ///
    /// # Errors
    /// Of SQLite.
    pub fn is_closed_before(&self, inquiry: RecordId, moment_ms: i64) -> Result<bool> {
        self.read(|conn| {
            let sql = "SELECT 1 FROM inquiry WHERE id = ?1 AND listed = 1 AND status = 'closed' AND changed_ms < ?2";
            Ok(conn.prepare_cached(sql)?.exists((inquiry.0, moment_ms))?)
        })
    }
}
