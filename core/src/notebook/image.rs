//! A copy of the database in one file, as a backup takes it: without what is derived, and without what may stay out.

use std::path::Path;

use rusqlite::{Connection, params};

use super::{
    letting_go::safe_changes,
    open::{Inner, Notebook},
    scratch::Scratch,
};
use crate::{
    error::{Error, Result},
    ids::{DeviceId, Hash32},
    log::commit,
    record::{self, Kind, Privacy},
};

/// The copy of a database, removed when it is dropped.
pub struct Image(Scratch);

impl Image {
    /// Where it stands.
    pub(super) fn path(&self) -> &Path {
        self.0.path()
    }
}

impl Notebook {
    /// Copies the database as it stands at one moment. With `withhold`, private and sealed values that the office holds
    /// safely are left out; their commitments stay, so that every chain is whole.
    pub(super) fn image(&self, withhold: bool) -> Result<Image> {
        let image = Image(Scratch::new(&self.dir)?);
        let inner = self.lock();
        let to = image.path().to_str().ok_or_else(|| Error::NotFound("a folder whose name is text".into()))?;
        inner.conn.execute("VACUUM INTO ?1", [to])?;
        let mut copy = Connection::open(image.path())?;
        copy.execute_batch("PRAGMA journal_mode = MEMORY; PRAGMA secure_delete = ON; PRAGMA temp_store = 2;")?;
        let tx = copy.transaction()?;
        if withhold {
            withhold_safe(&tx, &inner)?;
        }
        tx.execute_batch(
            "DELETE FROM shown; DELETE FROM link; DELETE FROM words; INSERT INTO words(words) VALUES('optimize');
             UPDATE record SET stale = 1; DELETE FROM meta WHERE key = 'incarnation';",
        )?;
        tx.commit()?;
        copy.execute_batch("VACUUM")?;
        copy.close().map_err(|(_, e)| e)?;
        Ok(image)
    }
}

fn withhold_safe(copy: &Connection, inner: &Inner) -> Result<()> {
    let private = private_fields(Kind::ALL);
    for (hash, device) in safe_changes(&inner.conn, inner)? {
        withhold(copy, &device, &hash, &private)?;
    }
    copy.execute(
        &format!(
            "DELETE FROM snapshot WHERE field IN ({private}) AND NOT EXISTS (SELECT 1 FROM fact f
               WHERE f.rec = snapshot.rec AND f.field = snapshot.field AND f.hash = snapshot.hash AND f.salt IS NOT NULL)"
        ),
        [],
    )?;
    Ok(())
}

/// Leaves only the commitments of these fields of one own change. Returns how many values went.
pub(super) fn withhold(conn: &Connection, device: &DeviceId, change: &Hash32, fields: &str) -> Result<u64> {
    let mut find = conn.prepare_cached(
        "SELECT c.log, c.seq, c.rec FROM change c JOIN log l ON l.id = c.log WHERE l.device = ?1 AND c.hash = ?2",
    )?;
    let places: Vec<(i64, i64, [u8; 16])> = find
        .query_map(params![device.0, change.0], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
        .collect::<rusqlite::Result<_>>()?;
    let mut gone = 0;
    for (log, seq, rec) in places {
        let sql = format!(
            "SELECT field, salt, value FROM fact WHERE rec = ?1 AND hash = ?2 AND salt IS NOT NULL AND field IN ({fields})"
        );
        let bodies: Vec<(u32, [u8; 16], Vec<u8>)> = conn
            .prepare_cached(&sql)?
            .query_map(params![rec, change.0], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
            .collect::<rusqlite::Result<_>>()?;
        for (field, salt, value) in bodies {
            conn.prepare_cached(
                "UPDATE fact SET flags = flags | 4, salt = NULL, value = ?4 WHERE rec = ?1 AND field = ?2 AND hash = ?3",
            )?
            .execute(params![rec, field, change.0, commit(&salt, &value).0])?;
            conn.prepare_cached("UPDATE change SET partial = 1 WHERE log = ?1 AND seq = ?2 AND hash = ?3")?
                .execute(params![log, seq, change.0])?;
            gone += 1;
        }
    }
    Ok(gone)
}

/// The numbers of the private and sealed fields of these kinds, as a list in words.
pub(super) fn private_fields(kinds: &[Kind]) -> String {
    let all = kinds.iter().flat_map(|kind| record::fields_of(*kind)).filter(|f| f.class >= Privacy::Private);
    all.map(|f| f.id.to_string()).collect::<Vec<_>>().join(", ")
}
