//! Reading one's own data back: all of it is looked at before the first value is written.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs::File,
    io::{BufReader, Read},
    path::Path,
};

use serde::Deserialize;
use serde_json::{Map, Value as Json};
use zip::{CompressionMethod, ZipArchive, read::ZipFile};

use super::{FORMAT, PHOTOS, READMES, RECORDS, TABLES};
use crate::{
    error::{Code, Error, Result},
    ids::{BlobId, RecordId},
    job::Job,
    notebook::Notebook,
    photo,
    record::{Kind, Role, Type, fields_of, parse_fields},
};

/// Entries at most.
const MAX_ENTRIES: usize = 20_000;
/// Bytes of `records.json` at most, unpacked.
const MAX_RECORDS: u64 = 256 << 20;

/// What was brought in.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug, serde::Serialize)]
pub struct Imported {
    /// Records of which something was written.
    pub records: u64,
    /// Values written.
    pub values: u64,
    /// Values that stand here already, or stood here and were changed since.
    pub here: u64,
    /// Values that this notebook's role may not write.
    pub not_yours: u64,
    /// Records that stay out, because something of them was erased.
    pub erased: u64,
    /// Photos and thumbnails that were not here.
    pub photos: u64,
}

#[derive(Deserialize)]
struct Whole {
    format: String,
    records: Vec<Kept>,
}

#[derive(Deserialize)]
struct Kept {
    id: String,
    kind: String,
    hidden: bool,
    fields: Map<String, Json>,
}

/// A record that was checked.
struct Checked {
    id: RecordId,
    kind: Kind,
    hidden: bool,
    fields: Map<String, Json>,
}

/// Brings what [`super::export`] wrote into a notebook, as new changes of its device. A value that stands here, or stood
/// here before, is not written again: bringing the same file in twice changes nothing.
///
/// # Errors
/// `SCHEMA`, `BOMB`, `TOO_BIG`, `PART_HASH`, `CUT`, [`Error::Invalid`]: nothing was changed;
/// [`Error::Cancelled`]; of the stores: bring it in again.
pub fn import(notebook: &Notebook, file: &Path, job: &Job) -> Result<Imported> {
    let (role, _) = notebook.role()?;
    let mut zip = open(file)?;
    let names = check_names(&mut zip)?;
    let mut imported = Imported::default();
    let (records, all_named) = read_records(&mut zip, notebook, role, &mut imported)?;
    let named: BTreeSet<BlobId> = records.iter().flat_map(|r| photos_named(r.kind, &r.fields)).collect();
    for (id, at) in &names {
        if !all_named.contains(id) {
            return Err(wrong("a photo that no record names"));
        }
        let mut hasher = blake3::Hasher::new();
        std::io::copy(&mut limited(&mut zip, *at, photo::MAX_BYTES as u64)?, &mut hasher).map_err(unpacking)?;
        if BlobId::from_hash(hasher.finalize()) != *id {
            return Err(Error::backup(Code::PartHash, "a photo in one's own data"));
        }
    }
    let total = (names.len() + records.len()) as u64;
    let mut done = 0;
    for (id, at) in names.iter().filter(|(id, _)| named.contains(id)) {
        let new = notebook.adopt_blob(id, &mut limited(&mut zip, *at, photo::MAX_BYTES as u64)?)?;
        imported.photos += u64::from(new);
        done += 1;
        job.step(done, total)?;
    }
    for record in records {
        write(notebook, record, &mut imported)?;
        done += 1;
        job.step(done.min(total), total)?;
    }
    notebook.refresh()?;
    Ok(imported)
}

/// Whether a zip file looks like one's own data: it is opened, and nothing of it is unpacked.
///
/// # Errors
/// Of the file system.
pub fn is_own_data(file: &Path) -> Result<bool> {
    match open(file) {
        Ok(zip) => Ok(zip.index_for_name(RECORDS).is_some()),
        Err(Error::Backup { .. }) => Ok(false),
        Err(e) => Err(e),
    }
}

type Zip = ZipArchive<BufReader<File>>;

fn wrong(what: &str) -> Error {
    Error::backup(Code::Schema, what)
}

fn unpacking(_: std::io::Error) -> Error {
    Error::backup(Code::Cut, "one's own data")
}

fn open(file: &Path) -> Result<Zip> {
    let source = File::open(file).map_err(Error::io("reading one's own data"))?;
    ZipArchive::new(BufReader::new(source)).map_err(|_| Error::backup(Code::Cut, "one's own data"))
}

/// Every entry is one that the export writes: no folder, no path, no link, nothing twice. Returns photos with their places.
fn check_names(zip: &mut Zip) -> Result<BTreeMap<BlobId, usize>> {
    if zip.len() > MAX_ENTRIES {
        return Err(Error::backup(Code::TooBig, "too many files in it"));
    }
    let (mut photos, mut seen) = (BTreeMap::new(), BTreeSet::new());
    for at in 0..zip.len() {
        let entry = zip.by_index_raw(at).map_err(|_| Error::backup(Code::Cut, "one's own data"))?;
        let name = entry.name().map_err(|_| wrong("a name that is no text"))?.into_owned();
        let plain = entry.is_file() && !entry.encrypted();
        let packed = matches!(entry.compression(), CompressionMethod::Stored | CompressionMethod::Deflated);
        let table = name.strip_prefix(TABLES).and_then(|name| name.strip_suffix(".csv"));
        let photo = name.strip_prefix(PHOTOS).and_then(|name| {
            let id = name.strip_suffix(".jpg").or_else(|| name.strip_suffix(".png"))?;
            id.parse::<BlobId>().ok()
        });
        let known = name == RECORDS
            || READMES.iter().any(|(readme, _)| name == *readme)
            || table.is_some_and(|kind| kind.parse::<Kind>().is_ok());
        if !plain || !packed || !(known || photo.is_some()) || !seen.insert(name) {
            return Err(wrong("a file in it that does not belong there"));
        }
        if let Some(id) = photo
            && photos.insert(id, at).is_some()
        {
            return Err(wrong("a photo that stands in it twice"));
        }
    }
    if seen.contains(RECORDS) { Ok(photos) } else { Err(wrong("no records in it")) }
}

/// An entry, unpacked to at most `most` bytes: one byte more is a bomb.
fn limited(zip: &mut Zip, at: usize, most: u64) -> Result<Limited<'_>> {
    let entry = zip.by_index(at).map_err(|_| Error::backup(Code::Cut, "one's own data"))?;
    if entry.size() > most {
        return Err(Error::backup(Code::Bomb, "one's own data"));
    }
    Ok(Limited { entry, left: most })
}

struct Limited<'z> {
    entry: ZipFile<'z, BufReader<File>>,
    left: u64,
}

impl Read for Limited<'_> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        let n = self.entry.read(into)?;
        self.left = self.left.checked_sub(n as u64).ok_or_else(|| std::io::Error::other("more than it may hold"))?;
        Ok(n)
    }
}

/// The records to write, and the photos that any record names.
fn read_records(
    zip: &mut Zip,
    notebook: &Notebook,
    role: Role,
    imported: &mut Imported,
) -> Result<(Vec<Checked>, BTreeSet<BlobId>)> {
    let at = zip.index_for_name(RECORDS).ok_or_else(|| wrong("no records in it"))?;
    let mut text = Vec::new();
    limited(zip, at, MAX_RECORDS)?.read_to_end(&mut text).map_err(unpacking)?;
    let whole: Whole = serde_json::from_slice(&text).map_err(|_| wrong("its records"))?;
    if whole.format != FORMAT {
        return Err(Error::backup(Code::TooNew, "records of another form"));
    }
    let authority = notebook.authority()?;
    let (mut checked, mut ids, mut named) = (Vec::new(), BTreeSet::new(), BTreeSet::new());
    for kept in whole.records {
        let (id, kind): (RecordId, Kind) =
            (kept.id.parse().map_err(|_| wrong("a record's number"))?, kept.kind.parse().map_err(Error::of_backup)?);
        let of_another_kind = notebook.show(id).is_ok_and(|here| here.kind != kind);
        if of_another_kind || !ids.insert(id) {
            return Err(wrong("two records of one number"));
        }
        named.extend(photos_named(kind, &kept.fields));
        if authority.generation(&id) > 0 {
            imported.erased += 1;
            continue;
        }
        let all = kept.fields.len();
        let fields: Map<String, Json> =
            kept.fields.into_iter().filter(|(name, _)| may_write(kind, role, name)).collect();
        imported.not_yours += (all - fields.len()) as u64;
        parse_fields(kind, role, &fields)?;
        checked.push(Checked { id, kind, hidden: kept.hidden, fields });
    }
    Ok((checked, named))
}

/// Unknown names stay in, for the check to refuse.
fn may_write(kind: Kind, role: Role, name: &str) -> bool {
    fields_of(kind).iter().find(|f| f.name == name).is_none_or(|f| f.writers.has(role))
}

fn photos_named(kind: Kind, fields: &Map<String, Json>) -> Vec<BlobId> {
    let blobs = fields_of(kind).iter().filter(|f| f.ty == Type::Blob);
    blobs.filter_map(|f| fields.get(f.name)?.as_str()?.parse().ok()).collect()
}

fn write(notebook: &Notebook, record: Checked, imported: &mut Imported) -> Result<()> {
    let Checked { id, kind, hidden, fields } = record;
    let history = notebook.history(id)?;
    let known = notebook.show(id).is_ok();
    let stood = |name: &str, value: &Json| {
        let saved = history.iter().any(|save| save.wrote.iter().any(|(n, v)| n == name && v.as_ref() == Some(value)));
        // What the office's reply shows here counts as standing here.
        saved || notebook.show(id).is_ok_and(|here| here.get(name) == Some(value))
    };
    let all = fields.len();
    let new: Map<String, Json> = fields.into_iter().filter(|(name, value)| !stood(name, value)).collect();
    imported.here += (all - new.len()) as u64;
    // A hand-over of a sample is written once.
    if known && (kind == Kind::Custody || new.is_empty()) {
        return Ok(());
    }
    imported.values += new.len() as u64;
    imported.records += 1;
    notebook.save(kind, Some(id), &new)?;
    if hidden && !known {
        notebook.delete(id)?;
    }
    Ok(())
}
