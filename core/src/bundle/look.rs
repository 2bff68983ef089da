//! Looking at a bundle from outside, without any key; and whether its text names a record.

use std::{collections::BTreeSet, path::Path};

use serde::Serialize;

use super::{
    control::{FrameReader, read_envelope, read_packed},
    envelope::{Envelope, MAX_RAW},
    parts::{BLOB, CONTROL, Part, PartsReader},
    seal::Opener,
};
use crate::{
    error::{Code, Error, Result},
    ids::{BlobId, RecordId},
};

/// What anyone can see of a bundle.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct Look {
    /// Its wire version.
    pub version: u16,
    /// Its parts in order.
    pub parts: Vec<PartLook>,
    /// Whether its end is there and right.
    pub whole: bool,
}

/// What anyone can see of a part.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct PartLook {
    /// `text`, `photo` or `unknown`.
    pub kind: &'static str,
    /// Sealed bytes.
    pub bytes: u64,
    /// Whether the bytes are the ones its address names.
    pub sound: bool,
}

/// Looks at a bundle.
///
/// # Errors
/// `BAD_MAGIC`, `TOO_NEW`, `TOO_BIG`; of the file system.
pub fn look_inside(file: &Path) -> Result<Look> {
    let mut reader = PartsReader::open(file)?;
    let version = u16::from_le_bytes([reader.header[8], reader.header[9]]);
    let mut parts = Vec::new();
    while let Some(part) = reader.next()? {
        parts.push(match part {
            Part::Sealed { kind, bytes } => {
                let kind = match kind {
                    CONTROL => "text",
                    BLOB => "photo",
                    _ => "unknown",
                };
                PartLook { kind, bytes: bytes.len() as u64, sound: true }
            }
            Part::Damaged => PartLook { kind: "unknown", bytes: 0, sound: false },
        });
    }
    Ok(Look { version, parts, whole: reader.whole })
}

/// Whether a bundle's text names one of these records or photos: `None` when it cannot be opened or read with these keys.
/// Nothing in it is trusted or used.
///
/// # Errors
/// Of the file system.
pub fn names_any(file: &Path, opener: &Opener, records: &[RecordId], photos: &[BlobId]) -> Result<Option<bool>> {
    let records: BTreeSet<&[u8]> = records.iter().map(|rec| &rec.0[..]).collect();
    let photos: BTreeSet<&[u8]> = photos.iter().map(|photo| &photo.0[..]).collect();
    let names = |frame: &[u8], length: usize, any: &BTreeSet<&[u8]>| {
        !any.is_empty() && frame.windows(length).any(|bytes| any.contains(bytes))
    };
    let look = || -> Result<bool> {
        let Some(Part::Sealed { kind: CONTROL, bytes }) = PartsReader::open(file)?.next()? else {
            return Err(Error::refused(Code::Schema, "no text"));
        };
        let mut plain = opener.open(&bytes[..])?;
        let envelope = Envelope::unchecked(&read_envelope(&mut plain)?)?;
        if envelope.packed_len > bytes.len() as u64 || envelope.raw_len > MAX_RAW {
            return Err(Error::refused(Code::TooBig, "more text than a bundle may hold"));
        }
        let packed = read_packed(&mut plain, &envelope)?;
        let mut frames = FrameReader::new(&packed, envelope.raw_len)?;
        while let Some((_, frame)) = frames.next()? {
            if names(&frame, RecordId::LEN, &records) || names(&frame, BlobId::LEN, &photos) {
                return Ok(true);
            }
        }
        Ok(false)
    };
    match look() {
        Ok(names) => Ok(Some(names)),
        Err(Error::Refused { .. }) => Ok(None),
        Err(other) => Err(other),
    }
}
