//! Writing one's own data out.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs::{self, File},
    io::{self, BufWriter, Seek, SeekFrom, Write},
    path::Path,
};

use serde_json::{Value as Json, json};
use zip::{CompressionMethod, DateTime, ZipWriter, write::SimpleFileOptions};

use super::{FORMAT, PHOTOS, READMES, RECORDS, TABLES, table::table};
use crate::{
    durable,
    error::{Error, Result},
    ids::{BlobId, RecordId},
    job::Job,
    notebook::{Notebook, Query, Record},
    record::{Kind, Type},
};

/// Records that are listed at once.
const PAGE: usize = 500;

/// What was written.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug, serde::Serialize)]
pub struct Exported {
    /// Records, deleted ones too.
    pub records: u64,
    /// Photos and thumbnails.
    pub photos: u64,
    /// Photos that a record names and whose bytes are not on this device.
    pub photos_elsewhere: u64,
    /// Bytes of the file.
    pub bytes: u64,
}

/// Writes everything a notebook shows into a zip file, which appears whole or not at all.
///
/// # Errors
/// [`Error::Cancelled`]; `NO_SPACE`; of the stores.
pub fn export(notebook: &Notebook, out: &Path, job: &Job) -> Result<Exported> {
    export_these(notebook, &all_ids(notebook)?, out, job)
}

/// The same of these records alone.
///
/// # Errors
/// As [`export`]; [`Error::NotFound`].
pub fn export_these(notebook: &Notebook, ids: &BTreeSet<RecordId>, out: &Path, job: &Job) -> Result<Exported> {
    let mut name = out.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    let temp = out.with_file_name(name);
    let written = write(notebook, ids, &temp, job);
    let placed = written.and_then(|exported| {
        durable::rename(&temp, out).map_err(writing())?;
        Ok(exported)
    });
    if placed.is_err() {
        let _ = fs::remove_file(&temp);
    }
    placed
}

fn writing() -> impl FnOnce(io::Error) -> Error {
    Error::io("writing one's own data")
}

fn zipping(e: zip::result::ZipError) -> Error {
    writing()(e.into())
}

fn write(notebook: &Notebook, ids: &BTreeSet<RecordId>, to: &Path, job: &Job) -> Result<Exported> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut zip = ZipWriter::new(Out::new(options.open(to).map_err(writing())?));
    let mut exported = Exported { records: ids.len() as u64, ..Exported::default() };
    for (name, text) in READMES {
        entry(&mut zip, name, text.as_bytes())?;
    }
    let (mut by_kind, mut named): (BTreeMap<Kind, Vec<Record>>, BTreeSet<BlobId>) = Default::default();
    let mut records = Vec::new();
    for id in ids {
        let record = notebook.show(*id)?;
        named.extend(photos_of(&record));
        records.push(record_json(notebook, &record)?);
        by_kind.entry(record.kind).or_default().push(record);
    }
    let whole = json!({ "format": FORMAT, "records": records });
    let text = serde_json::to_vec_pretty(&whole).map_err(|e| writing()(e.into()))?;
    drop((records, whole));
    entry(&mut zip, RECORDS, &text)?;
    for (kind, records) in &by_kind {
        entry(&mut zip, &format!("{TABLES}{kind}.csv"), &table(*kind, records.iter())?)?;
    }
    let total = named.len() as u64;
    for (at, id) in (1..).zip(named) {
        if notebook.holds_blob(&id)? {
            photo(&mut zip, notebook, &id)?;
            exported.photos += 1;
        } else {
            exported.photos_elsewhere += 1;
        }
        job.step(at, total)?;
    }
    let file = zip.finish().map_err(zipping)?.file.into_inner().map_err(|e| writing()(e.into_error()))?;
    file.sync_all().map_err(writing())?;
    exported.bytes = file.metadata().map_err(writing())?.len();
    Ok(exported)
}

/// The file that a zip is written to. After it failed once all else goes nowhere: a zip that is dropped tries to end itself, and
/// complains to the screen where it cannot.
struct Out {
    file: BufWriter<File>,
    at: u64,
    end: u64,
    failed: bool,
}

impl Out {
    fn new(file: File) -> Self {
        Self { file: BufWriter::new(file), at: 0, end: 0, failed: false }
    }
}

impl Write for Out {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = if self.failed { Ok(bytes.len()) } else { self.file.write(bytes) };
        let written = written.inspect_err(|_| self.failed = true)?;
        self.at += written as u64;
        self.end = self.end.max(self.at);
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        let flushed = if self.failed { Ok(()) } else { self.file.flush() };
        flushed.inspect_err(|_| self.failed = true)
    }
}

impl Seek for Out {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let at = match to {
            SeekFrom::Start(at) => Some(at),
            SeekFrom::Current(by) => self.at.checked_add_signed(by),
            SeekFrom::End(by) => self.end.checked_add_signed(by),
        };
        self.at = at.ok_or(io::ErrorKind::InvalidInput)?;
        if self.failed {
            return Ok(self.at);
        }
        self.file.seek(SeekFrom::Start(self.at)).inspect_err(|_| self.failed = true)
    }
}

fn all_ids(notebook: &Notebook) -> Result<BTreeSet<RecordId>> {
    let mut ids = BTreeSet::new();
    for page in 0.. {
        let query = Query { with_hidden: true, limit: PAGE, offset: page * PAGE, ..Query::default() };
        let rows = notebook.list(&query)?.rows;
        ids.extend(rows.iter().map(|row| row.id));
        if rows.len() < PAGE {
            break;
        }
    }
    Ok(ids)
}

fn record_json(notebook: &Notebook, record: &Record) -> Result<Json> {
    let fields: BTreeMap<&str, &Json> =
        record.fields.iter().filter_map(|f| Some((f.name.as_str(), f.shown.value.as_ref()?))).collect();
    let also: BTreeMap<&str, Vec<&Json>> = record
        .fields
        .iter()
        .filter(|f| !f.others.is_empty())
        .map(|f| (f.name.as_str(), f.others.iter().filter_map(|other| other.value.as_ref()).collect()))
        .collect();
    let history: Vec<Json> = notebook
        .history(record.id)?
        .into_iter()
        .map(|save| {
            let wrote: BTreeMap<String, Option<Json>> = save.wrote.into_iter().collect();
            json!({ "change": save.change.to_hex(), "by": save.author.label, "at_ms": save.at_ms, "wrote": wrote })
        })
        .collect();
    Ok(json!({
        "id": record.id.to_string(),
        "kind": record.kind.name(),
        "hidden": record.hidden,
        "fields": fields,
        "also": also,
        "history": history,
    }))
}

/// The photos and thumbnails that a record names.
pub(super) fn photos_of(record: &Record) -> Vec<BlobId> {
    let named = record.fields.iter().filter(|f| f.field.is_some_and(|known| known.ty == Type::Blob));
    named.filter_map(|f| f.shown.value.as_ref()?.as_str()?.parse().ok()).collect()
}

/// Packed, with no time in it: the same content gives the same bytes.
fn options(method: CompressionMethod) -> SimpleFileOptions {
    SimpleFileOptions::default()
        .compression_method(method)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o600)
}

fn entry<W: Write + Seek>(zip: &mut ZipWriter<W>, name: &str, bytes: &[u8]) -> Result<()> {
    zip.start_file(name, options(CompressionMethod::Deflated)).map_err(zipping)?;
    zip.write_all(bytes).map_err(writing())
}

fn photo<W: Write + Seek>(zip: &mut ZipWriter<W>, notebook: &Notebook, id: &BlobId) -> Result<()> {
    let mut file = File::open(notebook.blob_path(id)).map_err(Error::io("reading a photo"))?;
    let mut first = [0; 4];
    let is_png =
        io::Read::read(&mut file, &mut first).map_err(Error::io("reading a photo"))? == 4 && first == *b"\x89PNG";
    file.rewind().map_err(Error::io("reading a photo"))?;
    let name = format!("{PHOTOS}{}.{}", id.to_hex(), if is_png { "png" } else { "jpg" });
    zip.start_file(name, options(CompressionMethod::Stored)).map_err(zipping)?;
    io::copy(&mut file, zip).map(drop).map_err(writing())
}
