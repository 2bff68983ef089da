//! Backup of a notebook with its photos, and restore into a folder whose database is gone.
//!
//! ```text
//! entries = HEAD [sort, office16, signing key(32), made_ms], IMAGE (the database), BLOB* (name: its content address)
//! ```
//! A phone's backup is sealed to its own key and to the office's recovery key, and leaves out private and sealed values
//! that the office holds safely. The incarnation is not in it: a restored notebook begins a log of its own, so that nothing
//! it writes later is mistaken for what was written before.

use std::{fs, path::Path};

use super::{
    blobs,
    identity::DeviceKeys,
    image::Image,
    open::{Notebook, database, forget_incarnation, key_file},
    secrets::{OwnerOnlyFile, Secrets},
    unpack::{Unpacked, photos_of},
};
use crate::{
    archive::Writer,
    bundle::Opener,
    cbor::{self, Reader, malformed},
    clock::Env,
    error::{Code, Error, Result},
    ids::OfficeId,
    job::Job,
};

/// Entry: what the backup is.
pub(super) const HEAD: u8 = 1;
/// Entry: a copy of the database.
pub(super) const IMAGE: u8 = 2;
/// Entry: a photo or thumbnail.
pub(super) const BLOB: u8 = 3;

/// Whose backup it is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum BackupSort {
    /// Of one device.
    Notebook = 1,
    /// Of an office, with its keys.
    Office = 2,
}

/// The first entry of a backup.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BackupHead {
    /// Whose backup it is.
    pub sort: BackupSort,
    /// The office; zeros when the device belonged to none.
    pub office: OfficeId,
    /// The key that signs the backup: the device's, or the office's.
    pub key: [u8; 32],
    /// When it was made, by the clock of its maker, milliseconds since 1970.
    pub made_ms: u64,
}

impl BackupHead {
    /// Adds it as the first entry.
    ///
    /// # Errors
    /// Of the file system.
    pub fn write(&self, writer: &mut Writer) -> Result<()> {
        let bytes = cbor::encode(|w| {
            w.array(4)?.u8(self.sort as u8)?.bytes(&self.office.0)?.bytes(&self.key)?.u64(self.made_ms)?;
            Ok(())
        });
        writer.small(HEAD, b"", &bytes)
    }

    pub(super) fn read(bytes: &[u8]) -> Result<Self> {
        let r = &mut Reader::new(bytes)?;
        r.array_of(4)?;
        let sort = match r.uint()? {
            1 => BackupSort::Notebook,
            2 => BackupSort::Office,
            _ => return Err(malformed("a backup of an unknown sort")),
        };
        let office = OfficeId::from_slice(r.bytes()?)?;
        let key = r.bytes()?.try_into().map_err(|_| malformed("a key of another length"))?;
        Ok(Self { sort, office, key, made_ms: r.uint()? })
    }
}

/// What a backup holds.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug, serde::Serialize)]
pub struct BackedUp {
    /// Photos and thumbnails in it.
    pub photos: u64,
    /// Bytes of the file.
    pub bytes: u64,
}

impl Notebook {
    /// Writes a backup with photos that this device's key opens, and the office's recovery key where it belongs to an office. The
    /// file appears whole, read back once, or not at all.
    ///
    /// # Errors
    /// [`Error::Cancelled`]; `NO_SPACE`; of SQLite or the file system.
    pub fn back_up(&self, to: &Path, job: &Job) -> Result<BackedUp> {
        let (keys, card) = {
            let inner = self.lock();
            (inner.keys.clone(), inner.belonging().ok().map(|office| office.card.clone()))
        };
        let own = keys.seal.to_public().to_string();
        let recipients: Vec<&str> =
            std::iter::once(own.as_str()).chain(card.as_ref().map(|c| c.recovery.as_str())).collect();
        let office = card.as_ref().map_or(OfficeId([0; 16]), super::identity::Card::office);
        let key = keys.signing.public();
        let mut writer = Writer::create(to, &recipients)?;
        BackupHead { sort: BackupSort::Notebook, office, key, made_ms: self.env.now_ms() }.write(&mut writer)?;
        let image = self.image(true)?;
        let photos = self.write_backup(&mut writer, &image, job)?;
        drop(image);
        let unplaced = writer.finish(&keys.signing, &office)?;
        Unpacked::check(unplaced.path(), &Opener::of(&keys.seal))?;
        Ok(BackedUp { photos, bytes: unplaced.place()? })
    }

    /// Adds the image and every photo to a backup; returns how many photos.
    pub(super) fn write_backup(&self, writer: &mut Writer, image: &Image, job: &Job) -> Result<u64> {
        let reading = || Error::io("reading what is backed up");
        let mut copy = fs::File::open(image.path()).map_err(reading())?;
        let size = copy.metadata().map_err(reading())?.len();
        writer.entry(IMAGE, b"", size, &mut copy)?;
        let held = photos_of(image.path())?;
        let total = held.len() as u64;
        let mut written = 0;
        for (at, id) in (1..).zip(&held) {
            match fs::File::open(blobs::path_of(&self.photos(), id)) {
                Ok(mut photo) => {
                    let size = photo.metadata().map_err(reading())?.len();
                    writer.entry(BLOB, &id.0, size, &mut photo)?;
                    written += 1;
                }
                // Erased since the image was taken.
                Err(e) if e.kind() == std::io::ErrorKind::NotFound && !self.holds_blob(id)? => {}
                Err(e) => return Err(reading()(e)),
            }
            job.step(at, total)?;
        }
        Ok(written)
    }

    /// Puts a backup into a notebook's folder, whose database must be gone, and opens it under a new incarnation.
    ///
    /// # Errors
    /// [`Error::NotFound`] when the key is not in the folder; `SCHEMA` when there is a database or the file is no backup;
    /// `NOT_FOR_US` when another device made it; `CUT`, `BAD_SIGNATURE`, [`Error::NewerDatabase`]: nothing was changed.
    pub fn restore_backup(dir: &Path, backup: &Path, env: Env, job: &Job) -> Result<Self> {
        Self::restore_backup_with(dir, backup, env, job, &OwnerOnlyFile)
    }

    /// As [`Notebook::restore_backup`], with a key that the platform unwraps.
    ///
    /// # Errors
    /// As [`Notebook::restore_backup`]; of the platform.
    pub fn restore_backup_with(dir: &Path, backup: &Path, env: Env, job: &Job, secrets: &dyn Secrets) -> Result<Self> {
        let path = database(dir);
        if path.exists() {
            return Err(Error::backup(Code::Schema, "there is a notebook in this folder; nothing was replaced"));
        }
        if !key_file(dir).exists() {
            return Err(Error::NotFound("the key of a notebook in this folder".into()));
        }
        let keys = DeviceKeys::read(&key_file(dir), secrets)?;
        let opener = Opener::of(&keys.seal);
        let unpacked = Unpacked::of(dir, backup, &opener)?;
        if unpacked.head.sort != BackupSort::Notebook || unpacked.head.key != keys.signing.public() {
            return Err(Error::backup(Code::NotForUs, "a backup of another notebook"));
        }
        unpacked.place(dir, backup, &opener, job)?;
        Self::open_with(dir, env, secrets)
    }
}

impl Unpacked {
    /// Makes this backup the notebook of a folder: photos first, then the database, under an incarnation of its own.
    ///
    /// # Errors
    /// `SCHEMA` when there is a database; of the file system.
    pub fn place(self, dir: &Path, backup: &Path, opener: &Opener, job: &Job) -> Result<()> {
        let path = database(dir);
        if path.exists() {
            return Err(Error::backup(Code::Schema, "there is a notebook in this folder; nothing was replaced"));
        }
        let photos = dir.join("photos");
        self.each_photo(backup, opener, job, &mut |id, body| blobs::put_expected(&photos, body, id).map(drop))?;
        forget_incarnation(dir)?;
        self.into_place(&path)
    }
}
