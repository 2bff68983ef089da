//! Reading a backup: first all of it, without using any of it; then the database, then the photos.

use std::{fs, io::Read, path::Path};

use rusqlite::Connection;

use super::{
    backup::{BLOB, BackupHead, HEAD, IMAGE},
    identity::Card,
    schema,
    scratch::Scratch,
    store::Rows,
};
use crate::{
    archive::{self, Seal},
    bundle::Opener,
    error::{Code, Error, Result},
    ids::BlobId,
    job::Job,
    log::load_authority,
};

/// Bytes of a head at most.
const MAX_HEAD: u64 = 1 << 10;

/// A backup that was read from end to end and whose signature holds; its database stands beside the notebook's place.
pub struct Unpacked {
    /// Whose backup it is.
    pub head: BackupHead,
    image: Scratch,
}

impl Unpacked {
    /// Reads a backup and checks its end; the database comes out into `dir`.
    ///
    /// # Errors
    /// `NOT_FOR_US`, `CUT`, `SCHEMA`, `BAD_SIGNATURE`, `PART_HASH`; [`Error::NewerDatabase`]; `NO_SPACE`.
    pub fn of(dir: &Path, backup: &Path, opener: &Opener) -> Result<Self> {
        let image = Scratch::new(dir)?;
        let head = read(backup, opener, Some(image.path()))?;
        // An older database is brought to the newest form here, not in its place.
        schema::open_whole(image.path())?;
        Ok(Self { head, image })
    }

    /// Reads a backup and checks its end and every photo in it; keeps nothing.
    ///
    /// # Errors
    /// As [`Unpacked::of`].
    pub fn check(backup: &Path, opener: &Opener) -> Result<BackupHead> {
        read(backup, opener, None)
    }

    /// Place of the newest statement of the office log in it.
    ///
    /// # Errors
    /// `BAD_SIGNATURE` when a statement is not the office's; of SQLite.
    pub fn newest_statement(&self, card: &Card) -> Result<u64> {
        let conn = Connection::open(self.image.path())?;
        Ok(load_authority(&mut Rows::new(&conn), card.authority())?.newest().0)
    }

    /// The database that came out.
    pub(super) fn image(&self) -> &Path {
        self.image.path()
    }

    /// Hands every photo of the backup to `keep`.
    pub(super) fn each_photo(
        &self,
        backup: &Path,
        opener: &Opener,
        job: &Job,
        keep: &mut dyn FnMut(&BlobId, &mut dyn Read) -> Result<()>,
    ) -> Result<()> {
        let total = photos_of(self.image.path())?.len() as u64;
        let mut done = 0;
        archive::read(backup, opener, &mut |kind, name, body| {
            if kind == BLOB {
                keep(&BlobId::from_slice(name)?, body)?;
                done += 1;
                job.step(done.min(total), total)?;
            }
            Ok(())
        })
        .map(drop)
    }

    /// Makes the database durable under its name.
    pub(super) fn into_place(self, path: &Path) -> Result<()> {
        self.image.into_place(path)
    }
}

/// Photos whose bytes a database says are held beside it.
pub(super) fn photos_of(image: &Path) -> Result<Vec<BlobId>> {
    let conn = Connection::open(image)?;
    let mut query = conn.prepare("SELECT id FROM blob WHERE held = 1 ORDER BY id")?;
    Ok(query.query_map([], |row| row.get(0).map(BlobId))?.collect::<rusqlite::Result<_>>()?)
}

fn read(backup: &Path, opener: &Opener, image: Option<&Path>) -> Result<BackupHead> {
    let (mut head, mut images) = (None, 0);
    let seal: Seal = archive::read(backup, opener, &mut |kind, name, body| {
        match kind {
            HEAD => {
                let mut bytes = Vec::new();
                body.take(MAX_HEAD).read_to_end(&mut bytes).map_err(Error::io("reading the backup"))?;
                head = Some(BackupHead::read(&bytes)?);
            }
            IMAGE => {
                images += 1;
                if let Some(path) = image {
                    let what = || Error::io("taking the notebook out of the backup");
                    let mut file = fs::OpenOptions::new().write(true).truncate(true).open(path).map_err(what())?;
                    std::io::copy(body, &mut file).and_then(|_| file.sync_all()).map_err(what())?;
                }
            }
            BLOB => {
                let mut hasher = blake3::Hasher::new();
                std::io::copy(body, &mut hasher).map_err(Error::io("reading the backup"))?;
                if BlobId::from_hash(hasher.finalize()) != BlobId::from_slice(name)? {
                    return Err(Error::backup(Code::PartHash, "a photo in the backup"));
                }
            }
            _ => {}
        }
        Ok(())
    })?;
    let head = head.filter(|_| images == 1).ok_or_else(|| Error::backup(Code::Schema, "no backup of a notebook"))?;
    seal.check(&head.office, &head.key)?;
    Ok(head)
}
