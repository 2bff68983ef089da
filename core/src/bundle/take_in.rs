//! Taking a bundle in at the office: checked from the outside in, merged segment by segment, repeatable at any point.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::Path,
};

use serde::{Deserialize, Serialize};

use super::{
    assembly::Assembly,
    control::{FrameReader, MANIFEST, SEGMENT, read_packed},
    envelope::Envelope,
    manifest::{BlobEntry, Manifest},
    opened::Opened,
    parts::{BLOB, Part},
    receipt::{Epoch, Receipt},
    seal::Opener,
};
use crate::{
    error::{Code, Error, Result},
    ids::{DeviceId, Hash32, LogId, RecordId},
    job::Job,
    log::{Authority, Segment},
    notebook::Notebook,
};

/// Bytes of unsigned segments of a bundle that may wait at once for the signatures that close them: what the log of a lost key
/// may bring, some seventy thousand changes.
pub(super) const MAX_UNSIGNED: usize = 16 << 20;

/// Records that a report names at most: a journal is read whole.
const MOST_NAMED: usize = 2_000;

/// Milliseconds of a day.
const DAY_MS: u64 = 86_400_000;

/// What one bundle brought. No words of anyone stand in it.
#[derive(Clone, Default, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct TakeIn {
    /// Label of the sender, such as `Scout 3`; its device id when it is not known.
    pub from: String,
    /// The sender's device id, in hex; empty in reports of before this was written down.
    #[serde(default)]
    pub device: String,
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
    /// The first 2,000 of those records: first those that were not here before, then those that were.
    #[serde(default)]
    pub records: Vec<String>,
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
    /// Photos that it offers and that are not kept: their bytes did not come, or nothing here names them.
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
    Opened::open(opener, &notebook.office()?, file)?.take_in(notebook, scratch, job)
}

impl Opened<'_> {
    /// Takes it in; `scratch` is a folder for photos of several parts while they are put together.
    ///
    /// # Errors
    /// As [`take_in`].
    pub fn take_in(mut self, notebook: &Notebook, scratch: &Path, job: &Job) -> Result<TakeIn> {
        let mut done = self.length;
        let total = done + self.parts.left;
        let authority = notebook.authority()?;
        let mut report = TakeIn::default();
        let manifest = self.take_text(notebook, &authority, &mut report)?;
        job.step(done, total)?;

        let (possible, others): (Vec<_>, Vec<_>) = manifest.blobs.into_iter().partition(BlobEntry::is_possible);
        report.parts_damaged += others.len() as u64;
        let expected = notebook.expect_blobs(possible)?;
        let mut photos = Assembly::new(notebook, scratch, expected.wanted);
        loop {
            match self.parts.next() {
                Ok(Some(Part::Sealed { kind: BLOB, bytes })) => {
                    done += bytes.len() as u64;
                    match photos.take(self.opener, &bytes) {
                        Ok(complete) => report.photos += u64::from(complete),
                        Err(e) if e.code().is_some_and(|c| c != Code::NoSpace) => report.parts_damaged += 1,
                        Err(e) => return Err(e),
                    }
                }
                Ok(Some(Part::Sealed { .. })) => {}
                Ok(Some(Part::Damaged)) => report.parts_damaged += 1,
                Ok(None) => break,
                // The text is in already: what follows a part over a limit is as good as missing.
                Err(Error::Refused { code: Code::TooBig, .. }) => {
                    report.parts_damaged += 1;
                    break;
                }
                Err(e) => return Err(e),
            }
            job.step(done.min(total), total)?;
        }
        report.photos_missing = photos.missing() + expected.unnamed;
        report.cut = !self.parts.whole;
        Ok(report)
    }

    /// Checks and merges the text; returns its manifest.
    fn take_text(&mut self, notebook: &Notebook, authority: &Authority, report: &mut TakeIn) -> Result<Manifest> {
        let (office, claimed) = (authority.office(), &self.claimed);
        let cert = authority.cert_named(&claimed.from, &claimed.cert);
        let cert = cert.ok_or_else(|| Error::refused(Code::UnknownDevice, format!("device {}", claimed.from)))?;
        let envelope = Envelope::verify(&self.signed, &office, &cert.key)?;
        if envelope.header != self.parts.header {
            return Err(Error::refused(Code::BadSignature, "another file header than was signed"));
        }
        report.device = envelope.from.to_string();
        report.from = authority.cert_of(&envelope.from).map_or_else(|| cert.label.clone(), |(_, c)| c.label.clone());
        let packed = read_packed(&mut self.plain, &envelope)?;
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
        let mut merge = Merge {
            notebook,
            authority,
            sender: envelope.from,
            unsigned: BTreeMap::new(),
            unsigned_bytes: 0,
            new: BTreeSet::new(),
            changed: BTreeSet::new(),
        };
        while let Some((kind, bytes)) = frames.next()? {
            if kind == SEGMENT {
                match merge.take(bytes, report) {
                    Err(e) if e.code().is_some_and(|c| c != Code::NoSpace) => {
                        let code = e.code().map_or("SCHEMA", Code::name);
                        *report.segments_refused.entry(code.to_owned()).or_default() += 1;
                    }
                    other => other?,
                }
            }
        }
        let left: usize = merge.unsigned.values().map(|held| held.segments.len()).sum();
        if left > 0 {
            *report.segments_refused.entry(Code::BadSignature.name().to_owned()).or_default() += left as u64;
        }
        if let Ok(receipt) = Receipt::verify(&manifest.receipt, &office, &notebook.card()?.key) {
            report.went_back = !notebook.holds_all_of(&receipt)?;
            report.epoch = Some(receipt.epoch);
        }
        report.new_records = merge.new.len() as u64;
        report.changed_records = merge.changed.difference(&merge.new).count() as u64;
        let named = merge.new.iter().chain(merge.changed.difference(&merge.new));
        report.records = named.take(MOST_NAMED).map(RecordId::to_string).collect();
        Ok(manifest)
    }
}

/// Segments on their way into the notebook.
struct Merge<'a> {
    notebook: &'a Notebook,
    authority: &'a Authority,
    /// Who signed the bundle: it may bring segments of others, which they signed.
    sender: DeviceId,
    /// Segments whose closing signature comes with a later one of their log.
    unsigned: BTreeMap<LogId, Unsigned>,
    unsigned_bytes: usize,
    new: BTreeSet<RecordId>,
    changed: BTreeSet<RecordId>,
}

/// Segments in a row without a signature, in their wire form: read, they would take several times as much.
struct Unsigned {
    from: u64,
    tip: Hash32,
    segments: Vec<Vec<u8>>,
}

impl Unsigned {
    /// Whether a segment goes on where these end. Nothing binds a lost change to those before it.
    fn goes_on(&self, segment: &Segment) -> bool {
        self.tip == segment.prev && segment.lost.is_empty()
    }
}

impl Merge<'_> {
    fn take(&mut self, bytes: Vec<u8>, report: &mut TakeIn) -> Result<()> {
        let office = self.authority.office();
        let segment = Segment::from_cbor(&bytes, &office)?;
        let log = segment.log;
        let (_, cert) = self
            .authority
            .cert_of(&log.device)
            .ok_or_else(|| Error::refused(Code::UnknownDevice, format!("device {}", log.device)))?;
        if segment.signature.is_empty() {
            let waiting = self.unsigned_bytes + bytes.len();
            if waiting > MAX_UNSIGNED || self.unsigned.get(&log).is_some_and(|held| !held.goes_on(&segment)) {
                return Err(Error::refused(Code::BadSignature, "too many segments without a signature"));
            }
            let (from, tip) = (segment.from(), segment.tip());
            let held = self.unsigned.entry(log).or_insert(Unsigned { from, tip, segments: Vec::new() });
            held.tip = tip;
            held.segments.push(bytes);
            self.unsigned_bytes = waiting;
            return Ok(());
        }
        let tip = segment.checked_tip(&office, &cert.key)?;
        if let Some(held) = self.unsigned.remove(&log) {
            self.unsigned_bytes -= held.segments.iter().map(Vec::len).sum::<usize>();
            if !held.goes_on(&segment) || tip.from > held.from {
                return Err(Error::refused(Code::BadSignature, "a signature that does not reach back"));
            }
            for bytes in held.segments {
                self.merge(Segment::from_cbor(&bytes, &office)?, report)?;
            }
        }
        self.merge(segment, report)?;
        if log.device == self.sender {
            return Ok(());
        }
        self.notebook.note_brought(&self.sender, &log, tip.to, tip.hash)
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
