//! Making, opening, enrolling, closing a notebook.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
};

use rusqlite::{Connection, Transaction, TransactionBehavior};

use super::{
    blobs,
    enrolled::Enrolled,
    former::{former, list_own},
    identity::{Card, DeviceKeys, write_secret},
    new_key::settle_new_key,
    schema, scratch,
    secrets::{OwnerOnlyFile, Secrets},
    sound,
    store::{Rows, meta, set_meta},
};
use crate::{
    clock::Env,
    durable,
    error::{Code, Error, Result},
    ids::{DeviceId, Hash32, LogId, OfficeId},
    log,
    record::Role,
};

const DATABASE: &str = "notebook.db";
const KEY: &str = "local/device.key";
const INCARNATION: &str = "local/incarnation";

/// A device's notebook. Shared between threads; each call is whole.
pub struct Notebook {
    pub(super) dir: PathBuf,
    pub(super) env: Env,
    inner: Mutex<Inner>,
}

/// What is behind the lock.
pub(super) struct Inner {
    pub(super) conn: Connection,
    pub(super) keys: DeviceKeys,
    pub(super) log: LogId,
    /// Devices that wrote here before, under keys that were lost.
    pub(super) former: Vec<DeviceId>,
    pub(super) office: Enrolled,
    /// When the database was last looked through, milliseconds since 1970.
    looked_ms: u64,
}

impl Inner {
    /// The office that it belongs to, which somebody else holds the keys of.
    pub(super) fn belonging(&self) -> Result<&Enrolled> {
        if self.office.is_own() { Err(Error::NotEnrolled) } else { Ok(&self.office) }
    }

    /// Runs `work` in one transaction that writes; it is on disk when this returns.
    pub(super) fn write<T>(&mut self, work: impl FnOnce(&Transaction<'_>, &mut Enrolled) -> Result<T>) -> Result<T> {
        let tx = self.conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Another process of this office may have said something meanwhile, or changed the office's keys.
        let newest: i64 = tx.query_row("SELECT coalesce(max(seq), 0) FROM statement", [], |row| row.get(0))?;
        if newest.unsigned_abs() != self.office.authority.newest().0 || meta(&tx, "card")? != self.office.signed_card {
            self.office = Enrolled::load(&tx, &self.keys)?;
        }
        let done = work(&tx, &mut self.office);
        let done = match done {
            Ok(done) => tx.commit().map(|()| done).map_err(Error::from),
            Err(e) => tx.rollback().map_err(Error::from).and(Err(e)),
        };
        if done.is_err() {
            // What was learned inside the failed transaction is forgotten with it.
            self.office = Enrolled::load(&self.conn, &self.keys)?;
        }
        done
    }
}

impl Notebook {
    /// Makes a new notebook in `dir`, which must not hold one. Its key stands in a file of mode 0600.
    ///
    /// # Errors
    /// Of the file system; `SCHEMA` when there is one already.
    pub fn create(dir: &Path, env: Env) -> Result<Self> {
        Self::create_with(dir, env, &OwnerOnlyFile)
    }

    /// As [`Notebook::create`], with the key wrapped by the platform.
    ///
    /// # Errors
    /// As [`Notebook::create`]; of the platform, and then no key is left behind.
    pub fn create_with(dir: &Path, env: Env, secrets: &dyn Secrets) -> Result<Self> {
        if dir.join(DATABASE).exists() || dir.join(KEY).exists() {
            return Err(Error::refused(Code::Schema, "there is a notebook in this folder already"));
        }
        durable::make_folders(&dir.join("local")).map_err(Error::io("making the notebook's folder"))?;
        let keys = DeviceKeys::new(&env)?;
        keys.write(&dir.join(KEY), secrets)?;
        Self::open_in(dir, env, keys)
    }

    /// Opens the notebook in `dir`.
    ///
    /// # Errors
    /// [`Error::NotFound`] when there is none; [`Error::NewerDatabase`]; [`Error::Damaged`] (open again to go on with an
    /// empty one: the damaged file is kept).
    pub fn open(dir: &Path, env: Env) -> Result<Self> {
        Self::open_with(dir, env, &OwnerOnlyFile)
    }

    /// As [`Notebook::open`], with a key that the platform unwraps. A plain one is wrapped from then on.
    ///
    /// # Errors
    /// As [`Notebook::open`]; of the platform: nothing was touched.
    pub fn open_with(dir: &Path, env: Env, secrets: &dyn Secrets) -> Result<Self> {
        settle_new_key(dir)?;
        if !dir.join(KEY).exists() {
            return Err(Error::NotFound("a notebook in this folder".into()));
        }
        Self::open_in(dir, env, DeviceKeys::read(&dir.join(KEY), secrets)?)
    }

    fn open_in(dir: &Path, env: Env, keys: DeviceKeys) -> Result<Self> {
        let path = dir.join(DATABASE);
        let looked = sound::looked_through(dir, &path);
        let conn = schema::open(&path, looked.is_some())?;
        let looked_ms = looked.unwrap_or_else(|| env.now_ms());
        scratch::sweep(dir)?;
        let incarnation = settle_incarnation(dir, &env, &conn)?;
        let log = LogId { device: keys.signing.device(), incarnation };
        let former = former(&conn)?;
        list_own(&conn, &log.device, &former)?;
        let office = Enrolled::load(&conn, &keys)?;
        blobs::sweep(&dir.join("photos"))?;
        let notebook =
            Self { dir: dir.to_owned(), env, inner: Mutex::new(Inner { conn, keys, log, former, office, looked_ms }) };
        notebook.finish_erasing()?;
        Ok(notebook)
    }

    pub(super) fn lock(&self) -> MutexGuard<'_, Inner> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn photos(&self) -> PathBuf {
        self.dir.join("photos")
    }

    /// The folder it stands in.
    pub fn folder(&self) -> &Path {
        &self.dir
    }

    /// Time and entropy of the notebook.
    pub fn env(&self) -> &Env {
        &self.env
    }

    /// The file content that the device hands to its office to be enrolled.
    pub fn enrolment_request(&self) -> Vec<u8> {
        self.lock().keys.request()
    }

    /// The device.
    pub fn device(&self) -> DeviceId {
        self.lock().log.device
    }

    /// The log that this notebook writes.
    pub fn own_log(&self) -> LogId {
        self.lock().log
    }

    /// The office it belongs to.
    ///
    /// # Errors
    /// [`Error::NotEnrolled`].
    pub fn office(&self) -> Result<OfficeId> {
        Ok(self.lock().belonging()?.card.office())
    }

    /// The card of its office, as the root signed it.
    ///
    /// # Errors
    /// [`Error::NotEnrolled`].
    pub fn signed_card(&self) -> Result<Vec<u8>> {
        self.lock().office.signed_card.clone().ok_or(Error::NotEnrolled)
    }

    /// The card of its office.
    ///
    /// # Errors
    /// [`Error::NotEnrolled`].
    pub fn card(&self) -> Result<Card> {
        Ok(self.lock().belonging()?.card.clone())
    }

    /// Its role and label by the certificate in force; those of a scout before it belongs to an office.
    ///
    /// # Errors
    /// [`Error::NotEnrolled`] where its office has not said what it is.
    pub fn role(&self) -> Result<(Role, String)> {
        let inner = self.lock();
        let (_, role, label) = inner.office.cert(&inner.log.device)?;
        Ok((role, label))
    }

    /// The digest of all that is held; equal on every store with the same changes and statements.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn digest(&self) -> Result<Hash32> {
        let inner = self.lock();
        log::digest(&mut Rows::new(&inner.conn), &inner.office.authority)
    }

    /// Rebuilds everything derived from the log.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn rebuild(&self) -> Result<()> {
        self.lock().write(|tx, office| {
            log::recount(&mut Rows::new(tx), &office.authority)?;
            tx.execute_batch("DELETE FROM shown; DELETE FROM link; DELETE FROM words; UPDATE record SET stale = 1;")?;
            Ok(())
        })
    }

    /// Finishes what is under way, an erasure too that could not clean every file, and folds the write-ahead log into the database:
    /// before the device sleeps. Once a day it looks through the whole database.
    ///
    /// # Errors
    /// Of SQLite, of the file system.
    pub fn pause(&self) -> Result<()> {
        self.finish_erasing()?;
        let mut inner = self.lock();
        durable::fold_in(&inner.conn)?;
        let path = self.dir.join(DATABASE);
        inner.looked_ms = sound::leave(&self.dir, &path, &inner.conn, inner.looked_ms, self.env.now_ms())?;
        Ok(())
    }
}

/// The incarnation in force: the one in its file, if the database knows it as its own. A database that is new, restored or
/// exchanged begins a new one, so that it never writes under places of a log that were written before.
fn settle_incarnation(dir: &Path, env: &Env, conn: &Connection) -> Result<u64> {
    let known = meta(conn, "incarnation")?.and_then(|raw| raw.try_into().ok()).map(u64::from_be_bytes);
    let kept = fs::read_to_string(dir.join(INCARNATION)).ok();
    let kept = kept.and_then(|text| u64::from_str_radix(text.trim(), 16).ok());
    match kept {
        Some(kept) if known == Some(kept) => Ok(kept),
        _ => new_incarnation(dir, env, conn),
    }
}

/// Begins a new incarnation of a notebook.
pub(super) fn new_incarnation(dir: &Path, env: &Env, conn: &Connection) -> Result<u64> {
    let incarnation = u64::from_be_bytes(env.random());
    write_secret(&dir.join(INCARNATION), format!("{incarnation:016x}\n").as_bytes())?;
    set_meta(conn, "incarnation", &incarnation.to_be_bytes())?;
    Ok(incarnation)
}

/// Throws the incarnation away: the next opening begins a log of its own.
pub(super) fn forget_incarnation(dir: &Path) -> Result<()> {
    durable::remove(&dir.join(INCARNATION)).map_err(Error::io("ending an incarnation"))
}

/// Where the database stands in a notebook's folder.
pub(super) fn database(dir: &Path) -> PathBuf {
    dir.join(DATABASE)
}

/// Where the device's key stands in a notebook's folder.
pub(super) fn key_file(dir: &Path) -> PathBuf {
    dir.join(KEY)
}
