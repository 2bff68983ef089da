//! What is on its way to the office and what is not, for whole inquiries: a few questions, however much is in the notebook.

use rusqlite::params;

use super::{open::Notebook, replies::Way};
use crate::{error::Result, ids::RecordId, log::Head, record::Kind};

/// Records of which a change of this device (the first parameter) is in no bundle yet, and all that they belong to, step by
/// step. Not what else is at the same site: the fields left out are those that name one.
pub(super) const UNHANDED: &str = "WITH RECURSIVE touched(rec) AS (
    SELECT c.rec FROM log l JOIN change c ON c.log = l.id AND c.seq > l.handed_to WHERE l.device = ?
    UNION SELECT k.target FROM touched CROSS JOIN link k ON k.source = touched.rec WHERE k.field NOT IN (113, 114, 120, 121, 401, 501, 602, 906)
    UNION SELECT k.source FROM touched CROSS JOIN link k ON k.target = touched.rec WHERE k.field IN (113, 114))";

/// A record with what it refers to of its own (who asked, where), and all that hangs on it. The joins stand in the order in which
/// they are to be made: without figures of its tables SQLite goes over all records first.
const FAMILY: &str = "WITH RECURSIVE family(rec) AS (
    SELECT ?1
    UNION SELECT k.target FROM link k CROSS JOIN record r ON r.rec = k.target WHERE k.source = ?1 AND r.kind IN (2, 3)
    UNION SELECT k.source FROM family CROSS JOIN link k ON k.target = family.rec CROSS JOIN record r ON r.rec = k.source
    WHERE r.kind NOT IN (1, 2, 3, 16) AND k.field NOT IN (401, 501, 602, 906))";

/// What of this device is in no bundle yet.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub struct Unhanded {
    /// Changes.
    pub changes: u64,
    /// Inquiries and visits written or changed.
    pub inquiries: u64,
    /// Visits among them.
    pub visits: u64,
    /// Photos among them.
    pub photos: u64,
    /// Bytes of photos and thumbnails that were in no bundle.
    pub bytes: u64,
    /// When the oldest of the changes was written, milliseconds since 1970, by this device's clock.
    pub since_ms: Option<i64>,
}

impl Notebook {
    /// What is in no bundle yet.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn unhanded(&self) -> Result<Unhanded> {
        let inner = self.lock();
        let device = inner.log.device.0;
        let mut found = Unhanded::default();
        let mut query = inner.conn.prepare_cached(
            "SELECT r.kind, count(DISTINCT c.rec), count(*) FROM log l JOIN change c ON c.log = l.id AND c.seq > l.handed_to
             JOIN record r ON r.rec = c.rec WHERE l.device = ?1 GROUP BY r.kind",
        )?;
        let rows = query
            .query_map([device], |row| Ok((row.get::<_, u32>(0)?, row.get::<_, i64>(1)?, row.get::<_, i64>(2)?)))?;
        for row in rows {
            let (kind, records, changes) = row?;
            found.changes += changes.unsigned_abs();
            match Kind::from_id(kind) {
                Some(Kind::Inquiry) => found.inquiries = records.unsigned_abs(),
                Some(Kind::Visit) => found.visits = records.unsigned_abs(),
                Some(Kind::Photo) => found.photos = records.unsigned_abs(),
                _ => {}
            }
        }
        found.bytes = inner
            .conn
            .prepare_cached("SELECT coalesce(sum(size), 0) FROM blob WHERE held = 1 AND handed = 0 AND received = 0")?
            .query_row([], |row| row.get::<_, i64>(0))?
            .unsigned_abs();
        let mut query = inner.conn.prepare_cached(
            "SELECT (SELECT head FROM change c WHERE c.log = l.id AND c.seq > l.handed_to ORDER BY c.seq LIMIT 1)
             FROM log l WHERE l.device = ?1",
        )?;
        let heads: Vec<Option<Vec<u8>>> =
            query.query_map([device], |row| row.get(0))?.collect::<rusqlite::Result<_>>()?;
        for head in heads.into_iter().flatten() {
            let at = i64::try_from(Head::from_cbor(&head)?.wall_ms).unwrap_or(i64::MAX);
            found.since_ms = Some(found.since_ms.map_or(at, |known| known.min(at)));
        }
        Ok(found)
    }

    /// How far an inquiry is on its way, with all that hangs on it: as far as what is least far.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn way_of_all(&self, inquiry: RecordId) -> Result<Way> {
        let inner = self.lock();
        let sql = format!(
            "{FAMILY} SELECT max(f.seq > l.received_to), max(f.seq > l.handed_to),
             EXISTS(SELECT 1 FROM family CROSS JOIN record r ON r.rec = family.rec WHERE r.kind = {})
             FROM family CROSS JOIN fact f ON f.rec = family.rec CROSS JOIN log l ON l.id = f.log WHERE l.device = ?2",
            Kind::Review.id()
        );
        let (unproven, unhanded, reviewed): (Option<bool>, Option<bool>, bool) = inner
            .conn
            .prepare_cached(&sql)?
            .query_row(params![inquiry.0, inner.log.device.0], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
        Ok(match (unproven.unwrap_or(false), unhanded.unwrap_or(false)) {
            (_, true) => Way::OnThisPhone,
            (true, false) => Way::HandedOver,
            _ if reviewed => Way::Reviewed,
            _ => Way::OfficeHasIt,
        })
    }
}
