//! The file as `schemas/wire.cddl` lays it out, read and written here anew: nothing of the core's own bundle code is used, so that
//! a test compares two readings of one description. Sealing is age's, packing is zstd's.

use std::io::{Read, Write};

use age::x25519::{Identity, Recipient};
use anyhow::{Context, Result, anyhow, bail, ensure};
use ciborium::Value;

/// Bytes before the first part.
pub const HEADER: usize = 12;
/// Type of the part that holds the text.
pub const TEXT: u8 = 1;
/// Type of a part that holds a piece of a photo.
pub const PHOTO: u8 = 2;

/// A file as anyone sees it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Outer {
    /// The first twelve bytes.
    pub header: Vec<u8>,
    /// Type and sealed bytes of each part.
    pub parts: Vec<(u8, Vec<u8>)>,
}

impl Outer {
    /// Reads a whole file.
    ///
    /// # Errors
    /// When it is not laid out as described.
    pub fn read(bytes: &[u8]) -> Result<Self> {
        let mut rest = bytes;
        let mut take = |n: usize| -> Result<&[u8]> {
            let (taken, left) = rest.split_at_checked(n).context("the file ends early")?;
            rest = left;
            Ok(taken)
        };
        let header = take(HEADER)?.to_vec();
        ensure!(header.starts_with(b"\x89YRD\r\n\x1a\n"), "another beginning");
        let (mut parts, mut ids) = (Vec::new(), blake3::Hasher::new());
        loop {
            let kind = take(1)?[0];
            if kind == 0xff {
                let count = u32::from_le_bytes(take(4)?.try_into()?);
                ensure!(count as usize == parts.len(), "another count of parts");
                ensure!(take(32)? == ids.finalize().as_bytes(), "another hash of ids");
                ensure!(take(1).is_err(), "bytes after the end");
                return Ok(Self { header, parts });
            }
            let length = u64::from_le_bytes(take(8)?.try_into()?);
            let id = take(32)?;
            ids.update(id);
            let sealed = take(usize::try_from(length)?)?;
            ensure!(blake3::hash(sealed).as_bytes() == id, "another id");
            parts.push((kind, sealed.to_vec()));
        }
    }

    /// Writes the file.
    pub fn write(&self) -> Vec<u8> {
        let (mut bytes, mut ids) = (self.header.clone(), blake3::Hasher::new());
        for (kind, sealed) in &self.parts {
            let id = blake3::hash(sealed);
            ids.update(id.as_bytes());
            bytes.push(*kind);
            bytes.extend((sealed.len() as u64).to_le_bytes());
            bytes.extend(id.as_bytes());
            bytes.extend(sealed);
        }
        bytes.push(0xff);
        bytes.extend((self.parts.len() as u32).to_le_bytes());
        bytes.extend(ids.finalize().as_bytes());
        bytes
    }

    /// Its text part, opened.
    ///
    /// # Errors
    /// When the first part is another, or `key` does not open it.
    pub fn text(&self, key: &Identity) -> Result<Text> {
        match self.parts.first() {
            Some((TEXT, sealed)) => Text::read(&unseal(sealed, key)?),
            _ => bail!("the first part is not the text"),
        }
    }
}

/// What stands in the text part.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Text {
    /// The signed envelope.
    pub envelope: Vec<u8>,
    /// The frames, packed.
    pub packed: Vec<u8>,
}

impl Text {
    /// Reads the plain bytes of the part.
    ///
    /// # Errors
    /// When they are not laid out as described.
    pub fn read(plain: &[u8]) -> Result<Self> {
        let (length, rest) = plain.split_at_checked(2).context("no length")?;
        let length = u16::from_be_bytes(length.try_into()?);
        let (envelope, rest) = rest.split_at_checked(usize::from(length)).context("no envelope")?;
        let packed_len = payload(envelope)?.as_array().and_then(|e| e.get(10)?.as_integer()).context("no length")?;
        let (packed, zeros) = rest.split_at_checked(usize::try_from(i128::from(packed_len))?).context("cut")?;
        ensure!(zeros.iter().all(|b| *b == 0) && plain.len().is_multiple_of(4096), "padded in another way");
        Ok(Self { envelope: envelope.to_vec(), packed: packed.to_vec() })
    }

    /// The plain bytes of the part.
    pub fn write(&self) -> Vec<u8> {
        let mut plain = (self.envelope.len() as u16).to_be_bytes().to_vec();
        plain.extend(&self.envelope);
        plain.extend(&self.packed);
        plain.resize(plain.len().next_multiple_of(4096), 0);
        plain
    }

    /// Type and bytes of each frame.
    ///
    /// # Errors
    /// When they are not packed as described.
    pub fn frames(&self) -> Result<Vec<(u8, Vec<u8>)>> {
        let raw = zstd::decode_all(&self.packed[..])?;
        let (mut rest, mut frames) = (&raw[..], Vec::new());
        while let Some((head, left)) = rest.split_at_checked(5) {
            let length = u32::from_be_bytes(head[1..].try_into()?);
            let (bytes, left) = left.split_at_checked(usize::try_from(length)?).context("a frame cut short")?;
            frames.push((head[0], bytes.to_vec()));
            rest = left;
        }
        ensure!(rest.is_empty(), "bytes after the last frame");
        Ok(frames)
    }
}

/// Frames one after the other, not packed yet.
pub fn raw_frames(frames: &[(u8, Vec<u8>)]) -> Vec<u8> {
    let mut raw = Vec::new();
    for (kind, bytes) in frames {
        raw.push(*kind);
        raw.extend((bytes.len() as u32).to_be_bytes());
        raw.extend(bytes);
    }
    raw
}

/// What a signature was made over.
///
/// # Errors
/// When it is no COSE_Sign1.
pub fn payload(signed: &[u8]) -> Result<Value> {
    let signed: Value = ciborium::from_reader(signed)?;
    let payload = signed.as_array().and_then(|s| s.get(2)?.as_bytes()).context("no payload")?;
    Ok(ciborium::from_reader(&payload[..])?)
}

/// A value as CBOR.
///
/// # Errors
/// None in memory.
pub fn cbor(value: &Value) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    ciborium::into_writer(value, &mut bytes)?;
    Ok(bytes)
}

/// Opens a sealed part.
///
/// # Errors
/// When it is not sealed to `key`.
pub fn unseal(sealed: &[u8], key: &Identity) -> Result<Vec<u8>> {
    let mut plain = Vec::new();
    age::Decryptor::new(sealed)?.decrypt([key as &dyn age::Identity].into_iter())?.read_to_end(&mut plain)?;
    Ok(plain)
}

/// Seals plain bytes to these recipients.
///
/// # Errors
/// When one of them is none.
pub fn seal(plain: &[u8], recipients: &[&str]) -> Result<Vec<u8>> {
    let recipients: Vec<Recipient> =
        recipients.iter().map(|r| r.parse().map_err(|e: &str| anyhow!(e))).collect::<Result<_>>()?;
    let encryptor = age::Encryptor::with_recipients(recipients.iter().map(|r| r as &dyn age::Recipient))?;
    let mut sealed = Vec::new();
    let mut writer = encryptor.wrap_output(&mut sealed)?;
    writer.write_all(plain)?;
    writer.finish()?;
    Ok(sealed)
}
