//! Logs of keys that were lost: a notebook's own still, and to the office those of the device that brought them.
//!
//! On the phone: the devices whose keys were lost, and what is to be handed over of their logs, verbatim, closed by the newest
//! signature that each left. At the office: which device brought whose log. Only a notebook that holds a log has its
//! signature, so whoever brought one up to a place may be told of it up to there, and of nothing else that others wrote.

use std::collections::{BTreeSet, HashMap};

use rusqlite::Connection;

use super::{
    new_key::last_writer,
    open::{Inner, Notebook},
    outbound::LogState,
    read,
    store::{Rows, meta, set_meta},
};
use crate::{
    bundle::Level,
    error::{Code, Result},
    ids::{DeviceId, Hash32, LogId},
    log::{Link, Run, Segment, runs},
};

/// Devices whose keys were lost, 16 bytes each, the last one last.
const FORMER: &str = "former devices";

/// The devices that wrote in this database before, under keys that were lost.
pub(super) fn former(conn: &Connection) -> Result<Vec<DeviceId>> {
    let raw = meta(conn, FORMER)?.unwrap_or_default();
    raw.chunks(DeviceId::LEN).map(DeviceId::from_slice).collect()
}

/// Adds devices whose keys were lost.
pub(super) fn add_former(conn: &Connection, devices: &[DeviceId]) -> Result<()> {
    let mut all = former(conn)?;
    all.extend(devices.iter().filter(|device| !all.contains(device)).copied().collect::<Vec<_>>());
    set_meta(conn, FORMER, &all.iter().flat_map(|device| device.0).collect::<Vec<_>>())
}

/// Makes the list of this connection's own devices, `own`: the one that writes and those before it.
pub(super) fn list_own(conn: &Connection, device: &DeviceId, former: &[DeviceId]) -> Result<()> {
    conn.execute_batch(
        "CREATE TEMP TABLE IF NOT EXISTS own(device BLOB PRIMARY KEY) WITHOUT ROWID; DELETE FROM temp.own;",
    )?;
    let mut insert = conn.prepare("INSERT OR IGNORE INTO temp.own(device) VALUES(?1)")?;
    std::iter::once(device).chain(former).try_for_each(|device| insert.execute([device.0]).map(drop))?;
    Ok(())
}

impl Inner {
    /// The device that writes, and those whose keys were lost.
    pub(super) fn own_devices(&self) -> impl Iterator<Item = DeviceId> + '_ {
        std::iter::once(self.log.device).chain(self.former.iter().copied())
    }

    /// Whether a log is this notebook's own, whichever of its keys wrote it.
    pub(super) fn owns(&self, log: &LogId) -> bool {
        self.own_devices().any(|device| device == log.device)
    }
}

impl Notebook {
    /// What is to be handed over of the log of a lost key: segments that follow each other, the last one closed by the newest
    /// signature. Before the first reply to this key its end goes in any case: the office tells of a log only whom it came from.
    /// None where nothing closes it. What stands before a change that cannot be read any more is closed by nothing and stays here.
    ///
    /// # Errors
    /// [`crate::Error::NotEnrolled`]; of SQLite.
    pub(crate) fn former_segments(&self, state: &LogState) -> Result<Vec<Segment>> {
        let (signature, key, told) = {
            let inner = self.lock();
            let id = Rows::new(&inner.conn).log_id(&state.log)?;
            let signature: Option<Vec<u8>> =
                inner.conn.query_row("SELECT tip_signature FROM log WHERE id = ?1", [id], |row| row.get(0))?;
            let key = inner.belonging()?.authority.cert_of(&state.log.device).map(|(_, cert)| cert.key);
            (signature, key, read::snapshot_number(&inner.conn)? > 0)
        };
        let mut after = if told { state.received_to } else { state.received_to.min(state.tip.saturating_sub(1)) };
        let mut found: Vec<Segment> = Vec::new();
        while let Some(segment) = self.segment_after(&state.log, after)? {
            after = segment.to();
            if found.last().is_some_and(|last| last.tip() != segment.prev || !segment.lost.is_empty()) {
                found.clear();
            }
            found.push(segment);
        }
        let (Some(last), Some(signature), Some(key)) = (found.last_mut(), signature, key) else {
            return Ok(Vec::new());
        };
        last.signature = signature;
        let closed = last.checked_tip(&self.office()?, &key).is_ok();
        Ok(if closed { found } else { Vec::new() })
    }

    /// What was written with keys that were lost stays this notebook's own when it comes out of another database of its own: a
    /// backup, or one that is damaged.
    pub(super) fn adopt_former_of(&self, other: &Connection) -> Result<()> {
        let mut inner = self.lock();
        let own = inner.log.device;
        let mut known = former(other).unwrap_or_default();
        known.extend(last_writer(other).ok().flatten());
        known.retain(|device| *device != own);
        if known.is_empty() {
            return Ok(());
        }
        inner.write(|tx, _| add_former(tx, &known))?;
        inner.former = former(&inner.conn)?;
        list_own(&inner.conn, &own, &inner.former)
    }

    /// Remembers that a device brought another's log up to a change, closed by that other's own signature.
    pub(crate) fn note_brought(&self, by: &DeviceId, log: &LogId, to: u64, tip: Hash32) -> Result<()> {
        self.lock().write(|tx, _| {
            let key = format!("{}{}", brought_by(by), hex::encode(log.to_bytes()));
            let told = meta(tx, &key)?.and_then(|raw| raw.get(..8)?.try_into().ok()).map_or(0, u64::from_be_bytes);
            if told > to {
                return Ok(());
            }
            set_meta(tx, &key, &[&to.to_be_bytes()[..], &tip.0].concat())
        })
    }
}

fn brought_by(device: &DeviceId) -> String {
    format!("brought by {device} ")
}

/// What a device brought of others' logs, up to the change that it brought of each, along that change's own branch, and up to the
/// first one that was cut off: that one it keeps offering until somebody decides.
pub(super) struct Brought {
    logs: Vec<(LogId, Vec<Link>)>,
    changes: BTreeSet<Hash32>,
}

impl Brought {
    /// As far as it is held at this level.
    pub(super) fn by(conn: &Connection, device: &DeviceId, level: Level) -> Result<Self> {
        let beginning = brought_by(device);
        let mut query = conn.prepare_cached("SELECT key, value FROM meta WHERE substr(key, 1, length(?1)) = ?1")?;
        let notes = query.query_map([&beginning], |row| Ok((row.get::<_, String>(0)?, row.get::<_, Vec<u8>>(1)?)))?;
        let mut logs = Vec::new();
        for note in notes {
            let (key, value) = note?;
            let log = LogId::from_slice(&hex::decode(&key[beginning.len()..]).unwrap_or_default())?;
            let tip = Hash32::from_slice(value.get(8..).unwrap_or_default())?;
            logs.push((log, branch(conn, &log, tip, level)?));
        }
        let changes = logs.iter().flat_map(|(_, links)| links).map(|link| link.hash).collect();
        Ok(Self { logs, changes })
    }

    /// The unbroken runs of it.
    pub(super) fn runs(&self) -> impl Iterator<Item = (LogId, Run)> + '_ {
        self.logs.iter().flat_map(|(log, links)| runs(links).into_iter().map(move |run| (*log, run)))
    }

    /// Whether this change is among it.
    pub(super) fn has(&self, change: &Hash32) -> bool {
        self.changes.contains(change)
    }

    /// The devices that wrote it.
    pub(super) fn writers(&self) -> BTreeSet<DeviceId> {
        self.logs.iter().map(|(log, _)| log.device).collect()
    }
}

fn branch(conn: &Connection, log: &LogId, tip: Hash32, level: Level) -> Result<Vec<Link>> {
    let id = Rows::new(conn).log_id(log)?;
    let mut query = conn.prepare_cached("SELECT hash, seq, prev, waiting, safe FROM change WHERE log = ?1")?;
    let mut links = HashMap::new();
    let mut rows = query.query([id])?;
    while let Some(row) = rows.next()? {
        let (hash, seq, prev) = (Hash32(row.get(0)?), row.get::<_, i64>(1)?.unsigned_abs(), Hash32(row.get(2)?));
        let cut_off = row.get::<_, Option<String>>(3)?.is_some_and(|code| code == Code::Revoked.name());
        links.insert(hash, (Link { seq, hash, prev }, cut_off, row.get::<_, i64>(4)? >= level as i64));
    }
    let (mut way, mut at) = (Vec::new(), tip);
    while let Some(here) = links.remove(&at) {
        at = here.0.prev;
        way.push(here);
    }
    let counting = way.into_iter().rev().take_while(|(_, cut_off, _)| !cut_off);
    Ok(counting.filter(|(.., held)| *held).map(|(link, ..)| link).collect())
}
