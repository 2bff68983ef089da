//! The erasure ledger: the office log as a small signed file, kept in the office's folder and beside each backup, so that
//! no restore brings back what was erased later. No words stand in it: numbers of records, keyed hashes, keys, labels.
//!
//! ```text
//! ledger = [card, COSE_Sign1 by the office over [newest place, [statement, …]]]
//! ```
//! The card that was in force stands in it, since a backup of before a change of keys knows only the one before.

use std::{
    fs,
    path::{Path, PathBuf},
};

use dooryard_core::{
    Code, Error, Result,
    cbor::{self, Reader},
    durable,
    fault::{self, Fault},
    log::Body,
    notebook::{Card, Notebook},
    sign::{self, Purpose},
};
use serde::{Deserialize, Serialize};

use super::{Office, erased_words::ErasedWords, keys};

pub(super) const LEDGER: &str = "erasures.ledger";
const PLACES: &str = "backups.json";

/// A ledger whose signature holds.
pub(super) struct Ledger {
    /// Place of its newest statement in the office log.
    pub(super) newest: u64,
    /// The statements, signed, in order.
    pub(super) statements: Vec<Vec<u8>>,
    /// The card that was in force when it was written, and as the root signed it.
    pub(super) card: Card,
    pub(super) signed_card: Vec<u8>,
}

impl Ledger {
    /// Reads a ledger of this office, signed with the key in force, a newer one, or, up to its last place in the office log, a
    /// former one.
    ///
    /// # Errors
    /// `BAD_SIGNATURE` or `SCHEMA`; of the file system.
    pub(super) fn read(path: &Path, known: &Card) -> Result<Self> {
        let bytes = fs::read(path).map_err(Error::io("reading the erasure ledger"))?;
        let ledger = Self::parse(&bytes, known).map_err(|e| {
            Error::backup(e.code().unwrap_or(Code::Schema), format!("the erasure ledger {}", path.display()))
        })?;
        Ok(ledger)
    }

    fn parse(bytes: &[u8], known: &Card) -> Result<Self> {
        let r = &mut Reader::new(bytes)?;
        r.array_of(2)?;
        let (signed_card, signed) = (r.bytes()?.to_vec(), r.bytes()?);
        let card = Card::read(&signed_card)?;
        if card.root != known.root {
            return Err(Error::refused(Code::NotForUs, "the erasure ledger of another office"));
        }
        let payload = sign::verify(signed, Purpose::Ledger, &card.office(), &card.key)?;
        let r = &mut Reader::new(&payload)?;
        r.array_of(2)?;
        let newest = r.uint()?;
        let n = r.array()?;
        let statements = (0..n).map(|_| r.bytes().map(<[u8]>::to_vec)).collect::<Result<_>>()?;
        let former = known.former.iter().any(|former| former.key == card.key && newest <= former.last);
        if card.key == known.key || card.serial > known.serial || former {
            return Ok(Self { newest, statements, card, signed_card });
        }
        Err(Error::refused(Code::BadSignature, "a key that was replaced before"))
    }

    fn is_ahead_of(&self, notebook: &Notebook) -> Result<bool> {
        Ok(self.newest > notebook.authority()?.newest().0 || self.card.serial > notebook.card()?.serial)
    }

    /// What it says, into a notebook: the card first, since its key signed the rest. Saved views in the office's `folder` that
    /// search for what it erases go with it: a backup may have brought them back.
    pub(super) fn take_into(&self, notebook: &Notebook, folder: &Path) -> Result<()> {
        notebook.follow_card(&self.signed_card)?;
        let (authority, mut words) = (notebook.authority()?, ErasedWords::default());
        for signed in &self.statements {
            let Body::Erase { rec, fields, generation, .. } = authority.verify(signed)?.body else { continue };
            if generation > authority.generation(&rec) {
                // What is not here has no words here.
                if let Ok(record) = notebook.show(rec) {
                    words.add(notebook, &record, &fields)?;
                }
            }
        }
        words.forget_views(folder, notebook)?;
        notebook.take_statements(&self.statements)
    }
}

/// Where a backup stands, and when it was made.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Place {
    /// Its file.
    pub file: PathBuf,
    /// When it was made, milliseconds since 1970.
    pub made_ms: u64,
    /// Whoever made it said that its place is off this machine.
    pub off_machine: bool,
}

/// The ledger that belongs to a backup.
pub(super) fn ledger_of(backup: &Path) -> PathBuf {
    let mut name = backup.file_name().unwrap_or_default().to_owned();
    name.push(".ledger");
    backup.with_file_name(name)
}

impl Office {
    fn ledger(&self) -> Result<Vec<u8>> {
        let statements = self.notebook.statements()?;
        let newest = self.notebook.authority()?.newest().0;
        let payload = cbor::encode(|w| {
            w.array(2)?.u64(newest)?.array(statements.len() as u64)?;
            statements.iter().try_for_each(|s| w.bytes(s).map(drop))
        });
        let signed = self.keys.signing.sign(Purpose::Ledger, &self.keys.card.office(), &payload);
        Ok(cbor::encode(|w| w.array(2)?.bytes(&self.keys.signed_card)?.bytes(&signed).map(drop)))
    }

    /// The backups that this office knows of, in the order in which they were made.
    ///
    /// # Errors
    /// Of the list of backups.
    pub fn places(&self) -> Result<Vec<Place>> {
        places(&self.dir)
    }

    pub(super) fn add_place(&self, place: Place) -> Result<()> {
        let mut places = self.places()?;
        places.retain(|known| known.file != place.file);
        places.push(place);
        let text = serde_json::to_string_pretty(&places).unwrap_or_default();
        write_whole(&self.dir.join(PLACES), text.as_bytes())
    }

    /// Writes the ledger anew, here and beside every backup whose folder can be reached now.
    pub(super) fn renew_ledgers(&self) -> Result<()> {
        let ledger = self.ledger()?;
        write_whole(&self.dir.join(LEDGER), &ledger)?;
        for place in self.places()? {
            if place.file.exists() {
                write_whole(&ledger_of(&place.file), &ledger)?;
            }
        }
        Ok(())
    }

    /// Renews the ledgers where the one here is older than the office log: the program was stopped before it could.
    pub(super) fn catch_up_ledgers(&self) -> Result<()> {
        let path = self.dir.join(LEDGER);
        let known = if path.exists() { Ledger::read(&path, &self.keys.card)?.newest } else { 0 };
        if known < self.notebook.authority()?.newest().0 { self.renew_ledgers() } else { Ok(()) }
    }

    /// A backup that came back may have to come back once more: from now on its ledger is renewed with the others. Not where it
    /// cannot be written, nor where one stands that knows more than this office or cannot be read. Says whether it is.
    pub(super) fn adopt_backup(&self, file: &Path, made_ms: u64) -> Result<bool> {
        let file = std::path::absolute(file).unwrap_or_else(|_| file.to_owned());
        if self.places()?.iter().any(|place| place.file == file) {
            return Ok(true);
        }
        let (path, known) = (ledger_of(&file), self.notebook.authority()?.newest().0);
        let knows_more = || Ledger::read(&path, &self.keys.card).map_or(true, |ledger| ledger.newest > known);
        if (path.exists() && knows_more()) || self.write_ledger(&file).is_err() {
            return Ok(false);
        }
        self.add_place(Place { file, made_ms, off_machine: false })?;
        Ok(true)
    }

    pub(super) fn write_ledger(&self, beside: &Path) -> Result<()> {
        write_whole(&ledger_of(beside), &self.ledger()?)
    }

    /// The backups whose ledgers are older than the office log or cannot be reached: their places.
    ///
    /// # Errors
    /// Of the list of backups.
    pub fn backups_behind(&self) -> Result<Vec<PathBuf>> {
        let newest = self.notebook.authority()?.newest().0;
        let mut behind = Vec::new();
        for place in self.places()? {
            let ledger = Ledger::read(&ledger_of(&place.file), &self.keys.card);
            if ledger.map_or(true, |l| l.newest < newest || l.card.serial < self.keys.card.serial) {
                behind.push(place.file);
            }
        }
        Ok(behind)
    }

    /// This office went back to an earlier state: nothing counts as safe, and phones are asked to offer again.
    pub(super) fn begin_again(&self) -> Result<()> {
        self.notebook.forget_safe()?;
        if fault::is(Fault::RestoredKeepsLife) {
            return Ok(());
        }
        self.begin_epoch()
    }

    pub(super) fn begin_epoch(&self) -> Result<()> {
        keys::begin_epoch(&self.dir, self.notebook.epoch_seen()?, self.notebook.env()).map(drop)
    }
}

fn places(dir: &Path) -> Result<Vec<Place>> {
    match fs::read_to_string(dir.join(PLACES)) {
        Ok(text) => serde_json::from_str(&text).map_err(|_| Error::backup(Code::Schema, "the list of backups")),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(Vec::new()),
        Err(e) => Err(Error::io("reading the list of backups")(e)),
    }
}

/// Looks at every ledger within reach of the office in `dir` and takes in what is newer than the office log or the card; says
/// whether one was: then this office went back. A ledger that cannot be read stops the office: it may know of erasures.
pub(super) fn heed_ledgers(dir: &Path, notebook: &Notebook) -> Result<bool> {
    let beside = places(dir)?.into_iter().map(|place| ledger_of(&place.file));
    let mut went_back = false;
    for path in std::iter::once(dir.join(LEDGER)).chain(beside).filter(|path| path.exists()) {
        let ledger = Ledger::read(&path, &notebook.card()?)?;
        if ledger.is_ahead_of(notebook)? {
            // Another process may have said something since this one opened the notebook.
            notebook.refresh()?;
            went_back |= ledger.is_ahead_of(notebook)?;
            ledger.take_into(notebook, dir)?;
        }
    }
    Ok(went_back)
}

/// Writes a file so that it is there whole, or as it was.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> Result<()> {
    durable::write_whole(path, bytes).map_err(Error::io("writing the erasure ledger"))
}
