//! A snapshot: of every record that a device may hold, the live values of the fields that its role may read.

use std::collections::BTreeSet;

use rusqlite::{Connection, params};

use super::{
    former::Brought,
    open::Notebook,
    read::{self, Live},
};
use crate::{
    bundle::Level,
    cbor::{self, Reader, malformed},
    error::Result,
    fault::{self, Fault},
    ids::{DeviceId, Hash32, RecordId},
    log::Authority,
    record::{self, EXISTENCE, Privacy, Role, Value},
};

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
    /// The record.
    pub(super) fn rec(&self) -> &RecordId {
        &self.rec
    }

    /// The wire form.
    pub fn to_cbor(&self) -> Vec<u8> {
        cbor::encode(|w| {
            w.array(3)?.bytes(&self.rec.0)?.u32(self.kind)?.array(self.values.len() as u64)?;
            for v in &self.values {
                w.array(7)?.u32(v.field)?.bytes(&v.hash.0)?.bytes(&v.device.0)?.str(&v.label)?;
                w.u8(v.rank)?.i64(v.at_ms)?.bytes(&v.value)?;
            }
            Ok(())
        })
    }

    /// Reads the wire form.
    ///
    /// # Errors
    /// `SCHEMA`.
    pub fn from_cbor(bytes: &[u8]) -> Result<Self> {
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
        Privacy::Private => own_or_assigned || role >= Role::Educator || fault::is(Fault::PrivateInReply),
        Privacy::Sealed => role >= Role::Educator,
    }
}

impl Notebook {
    /// All that a device may hold: records it wrote or is assigned, what they point at and what points at them; of each
    /// the live values of the fields that its role may read.
    pub(crate) fn snapshot_for(&self, device: &DeviceId, role: Role) -> Result<Vec<SnapshotRow>> {
        self.refresh()?;
        let inner = self.lock();
        let office = &inner.office;
        let brought = Brought::by(&inner.conn, device, Level::Stored)?;
        let own = own_records(&inner.conn, device, &brought, &office.authority)?;
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
            let mut values: Vec<_> = live.into_iter().filter_map(|l| readable(l, role, mine)).collect();
            shorten_deletions(&inner.conn, &rec, device, &brought, &mut values)?;
            if values.iter().any(|v| v.field != EXISTENCE) {
                rows.push(SnapshotRow { rec, kind: kind.id(), values });
            }
        }
        Ok(rows)
    }
}

/// Records that a device wrote, or that stand in what it brought of the log of a lost key, or that it is assigned.
fn own_records(
    conn: &Connection,
    device: &DeviceId,
    brought: &Brought,
    authority: &Authority,
) -> Result<BTreeSet<RecordId>> {
    let sql = "SELECT DISTINCT rec FROM change WHERE log IN (SELECT id FROM log WHERE device = ?1)";
    let mut query = conn.prepare_cached(sql)?;
    let mut found: BTreeSet<RecordId> =
        query.query_map([device.0], |row| row.get(0).map(RecordId))?.collect::<rusqlite::Result<_>>()?;
    let mut written =
        conn.prepare_cached("SELECT rec, hash FROM change WHERE log IN (SELECT id FROM log WHERE device = ?1)")?;
    for writer in brought.writers() {
        let rows = written.query_map([writer.0], |row| Ok((RecordId(row.get(0)?), Hash32(row.get(1)?))))?;
        for row in rows {
            let (rec, change) = row?;
            found.extend(brought.has(&change).then_some(rec));
        }
    }
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

/// A deletion lists every change that its author saw. Of these a reply names those alone whose values it holds, and the
/// device's own: whether the record is hidden hangs on no other, where no other can be seen.
fn shorten_deletions(
    conn: &Connection,
    rec: &RecordId,
    device: &DeviceId,
    brought: &Brought,
    values: &mut [SnapshotValue],
) -> Result<()> {
    if !values.iter().any(|v| v.field == EXISTENCE) || fault::is(Fault::DeletionsWhole) {
        return Ok(());
    }
    let mut own = conn.prepare_cached(
        "SELECT DISTINCT hash FROM fact WHERE rec = ?1 AND log IN (SELECT id FROM log WHERE device = ?2)",
    )?;
    let own = own.query_map(params![rec.0, device.0], |row| row.get(0).map(Hash32))?;
    let mut named = own.collect::<rusqlite::Result<BTreeSet<_>>>()?;
    named.extend(values.iter().map(|v| v.hash));
    for value in values.iter_mut().filter(|v| v.field == EXISTENCE) {
        let Ok(Value::List(mut items)) = Value::from_cbor(&value.value) else { continue };
        items.truncate(2);
        if let Some(Value::List(seen)) = items.get_mut(1) {
            seen.retain(|hash| {
                let hash = hash.as_bytes().and_then(|raw| Hash32::from_slice(raw).ok());
                hash.is_some_and(|hash| named.contains(&hash) || brought.has(&hash))
            });
        }
        value.value = Value::List(items).to_cbor();
    }
    Ok(())
}

pub(super) fn insert_snapshot(conn: &Connection, row: &SnapshotRow) -> Result<()> {
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
