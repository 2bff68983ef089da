//! Taking a bundle in at the office: checked from the outside in, merged segment by segment, repeatable at any point.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs::{self, File},
    io::{BufRead, Read, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
};

use serde::{Deserialize, Serialize};

use super::{
    control::{FrameReader, MANIFEST, SEGMENT, read_envelope, read_packed},
    envelope::{Envelope, Sort},
    make::BLOB_PART,
    manifest::{BlobEntry, Manifest},
    parts::{BLOB, Part, PartsReader},
    receipt::{Epoch, Receipt},
    seal::Opener,
};
use crate::{
    error::{Code, Error, Result},
    ids::{BlobId, Hash32, LogId, RecordId},
    job::Job,
    log::{Authority, Segment},
    notebook::Notebook,
};

/// Unsigned segments of one log that may wait for the signature that closes them.
const MAX_UNSIGNED: usize = 8;

/// Milliseconds of a day.
const DAY_MS: u64 = 86_400_000;

/// What one bundle brought. No words of anyone stand in it.
#[derive(Clone, Default, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct TakeIn {
    /// Label of the sender, such as `Scout 3`; its device id when it is not known.
    pub from: String,
    /// When the sender made it, milliseconds since 1970 by its own clock.
    pub made_ms: u64,
    /// New changes.
    pub new: u64,
    /// Changes that were here already.
    pub repeated: u64,
    /// Records that were not here before.
    pub new_records: u64,
    /// Records that were here and got a new change.
    pub changed_records: u64,
    /// New changes that do not count yet, by code.
    pub waiting: BTreeMap<String, u64>,
    /// Changes that their author can no longer read and reports lost.
    #[serde(default)]
    pub lost: u64,
    /// Places of a log at which two changes stand now.
    pub forks: u64,
    /// Segments that were not in the form of the wire, by code.
    pub segments_refused: BTreeMap<String, u64>,
    /// Photos and thumbnails that came.
    pub photos: u64,
    /// Photos that it names and whose bytes did not come.
    pub photos_missing: u64,
    /// Parts whose bytes were changed on the way, or that could not be opened.
    pub parts_damaged: u64,
    /// The file's end is missing.
    pub cut: bool,
    /// The sender's clock, now or in one of the changes, is more than a day ahead of this machine's.
    pub clock_ahead: bool,
    /// The sender's newest receipt names something that is not here: this office went back to an earlier state.
    #[serde(default)]
    pub went_back: bool,
    /// The epoch of that receipt.
    #[serde(skip)]
    pub epoch: Option<Epoch>,
    /// Nothing was taken in, and why.
    pub refused: Option<String>,
}

impl TakeIn {
    /// Whether anything new came.
    pub fn brought_anything(&self) -> bool {
        self.new + self.photos > 0
    }
}

/// Takes a bundle in. Everything that is merged is on disk when this returns; taking it in again changes nothing.
///
/// # Errors
/// A refusal of the whole file with its code (state unchanged); [`Error::Cancelled`], `NO_SPACE`, of the stores: take the
/// file in again.
pub fn take_in(notebook: &Notebook, opener: &Opener, scratch: &Path, file: &Path, job: &Job) -> Result<TakeIn> {
    let mut parts = PartsReader::open(file)?;
    let total = fs::metadata(file).map(|m| m.len()).unwrap_or(0);
    let header = parts.header;
    let (length, control) = parts.control("its first part")?;
    let authority = notebook.authority()?;
    let mut report = TakeIn::default();
    let manifest = take_control(notebook, opener, &authority, &header, control, &mut report)?;
    let mut done = header.len() as u64 + length;
    job.step(done, total)?;

    let wanted: BTreeSet<BlobId> = notebook.expect_blobs(&manifest.blobs)?.into_iter().collect();
    let mut assembly = Assembly { notebook, scratch, manifest: &manifest, wanted, arrived: BTreeMap::new() };
    while let Some(part) = parts.next()? {
        match part {
            Part::Sealed { kind: BLOB, bytes } => {
                done += bytes.len() as u64;
                match assembly.take(opener, &bytes) {
                    Ok(complete) => report.photos += u64::from(complete),
                    Err(e) if e.code().is_some_and(|c| c != Code::NoSpace) => report.parts_damaged += 1,
                    Err(e) => return Err(e),
                }
            }
            Part::Sealed { .. } => {}
            Part::Damaged => report.parts_damaged += 1,
        }
        job.step(done.min(total), total)?;
    }
    report.photos_missing = assembly.wanted.len() as u64;
    report.cut = !parts.whole;
    Ok(report)
}

/// Opens, checks and merges the control part; returns its manifest.
fn take_control(
    notebook: &Notebook,
    opener: &Opener,
    authority: &Authority,
    header: &[u8],
    sealed: impl BufRead,
    report: &mut TakeIn,
) -> Result<Manifest> {
    let mut plain = opener.open(sealed)?;
    let signed = read_envelope(&mut plain)?;
    let claimed = Envelope::unchecked(&signed)?;
    let office = authority.office();
    if claimed.office != office {
        return Err(Error::refused(Code::NotForUs, "a bundle made for another office"));
    }
    if claimed.sort != Sort::Bundle {
        return Err(Error::refused(Code::NotForUs, "a reply, not a bundle"));
    }
    let cert = authority.cert_named(&claimed.from, &claimed.cert);
    let cert = cert.ok_or_else(|| Error::refused(Code::UnknownDevice, format!("device {}", claimed.from)))?;
    let envelope = Envelope::verify(&signed, &office, &cert.key)?;
    if envelope.header != header {
        return Err(Error::refused(Code::BadSignature, "another file header than was signed"));
    }
    report.from = authority.cert_of(&envelope.from).map_or_else(|| cert.label.clone(), |(_, c)| c.label.clone());
    let packed = read_packed(&mut plain, &envelope)?;
    // First through all of it without writing, so that a bomb or a broken frame leaves nothing behind.
    let mut check = FrameReader::new(&packed, envelope.raw_len)?;
    while check.next()?.is_some() {}

    let mut frames = FrameReader::new(&packed, envelope.raw_len)?;
    let manifest = match frames.next()? {
        Some((MANIFEST, bytes)) => Manifest::from_cbor(&bytes)?,
        _ => return Err(Error::refused(Code::Schema, "no manifest")),
    };
    report.made_ms = manifest.made_ms;
    report.clock_ahead = manifest.made_ms > notebook.env().now_ms().saturating_add(DAY_MS);
    notebook.note_claims(&envelope.from, &manifest.logs)?;
    let mut merge =
        Merge { notebook, authority, unsigned: BTreeMap::new(), new: BTreeSet::new(), changed: BTreeSet::new() };
    while let Some((kind, bytes)) = frames.next()? {
        if kind == SEGMENT {
            match merge.take(&bytes, report) {
                Err(e) if e.code().is_some_and(|c| c != Code::NoSpace) => {
                    let code = e.code().map_or("SCHEMA", Code::name);
                    *report.segments_refused.entry(code.to_owned()).or_default() += 1;
                }
                other => other?,
            }
        }
    }
    let left: usize = merge.unsigned.values().map(Vec::len).sum();
    if left > 0 {
        *report.segments_refused.entry(Code::BadSignature.name().to_owned()).or_default() += left as u64;
    }
    if let Ok(receipt) = Receipt::verify(&manifest.receipt, &office, &notebook.card()?.key) {
        report.went_back = !notebook.holds_all_of(&receipt)?;
        report.epoch = Some(receipt.epoch);
    }
    report.new_records = merge.new.len() as u64;
    report.changed_records = merge.changed.difference(&merge.new).count() as u64;
    Ok(manifest)
}

/// Segments on their way into the notebook.
struct Merge<'a> {
    notebook: &'a Notebook,
    authority: &'a Authority,
    /// Segments whose closing signature comes with a later one of their log.
    unsigned: BTreeMap<LogId, Vec<Segment>>,
    new: BTreeSet<RecordId>,
    changed: BTreeSet<RecordId>,
}

impl Merge<'_> {
    fn take(&mut self, bytes: &[u8], report: &mut TakeIn) -> Result<()> {
        let office = self.authority.office();
        let segment = Segment::from_cbor(bytes, &office)?;
        let log = segment.log;
        if segment.signature.is_empty() {
            let held = self.unsigned.entry(log).or_default();
            // Nothing binds a lost change to those before it.
            let follows = held.last().is_none_or(|last| last.tip() == segment.prev && segment.lost.is_empty());
            if held.len() == MAX_UNSIGNED || !follows {
                return Err(Error::refused(Code::BadSignature, "too many segments without a signature"));
            }
            held.push(segment);
            return Ok(());
        }
        let (_, cert) = self
            .authority
            .cert_of(&log.device)
            .ok_or_else(|| Error::refused(Code::UnknownDevice, format!("device {}", log.device)))?;
        let tip = segment.checked_tip(&office, &cert.key)?;
        let held = self.unsigned.remove(&log).unwrap_or_default();
        let covered = held
            .last()
            .is_some_and(|last| last.tip() == segment.prev && segment.lost.is_empty() && tip.from <= held[0].from());
        if !held.is_empty() && !covered {
            return Err(Error::refused(Code::BadSignature, "a signature that does not reach back"));
        }
        for segment in held.into_iter().chain([segment]) {
            self.merge(segment, report)?;
        }
        Ok(())
    }

    fn merge(&mut self, segment: Segment, report: &mut TakeIn) -> Result<()> {
        let tomorrow = self.notebook.env().now_ms().saturating_add(DAY_MS);
        report.clock_ahead |= segment.changes.iter().any(|change| change.head.wall_ms > tomorrow);
        let got = self.notebook.take_segment(segment)?;
        report.new += got.new;
        report.repeated += got.repeated;
        report.lost += got.lost;
        report.forks += got.forks.len() as u64;
        for (_, code) in got.waiting {
            *report.waiting.entry(code.name().to_owned()).or_default() += 1;
        }
        self.new.extend(got.new_records);
        self.changed.extend(got.changed_records);
        Ok(())
    }
}

/// Photos on their way into the store. One of a single part goes straight in; larger ones are put together in `scratch`.
struct Assembly<'a> {
    notebook: &'a Notebook,
    scratch: &'a Path,
    manifest: &'a Manifest,
    wanted: BTreeSet<BlobId>,
    arrived: BTreeMap<BlobId, BTreeSet<usize>>,
}

impl Assembly<'_> {
    /// Takes one part; says whether its photo is complete and stored now.
    fn take(&mut self, opener: &Opener, sealed: &[u8]) -> Result<bool> {
        let mut plain = opener.open(sealed)?;
        let mut head = [0; BlobId::LEN + 8];
        let cut = |_| Error::refused(Code::Schema, "a photo's part");
        plain.read_exact(&mut head).map_err(cut)?;
        let id = BlobId::from_slice(&head[..BlobId::LEN])?;
        if !self.wanted.contains(&id) {
            return Ok(false);
        }
        let offset = head[BlobId::LEN..].iter().fold(0u64, |sum, byte| (sum << 8) | u64::from(*byte));
        let mut bytes = Vec::new();
        plain.take(BLOB_PART as u64 + 1).read_to_end(&mut bytes).map_err(cut)?;
        let manifest = self.manifest;
        let entry = manifest.blobs.iter().find(|entry| entry.id == id);
        let entry = entry.ok_or_else(|| Error::refused(Code::Schema, "a photo that the manifest does not name"))?;
        let at = part_at(entry, offset, &bytes)?;
        if entry.parts.len() == 1 {
            self.notebook.store_blob(&id, &mut &bytes[..])?;
            return Ok(self.wanted.remove(&id));
        }
        let path = self.scratch_path(&id);
        write_at(&path, offset, &bytes).map_err(Error::io("putting a photo together"))?;
        let arrived = self.arrived.entry(id).or_default();
        arrived.insert(at);
        if arrived.len() < entry.parts.len() {
            return Ok(false);
        }
        let mut whole = File::open(&path).map_err(Error::io("putting a photo together"))?;
        let stored = self.notebook.store_blob(&id, &mut whole);
        fs::remove_file(&path).map_err(Error::io("putting a photo together"))?;
        stored.map(|()| self.wanted.remove(&id))
    }

    fn scratch_path(&self, id: &BlobId) -> PathBuf {
        self.scratch.join(format!("{id}.part"))
    }
}

impl Drop for Assembly<'_> {
    fn drop(&mut self) {
        // Photos of which a part is missing: the phone offers them again until a receipt names them.
        for id in self.arrived.keys() {
            let _ = fs::remove_file(self.scratch_path(id));
        }
    }
}

/// The place of a part, if it is one that the signed manifest names.
fn part_at(entry: &BlobEntry, offset: u64, bytes: &[u8]) -> Result<usize> {
    let at = usize::try_from(offset / BLOB_PART as u64).unwrap_or(usize::MAX);
    let named = entry.parts.get(at).filter(|_| offset.is_multiple_of(BLOB_PART as u64));
    match named {
        Some(hash) if *hash == Hash32::of(bytes) => Ok(at),
        _ => Err(Error::refused(Code::PartHash, "a photo's part")),
    }
}

fn write_at(path: &Path, offset: u64, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = fs::OpenOptions::new().write(true).create(true).truncate(false).open(path)?;
    file.seek(SeekFrom::Start(offset))?;
    file.write_all(bytes)
}
