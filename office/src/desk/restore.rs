//! Restore of an office's backup: into an empty folder, or merged into the same office. Erased words stay out, and phones
//! are asked to offer again.

use std::{
    fs,
    io::Read,
    path::{Path, PathBuf},
    str::FromStr,
};

use age::x25519::Identity;
use dooryard_core::{
    Code, Error, Result, archive,
    bundle::Opener,
    clock::Env,
    durable,
    fault::{self, Fault},
    job::Job,
    notebook::{BackupSort, Card, Merged, Unpacked, write_secret},
};
use serde::Serialize;

use super::{
    Office, accounts_file,
    backup::{CARD_ENTRY, DEVICE_ENTRY, DEVICE_KEY, KEYS_ENTRY},
    county_files,
    erasures::{LEDGER, Ledger, ledger_of, write_whole},
    kept_files,
    keys::{self, CARD, KEYS, KeyFile, OfficeKeys, secret},
    rotate::root_key,
};

/// Stands in the folder while a restore is under way: what a stopped one left may be written over.
const UNDER_WAY: &str = "restore.unfinished";
/// Bytes of a small entry at most.
const MAX_SMALL: u64 = 64 << 10;

/// Which erasure ledger a restore goes by.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum LedgerChoice {
    /// The one beside the backup.
    Beside,
    /// The one in this file.
    File(PathBuf),
    /// None, as a person said: what was erased after the backup comes back.
    None,
}

impl LedgerChoice {
    fn path(&self, backup: &Path) -> Option<PathBuf> {
        match self {
            Self::None => None,
            Self::Beside => Some(ledger_of(backup)),
            Self::File(path) => Some(path.clone()),
        }
    }
}

/// What a restore did.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct Restored {
    /// The office's name.
    pub name: String,
    /// Its id.
    pub office: String,
    /// What was merged into an office that was there; none when the folder was empty.
    pub merged: Option<Merged>,
    /// Number of its card when it got new keys, because they had been changed after the backup.
    pub new_keys: Option<u64>,
    /// Number of the life that it began.
    pub epoch: u64,
    /// Records of which something is erased.
    pub erased_records: u64,
    /// The accounts of the office page came back. Nobody is signed in by that.
    pub accounts: bool,
    /// Files of the county's own lines that came back.
    pub county_files: u64,
    /// The ledger beside the backup learns of what is erased from now on. If not, a new backup is needed before the next loss.
    pub ledger_follows: bool,
}

impl Office {
    /// Brings a backup back. The office begins a new life: its replies ask phones to offer again what it may lack. When its keys
    /// were changed after the backup, it gets new ones, for which the root key is taken from `drawer` or the backup.
    ///
    /// # Errors
    /// `KEY_LOST` when it needs new keys and the root key is in neither; `NOT_FOR_US` when the key does not open it or another office stands in the folder; `STALE_REPLY` when there is no
    /// erasure ledger as new as the backup; `CUT`, `SCHEMA`, `BAD_SIGNATURE`: nothing was changed; of the stores.
    pub fn restore(
        file: &Path,
        dir: &Path,
        key: &Identity,
        ledger: &LedgerChoice,
        drawer: Option<&Path>,
        env: Env,
        job: &Job,
    ) -> Result<Restored> {
        let opener = Opener::new(vec![key.clone()]);
        let entries = Entries::read(file, &opener)?;
        if dir.join(KEYS).exists() {
            return merge(&Self::open(dir, env)?, file, &entries, ledger, &opener, job);
        }
        let keys_changed = entries.are_keys_changed(file, ledger)?;
        if keys_changed && root_key(Some(&entries.file), drawer)?.public() != entries.keys.card.root {
            return Err(Error::backup(Code::NotForUs, "the root key of another office"));
        }
        begin(dir)?;
        let unpacked = match entries.unpack(&dir.join("notebook"), file, ledger, (&entries.keys.card, 0), &opener) {
            Ok(unpacked) => unpacked,
            Err(e) => {
                give_up(dir)?;
                return Err(e);
            }
        };
        let made_ms = unpacked.head.made_ms;
        write_secret(&dir.join(DEVICE_KEY), &entries.device)?;
        unpacked.place(&dir.join("notebook"), file, &opener, job)?;
        kept_files::bring_back(dir, file, &opener)?;
        let accounts = accounts_file::bring_back(dir, file, &opener)?;
        let county_files = county_files::bring_back(dir, file, &opener)?;
        entries.keep_ledger(dir, file, ledger)?;
        write_whole(&dir.join(CARD), &entries.card)?;
        // Last: with it the office stands, and opening it heeds the ledger and begins a new life.
        keys::put(dir, &entries.text)?;
        let office = if keys_changed { Self::change_keys(dir, drawer, env)? } else { Self::open(dir, env)? };
        office.renew_ledgers()?;
        let new_keys = keys_changed.then_some(office.card().serial);
        Ok(Restored { new_keys, accounts, county_files, ..office.restored(None, (file, made_ms))? })
    }

    fn restored(&self, merged: Option<Merged>, (file, made_ms): (&Path, u64)) -> Result<Restored> {
        self.notebook.refresh()?;
        let ledger_follows = self.adopt_backup(file, made_ms)?;
        Ok(Restored {
            new_keys: None,
            accounts: false,
            county_files: 0,
            name: self.card().name.clone(),
            office: self.card().office().to_string(),
            merged,
            epoch: self.epoch()?.n,
            erased_records: self.notebook.authority()?.erased_records().count() as u64,
            ledger_follows,
        })
    }

    /// The recovery key as text, to be kept apart from this machine.
    ///
    /// # Errors
    /// [`Error::NotFound`] when it was put away.
    pub fn recovery_key(&self) -> Result<String> {
        let put_away = || Error::NotFound("the recovery key in the office's folder: it was put away before".into());
        let key = self.keys.recovery.as_ref().ok_or_else(put_away)?;
        Ok(format!(
            "# Recovery key of {}. It opens every backup and every bundle: keep it in a drawer, off this machine.\n{}\n",
            self.card().name,
            secret(key)
        ))
    }
}

/// Merges a backup into the office that is there.
fn merge(
    office: &Office,
    file: &Path,
    entries: &Entries,
    choice: &LedgerChoice,
    opener: &Opener,
    job: &Job,
) -> Result<Restored> {
    if office.card().root != entries.keys.card.root {
        return Err(Error::backup(Code::NotForUs, "another office stands in this folder"));
    }
    let ledger = read_ledger(file, choice, 0, office.card())?;
    let newer = |card: &Card| card.serial > office.card().serial;
    if newer(&entries.keys.card) || ledger.as_ref().is_some_and(|ledger| newer(&ledger.card)) {
        let why = "the office in this folder has older keys than the backup; restore into an empty folder";
        return Err(Error::backup(Code::StaleReply, why));
    }
    let known = office.notebook.authority()?.newest().0;
    let unpacked = entries.unpack(&office.dir.join("notebook"), file, choice, (office.card(), known), opener)?;
    write_whole(&office.dir.join(UNDER_WAY), b"")?;
    // First what is erased, so that nothing of it is written.
    if let Some(ledger) = ledger {
        ledger.take_into(&office.notebook, &office.dir)?;
    }
    let merged = office.notebook.merge_office_backup(&unpacked, file, opener, job)?;
    kept_files::bring_back(&office.dir, file, opener)?;
    let accounts = accounts_file::bring_back(&office.dir, file, opener)?;
    let county_files = county_files::bring_back(&office.dir, file, opener)?;
    office.begin_again()?;
    office.renew_ledgers()?;
    is_done(&office.dir)?;
    Ok(Restored { accounts, county_files, ..office.restored(Some(merged), (file, unpacked.head.made_ms))? })
}

/// Whether a restore was stopped after the office stood.
pub(super) fn is_under_way(dir: &Path) -> bool {
    dir.join(UNDER_WAY).exists()
}

pub(super) fn is_done(dir: &Path) -> Result<()> {
    durable::remove(&dir.join(UNDER_WAY)).map_err(Error::io("ending a restore"))
}

/// Reads the key that [`Office::recovery_key`] wrote, or that an office's key file holds.
///
/// # Errors
/// `SCHEMA` when there is none in it; of the file system.
pub fn recovery_key(path: &Path) -> Result<Identity> {
    let text = fs::read_to_string(path).map_err(Error::io("reading the recovery key"))?;
    let keys: Option<serde_json::Value> = serde_json::from_str(&text).ok();
    let line = match &keys {
        Some(keys) => keys["recovery"].as_str(),
        None => text.lines().map(str::trim).find(|line| line.starts_with("AGE-SECRET-KEY-")),
    };
    let key = line.and_then(|line| Identity::from_str(line).ok());
    key.ok_or_else(|| Error::refused(Code::Schema, "a key file without a recovery key"))
}

/// Makes the folders of an office that comes back; a restore that was stopped is begun anew.
fn begin(dir: &Path) -> Result<()> {
    let what = || Error::io("making the office's folder");
    let notebook = dir.join("notebook");
    if !dir.join(UNDER_WAY).exists() && notebook.exists() {
        return Err(Error::backup(Code::Schema, "a folder with a notebook and no office; nothing was replaced"));
    }
    durable::make_folders(dir).map_err(what())?;
    // Before the first folder: a restore that is stopped at any point after it is begun anew.
    write_whole(&dir.join(UNDER_WAY), b"")?;
    durable::make_folders(&notebook.join("local")).map_err(what())?;
    for ending in ["", "-wal", "-shm"] {
        let left = notebook.join(format!("notebook.db{ending}"));
        if left.exists() {
            fs::remove_file(left).map_err(what())?;
        }
    }
    Ok(())
}

/// Leaves the folder as empty as it was.
fn give_up(dir: &Path) -> Result<()> {
    let what = || Error::io("leaving the folder as it was");
    fs::remove_dir_all(dir.join("notebook")).map_err(what())?;
    fs::remove_file(dir.join(UNDER_WAY)).map_err(what())
}

/// The small entries of an office's backup.
struct Entries {
    text: String,
    file: KeyFile,
    card: Vec<u8>,
    device: Vec<u8>,
    keys: OfficeKeys,
}

impl Entries {
    fn read(file: &Path, opener: &Opener) -> Result<Self> {
        let (mut text, mut card, mut device) = (Vec::new(), Vec::new(), Vec::new());
        archive::read(file, opener, &mut |kind, _, body| {
            let place = match kind {
                KEYS_ENTRY => &mut text,
                CARD_ENTRY => &mut card,
                DEVICE_ENTRY => &mut device,
                _ => return Ok(()),
            };
            body.take(MAX_SMALL).read_to_end(place).map(drop).map_err(Error::io("reading the backup"))
        })?;
        let wrong = |_| Error::backup(Code::Schema, "no backup of an office");
        let text = String::from_utf8(text).map_err(|_| Error::backup(Code::Schema, "no backup of an office"))?;
        let key_file = KeyFile::from_text(&text).map_err(wrong)?;
        let keys = OfficeKeys::of(&key_file, card.clone()).map_err(wrong)?;
        Ok(Self { text, file: key_file, card, device, keys })
    }

    /// Whether the ledger to go by knows of newer keys than these.
    fn are_keys_changed(&self, file: &Path, choice: &LedgerChoice) -> Result<bool> {
        let ledger = read_ledger(file, choice, 0, &self.keys.card)?;
        Ok(ledger.is_some_and(|ledger| ledger.card.serial > self.keys.card.serial))
    }

    /// Unpacks the database, once these are the keys that made the backup and the ledger is new enough. `in_force`: the
    /// card to go by; `known`: the newest place of the office log that is known without it.
    fn unpack(
        &self,
        dir: &Path,
        file: &Path,
        choice: &LedgerChoice,
        (in_force, known): (&Card, u64),
        opener: &Opener,
    ) -> Result<Unpacked> {
        let unpacked = Unpacked::of(dir, file, opener)?;
        let (head, card) = (&unpacked.head, &self.keys.card);
        let fits = head.sort == BackupSort::Office && head.key == card.key && head.office == card.office();
        if !fits || !self.keys.fit_card() {
            return Err(Error::backup(Code::BadSignature, "the backup's keys"));
        }
        let newest = unpacked.newest_statement(card)?;
        if known < newest {
            read_ledger(file, choice, newest, in_force)?;
        }
        Ok(unpacked)
    }

    /// Puts the ledger into the office's folder, where opening the office finds it.
    fn keep_ledger(&self, dir: &Path, file: &Path, choice: &LedgerChoice) -> Result<()> {
        let Some(path) = choice.path(file).filter(|_| !fault::is(Fault::RestoreSkipsLedger)) else { return Ok(()) };
        write_whole(&dir.join(LEDGER), &fs::read(path).map_err(Error::io("reading the erasure ledger"))?)
    }
}

/// The ledger to go by, which must know the office log up to `newest`.
fn read_ledger(file: &Path, choice: &LedgerChoice, newest: u64, card: &Card) -> Result<Option<Ledger>> {
    let Some(path) = choice.path(file) else { return Ok(None) };
    if !path.exists() {
        if newest == 0 {
            return Ok(None);
        }
        return Err(Error::backup(Code::StaleReply, "there is no erasure ledger beside the backup"));
    }
    let ledger = Ledger::read(&path, card)?;
    if ledger.newest < newest {
        return Err(Error::backup(Code::StaleReply, "the erasure ledger is older than the backup"));
    }
    Ok(Some(ledger))
}
