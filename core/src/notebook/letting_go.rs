//! Letting go: what a phone need not keep because a verified backup of the office holds it, by its person's rule only.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, params};
use serde::Serialize;

use super::{
    blobs,
    image::{private_fields, withhold},
    open::{Inner, Notebook},
    shown,
    store::{meta, set_meta},
};
use crate::{
    bundle::{Level, Receipt},
    error::Result,
    ids::{BlobId, DeviceId, Hash32, LogId},
    job::Job,
    log::Run,
    record::{Kind, Value, fields_of},
};

/// What a person lets the phone let go of, once it is safe at the office.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LetGo {
    /// Nothing.
    #[default]
    Nothing,
    /// Originals of photos; thumbnails stay.
    Originals,
    /// Originals, and names and ways to reach a person.
    OriginalsAndContacts,
}

/// What was let go of.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug, Serialize)]
pub struct LetGone {
    /// The rule by which it went.
    pub rule: LetGo,
    /// Originals that went.
    pub originals: u64,
    /// Bytes that they took.
    pub bytes: u64,
    /// Values of contacts that went.
    pub contact_values: u64,
    /// Own originals that stay, because no receipt proves that they are safe.
    pub originals_kept: u64,
}

const RULE: &str = "letting go";
/// The newest receipt of the level `safe`, verbatim.
pub(super) const SAFE_RECEIPT: &str = "safe receipt";

impl Notebook {
    /// What may be let go of; nothing until a person says otherwise.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn letting_go(&self) -> Result<LetGo> {
        rule(&self.lock().conn)
    }

    /// Sets what may be let go of. It goes with [`Notebook::let_go`].
    ///
    /// # Errors
    /// Of SQLite.
    pub fn set_letting_go(&self, rule: LetGo) -> Result<()> {
        let byte = match rule {
            LetGo::Nothing => 0,
            LetGo::Originals => 1,
            LetGo::OriginalsAndContacts => 2,
        };
        set_meta(&self.lock().conn, RULE, &[byte])
    }

    /// Lets go of what the rule names and a verified backup of the office holds: the newest safe receipt names a hash to
    /// which this notebook's own chain leads. Everything else stays.
    ///
    /// # Errors
    /// Of SQLite or the file system.
    pub fn let_go(&self) -> Result<LetGone> {
        self.let_go_watched(&Job::silent())
    }

    /// As [`Notebook::let_go`], with a step for each photo whose bytes go.
    ///
    /// # Errors
    /// As [`Notebook::let_go`]; [`crate::Error::Cancelled`]: what was decided stays so, and bytes that are left go the next time.
    pub fn let_go_watched(&self, job: &Job) -> Result<LetGone> {
        let rule = self.letting_go()?;
        self.let_go_by(rule, job)
    }

    /// What [`Notebook::let_go_by`] would let go of now. Nothing is changed; values of contacts are not counted.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn could_let_go(&self, rule: LetGo) -> Result<LetGone> {
        let inner = self.lock();
        let mut gone = LetGone { rule, ..LetGone::default() };
        if rule == LetGo::Nothing {
            return Ok(gone);
        }
        for own in held_originals(&inner.conn, &inner)?.values() {
            gone.count(own);
        }
        // Those whose bytes a stopped process left go too.
        let photos = self.photos();
        for blob in let_go_of(&inner.conn)? {
            if let Ok(file) = std::fs::metadata(blobs::path_of(&photos, &blob)) {
                (gone.originals, gone.bytes) = (gone.originals + 1, gone.bytes + file.len());
            }
        }
        Ok(gone)
    }

    /// As [`Notebook::let_go_watched`], by this rule and not by the one that stands.
    ///
    /// # Errors
    /// As [`Notebook::let_go_watched`].
    pub fn let_go_by(&self, rule: LetGo, job: &Job) -> Result<LetGone> {
        let mut inner = self.lock();
        let mut gone = LetGone { rule, ..LetGone::default() };
        if gone.rule == LetGo::Nothing {
            return Ok(gone);
        }
        let safe = safe_changes(&inner.conn, &inner)?;
        let held = held_originals(&inner.conn, &inner)?;
        let photos = self.photos();
        inner.write(|tx, office| {
            for (blob, own) in &held {
                gone.count(own);
                if own.safe {
                    tx.prepare_cached("UPDATE blob SET held = 0, let_go = 1 WHERE id = ?1")?.execute([blob.0])?;
                }
            }
            if gone.rule == LetGo::OriginalsAndContacts {
                let fields = private_fields(&[Kind::Contact]);
                for (change, device) in &safe {
                    gone.contact_values += withhold(tx, device, change, &fields)?;
                }
                keep_out(tx, gone.rule)?;
                tx.execute("UPDATE record SET stale = 1 WHERE kind = ?1", [Kind::Contact.id()])?;
            }
            shown::refresh(tx, office)
        })?;
        self.clean(&inner)?;
        // Also those whose bytes a stopped process left.
        let mut left = let_go_of(&inner.conn)?;
        left.retain(|blob| blobs::path_of(&photos, blob).exists());
        for (at, blob) in (1..).zip(&left) {
            blobs::erase(&photos, blob)?;
            job.step(at, left.len() as u64)?;
        }
        Ok(gone)
    }
}

fn rule(conn: &Connection) -> Result<LetGo> {
    Ok(match meta(conn, RULE)?.as_deref() {
        Some([1]) => LetGo::Originals,
        Some([2]) => LetGo::OriginalsAndContacts,
        _ => LetGo::Nothing,
    })
}

/// Takes out of the office's reply what this device let go of: its own values that only stand here as commitments.
pub(super) fn keep_let_go_out(conn: &Connection) -> Result<()> {
    keep_out(conn, rule(conn)?)
}

fn keep_out(conn: &Connection, rule: LetGo) -> Result<()> {
    if rule == LetGo::OriginalsAndContacts {
        let fields = private_fields(&[Kind::Contact]);
        conn.execute(
            &format!(
                "DELETE FROM snapshot WHERE field IN ({fields}) AND EXISTS (SELECT 1 FROM fact f
                   WHERE f.rec = snapshot.rec AND f.field = snapshot.field AND f.hash = snapshot.hash AND f.salt IS NULL)"
            ),
            [],
        )?;
    }
    Ok(())
}

fn let_go_of(conn: &Connection) -> Result<Vec<BlobId>> {
    let mut query = conn.prepare_cached("SELECT id FROM blob WHERE let_go = 1")?;
    Ok(query.query_map([], |row| row.get(0).map(BlobId))?.collect::<rusqlite::Result<_>>()?)
}

/// An original of this device that is here.
struct Held {
    size: u64,
    /// A verified backup of the office holds it, and a change that names it.
    safe: bool,
}

impl LetGone {
    fn count(&mut self, own: &Held) {
        if own.safe {
            (self.originals, self.bytes) = (self.originals + 1, self.bytes + own.size);
        } else {
            self.originals_kept += 1;
        }
    }
}

/// Originals that own changes name and that are here.
fn held_originals(conn: &Connection, inner: &Inner) -> Result<BTreeMap<BlobId, Held>> {
    let safe = safe_changes(conn, inner)?;
    let in_backup: BTreeSet<BlobId> =
        safe_receipt(conn, inner)?.map_or_else(BTreeSet::new, |receipt| receipt.blobs.into_iter().collect());
    let mut held: BTreeMap<BlobId, Held> = BTreeMap::new();
    for (blob, change) in own_originals(conn)? {
        let size: Option<i64> = conn
            .prepare_cached("SELECT size FROM blob WHERE id = ?1 AND held = 1")?
            .query_row([blob.0], |row| row.get(0))
            .optional()?;
        let Some(size) = size else { continue };
        let own = held.entry(blob).or_insert(Held { size: size.unsigned_abs(), safe: false });
        own.safe |= in_backup.contains(&blob) && safe.contains_key(&change);
    }
    Ok(held)
}

/// Originals that own changes name, each with the change.
fn own_originals(conn: &Connection) -> Result<Vec<(BlobId, Hash32)>> {
    let image = fields_of(Kind::Photo).iter().find(|f| f.name == "image").map_or(0, |f| f.id);
    let mut query = conn.prepare_cached(
        "SELECT value, hash FROM fact WHERE field = ?1 AND salt IS NOT NULL
         AND log IN (SELECT id FROM log WHERE device IN own)",
    )?;
    let rows = query.query_map([image], |row| Ok((row.get::<_, Vec<u8>>(0)?, Hash32(row.get(1)?))))?;
    let mut found = Vec::new();
    for row in rows {
        let (value, change) = row?;
        if let Ok(Value::Bytes(id)) = Value::from_cbor(&value) {
            found.push((BlobId::from_slice(&id)?, change));
        }
    }
    Ok(found)
}

fn safe_receipt(conn: &Connection, inner: &Inner) -> Result<Option<Receipt>> {
    let signed = meta(conn, SAFE_RECEIPT)?.filter(|signed| !signed.is_empty());
    let Some(signed) = signed else { return Ok(None) };
    let receipt = Receipt::verify(&signed, &inner.office.card.office(), &inner.office.card.key)?;
    Ok(Some(receipt).filter(|receipt| receipt.level == Level::Safe))
}

/// Own changes that a verified backup of the office holds whole, proven by this notebook's own chain, each with the device that
/// wrote it.
pub(super) fn safe_changes(conn: &Connection, inner: &Inner) -> Result<BTreeMap<Hash32, DeviceId>> {
    let Some(receipt) = safe_receipt(conn, inner)? else { return Ok(BTreeMap::new()) };
    let mut safe = BTreeMap::new();
    for (log, run) in receipt.runs.iter().filter(|(log, _)| inner.owns(log)) {
        safe.extend(proven(conn, log, run)?.into_iter().map(|hash| (hash, log.device)));
    }
    for hash in receipt.without_bodies.iter().chain(receipt.waiting.iter().map(|(hash, _)| hash)) {
        safe.remove(hash);
    }
    Ok(safe)
}

/// The changes of a run from which the chain that is here leads to the run's tip without a break.
fn proven(conn: &Connection, log: &LogId, run: &Run) -> Result<Vec<Hash32>> {
    let mut query = conn.prepare_cached(
        "SELECT hash, seq, prev FROM change
         WHERE log = (SELECT id FROM log WHERE device = ?1 AND incarnation = ?2) AND seq BETWEEN ?3 AND ?4",
    )?;
    let key = params![log.device.0, log.incarnation.to_be_bytes(), run.from as i64, run.to as i64];
    let links: BTreeMap<Hash32, (u64, Hash32)> = query
        .query_map(key, |row| Ok((Hash32(row.get(0)?), (row.get::<_, i64>(1)?.unsigned_abs(), Hash32(row.get(2)?)))))?
        .collect::<rusqlite::Result<_>>()?;
    let (mut at, mut seq, mut found) = (run.tip, run.to, Vec::new());
    while let Some((_, prev)) = links.get(&at).filter(|(here, _)| *here == seq) {
        found.push(at);
        (at, seq) = (*prev, seq.saturating_sub(1));
    }
    Ok(found)
}
