//! Making a bundle: everything since the last receipt, text first, then photos, small ones first.

use std::{
    fs::File,
    io::{Read, Seek, SeekFrom},
    path::Path,
};

use super::{
    control::{Frames, MANIFEST, SEGMENT},
    envelope::{Envelope, Sort},
    manifest::{BlobEntry, LogEntry, Manifest},
    parts::{BLOB, CONTROL, MAX_BUNDLE, MAX_CONTROL, MAX_PARTS, PartsWriter, header},
    seal::{seal, seal_key_id},
    take_in::MAX_UNSIGNED,
};
use crate::{
    error::{Error, Result},
    ids::Hash32,
    job::Job,
    notebook::{BlobRow, Notebook},
};

/// Plain bytes of a blob part at most.
pub(super) const BLOB_PART: usize = 4 << 20;

/// What a bundle holds.
#[derive(Clone, PartialEq, Eq, Default, Debug, serde::Serialize)]
pub struct BundleSummary {
    /// Changes in it.
    pub changes: u64,
    /// Photos and thumbnails in it.
    pub photos: u64,
    /// Its size in bytes.
    pub bytes: u64,
    /// Changes that did not fit: make another bundle after the office's reply. Of the log of a lost key all of it goes in one
    /// bundle or none; more than some seventy thousand changes of it stay here.
    pub left: u64,
    /// Photos and thumbnails that were in no bundle yet and did not fit: make another bundle, it begins with these.
    pub photos_left: u64,
    /// The office that can open it.
    pub to_office: String,
}

impl Notebook {
    /// Writes a sealed, signed bundle of everything that no receipt covers yet. The file appears whole or not at all.
    ///
    /// # Errors
    /// [`Error::NotEnrolled`]; [`Error::Cancelled`]; `NO_SPACE`; of the file system.
    pub fn make_bundle(&self, out: &Path, job: &Job) -> Result<BundleSummary> {
        self.make_bundle_with(out, job, true)
    }

    /// As [`Notebook::make_bundle`], the text alone: for a slow connection or a small stick. Photos stay offered.
    ///
    /// # Errors
    /// As [`Notebook::make_bundle`].
    pub fn make_text_bundle(&self, out: &Path, job: &Job) -> Result<BundleSummary> {
        self.make_bundle_with(out, job, false)
    }

    fn make_bundle_with(&self, out: &Path, job: &Job, with_photos: bool) -> Result<BundleSummary> {
        let card = self.card()?;
        let recipients = [card.seal.as_str(), card.recovery.as_str()];
        let mut blobs = if with_photos { self.blobs_to_offer()? } else { Vec::new() };
        let left_behind = blobs.split_off(fitting(&blobs, Room::BESIDE_TEXT));
        let mut summary = BundleSummary {
            photos_left: left_behind.iter().filter(|blob| !blob.handed).count() as u64,
            to_office: card.name.clone(),
            ..BundleSummary::default()
        };

        let mut frames = Frames::new()?;
        let mut manifest = Manifest {
            made_ms: self.env().now_ms(),
            app: concat!("dooryard ", env!("CARGO_PKG_VERSION")).into(),
            receipt: self.newest_receipt()?,
            ..Manifest::default()
        };
        for blob in &blobs {
            manifest.blobs.push(self.entry(blob)?);
        }
        let former = self.former_text(&mut manifest.logs, &mut summary)?;
        let mut handed = manifest.logs.clone();
        let mut segments = Vec::new();
        let device = self.device();
        for state in self.own_logs()?.into_iter().filter(|state| state.log.device == device) {
            let mut entry = LogEntry { log: state.log, from: 0, to: 0, tip: state.tip };
            let mut after = state.received_to;
            while let Some(segment) = self.segment_after(&state.log, after)? {
                if entry.from == 0 {
                    entry.from = segment.from();
                }
                (after, entry.to) = (segment.to(), segment.to());
                segments.push(segment);
            }
            manifest.logs.push(entry);
        }
        frames.push(MANIFEST, &manifest.to_cbor())?;
        former.iter().try_for_each(|bytes| frames.push(SEGMENT, bytes))?;
        let mut left = 0;
        for segment in segments {
            let bytes = segment.to_cbor();
            if left > 0 || !frames.has_room(bytes.len())? {
                left += segment.changes.len() as u64;
                continue;
            }
            summary.changes += segment.changes.len() as u64;
            frames.push(SEGMENT, &bytes)?;
        }
        summary.left += left;
        if left == 0 {
            handed.clone_from(&manifest.logs);
        }

        let mut writer = PartsWriter::create(out)?;
        writer.part(CONTROL, &self.seal_to_office(frames, &recipients)?)?;
        let total = blobs.iter().map(|b| b.size).sum();
        let mut done = 0;
        job.step(done, total)?;
        for blob in &blobs {
            self.write_blob(&mut writer, blob, &recipients)?;
            summary.photos += 1;
            done += blob.size;
            job.step(done, total)?;
        }
        summary.bytes = writer.finish()?;
        self.mark_handed(&handed, &blobs)?;
        Ok(summary)
    }

    /// The segments of the logs of lost keys, in their wire form, with what the manifest says of them. The signature that closes such
    /// a log is good for the whole of it only: what does not fit, or is more than the office holds until it comes to the signature,
    /// stays.
    fn former_text(&self, entries: &mut Vec<LogEntry>, summary: &mut BundleSummary) -> Result<Vec<Vec<u8>>> {
        let (mut text, mut packed) = (Vec::new(), Frames::new()?);
        let device = self.device();
        for state in self.own_logs()?.into_iter().filter(|state| state.log.device != device) {
            let segments = self.former_segments(&state)?;
            let (Some(first), Some(last)) = (segments.first(), segments.last()) else { continue };
            let changes: u64 = segments.iter().map(|segment| segment.changes.len() as u64).sum();
            let entry = LogEntry { log: state.log, from: first.from(), to: last.to(), tip: state.tip };
            let frames: Vec<Vec<u8>> = segments.iter().map(crate::log::Segment::to_cbor).collect();
            let unsigned: usize = frames.iter().rev().skip(1).map(Vec::len).sum();
            let mut fits = unsigned <= MAX_UNSIGNED;
            for frame in &frames {
                fits = fits && packed.has_room(frame.len())?;
                if fits {
                    packed.push(SEGMENT, frame)?;
                }
            }
            if !fits {
                summary.left += changes;
                continue;
            }
            summary.changes += changes;
            entries.push(entry);
            text.extend(frames);
        }
        Ok(text)
    }

    fn seal_to_office(&self, frames: Frames, recipients: &[&str]) -> Result<Vec<u8>> {
        let (office, from, cert, key) = self.sender()?;
        let envelope = Envelope {
            sort: Sort::Bundle,
            header: header().to_vec(),
            office,
            to_key: seal_key_id(recipients[0]),
            from,
            to: from,
            cert,
            bundle: self.env().random(),
            number: 0,
            raw_len: 0,
            packed_len: 0,
            packed_hash: Hash32::ZERO,
            ahead: self.ask()?.map_or_else(|| Ok(Vec::new()), |ask| ask.to_bytes())?,
        };
        frames.seal(envelope, &key, recipients)
    }

    fn entry(&self, blob: &BlobRow) -> Result<BlobEntry> {
        let mut file = self.open_blob(blob)?;
        let mut parts = Vec::new();
        for_each_part(&mut file, |_, bytes| {
            parts.push(Hash32::of(bytes));
            Ok(())
        })?;
        Ok(BlobEntry { id: blob.id, size: blob.size, parts })
    }

    fn write_blob(&self, writer: &mut PartsWriter, blob: &BlobRow, recipients: &[&str]) -> Result<()> {
        let mut file = self.open_blob(blob)?;
        for_each_part(&mut file, |offset, bytes| {
            let sealed = seal(recipients, |w| {
                w.write_all(&blob.id.0)?;
                w.write_all(&offset.to_be_bytes())?;
                w.write_all(bytes)
            })?;
            writer.part(BLOB, &sealed)
        })
    }

    fn open_blob(&self, blob: &BlobRow) -> Result<File> {
        File::open(self.blob_path(&blob.id)).map_err(Error::io("reading a photo"))
    }
}

/// What photos may take of a bundle.
#[derive(Clone, Copy)]
struct Room {
    bytes: u64,
    parts: u64,
}

impl Room {
    /// All but the text, the header and the end.
    const BESIDE_TEXT: Self = Self { bytes: MAX_BUNDLE - MAX_CONTROL - (64 << 10), parts: MAX_PARTS as u64 - 2 };
}

/// How many of these photos, in their order, fit into a room. Sealing adds less than a kilobyte a part and one byte in 4,096.
fn fitting(blobs: &[BlobRow], mut room: Room) -> usize {
    let fits = |blob: &&BlobRow| {
        let parts = blob.size / BLOB_PART as u64 + 1;
        let bytes = blob.size + blob.size / 4_096 + parts * 1_024;
        let fits = bytes <= room.bytes && parts <= room.parts;
        if fits {
            (room.bytes, room.parts) = (room.bytes - bytes, room.parts - parts);
        }
        fits
    };
    blobs.iter().take_while(fits).count()
}

fn for_each_part(file: &mut File, mut each: impl FnMut(u64, &[u8]) -> Result<()>) -> Result<()> {
    let what = || Error::io("reading a photo");
    file.seek(SeekFrom::Start(0)).map_err(what())?;
    let (mut offset, mut buffer) = (0, Vec::with_capacity(BLOB_PART));
    loop {
        buffer.clear();
        Read::take(&mut *file, BLOB_PART as u64).read_to_end(&mut buffer).map_err(what())?;
        if buffer.is_empty() && offset > 0 {
            return Ok(());
        }
        each(offset, &buffer)?;
        offset += buffer.len() as u64;
        if buffer.len() < BLOB_PART {
            return Ok(());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::BlobId;

    #[test]
    fn photos_go_in_up_to_the_limits_of_a_bundle_and_in_their_order() {
        let of = |sizes: &[u64]| -> Vec<BlobRow> {
            sizes.iter().map(|size| BlobRow { id: BlobId([0; 33]), size: *size, handed: false }).collect()
        };
        let room = Room { bytes: 10_000, parts: 3 };
        assert_eq!(fitting(&of(&[3_000, 3_000]), room), 2);
        assert_eq!(fitting(&of(&[3_000, 3_000, 3_000]), room), 2, "what sealing adds counts");
        assert_eq!(fitting(&of(&[1, 1, 1, 1]), room), 3, "parts count");
        assert_eq!(fitting(&of(&[20_000, 1]), room), 0, "none jumps the queue");
        let whole = of(&vec![32 << 20; 200]);
        let most = fitting(&whole, Room::BESIDE_TEXT);
        assert!((most as u64) << 25 < MAX_BUNDLE && (most as u64 + 1) << 25 > MAX_BUNDLE - (16 << 20), "{most}");
    }
}
