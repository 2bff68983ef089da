//! A pack as one signed file.
//!
//! ```text
//! file     = magic, form u16, 0 u16, length of the head u32 (little-endian), head, body
//! head     = [signature…]        CBOR; each a COSE_Sign1 (purpose "dooryard/pack") over the same manifest, in the order of
//!                                its signers
//! manifest = [id, version, created, not_after, [language…], [lowest, highest form], reviewed, length and BLAKE3 of the
//!             body, length and BLAKE3 of the content, [signer…], [key from now on…]]
//! body     = the content as JSON (schemas/pack.schema.json), packed with zstd
//! ```
//!
//! Nothing of the body is unpacked before the signatures, its length and its hash hold, and nothing of the content is
//! parsed before its own length and hash hold. The same content, keys and day give the same bytes.

mod manifest;
#[cfg(test)]
pub(in crate::key) mod tests;

pub use manifest::{Key, Manifest};

use super::{Language, Pack, Source};
use crate::{
    Code, Error, Result, cbor,
    ids::{Hash32, OfficeId},
    sign::{self, Purpose, Signing},
};
use jiff::civil::Date;
use std::{fs, io::Read, path::Path};

/// The first eight bytes of every pack file.
pub const MAGIC: [u8; 8] = *b"\x89YPK\r\n\x1a\n";
/// The form of pack files that this program writes.
pub const FILE_FORM: u16 = 1;

const HEADER: usize = 16;
/// Bytes of the head at most.
const MAX_HEAD: usize = 16 << 10;
/// Bytes of the body at most.
const MAX_PACKED: u64 = 16 << 20;
/// Bytes of the content at most.
const MAX_CONTENT: u64 = 64 << 20;
/// zstd's window at most, as a power of 2: as much as the content.
const MAX_WINDOW: u32 = 26;
const LEVEL: i32 = 19;
/// Packs belong to no office: their keys say who answers for them.
const NO_OFFICE: OfficeId = OfficeId([0; 16]);

/// A pack file whose signatures and hashes hold. Whether its keys are to be trusted is [`PackFile::check_signer`]'s to say.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PackFile {
    /// What it says of itself.
    pub manifest: Manifest,
    bytes: Vec<u8>,
    body: usize,
}

fn refused(code: Code, detail: &str) -> Error {
    Error::pack(code, detail)
}

/// The refusals of layers that know no packs, in the words for packs.
fn in_pack_words(e: Error) -> Error {
    match e {
        Error::Refused { code, detail } => Error::Pack { code, detail },
        other => other,
    }
}

impl PackFile {
    /// Makes a file of these contents, signed by every one of `signers`. `next` are the keys that count from this version
    /// on, none while nothing changes; those that are new must be among the signers.
    ///
    /// # Errors
    /// `SCHEMA` with all problems of the content, or if there is no signer; `TOO_BIG`.
    pub fn make(source: &Source, created: Date, signers: &[&Signing], next: &[Key]) -> Result<Self> {
        let pack = Pack::from_source(source.clone()).map_err(|e| Error::pack(Code::Schema, e.to_string()))?;
        let content = serde_json::to_vec(source).map_err(|e| Error::pack(Code::Schema, e.to_string()))?;
        let body = zstd::bulk::compress(&content, LEVEL).map_err(Error::io("packing the content"))?;
        let spanish = !source.es.causes.is_empty() && !source.es.characters.is_empty();
        let manifest = Manifest {
            id: pack.id,
            version: pack.version,
            created,
            not_after: pack.not_after,
            languages: Language::ALL.into_iter().filter(|l| *l == Language::En || spanish).collect(),
            core: source.pack.core,
            status: pack.status,
            packed_len: body.len() as u64,
            packed_hash: Hash32::of(&body),
            content_len: content.len() as u64,
            content_hash: Hash32::of(&content),
            signers: signers.iter().map(|s| s.public()).collect(),
            next: next.to_vec(),
        };
        let payload = manifest.to_cbor();
        let head = cbor::encode(|w| {
            w.array(signers.len() as u64)?;
            signers.iter().try_for_each(|s| w.bytes(&s.sign(Purpose::Pack, &NO_OFFICE, &payload)).map(drop))
        });
        let mut bytes = MAGIC.to_vec();
        bytes.extend(FILE_FORM.to_le_bytes());
        bytes.extend([0; 2]);
        bytes.extend(u32::try_from(head.len()).unwrap_or(u32::MAX).to_le_bytes());
        bytes.extend(head);
        bytes.extend(body);
        // Whatever could not be read again is refused here already.
        Self::from_bytes(bytes)
    }

    /// Reads a file.
    ///
    /// # Errors
    /// As [`PackFile::from_bytes`], and of the file system.
    pub fn read(path: &Path) -> Result<Self> {
        let info = fs::metadata(path).map_err(Error::io("opening the pack"))?;
        if !info.is_file() {
            return Err(refused(Code::BadMagic, "a folder, not a file"));
        }
        let most = MAX_PACKED + (HEADER + MAX_HEAD) as u64;
        if info.len() > most {
            return Err(refused(Code::TooBig, "a file larger than packs may be"));
        }
        let mut bytes = Vec::new();
        let file = fs::File::open(path).map_err(Error::io("opening the pack"))?;
        file.take(most + 1).read_to_end(&mut bytes).map_err(Error::io("reading the pack"))?;
        Self::from_bytes(bytes)
    }

    /// Verifies the bytes of a file: each signature by the key that the manifest names for it, length and hash of the body.
    ///
    /// # Errors
    /// `BAD_MAGIC`, `TOO_NEW`, `TOO_BIG`, `CUT`, `SCHEMA`, `BAD_SIGNATURE`, `PART_HASH`.
    pub fn from_bytes(bytes: Vec<u8>) -> Result<Self> {
        if bytes.len() < MAGIC.len() && MAGIC.starts_with(&bytes) && !bytes.is_empty() {
            return Err(refused(Code::Cut, "the beginning of a pack and no more"));
        }
        if !bytes.starts_with(&MAGIC) {
            return Err(refused(Code::BadMagic, "another beginning than packs have"));
        }
        let Some((header, rest)) = bytes.split_at_checked(HEADER) else {
            return Err(refused(Code::Cut, "the beginning of a pack and no more"));
        };
        let form = u16::from_le_bytes([header[8], header[9]]);
        if form > FILE_FORM {
            return Err(Error::pack(Code::TooNew, format!("form {form}, this program knows {FILE_FORM}")));
        }
        if form < FILE_FORM || header[10..12] != [0; 2] {
            return Err(refused(Code::Schema, "another form than packs have"));
        }
        let head = u32::from_le_bytes([header[12], header[13], header[14], header[15]]) as usize;
        if head > MAX_HEAD {
            return Err(refused(Code::TooBig, "a head longer than packs may have"));
        }
        let Some((head, body)) = rest.split_at_checked(head) else {
            return Err(refused(Code::Cut, "a head shorter than it says"));
        };
        let manifest = verified(head).map_err(in_pack_words)?;
        if manifest.packed_len > MAX_PACKED || manifest.content_len > MAX_CONTENT {
            return Err(refused(Code::TooBig, "content larger than packs may have"));
        }
        match (body.len() as u64).cmp(&manifest.packed_len) {
            std::cmp::Ordering::Less => return Err(refused(Code::Cut, "a body shorter than it says")),
            std::cmp::Ordering::Greater => return Err(refused(Code::Schema, "bytes after the end")),
            std::cmp::Ordering::Equal => {}
        }
        if Hash32::of(body) != manifest.packed_hash {
            return Err(refused(Code::PartHash, "the content of the pack"));
        }
        let body = bytes.len() - body.len();
        Ok(Self { manifest, bytes, body })
    }

    /// The bytes of the file.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// BLAKE3 of the bytes of the file.
    pub fn hash(&self) -> Hash32 {
        Hash32::of(&self.bytes)
    }

    /// Checks that one of these keys signed it.
    ///
    /// # Errors
    /// `UNKNOWN_DEVICE` when none did.
    pub fn check_signer(&self, trusted: &[Key]) -> Result<()> {
        if self.manifest.signers.iter().any(|k| trusted.contains(k)) {
            return Ok(());
        }
        let keys: Vec<String> = self.manifest.signers.iter().map(hex::encode).collect();
        Err(Error::pack(Code::UnknownDevice, format!("signed by {}", keys.join(" and "))))
    }

    /// The content.
    ///
    /// # Errors
    /// `TOO_NEW` when it needs another core; `BOMB`, `PART_HASH` or `SCHEMA` when it is not what the manifest says.
    pub fn source(&self) -> Result<Source> {
        let Manifest { core: (lowest, highest), content_len, content_hash, .. } = &self.manifest;
        if *lowest > Pack::FORM {
            return Err(Error::pack(
                Code::TooNew,
                format!("content of form {lowest}, this program knows {}", Pack::FORM),
            ));
        }
        if *highest < Pack::FORM {
            return Err(Error::pack(Code::Schema, format!("content of form {highest}, which is read no more")));
        }
        let content = self.unpack(*content_len)?;
        if Hash32::of(&content) != *content_hash {
            return Err(refused(Code::PartHash, "the unpacked content of the pack"));
        }
        let source: Source =
            serde_json::from_slice(&content).map_err(|e| Error::pack(Code::Schema, format!("the content: {e}")))?;
        if !self.manifest.describes(&source.pack) {
            return Err(refused(Code::Schema, "a manifest that speaks of other content"));
        }
        Ok(source)
    }

    /// The pack.
    ///
    /// # Errors
    /// As [`PackFile::source`], and `SCHEMA` with every problem of the content.
    pub fn pack(&self) -> Result<Pack> {
        let pack = Pack::from_source(self.source()?).map_err(|e| Error::pack(Code::Schema, e.to_string()))?;
        if pack.hash != self.manifest.content_hash.to_hex() {
            return Err(refused(Code::Schema, "content that is not written in its one form"));
        }
        Ok(pack)
    }

    /// Unpacks no more than it declares.
    fn unpack(&self, declared: u64) -> Result<Vec<u8>> {
        let damaged = |_| refused(Code::Schema, "a body that does not unpack");
        let mut decoder = zstd::stream::read::Decoder::with_buffer(&self.bytes[self.body..]).map_err(damaged)?;
        decoder.window_log_max(MAX_WINDOW).map_err(damaged)?;
        let mut content = Vec::new();
        decoder.take(declared + 1).read_to_end(&mut content).map_err(damaged)?;
        match (content.len() as u64).cmp(&declared) {
            std::cmp::Ordering::Equal => Ok(content),
            std::cmp::Ordering::Greater => Err(refused(Code::Bomb, "the body")),
            std::cmp::Ordering::Less => Err(refused(Code::Schema, "a body that unpacks to less than it says")),
        }
    }
}

/// The manifest of a head, once every one of its signers has been found to have signed it.
fn verified(head: &[u8]) -> Result<Manifest> {
    let r = &mut cbor::Reader::new(head)?;
    let mut signatures = Vec::new();
    for _ in 0..r.array()? {
        signatures.push(r.bytes()?);
    }
    let Some(first) = signatures.first() else { return Err(refused(Code::BadSignature, "no signature")) };
    let payload = sign::unchecked_payload(first, Purpose::Pack)?;
    let manifest = Manifest::from_cbor(&payload)?;
    if signatures.len() != manifest.signers.len() {
        return Err(refused(Code::BadSignature, "more or fewer signatures than signers"));
    }
    for (signature, key) in signatures.into_iter().zip(&manifest.signers) {
        if sign::verify(signature, Purpose::Pack, &NO_OFFICE, key)? != payload {
            return Err(refused(Code::BadSignature, "a signature over something else"));
        }
    }
    Ok(manifest)
}
