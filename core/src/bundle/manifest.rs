//! The manifest: what is in the bundle, and how far the sender's logs go.

use super::make::BLOB_PART;
use crate::{
    cbor::{self, Reader},
    error::Result,
    ids::{BlobId, Hash32, LogId},
    photo,
};

/// One log that the sender holds.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LogEntry {
    /// The log.
    pub log: LogId,
    /// First change in this bundle; 0 when none.
    pub from: u64,
    /// Last change in this bundle; 0 when none.
    pub to: u64,
    /// The newest change that the sender holds: what lies between is still to come.
    pub tip: u64,
}

/// One photo or thumbnail in the bundle.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BlobEntry {
    /// Its content address.
    pub id: BlobId,
    /// Its bytes.
    pub size: u64,
    /// BLAKE3 of each plain part of 4 MiB.
    pub parts: Vec<Hash32>,
}

impl BlobEntry {
    /// Whether a photo may be of this size, and is cut into as many parts as that takes.
    pub(super) fn is_possible(&self) -> bool {
        let parts = self.size.div_ceil(BLOB_PART as u64).max(1);
        self.size <= photo::MAX_BYTES as u64 && self.parts.len() as u64 == parts
    }
}

/// The first frame of every bundle.
#[derive(Clone, PartialEq, Eq, Default, Debug)]
pub struct Manifest {
    /// When it was made, by the sender's clock, milliseconds since 1970.
    pub made_ms: u64,
    /// Version of the program that made it.
    pub app: String,
    /// The newest receipt of the office, verbatim; empty when none.
    pub receipt: Vec<u8>,
    /// The sender's logs.
    pub logs: Vec<LogEntry>,
    /// Photos and thumbnails.
    pub blobs: Vec<BlobEntry>,
}

impl Manifest {
    /// The wire form.
    pub fn to_cbor(&self) -> Vec<u8> {
        cbor::encode(|w| {
            w.array(5)?.u64(self.made_ms)?.str(&self.app)?.bytes(&self.receipt)?;
            w.array(self.logs.len() as u64)?;
            for l in &self.logs {
                w.array(4)?.bytes(&l.log.to_bytes())?.u64(l.from)?.u64(l.to)?.u64(l.tip)?;
            }
            w.array(self.blobs.len() as u64)?;
            for b in &self.blobs {
                w.array(3)?.bytes(&b.id.0)?.u64(b.size)?.array(b.parts.len() as u64)?;
                b.parts.iter().try_for_each(|p| w.bytes(&p.0).map(drop))?;
            }
            Ok(())
        })
    }

    /// Reads the wire form.
    ///
    /// # Errors
    /// `SCHEMA`.
    pub fn from_cbor(bytes: &[u8]) -> Result<Self> {
        let r = &mut Reader::new(bytes)?;
        r.array_of(5)?;
        let mut manifest =
            Self { made_ms: r.uint()?, app: r.text()?.to_owned(), receipt: r.bytes()?.to_vec(), ..Self::default() };
        for _ in 0..r.array()? {
            r.array_of(4)?;
            let log = LogId::from_slice(r.bytes()?)?;
            manifest.logs.push(LogEntry { log, from: r.uint()?, to: r.uint()?, tip: r.uint()? });
        }
        for _ in 0..r.array()? {
            r.array_of(3)?;
            let (id, size) = (BlobId::from_slice(r.bytes()?)?, r.uint()?);
            let n = r.array()?;
            let parts = (0..n).map(|_| Hash32::from_slice(r.bytes()?)).collect::<Result<_>>()?;
            manifest.blobs.push(BlobEntry { id, size, parts });
        }
        Ok(manifest)
    }
}
