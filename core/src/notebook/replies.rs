//! Replies: what a device may hold, seen from the office; and what the office holds, seen from the phone.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, params};

use super::{
    enrolled::Enrolled,
    former::Brought,
    gaps::chains,
    letting_go::{SAFE_RECEIPT, keep_let_go_out},
    open::{Notebook, new_incarnation},
    outbound::sound_change,
    read,
    snapshot::{SnapshotRow, insert_snapshot},
    store::{Rows, meta, set_meta},
};
use crate::{
    bundle::{Level, Receipt, ReplyTaken},
    error::{Code, Error, Result},
    fault::{self, Fault},
    ids::{BlobId, DeviceId, Hash32, LogId, OfficeId, RecordId},
    log::{Body, Run, Store, runs, runs_to},
    record::{self, Kind, Value},
};

/// How far a record is on its way.
#[derive(Clone, Copy, PartialEq, Eq, Debug, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// On this phone only.
    OnThisPhone,
    /// In a bundle that was made; no word back yet.
    HandedOver,
    /// A receipt of the office proves it.
    OfficeHasIt,
    /// The office has reviewed it.
    Reviewed,
}

impl Notebook {
    /// The next number of a reply for a device; remembered before the reply is written.
    pub(crate) fn next_reply_number(&self, device: &DeviceId) -> Result<u64> {
        let key = format!("reply {device}");
        self.lock().write(|tx, _| {
            let last = meta(tx, &key)?.and_then(|raw| raw.try_into().ok()).map_or(0, u64::from_be_bytes);
            set_meta(tx, &key, &(last + 1).to_be_bytes())?;
            Ok(last + 1)
        })
    }

    /// The statements that a device must know: certificates, every erasure, and what is said of itself and of its own
    /// changes. A decision on another's change names a hash that the device may not hold, and nothing there asks for it.
    pub(crate) fn statements_for(&self, device: &DeviceId) -> Result<Vec<Vec<u8>>> {
        let inner = self.lock();
        let office = inner.belonging()?;
        let mut is_own = inner.conn.prepare_cached(
            "SELECT 1 FROM fact WHERE rec = ?1 AND hash = ?2 AND log IN (SELECT id FROM log WHERE device = ?3)",
        )?;
        let brought = Brought::by(&inner.conn, device, Level::Stored)?;
        let mut kept = Vec::new();
        for signed in Rows::new(&inner.conn).statements()? {
            let said = office.authority.verify(&signed)?;
            let concerns = match &said.body {
                Body::Cert(_) | Body::Erase { .. } => true,
                Body::Clock { log, .. } => log.device == *device,
                Body::Revoke { device: revoked, .. } => revoked == device,
                Body::Admit { rec, change } | Body::Refuse { rec, change } => {
                    is_own.exists(params![rec.0, change.0, device.0])?
                        || brought.has(change)
                        || fault::is(Fault::DecisionsForAll)
                }
                Body::Assign { device: to, .. } => to == device,
            };
            kept.extend(concerns.then_some(signed));
        }
        Ok(kept)
    }

    /// The runs that a receipt names: those held, and where a later incarnation says that an earlier log ended on the
    /// phone, the run up to there, along its own branch: a restored phone finds its own newest change named. Of the log of a
    /// lost key, the run up to the change to which this device brought it.
    pub(crate) fn runs_to_receipt(&self, device: &DeviceId, level: Level) -> Result<Vec<(LogId, Run)>> {
        let inner = self.lock();
        let ends = inner
            .conn
            .prepare_cached("SELECT prev FROM change WHERE seq = 1 AND log IN (SELECT id FROM log WHERE device = ?1)")?
            .query_map([device.0], |row| row.get(0).map(Hash32))?
            .collect::<rusqlite::Result<BTreeSet<_>>>()?;
        let (mut named, mut ended) = (Vec::new(), Vec::new());
        for (log, _, links) in chains(&inner.conn, level)?.into_iter().filter(|(log, ..)| log.device == *device) {
            let mut found = runs(&links);
            found.iter_mut().filter(|_| fault::is(Fault::ReceiptByRange)).for_each(|run| run.from = 1);
            let before = runs_to(&links, |end| ends.contains(&end.hash));
            let news = before.into_iter().filter(|run| found.iter().all(|known| known.tip != run.tip));
            ended.extend(news.map(|run| (log, run)));
            named.extend(found.into_iter().map(|run| (log, run)));
        }
        named.extend(ended);
        named.extend(Brought::by(&inner.conn, device, level)?.runs());
        Ok(named)
    }

    /// Changes of a device that are held at this level without a body that may still come.
    pub(crate) fn without_bodies(&self, device: &DeviceId, level: Level) -> Result<Vec<Hash32>> {
        let inner = self.lock();
        let lacking = match level {
            Level::Stored => "partial = 1",
            Level::Safe => "safe = 1",
        };
        let mut query = inner.conn.prepare_cached(&format!(
            "SELECT hash FROM change WHERE {lacking} AND log IN (SELECT id FROM log WHERE device = ?1) ORDER BY log, seq",
        ))?;
        let mut of = |device: &DeviceId| -> Result<Vec<Hash32>> {
            Ok(query.query_map([device.0], |row| row.get(0).map(Hash32))?.collect::<rusqlite::Result<_>>()?)
        };
        let mut found = of(device)?;
        let brought = Brought::by(&inner.conn, device, level)?;
        for writer in brought.writers() {
            found.extend(of(&writer)?.into_iter().filter(|hash| brought.has(hash)));
        }
        Ok(found)
    }

    /// Changes of a device that do not count, and why; of the log of a lost key, those that this device brought.
    pub(crate) fn waiting_to_receipt(&self, device: &DeviceId) -> Result<Vec<(Hash32, String)>> {
        let brought = Brought::by(&self.lock().conn, device, Level::Stored)?;
        let mut found = self.waiting_of(device)?;
        for writer in brought.writers() {
            found.extend(self.waiting_of(&writer)?.into_iter().filter(|(_, hash, _)| brought.has(hash)));
        }
        Ok(found.into_iter().map(|(_, hash, code)| (hash, code)).collect())
    }

    /// Photos held at this level that a device's own changes name, or those that it brought of the log of a lost key.
    pub(crate) fn blobs_held_of(&self, device: &DeviceId, level: Level) -> Result<Vec<BlobId>> {
        let inner = self.lock();
        let named = blobs_named_by(&inner.conn, device)?;
        let mut held = inner.conn.prepare_cached("SELECT held AND safe >= ?2 FROM blob WHERE id = ?1")?;
        let mut found = Vec::new();
        for id in named {
            let here = held.query_row(params![id.0, level as u8], |row| row.get(0)).optional()?.unwrap_or(false);
            if here || fault::is(Fault::PhotoReceivedUnseen) {
                found.push(id);
            }
        }
        Ok(found)
    }

    /// How many photos and thumbnails that a device's own changes name are here, and how many it names.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn photos_of(&self, device: &DeviceId) -> Result<(u64, u64)> {
        let named = blobs_named_by(&self.lock().conn, device)?.len() as u64;
        Ok((self.blobs_held_of(device, Level::Stored)?.len() as u64, named))
    }

    /// Applies receipts and snapshot of a reply in one transaction, once its statements were taken. A new epoch counts its
    /// replies anew.
    pub(crate) fn take_snapshot(
        &self,
        number: u64,
        (receipt, signed): (&Receipt, &[u8]),
        safe: Option<&[u8]>,
        statements: &[Vec<u8>],
        snapshot: &[SnapshotRow],
    ) -> Result<ReplyTaken> {
        let mut inner = self.lock();
        let own = inner.log;
        let devices: Vec<DeviceId> = inner.own_devices().collect();
        let (taken, renew) = inner.write(|tx, enrolled| {
            let office = enrolled.card.office();
            if !begins_epoch(tx, receipt)? && number <= read::snapshot_number(tx)? {
                return Err(Error::refused(Code::StaleReply, format!("reply {number}")));
            }
            // What replies before the first one to this key covered is covered by it where it says so itself.
            if read::snapshot_number(tx)? == 0 {
                tx.execute_batch("UPDATE log SET received_to = 0")?;
            }
            let mut taken = ReplyTaken { number, records: snapshot.len() as u64, ..ReplyTaken::default() };
            let mut renew = false;
            for (log, run) in receipt.runs.iter().filter(|(log, _)| devices.contains(&log.device)) {
                if !prove(tx, &office, log, run, &mut taken)? {
                    // Written under the name of this log, and not here: whoever wrote it, this log goes no further.
                    renew |= *log == own;
                    taken.restored |= is_news(tx, log)?;
                }
            }
            for blob in &receipt.blobs {
                taken.photos_received +=
                    tx.prepare_cached("UPDATE blob SET received = 1 WHERE id = ?1")?.execute([blob.0])? as u64;
            }
            taken.waiting =
                receipt.waiting.iter().map(|(hash, code)| (hash.to_hex(), code.name().to_owned())).collect();
            tx.execute_batch("DELETE FROM snapshot")?;
            let erased = erased_since(tx, enrolled, statements)?;
            snapshot.iter().filter(|row| !erased.contains(row.rec())).try_for_each(|row| insert_snapshot(tx, row))?;
            keep_let_go_out(tx)?;
            tx.execute_batch("UPDATE record SET stale = 1")?;
            set_meta(tx, "snapshot", &number.to_be_bytes())?;
            set_meta(tx, "receipt", signed)?;
            set_meta(tx, SAFE_RECEIPT, safe.unwrap_or_default())?;
            Ok((taken, renew))
        })?;
        if renew {
            inner.log.incarnation = new_incarnation(&self.dir, &self.env, &inner.conn)?;
        }
        Ok(taken)
    }

    /// How far a record is on its way.
    ///
    /// # Errors
    /// [`Error::NotFound`]; of SQLite.
    pub fn way(&self, rec: RecordId) -> Result<Way> {
        self.refresh()?;
        let inner = self.lock();
        if read::kind_of(&inner.conn, &rec)?.is_none() {
            return Err(Error::NotFound(format!("record {rec}")));
        }
        let sql = "SELECT max(f.seq > l.received_to), max(f.seq > l.handed_to) FROM fact f JOIN log l ON l.id = f.log
                   WHERE f.rec = ?1 AND l.device IN own";
        let (unproven, unhanded): (Option<bool>, Option<bool>) =
            inner.conn.prepare_cached(sql)?.query_row([rec.0], |row| Ok((row.get(0)?, row.get(1)?)))?;
        let reviewed: bool = inner
            .conn
            .prepare_cached("SELECT EXISTS(SELECT 1 FROM link WHERE target = ?1 AND field / 100 = ?2)")?
            .query_row(params![rec.0, Kind::Review.id()], |row| row.get(0))?;
        Ok(match (unproven.unwrap_or(false), unhanded.unwrap_or(false)) {
            (_, true) => Way::OnThisPhone,
            (true, false) => Way::HandedOver,
            _ if reviewed => Way::Reviewed,
            _ => Way::OfficeHasIt,
        })
    }

    pub(crate) fn seal_key(&self) -> age::x25519::Identity {
        self.lock().keys.seal.clone()
    }
}

/// Photos and thumbnails that a device's own changes name, or those that it brought.
fn blobs_named_by(conn: &Connection, device: &DeviceId) -> Result<BTreeSet<BlobId>> {
    let mut query = conn.prepare_cached(&format!(
        "SELECT value, hash FROM fact WHERE field IN ({}) AND salt IS NOT NULL
         AND log IN (SELECT id FROM log WHERE device = ?1)",
        record::blob_fields()
    ))?;
    let brought = Brought::by(conn, device, Level::Stored)?;
    let mut named = BTreeSet::new();
    for writer in brought.writers().into_iter().chain([*device]) {
        let values = query.query_map([writer.0], |row| Ok((row.get::<_, Vec<u8>>(0)?, Hash32(row.get(1)?))))?;
        for value in values {
            let (value, change) = value?;
            if let (Ok(Value::Bytes(id)), true) = (Value::from_cbor(&value), writer == *device || brought.has(&change))
            {
                named.extend(BlobId::from_slice(&id));
            }
        }
    }
    Ok(named)
}

/// The records of which something was erased that a reply does not know of: it was made earlier, in a life of the office that
/// this phone did not know. The next one brings what is there of them.
fn erased_since(conn: &Connection, office: &Enrolled, told: &[Vec<u8>]) -> Result<BTreeSet<RecordId>> {
    let told: BTreeSet<Hash32> = told.iter().map(|signed| Hash32::of(signed)).collect();
    let mut records = BTreeSet::new();
    for signed in Rows::new(conn).statements()? {
        if !told.contains(&Hash32::of(&signed))
            && let Body::Erase { rec, .. } = office.authority.verify(&signed)?.body
            && !fault::is(Fault::OldReplyBringsErased)
        {
            records.insert(rec);
        }
    }
    Ok(records)
}

/// An office that went back to an earlier life says nothing here; a new life of it makes everything unproven again. Says
/// whether one begins.
fn begins_epoch(conn: &Connection, receipt: &Receipt) -> Result<bool> {
    let mut now = receipt.epoch.n.to_be_bytes().to_vec();
    now.extend(receipt.epoch.random);
    let known = meta(conn, "epoch")?;
    if known.as_ref() == Some(&now) {
        return Ok(false);
    }
    // Each life once: an old reply of a life that ended does not bring it back.
    let life = format!("epoch {}", hex::encode(&now));
    if meta(conn, &life)?.is_some() {
        return Err(Error::refused(Code::StaleReply, "a receipt of an earlier epoch"));
    }
    set_meta(conn, &life, &[])?;
    if let Some(known) = known {
        if now[..8] < known[..8] {
            return Err(Error::refused(Code::StaleReply, "a receipt of an earlier epoch"));
        }
        if !fault::is(Fault::NewLifeKeepsProofs) {
            conn.execute_batch("UPDATE log SET received_to = 0; UPDATE blob SET received = 0;")?;
        }
    }
    set_meta(conn, "epoch", &now)?;
    Ok(true)
}

/// Whether nobody was told yet that the office knows more of this log than is here.
fn is_news(conn: &Connection, log: &LogId) -> Result<bool> {
    let key = format!("told of {:016x}", log.incarnation);
    let news = meta(conn, &key)?.is_none();
    set_meta(conn, &key, &[])?;
    Ok(news)
}

/// Counts own changes as received where the own unbroken chain leads to the hash that the receipt names. Says whether that
/// hash is here at all. Own changes that cannot be read any more hold nothing back: there is nothing left of them to keep.
fn prove(conn: &Connection, office: &OfficeId, log: &LogId, run: &Run, taken: &mut ReplyTaken) -> Result<bool> {
    let id = Rows::new(conn).log_id(log)?;
    let links: BTreeMap<u64, (Hash32, Hash32)> = conn
        .prepare_cached("SELECT seq, hash, prev FROM lost WHERE log = ?1 UNION ALL SELECT seq, hash, prev FROM change WHERE log = ?1")?
        .query_map([id], |row| Ok((row.get::<_, i64>(0)?.unsigned_abs(), (Hash32(row.get(1)?), Hash32(row.get(2)?)))))?
        .collect::<rusqlite::Result<_>>()?;
    if links.get(&run.to).is_none_or(|(hash, _)| *hash != run.tip && !fault::is(Fault::ReceiptWithoutChain)) {
        return Ok(false);
    }
    let received: u64 = conn
        .prepare_cached("SELECT received_to FROM log WHERE id = ?1")?
        .query_row([id], |row| row.get::<_, i64>(0).map(i64::unsigned_abs))?;
    let mut from = received + 1;
    while from < run.from && links.contains_key(&from) && sound_change(conn, office, log, from)?.is_none() {
        from += 1;
    }
    let unbroken = (from..run.to).all(|seq| match (links.get(&seq), links.get(&(seq + 1))) {
        (Some((hash, _)), Some((_, prev))) => hash == prev,
        _ => false,
    });
    if run.from <= from && run.to >= from && unbroken {
        conn.prepare_cached("UPDATE log SET received_to = ?2, handed_to = max(handed_to, ?2) WHERE id = ?1")?
            .execute(params![id, run.to as i64])?;
        taken.received += run.to + 1 - from;
    }
    Ok(true)
}
