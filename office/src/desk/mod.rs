//! The desk: an office's keys, its notebook, and what only an office does: enrol devices, take bundles in, reply, erase,
//! correct clocks, admit and refuse.
//!
//! ```text
//! office.key     signing and sealing keys, the root and recovery keys until they are put away (mode 0600)
//! office.card    a copy of the public card                office.key.next  new keys until their card is in force
//! notebook/      the office's own notebook, the same code as on a phone
//! backups.json   where its backups stand                        erasures.ledger   the office log, signed
//! quarantine/    sealed files that could not be taken in, each with its reason
//! invitations/   codes and who came with them          waiting/       sealed bundles of phones nobody has admitted yet
//! originals/     bundles as they came, for 30 days; in no backup
//! index.db       what lists are answered from; derived, in no backup
//! scratch/       photos of several parts while they are put together; empty between two take-ins
//! arriving/      files on their way in or out at the page; empty when none is
//! people.db      the accounts of the office page
//! *.geojson, *.pmtiles    the county's own lines and base map, which a person put there
//! ```

mod accounts_file;
mod admit;
mod arriving;
mod backup;
pub(crate) mod county_files;
mod devices;
mod erased_words;
mod erasures;
mod invitations;
mod kept_files;
mod keys;
mod originals;
mod public_ids;
mod quarantine;
mod replies;
mod restore;
mod room;
mod rotate;
mod take_in;
mod waiting;

use std::path::{Path, PathBuf};

pub use admit::Admitted;
pub use backup::OfficeBackup;
pub use devices::{DeviceHeld, DeviceRow};
use dooryard_core::{
    Code, Error, Result,
    bundle::{Epoch, Opener},
    clock::Env,
    durable,
    ids::{DeviceId, Hash32, LogId, RecordId},
    log::{Body, Cert},
    notebook::{Card, Notebook, Record, write_answer},
    record::{Role, fields_of},
};
use erased_words::ErasedWords;
pub use erasures::Place;
pub use invitations::{Asked, Standing};
use keys::OfficeKeys;
pub use originals::ORIGINAL_DAYS;
use originals::photos_of;
pub use quarantine::Quarantined;
pub use replies::Told;
pub use restore::{LedgerChoice, Restored, recovery_key};
pub use take_in::{Outcome, Taken};
pub use waiting::{WAITING_LIMIT, WaitingFile};

use crate::index::Index;

/// What an erasure took beside the records, and what it leaves to a person.
#[derive(Clone, Copy, Default, PartialEq, Eq, Debug)]
pub struct Erased {
    /// Saved views of the office page that went, since a word of theirs stood in what was erased and nowhere else.
    pub views: usize,
    /// Sealed files kept here that name an erased record: of the quarantine, and of phones that wait to be admitted.
    pub to_decide: usize,
}

/// A county office on one machine.
pub struct Office {
    dir: PathBuf,
    keys: OfficeKeys,
    notebook: Notebook,
}

impl Office {
    /// Makes a new office in `dir`.
    ///
    /// # Errors
    /// When there is one already; of the file system.
    pub fn create(dir: &Path, name: &str, env: Env) -> Result<Self> {
        durable::make_folders(dir).map_err(Error::io("making the office's folder"))?;
        let keys = OfficeKeys::create(dir, name, &env)?;
        let notebook = Notebook::create(&dir.join("notebook"), env)?;
        // The office's own notebook is the first device of its log.
        let request = dooryard_core::notebook::Request::read(&notebook.enrolment_request())?;
        let statement = dooryard_core::log::Statement {
            seq: 1,
            prev: Hash32::ZERO,
            body: Body::Cert(Cert {
                key: request.key,
                seal: request.seal,
                role: Role::Office,
                label: "Office".into(),
                seq: 1,
            }),
        };
        let (signed, _) = statement.sign(&keys.signing, &keys.card.office());
        notebook.enrol(&write_answer(&keys.signed_card, &[signed]))?;
        Self::ready(dir, keys, notebook)
    }

    /// Opens the office in `dir`.
    ///
    /// # Errors
    /// [`Error::NotFound`]; `KEY_LOST` when its keys are gone; as [`Notebook::open`].
    pub fn open(dir: &Path, env: Env) -> Result<Self> {
        let notebook = open_notebook(dir, env)?;
        let keys = OfficeKeys::read(dir, &notebook)?;
        Self::ready(dir, keys, notebook)
    }

    fn ready(dir: &Path, keys: OfficeKeys, notebook: Notebook) -> Result<Self> {
        let office = Self { dir: dir.to_owned(), keys, notebook };
        for folder in ["quarantine", "scratch"] {
            durable::make_folders(&dir.join(folder)).map_err(Error::io("making the office's folder"))?;
        }
        office.sweep()?;
        office.sweep_arriving(std::time::SystemTime::now())?;
        // What was erased since goes again before anything is served.
        if erasures::heed_ledgers(dir, &office.notebook)? || restore::is_under_way(dir) {
            office.begin_again()?;
            restore::is_done(dir)?;
        }
        // Also what an erasure that was stopped half way left there.
        Index::heed(dir, &office.notebook)?;
        office.heed_originals()?;
        office.let_old_originals_go(std::time::SystemTime::now())?;
        // A ledger can know of newer keys than the folder has.
        if office.notebook.card()?.key != office.keys.card.key {
            return Err(Error::refused(Code::KeyLost, "office.key is older than the office's card"));
        }
        office.catch_up_ledgers()?;
        Ok(office)
    }

    /// The office's own notebook: all that was merged, and what the desk itself writes.
    pub fn notebook(&self) -> &Notebook {
        &self.notebook
    }

    /// The folder it stands in.
    pub fn folder(&self) -> &Path {
        &self.dir
    }

    /// Its public card.
    pub fn card(&self) -> &Card {
        &self.keys.card
    }

    fn opener(&self) -> Opener {
        self.keys.opener(self.notebook.env().now_ms())
    }

    /// Whether another program gave the office new keys since this one was opened.
    fn have_keys_changed(&self) -> bool {
        self.notebook.refresh().is_ok() && self.notebook.card().is_ok_and(|card| card.key != self.keys.signing.public())
    }

    /// A signature that does not hold, of an office whose keys were changed meanwhile, is no fault of a phone.
    fn or_keys_changed(&self, e: Error) -> Error {
        if e.code() == Some(Code::BadSignature) && self.have_keys_changed() {
            return Error::refused(Code::KeysChanged, "the office's signature");
        }
        e
    }

    /// The life it is in. Phones offer again what no receipt of this life proves.
    ///
    /// # Errors
    /// Of the key file.
    pub fn epoch(&self) -> Result<Epoch> {
        keys::epoch(&self.dir)
    }

    /// Says something in the office log, and renews the ledgers that are kept of it.
    fn say(&self, body: impl FnOnce(u64) -> Body) -> Result<Vec<u8>> {
        let signed = self.notebook.say(&self.keys.signing, body).map_err(|e| self.or_keys_changed(e))?;
        self.renew_ledgers()?;
        Ok(signed)
    }

    /// Erases a record's words here, on every phone with its next reply, and in every copy that comes later.
    ///
    /// # Errors
    /// [`Error::NotFound`]; of the stores.
    pub fn erase(&self, record: RecordId) -> Result<Erased> {
        self.erase_each(&[(record, Vec::new())])
    }

    /// As [`Office::erase`], only these fields of it, by name.
    ///
    /// # Errors
    /// [`Error::NotFound`], also when the record has no field of such a name; of the stores.
    pub fn erase_fields(&self, record: RecordId, fields: &[&str]) -> Result<Erased> {
        self.erase_each(&[(record, fields.to_vec())])
    }

    /// Erases fields of several records; of one without any, the whole. What is kept beside the notebook is looked through once.
    ///
    /// # Errors
    /// As [`Office::erase_fields`]: what was erased before stays erased.
    pub fn erase_each(&self, what: &[(RecordId, Vec<&str>)]) -> Result<Erased> {
        let (mut all, mut words) = (Vec::new(), ErasedWords::default());
        let mut find = |(id, names): &(RecordId, Vec<&str>)| -> Result<()> {
            let record = self.notebook.show(*id)?;
            let find = |name: &&str| {
                let field = fields_of(record.kind).iter().find(|f| f.name == *name);
                field.map(|f| f.id).ok_or_else(|| Error::NotFound(format!("a field {name} of {}", record.kind)))
            };
            let fields = names.iter().map(find).collect::<Result<Vec<_>>>()?;
            words.add(&self.notebook, &record, &fields)?;
            all.push((record, fields));
            Ok(())
        };
        // What comes before one that is not here is erased all the same.
        let found = what.iter().try_for_each(&mut find);
        let views = words.forget_views(&self.dir, &self.notebook)?;
        let (mut records, mut photos) = (Vec::new(), Vec::new());
        let mut erase = |(record, fields): &(Record, Vec<u32>)| {
            records.push(record.id);
            photos.extend(photos_of(record));
            self.notebook.erase(&self.keys.signing, record.id, fields).map_err(|e| self.or_keys_changed(e))
        };
        let erased = all.iter().try_for_each(&mut erase);
        Index::heed(&self.dir, &self.notebook)?;
        self.forget_originals(&records, &photos)?;
        self.sweep_arriving(std::time::SystemTime::now())?;
        self.renew_ledgers()?;
        found.and(erased)?;
        Ok(Erased { views, to_decide: self.files_to_decide()? })
    }

    /// How many sealed files are kept here that name a record of which something was erased: a person decides on each.
    ///
    /// # Errors
    /// Of the file system.
    pub fn files_to_decide(&self) -> Result<usize> {
        let kept = self.quarantined()?.iter().filter(|kept| kept.holds_erased).count();
        Ok(kept + self.waiting()?.iter().filter(|waiting| waiting.holds_erased).count())
    }

    /// Corrects the claimed times of a range of changes: `skew_ms` is taken off.
    ///
    /// # Errors
    /// Of the stores.
    pub fn correct_clock(&self, log: LogId, from: u64, to: u64, skew_ms: i64) -> Result<()> {
        self.say(|_| Body::Clock { log, from, to, skew_ms }).map(drop)
    }

    /// Cuts a device off: of its logs only what is held in unbroken runs now stays admitted.
    ///
    /// # Errors
    /// Of the stores.
    pub fn revoke(&self, device: DeviceId) -> Result<()> {
        let tips = self.notebook.runs_of(&device)?.into_iter().map(|(_, run)| run.tip).collect();
        self.say(|_| Body::Revoke { device, tips }).map(drop)
    }

    /// Lets a change count whatever else is said.
    ///
    /// # Errors
    /// Of the stores.
    pub fn admit(&self, record: RecordId, change: Hash32) -> Result<()> {
        self.say(|_| Body::Admit { rec: record, change }).map(drop)
    }

    /// Makes a change not count.
    ///
    /// # Errors
    /// Of the stores.
    pub fn refuse(&self, record: RecordId, change: Hash32) -> Result<()> {
        self.say(|_| Body::Refuse { rec: record, change }).map(drop)
    }

    /// Lets a device hold the private fields of a record.
    ///
    /// # Errors
    /// Of the stores.
    pub fn assign(&self, record: RecordId, device: DeviceId) -> Result<()> {
        self.say(|_| Body::Assign { rec: record, device }).map(drop)
    }
}

fn open_notebook(dir: &Path, env: Env) -> Result<Notebook> {
    let folder = dir.join("notebook");
    if !folder.exists() {
        return Err(Error::NotFound("an office in this folder".into()));
    }
    Notebook::open(&folder, env)
}
