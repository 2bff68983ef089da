//! What is on its way to the office and what is not, for whole inquiries: a few questions, however much is in the notebook.

use std::collections::HashSet;

use rusqlite::Connection;

use super::{open::Notebook, replies::Way};
use crate::{error::Result, ids::RecordId, log::Head, record::Kind};

/// Records of which an own change is in no bundle yet, and all that they belong to, step by
/// step. Not what else is at the same site: the fields left out are those that name one.
const UNHANDED: &str = "WITH RECURSIVE touched(rec) AS (
    SELECT c.rec FROM log l CROSS JOIN change c ON c.log = l.id AND c.seq > l.handed_to WHERE l.device IN own
    UNION SELECT k.target FROM touched CROSS JOIN link k ON k.source = touched.rec WHERE k.field NOT IN (113, 114, 120, 121, 401, 501, 602, 906)
    UNION SELECT k.source FROM touched CROSS JOIN link k ON k.target = touched.rec WHERE k.field IN (113, 114))";

/// A record (`root`) with what it refers to of its own (who asked, where), and all that hangs on it. The joins stand in the order in
/// which they are to be made: without figures of its tables SQLite goes over all records first.
fn family(root: &str) -> String {
    format!(
        "WITH RECURSIVE family(rec) AS (
         SELECT {root}
         UNION SELECT k.target FROM link k CROSS JOIN record r ON r.rec = k.target WHERE k.source = {root} AND r.kind IN (2, 3)
         UNION SELECT k.source FROM family CROSS JOIN link k ON k.target = family.rec CROSS JOIN record r ON r.rec = k.source
         WHERE r.kind NOT IN (1, 2, 3, 16) AND k.field NOT IN (401, 501, 602, 906))"
    )
}

/// Changes of this device in no bundle yet from which on each inquiry is asked for itself: they are most of what is here, and a page
/// is soon full.
const MANY: u64 = 500;
/// Changes of this device in no bundle yet of which each is still followed to its inquiry when they are counted.
const FOLLOWED: u64 = 2_000;

/// A condition on a row of `shown`, an inquiry: something of this device is in no bundle yet, of it or of what belongs to it.
pub(super) fn unhanded(conn: &Connection) -> Result<String> {
    Ok(if places(conn)? > MANY { unhanded_each() } else { unhanded_all() })
}

/// Places in the logs of this device behind what was handed over: as many as changes, unless one was lost or stands twice.
fn places(conn: &Connection) -> Result<u64> {
    let places: i64 = conn
        .prepare_cached(
            "SELECT coalesce(sum(max((SELECT coalesce(max(seq), 0) FROM change c WHERE c.log = l.id) - l.handed_to, 0)), 0)
             FROM log l WHERE l.device IN own",
        )?
        .query_row([], |row| row.get(0))?;
    Ok(places.unsigned_abs())
}

fn unhanded_each() -> String {
    format!(
        "EXISTS({} SELECT 1 FROM family CROSS JOIN fact f ON f.rec = family.rec CROSS JOIN log l ON l.id = f.log
         WHERE l.device IN own AND f.seq > l.handed_to)",
        family("shown.rec")
    )
}

fn unhanded_all() -> String {
    format!("rec IN ({UNHANDED} SELECT rec FROM touched)")
}

/// How many inquiries and how many photos this device wrote in no bundle yet. A head of an own change begins with one byte for its
/// array and one for its kind: to look there spares a look into the list of records for every change. They are told apart here: to
/// have SQLite count what is distinct takes as long again.
fn written(conn: &Connection) -> Result<[u64; 2]> {
    let kinds = [Kind::Inquiry, Kind::Photo].map(|kind| format!("x'{:02x}'", kind.id()));
    let mut query = conn.prepare_cached(&format!(
        "SELECT substr(c.head, 2, 1) = {}, c.rec FROM log l CROSS JOIN change c ON c.log = l.id AND c.seq > l.handed_to
         WHERE l.device IN own AND substr(c.head, 2, 1) IN ({})",
        kinds[0],
        kinds.join(", ")
    ))?;
    let rows = query.query_map([], |row| Ok((row.get::<_, bool>(0)?, row.get::<_, [u8; 16]>(1)?)))?;
    let (mut inquiries, mut photos) = (HashSet::new(), HashSet::new());
    for row in rows {
        let (inquiry, record) = row?;
        let kind = if inquiry { &mut inquiries } else { &mut photos };
        kind.insert(record);
    }
    Ok([inquiries.len() as u64, photos.len() as u64])
}

/// What of this device is in no bundle yet.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub struct Unhanded {
    /// Changes; where very many are, the places behind what was handed over.
    pub changes: u64,
    /// Inquiries of which something is in no bundle yet; where very much is, those whose own record was written.
    pub inquiries: u64,
    /// Photos written or changed.
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
        let mut found = Unhanded::default();
        let number = |sql: &str| -> Result<u64> {
            let found: i64 = inner.conn.prepare_cached(sql)?.query_row([], |row| row.get(0))?;
            Ok(found.unsigned_abs())
        };
        [found.inquiries, found.photos] = written(&inner.conn)?;
        found.changes = places(&inner.conn)?;
        if found.changes <= FOLLOWED {
            found.changes = number(
                "SELECT count(*) FROM log l CROSS JOIN change c ON c.log = l.id AND c.seq > l.handed_to WHERE l.device IN own",
            )?;
            found.inquiries = number(&format!(
                "{UNHANDED} SELECT count(*) FROM touched CROSS JOIN record r ON r.rec = touched.rec WHERE r.kind = 1"
            ))?;
        }
        found.bytes = inner
            .conn
            .prepare_cached("SELECT coalesce(sum(size), 0) FROM blob WHERE held = 1 AND handed = 0 AND received = 0")?
            .query_row([], |row| row.get::<_, i64>(0))?
            .unsigned_abs();
        let mut query = inner.conn.prepare_cached(
            "SELECT (SELECT head FROM change c WHERE c.log = l.id AND c.seq > l.handed_to ORDER BY c.seq LIMIT 1)
             FROM log l WHERE l.device IN own",
        )?;
        let heads: Vec<Option<Vec<u8>>> = query.query_map([], |row| row.get(0))?.collect::<rusqlite::Result<_>>()?;
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
            "{} SELECT max(f.seq > l.received_to), max(f.seq > l.handed_to),
             EXISTS(SELECT 1 FROM family CROSS JOIN record r ON r.rec = family.rec WHERE r.kind = {})
             FROM family CROSS JOIN fact f ON f.rec = family.rec CROSS JOIN log l ON l.id = f.log WHERE l.device IN own",
            family("?1"),
            Kind::Review.id()
        );
        let (unproven, unhanded, reviewed): (Option<bool>, Option<bool>, bool) = inner
            .conn
            .prepare_cached(&sql)?
            .query_row([inquiry.0], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
        Ok(match (unproven.unwrap_or(false), unhanded.unwrap_or(false)) {
            (_, true) => Way::OnThisPhone,
            (true, false) => Way::HandedOver,
            _ if reviewed => Way::Reviewed,
            _ => Way::OfficeHasIt,
        })
    }
}

#[cfg(test)]
mod tests {
    use serde_json::{Value as Json, json};

    use super::*;
    use crate::clock::{Env, SetClock};

    #[test]
    fn both_ways_of_finding_what_is_in_no_bundle_find_the_same() {
        let dir = tempfile::tempdir().unwrap();
        let book = Notebook::create(dir.path(), Env::seeded(1, &SetClock::at(0))).unwrap();
        let save = |kind, fields: Json| book.save(kind, None, fields.as_object().unwrap()).unwrap();
        for n in 0..40 {
            let site = save(Kind::Site, json!({"township": format!("Sedge {n}")})).to_string();
            let contact = save(Kind::Contact, json!({"reach": {"name": "Wren"}})).to_string();
            let inquiry = save(Kind::Inquiry, json!({"channel": "yard", "site": site, "contact": contact})).to_string();
            let visit = save(Kind::Visit, json!({"inquiry": inquiry, "site": site})).to_string();
            let plant = save(Kind::Plant, json!({"inquiry": inquiry, "site": site, "host": "oak"})).to_string();
            save(Kind::Finding, json!({"plant": plant, "visit": visit, "character": "leaf_spot", "status": "seen"}));
        }
        book.refresh().unwrap();
        let found = |condition: String| -> Vec<[u8; 16]> {
            let inner = book.lock();
            let sql = format!("SELECT rec FROM shown WHERE kind = 1 AND {condition} ORDER BY rec");
            let mut query = inner.conn.prepare(&sql).unwrap();
            let rows = query.query_map([], |row| row.get(0)).unwrap();
            rows.collect::<rusqlite::Result<_>>().unwrap()
        };
        for (handed, inquiries) in [(0, 40), (6, 39), (8, 39), (60, 30), (119, 21), (120, 20), (239, 1), (240, 0)] {
            book.lock().conn.execute("UPDATE log SET handed_to = ?1", [handed]).unwrap();
            let all = found(unhanded_all());
            assert_eq!(all.len(), inquiries, "{handed} handed over");
            assert_eq!(found(unhanded_each()), all, "{handed} handed over");
            assert_eq!(book.unhanded().unwrap().inquiries, inquiries as u64, "{handed} handed over");
            let inner = book.lock();
            let one = |sql: &str| inner.conn.query_row(sql, [], |row| row.get::<_, i64>(0)).unwrap().unsigned_abs();
            let of_their_own =
                "SELECT count(DISTINCT f.rec) FROM fact f JOIN record r ON r.rec = f.rec JOIN log l ON l.id = f.log
                WHERE l.device IN own AND r.kind = 1 AND f.seq > l.handed_to";
            assert_eq!(written(&inner.conn).unwrap(), [one(of_their_own), 0], "{handed} handed over");
        }
    }
}
