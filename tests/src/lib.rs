//! A small office with a few phones in a temporary folder, for tests that go all the way; and [`sim`], which plays
//! random histories of them.

pub mod sim;

pub mod hand;
pub mod wire;

mod small;

use std::path::{Path, PathBuf};

use dooryard_core::{
    Result,
    clock::{Env, SetClock},
    ids::{BlobId, RecordId},
    job::Job,
    notebook::Notebook,
    record::{Kind, Role},
};
use dooryard_office::desk::{Office, Taken};
use serde_json::{Map, Value as Json};
pub use small::{DRAFT, small_notebook};

/// 1 May 2026, noon UTC.
pub const MAY_1: u64 = 1_777_636_800_000;

/// An office and its phones.
pub struct Yard {
    /// The folder that holds everything.
    pub dir: tempfile::TempDir,
    /// The clock that all of them share.
    pub clock: SetClock,
    /// The office.
    pub office: Office,
    /// The phones, `Scout 1` first.
    pub phones: Vec<Notebook>,
}

impl Yard {
    /// An office with this many scouts' phones, everything from one seed.
    ///
    /// # Errors
    /// Of the stores.
    pub fn new(seed: u64, phones: usize) -> Result<Self> {
        let dir = tempfile::tempdir().map_err(dooryard_core::Error::io("a temporary folder"))?;
        let clock = SetClock::at(MAY_1);
        let office = Office::create(&dir.path().join("office"), "Larkspur County", Env::seeded(seed, &clock))?;
        let mut yard = Self { dir, clock, office, phones: Vec::new() };
        for n in 1..=phones {
            let phone = Notebook::create(&yard.folder(n), Env::seeded(seed + n as u64, &yard.clock))?;
            yard.enrol(&phone, Role::Scout, &format!("Scout {n}"))?;
            yard.phones.push(phone);
        }
        Ok(yard)
    }

    /// The folder of a phone.
    pub fn folder(&self, n: usize) -> PathBuf {
        self.dir.path().join(format!("phone-{n}"))
    }

    /// Enrols a device by its request and the office's answer.
    ///
    /// # Errors
    /// Of the stores.
    pub fn enrol(&self, phone: &Notebook, role: Role, label: &str) -> Result<()> {
        phone.enrol(&self.office.add_device(&phone.enrolment_request(), role, label)?)
    }

    /// A path for a bundle.
    pub fn file(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    /// Makes a bundle of a phone and returns its path.
    ///
    /// # Errors
    /// Of the stores.
    pub fn bundle(&self, phone: &Notebook, name: &str) -> Result<PathBuf> {
        let path = self.file(name);
        phone.make_bundle(&path, &Job::silent())?;
        Ok(path)
    }

    /// Takes a file in at the office.
    ///
    /// # Errors
    /// Of the stores.
    pub fn take_in(&self, file: &Path) -> Result<Taken> {
        self.office.take_in(file, &Job::silent())
    }

    /// Makes the reply for a phone and lets the phone take it.
    ///
    /// # Errors
    /// Of the stores.
    pub fn reply(&self, phone: &Notebook) -> Result<dooryard_core::bundle::ReplyTaken> {
        let path = self.file("reply.yard");
        self.office.make_reply(phone.device(), &path, &Job::silent())?;
        phone.take_reply(&path, &Job::silent())
    }
}

/// Fields from a JSON object.
pub fn fields(json: Json) -> Map<String, Json> {
    match json {
        Json::Object(fields) => fields,
        other => panic!("{other} is no object"),
    }
}

/// Saves a record.
///
/// # Errors
/// Of the notebook.
pub fn save(notebook: &Notebook, kind: Kind, json: Json) -> Result<RecordId> {
    notebook.save(kind, None, &fields(json))
}

/// Saves fields of a known record.
///
/// # Errors
/// Of the notebook.
pub fn edit(notebook: &Notebook, kind: Kind, id: RecordId, json: Json) -> Result<()> {
    notebook.save(kind, Some(id), &fields(json)).map(drop)
}

/// Copies a folder with all that is in it.
///
/// # Errors
/// Of the file system.
pub fn copy_folder(from: &Path, to: &Path) -> std::io::Result<()> {
    std::fs::create_dir_all(to)?;
    for entry in std::fs::read_dir(from)? {
        let path = entry?.path();
        let target = to.join(path.file_name().unwrap_or_default());
        if path.is_dir() {
            copy_folder(&path, &target)?;
        } else {
            std::fs::copy(&path, &target)?;
        }
    }
    Ok(())
}

/// Every file below a folder in which these bytes stand.
///
/// # Errors
/// Of the file system.
pub fn files_with(folder: &Path, needle: &[u8]) -> std::io::Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            found.extend(files_with(&path, needle)?);
        } else if std::fs::read(&path)?.windows(needle.len()).any(|w| w == needle) {
            found.push(path);
        }
    }
    Ok(found)
}

/// Writes a small picture without metadata.
///
/// # Errors
/// Of the file system.
pub fn picture(path: &Path) -> std::io::Result<()> {
    let pixels = image::RgbImage::from_fn(64, 48, |x, y| image::Rgb([(x * 4) as u8, (y * 5) as u8, 90]));
    pixels.save(path).map_err(std::io::Error::other)
}

/// Takes a small picture in on a phone and returns the original's address.
///
/// # Errors
/// Of the notebook.
pub fn add_photo(yard: &Yard, phone: &Notebook) -> Result<BlobId> {
    let file = yard.file("leaf.png");
    let what = || dooryard_core::Error::io("a picture");
    picture(&file).map_err(what())?;
    let photo = phone.add_photo(&file, &fields(serde_json::json!({"part": "close_up"})))?;
    std::fs::remove_file(&file).map_err(what())?;
    phone.show(photo)?.text("image").unwrap_or_default().parse()
}
