//! Replies: what a device may hold, seen from the office; and what the office holds, seen from the phone.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, params};

use super::{
    open::{Notebook, forget_incarnation},
    read::{self, Live},
    store::{Rows, meta, set_meta},
};
use crate::{
    bundle::{Receipt, ReplyTaken},
    cbor::{self, Reader, malformed},
    error::{Code, Error, Result},
    ids::{BlobId, DeviceId, Hash32, LogId, RecordId},
    log::{Authority, Run, Statement, Store},
    record::{self, EXISTENCE, Kind, Privacy, Role, Value},
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

/// One record of a snapshot: its live values that the device may read.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SnapshotRow {
    rec: RecordId,
    kind: u32,
    values: Vec<SnapshotValue>,
}

#[derive(Clone, PartialEq, Eq, Debug)]
struct SnapshotValue {
    field: u32,
    hash: Hash32,
    device: DeviceId,
    label: String,
    rank: u8,
    at_ms: i64,
    value: Vec<u8>,
}

impl SnapshotRow {
    pub(crate) fn to_cbor(&self) -> Vec<u8> {
        cbor::encode(|w| {
            w.array(3)?.bytes(&self.rec.0)?.u32(self.kind)?.array(self.values.len() as u64)?;
            for v in &self.values {
                w.array(7)?.u32(v.field)?.bytes(&v.hash.0)?.bytes(&v.device.0)?.str(&v.label)?;
                w.u8(v.rank)?.i64(v.at_ms)?.bytes(&v.value)?;
            }
            Ok(())
        })
    }

    pub(crate) fn from_cbor(bytes: &[u8]) -> Result<Self> {
        let small = |n: u64| u32::try_from(n).map_err(|_| malformed("a number out of range"));
        let r = &mut Reader::new(bytes)?;
        r.array_of(3)?;
        let (rec, kind) = (RecordId::from_slice(r.bytes()?)?, small(r.uint()?)?);
        let mut values = Vec::new();
        for _ in 0..r.array()? {
            r.array_of(7)?;
            values.push(SnapshotValue {
                field: small(r.uint()?)?,
                hash: Hash32::from_slice(r.bytes()?)?,
                device: DeviceId::from_slice(r.bytes()?)?,
                label: r.text()?.to_owned(),
                rank: u8::try_from(r.uint()?).map_err(|_| malformed("a rank"))?,
                at_ms: r.int()?,
                value: r.bytes()?.to_vec(),
            });
        }
        Ok(Self { rec, kind, values })
    }
}

/// Whether a role may read a field of a record.
fn may_read(role: Role, class: Privacy, own_or_assigned: bool) -> bool {
    match class {
        Privacy::Public | Privacy::Office => true,
        Privacy::Private => own_or_assigned || role >= Role::Educator,
        Privacy::Sealed => role >= Role::Educator,
    }
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

    /// The statements that a device must know: certificates, its own clock verdicts and decisions, every erasure.
    pub(crate) fn statements_for(&self, device: &DeviceId) -> Result<Vec<Vec<u8>>> {
        use crate::log::Body;
        let inner = self.lock();
        let office = inner.enrolled()?;
        let mut kept = Vec::new();
        for signed in Rows::new(&inner.conn).statements()? {
            let said = Statement::verify(&signed, &office.card.office(), &office.card.key)?;
            let concerns = match &said.body {
                Body::Cert(_) | Body::Erase { .. } => true,
                Body::Clock { log, .. } => log.device == *device,
                Body::Revoke { device: revoked, .. } => revoked == device,
                Body::Admit { .. } | Body::Refuse { .. } => true,
                Body::Assign { device: to, .. } => to == device,
            };
            kept.extend(concerns.then_some(signed));
        }
        Ok(kept)
    }

    /// The runs that a receipt names: those held, and where a later incarnation says that an earlier log ended on the
    /// phone, the run up to there: a restored phone finds its own newest change named.
    pub(crate) fn runs_to_receipt(&self, device: &DeviceId) -> Result<Vec<(LogId, Run)>> {
        let mut named = self.runs_of(device)?;
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached(
            "SELECT old.incarnation, c.seq, c.hash FROM change c JOIN log old ON old.id = c.log
             WHERE old.device = ?1 AND c.hash IN (
               SELECT f.prev FROM change f JOIN log new ON new.id = f.log WHERE new.device = ?1 AND f.seq = 1)",
        )?;
        let ends = query.query_map([device.0], |row| {
            let log = LogId { device: *device, incarnation: u64::from_be_bytes(row.get(0)?) };
            Ok((log, row.get::<_, i64>(1)?.unsigned_abs(), Hash32(row.get(2)?)))
        })?;
        for end in ends {
            let (log, to, tip) = end?;
            let run = named.iter().find(|(l, run)| *l == log && run.from <= to && to < run.to).map(|(_, run)| *run);
            named.extend(run.map(|run| (log, Run { from: run.from, to, tip })));
        }
        Ok(named)
    }

    /// Changes of a device that are here without a body that may still come.
    pub(crate) fn without_bodies(&self, device: &DeviceId) -> Result<Vec<Hash32>> {
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached(
            "SELECT hash FROM change WHERE partial = 1 AND log IN (SELECT id FROM log WHERE device = ?1) ORDER BY log, seq",
        )?;
        Ok(query.query_map([device.0], |row| row.get(0).map(Hash32))?.collect::<rusqlite::Result<_>>()?)
    }

    /// Photos held that a device's own changes name.
    pub(crate) fn blobs_held_of(&self, device: &DeviceId) -> Result<Vec<BlobId>> {
        let inner = self.lock();
        let mut query = inner.conn.prepare_cached(
            "SELECT value FROM fact WHERE field IN (801, 802) AND salt IS NOT NULL
             AND log IN (SELECT id FROM log WHERE device = ?1)",
        )?;
        let values = query.query_map([device.0], |row| row.get::<_, Vec<u8>>(0))?;
        let mut named = BTreeSet::new();
        for value in values {
            if let Ok(Value::Bytes(id)) = Value::from_cbor(&value?) {
                named.extend(BlobId::from_slice(&id));
            }
        }
        drop(query);
        let mut held = inner.conn.prepare_cached("SELECT held FROM blob WHERE id = ?1")?;
        let mut found = Vec::new();
        for id in named {
            if held.query_row([id.0], |row| row.get(0)).optional()?.unwrap_or(false) {
                found.push(id);
            }
        }
        Ok(found)
    }

    /// All that a device may hold: records it wrote or is assigned, what they point at and what points at them; of each
    /// the live values of the fields that its role may read.
    pub(crate) fn snapshot_for(&self, device: &DeviceId, role: Role) -> Result<Vec<SnapshotRow>> {
        self.refresh()?;
        let inner = self.lock();
        let office = inner.enrolled()?;
        let own = own_records(&inner.conn, device, &office.authority)?;
        let mut all = own.clone();
        for (sql, rec) in own.iter().flat_map(|rec| {
            [("SELECT source FROM link WHERE target = ?1", rec), ("SELECT target FROM link WHERE source = ?1", rec)]
        }) {
            let mut query = inner.conn.prepare_cached(sql)?;
            let linked = query.query_map([rec.0], |row| row.get(0).map(RecordId))?;
            all.extend(linked.collect::<rusqlite::Result<Vec<_>>>()?);
        }
        let mut rows = Vec::new();
        for rec in all {
            let Some(kind) = read::kind_of(&inner.conn, &rec)? else { continue };
            let mine = own.contains(&rec);
            let live = read::live(&inner.conn, office, &rec)?;
            let values: Vec<_> = live.into_iter().filter_map(|l| readable(l, role, mine)).collect();
            if values.iter().any(|v| v.field != EXISTENCE) {
                rows.push(SnapshotRow { rec, kind: kind.id(), values });
            }
        }
        Ok(rows)
    }

    /// Applies receipt and snapshot of a reply in one transaction.
    pub(crate) fn take_snapshot(
        &self,
        number: u64,
        receipt: &Receipt,
        signed: &[u8],
        snapshot: &[SnapshotRow],
    ) -> Result<ReplyTaken> {
        let mut inner = self.lock();
        let device = inner.log.device;
        let taken = inner.write(|tx, _| {
            if number <= read::snapshot_number(tx)? {
                return Err(Error::refused(Code::StaleReply, format!("reply {number}")));
            }
            check_epoch(tx, receipt)?;
            let mut taken = ReplyTaken { number, records: snapshot.len() as u64, ..ReplyTaken::default() };
            for (log, run) in receipt.runs.iter().filter(|(log, _)| log.device == device) {
                prove(tx, log, run, &mut taken)?;
            }
            for blob in &receipt.blobs {
                taken.photos_received +=
                    tx.prepare_cached("UPDATE blob SET received = 1 WHERE id = ?1")?.execute([blob.0])? as u64;
            }
            taken.waiting =
                receipt.waiting.iter().map(|(hash, code)| (hash.to_hex(), code.name().to_owned())).collect();
            tx.execute_batch("DELETE FROM snapshot")?;
            snapshot.iter().try_for_each(|row| insert_snapshot(tx, row))?;
            tx.execute_batch("UPDATE record SET stale = 1")?;
            set_meta(tx, "snapshot", &number.to_be_bytes())?;
            set_meta(tx, "receipt", signed)?;
            Ok(taken)
        })?;
        if taken.restored {
            forget_incarnation(&self.dir)?;
            inner.log.incarnation = super::open::new_incarnation(&self.dir, &self.env)?;
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
                   WHERE f.rec = ?1 AND l.device = ?2";
        let (unproven, unhanded): (Option<bool>, Option<bool>) = inner
            .conn
            .prepare_cached(sql)?
            .query_row(params![rec.0, inner.log.device.0], |row| Ok((row.get(0)?, row.get(1)?)))?;
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

fn own_records(conn: &Connection, device: &DeviceId, authority: &Authority) -> Result<BTreeSet<RecordId>> {
    let sql = "SELECT DISTINCT rec FROM change WHERE log IN (SELECT id FROM log WHERE device = ?1)";
    let mut query = conn.prepare_cached(sql)?;
    let mut found: BTreeSet<RecordId> =
        query.query_map([device.0], |row| row.get(0).map(RecordId))?.collect::<rusqlite::Result<_>>()?;
    found.extend(authority.assigned_to(device));
    Ok(found)
}

fn readable(live: Live, role: Role, mine: bool) -> Option<SnapshotValue> {
    let class = if live.field == EXISTENCE { Privacy::Public } else { record::field(live.field)?.class };
    let value = live.candidate.value.filter(|_| may_read(role, class, mine))?;
    Some(SnapshotValue {
        field: live.field,
        hash: live.candidate.hash,
        device: live.author.device,
        label: live.author.label,
        rank: live.candidate.rank,
        at_ms: live.candidate.at_ms,
        value,
    })
}

fn insert_snapshot(conn: &Connection, row: &SnapshotRow) -> Result<()> {
    let mut insert = conn.prepare_cached(
        "INSERT OR REPLACE INTO snapshot(rec, field, hash, kind, device, label, rank, at_ms, value) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )?;
    for v in &row.values {
        insert
            .execute(params![row.rec.0, v.field, v.hash.0, row.kind, v.device.0, v.label, v.rank, v.at_ms, v.value])?;
    }
    conn.prepare_cached("INSERT OR IGNORE INTO record(rec, kind, stale) VALUES(?1, ?2, 1)")?
        .execute(params![row.rec.0, row.kind])?;
    Ok(())
}

/// An office that went back to an earlier life says nothing here; a new life of it makes everything unproven again.
fn check_epoch(conn: &Connection, receipt: &Receipt) -> Result<()> {
    let mut now = receipt.epoch.n.to_be_bytes().to_vec();
    now.extend(receipt.epoch.random);
    let known = meta(conn, "epoch")?;
    if known.as_ref() == Some(&now) {
        return Ok(());
    }
    if let Some(known) = known {
        if now[..8] < known[..8] {
            return Err(Error::refused(Code::StaleReply, "a receipt of an earlier epoch"));
        }
        conn.execute_batch("UPDATE log SET received_to = 0; UPDATE blob SET received = 0;")?;
    }
    set_meta(conn, "epoch", &now)
}

/// Counts own changes as received where the own unbroken chain leads to the hash that the receipt names.
fn prove(conn: &Connection, log: &LogId, run: &Run, taken: &mut ReplyTaken) -> Result<()> {
    let id = Rows::new(conn).log_id(log)?;
    let links: BTreeMap<u64, (Hash32, Hash32)> = conn
        .prepare_cached("SELECT seq, hash, prev FROM change WHERE log = ?1")?
        .query_map([id], |row| Ok((row.get::<_, i64>(0)?.unsigned_abs(), (Hash32(row.get(1)?), Hash32(row.get(2)?)))))?
        .collect::<rusqlite::Result<_>>()?;
    if links.get(&run.to).is_none_or(|(hash, _)| *hash != run.tip) {
        taken.restored |= run.to > links.keys().next_back().copied().unwrap_or(0);
        return Ok(());
    }
    let received: u64 = conn
        .prepare_cached("SELECT received_to FROM log WHERE id = ?1")?
        .query_row([id], |row| row.get::<_, i64>(0).map(i64::unsigned_abs))?;
    let unbroken = (received + 1..run.to).all(|seq| match (links.get(&seq), links.get(&(seq + 1))) {
        (Some((hash, _)), Some((_, prev))) => hash == prev,
        _ => false,
    });
    if run.from <= received + 1 && run.to > received && unbroken {
        conn.prepare_cached("UPDATE log SET received_to = ?2, handed_to = max(handed_to, ?2) WHERE id = ?1")?
            .execute(params![id, run.to as i64])?;
        taken.received += run.to - received;
    }
    Ok(())
}
