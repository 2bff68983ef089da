//! Going on with a new key where the old one is gone for good: a platform that forgot its secret, a folder that came back without
//! its key. The database and the photos are whole, and nothing in them may be lost with a key.
//!
//! ```text
//! local/device.key.next     the new key, until the database knows of it
//! local/device.key.lost-1   the old key's file: kept, nobody can read it
//! ```
//! What a certified device wrote stays as it is, under its own logs, closed by its newest signature ([`super::former`]). What one
//! wrote that no office knew is written anew in the words of the new key: nobody could ever say whose it is.

use std::{
    fs,
    io::ErrorKind,
    path::{Path, PathBuf},
};

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior};

use super::{
    carried::write_anew,
    enrolled::Enrolled,
    former::{add_former, former},
    identity::{Card, DeviceKeys},
    invited::{forget_invited, read_invited},
    open::{Notebook, database, key_file},
    schema,
    secrets::Secrets,
    store::{Rows, meta, set_meta},
};
use crate::{
    cbor::{self, Reader, malformed},
    clock::Env,
    durable,
    error::{Code, Error, Result},
    ids::{DeviceId, Hash32, OfficeId},
    log::load_authority,
    record::Role,
};

/// The new key until the database knows of it.
const NEXT: &str = "local/device.key.next";
/// The hash of the newest key file that the database knows of.
const KNOWN: &str = "new key";
/// What the device was before its key was lost.
const BEFORE: &str = "before new key";

impl Notebook {
    /// Opens a notebook whose key is gone for good, under new keys. All that is in it stays; what was written with the old key goes
    /// to the office with this notebook's bundles. The office has to enrol it again before anything can be handed over, and until
    /// then it writes as what it was. The old key's file is kept beside the new one. Whole or not at all.
    ///
    /// # Errors
    /// `SCHEMA` when the key can be read; [`Error::NotFound`] when there is no notebook; of the platform where its secret is only
    /// locked; as [`Notebook::open_with`]: nothing was changed.
    pub fn open_with_new_key(dir: &Path, env: Env, secrets: &dyn Secrets) -> Result<Self> {
        settle_new_key(dir)?;
        let (database, key) = (database(dir), key_file(dir));
        if !database.exists() && !key.exists() {
            return Err(Error::NotFound("a notebook in this folder".into()));
        }
        if key.exists() {
            match DeviceKeys::read(&key, secrets) {
                Ok(_) => {
                    return Err(Error::refused(Code::Schema, "the notebook's key can be read; nothing was changed"));
                }
                Err(e) if is_gone(&e) => {}
                Err(e) => return Err(e),
            }
        }
        let mut conn = schema::open(&database, false)?;
        let keys = DeviceKeys::new(&env)?;
        let next = dir.join(NEXT);
        durable::make_folders(&dir.join("local")).map_err(Error::io("making the notebook's folder"))?;
        keys.write(&next, secrets)?;
        let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        become_another(&tx, &keys)?;
        set_meta(&tx, KNOWN, &hash_of(&next)?.0)?;
        tx.commit()?;
        drop(conn);
        settle_new_key(dir)?;
        Self::open_with(dir, env, secrets)
    }

    /// Whether its key was lost and no office has taken on the new one yet: it writes on, and hands nothing over.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn must_enrol_again(&self) -> Result<bool> {
        let inner = self.lock();
        let asks = read_invited(&inner.conn)?.is_some();
        Ok(!inner.office.is_own() && !asks && inner.office.authority.cert_of(&inner.log.device).is_none())
    }
}

/// Whether a key that could not be read will never be: its secret is gone, or is another one, or the file is damaged.
fn is_gone(e: &Error) -> bool {
    match e {
        Error::Io { source, .. } => matches!(source.kind(), ErrorKind::NotFound | ErrorKind::InvalidData),
        e => e.code() == Some(Code::Schema),
    }
}

/// Finishes a change of keys that was stopped where the database knows of it, and undoes it where it does not.
pub(super) fn settle_new_key(dir: &Path) -> Result<()> {
    let next = dir.join(NEXT);
    if !next.exists() {
        return Ok(());
    }
    let what = || Error::io("putting a new key in its place");
    let database = database(dir);
    let known = if database.exists() { meta(&schema::open(&database, false)?, KNOWN)? } else { None };
    if known != Some(hash_of(&next)?.0.to_vec()) {
        return fs::remove_file(&next).map_err(what());
    }
    let key = key_file(dir);
    if key.exists() {
        durable::rename(&key, &free_beside(&key)).map_err(what())?;
    }
    durable::rename(&next, &key).map_err(what())
}

fn hash_of(file: &Path) -> Result<Hash32> {
    Ok(Hash32::of(&fs::read(file).map_err(Error::io("reading the device's key"))?))
}

/// A name beside the old key's under which nothing stands.
fn free_beside(key: &Path) -> PathBuf {
    let named = |n: u64| key.with_extension(format!("key.lost-{n}"));
    (1..).map(named).find(|path| !path.exists()).unwrap_or_else(|| key.with_extension("key.lost"))
}

/// Makes a database that of a device with these keys: what another one wrote stays its own.
fn become_another(tx: &Transaction<'_>, keys: &DeviceKeys) -> Result<()> {
    let writer = last_writer(tx)?;
    let card = meta(tx, "card")?.map(|signed| Card::read(&signed)).transpose()?;
    let mut certified = false;
    if let Some(card) = &card {
        let authority = load_authority(&mut Rows::new(tx), card.authority())?;
        let cert = writer.and_then(|device| authority.cert_of(&device)).map(|(_, cert)| cert);
        certified = cert.is_some();
        let was = match (cert, read_invited(tx)?) {
            (Some(cert), _) => Some((cert.role, cert.label.clone())),
            (None, Some(invited)) => Some((invited.role, invited.label)),
            (None, None) => before_new_key(tx)?,
        };
        if let Some((role, label)) = was {
            set_meta(tx, BEFORE, &before_to_cbor(role, &label))?;
        }
    }
    // Its code was for the old key, and its replies were.
    forget_invited(tx)?;
    set_meta(tx, "snapshot", &0u64.to_be_bytes())?;
    tx.execute("DELETE FROM meta WHERE key = 'incarnation'", [])?;
    let Some(writer) = writer.filter(|writer| *writer != keys.signing.device()) else { return Ok(()) };
    if certified {
        return add_former(tx, &[writer]);
    }
    let office = card.map_or(OfficeId(writer.0), |card| card.office());
    write_anew(tx, keys, &office, &Enrolled::load(tx, keys)?, Some(writer))
}

/// The device that made the newest change of a notebook's own.
pub(super) fn last_writer(conn: &Connection) -> Result<Option<DeviceId>> {
    let Some(tip) = meta(conn, "last_tip")? else { return Ok(former(conn)?.last().copied()) };
    let mut query = conn.prepare(
        "SELECT device FROM log WHERE id IN (SELECT log FROM change WHERE hash = ?1 UNION SELECT log FROM lost WHERE hash = ?1)",
    )?;
    Ok(query.query_row([tip], |row| row.get(0).map(DeviceId)).optional()?)
}

/// Role and label of the device before its key was lost.
pub(super) fn before_new_key(conn: &Connection) -> Result<Option<(Role, String)>> {
    let Some(raw) = meta(conn, BEFORE)? else { return Ok(None) };
    let r = &mut Reader::new(&raw)?;
    r.array_of(2)?;
    let role = Role::from_rank(r.uint()?).ok_or_else(|| malformed("an unknown role"))?;
    Ok(Some((role, r.text()?.to_owned())))
}

fn before_to_cbor(role: Role, label: &str) -> Vec<u8> {
    cbor::encode(|w| {
        w.array(2)?.u8(role.rank())?.str(label)?;
        Ok(())
    })
}

#[cfg(test)]
mod tests;
