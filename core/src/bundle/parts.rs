//! The parts file: written in one go, read part by part with every length checked before memory is given.

use std::{
    fs::{self, File},
    io::{BufRead, BufReader, BufWriter, Read, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
};

use crate::{
    durable,
    error::{Code, Error, Result},
};

/// The first eight bytes of every bundle.
pub const MAGIC: [u8; 8] = *b"\x89YRD\r\n\x1a\n";
/// The wire version that this program writes.
pub const WIRE_VERSION: u16 = 1;

pub(super) const HEADER: usize = 12;
pub(super) const CONTROL: u8 = 1;
pub(super) const BLOB: u8 = 2;
const END: u8 = 0xff;

/// Sealed bytes of a control part at most.
pub(super) const MAX_CONTROL: u64 = 8 << 20;
/// Sealed bytes of a blob part at most: 4 MiB and what sealing adds.
pub(super) const MAX_BLOB_PART: u64 = (4 << 20) + (64 << 10);
/// Parts of a bundle at most.
pub(super) const MAX_PARTS: u32 = 10_000;
/// Bytes of a bundle at most.
pub(super) const MAX_BUNDLE: u64 = 4 << 30;

/// The header of a file of this version.
pub(super) fn header() -> [u8; HEADER] {
    let mut bytes = [0; HEADER];
    bytes[..8].copy_from_slice(&MAGIC);
    bytes[8..10].copy_from_slice(&WIRE_VERSION.to_le_bytes());
    bytes
}

/// Writes a bundle beside its place and moves it there when it is whole and on disk.
pub(super) struct PartsWriter {
    file: BufWriter<File>,
    temp: PathBuf,
    to: PathBuf,
    ids: blake3::Hasher,
    count: u32,
    pub(super) bytes: u64,
}

impl PartsWriter {
    pub(super) fn create(to: &Path) -> Result<Self> {
        let temp = to.with_extension("yard.part");
        let file = File::create(&temp).map_err(Error::io("writing the bundle"))?;
        let mut writer = Self {
            file: BufWriter::new(file),
            temp,
            to: to.to_owned(),
            ids: blake3::Hasher::new(),
            count: 0,
            bytes: 0,
        };
        writer.put(&header())?;
        Ok(writer)
    }

    fn put(&mut self, bytes: &[u8]) -> Result<()> {
        self.bytes += bytes.len() as u64;
        self.file.write_all(bytes).map_err(Error::io("writing the bundle"))
    }

    pub(super) fn part(&mut self, kind: u8, sealed: &[u8]) -> Result<()> {
        let id = blake3::hash(sealed);
        self.put(&[kind])?;
        self.put(&(sealed.len() as u64).to_le_bytes())?;
        self.put(id.as_bytes())?;
        self.put(sealed)?;
        self.ids.update(id.as_bytes());
        self.count += 1;
        Ok(())
    }

    /// Writes the end, makes the file durable and puts it in its place. Returns its size.
    pub(super) fn finish(mut self) -> Result<u64> {
        let (count, ids) = (self.count.to_le_bytes(), self.ids.finalize());
        self.put(&[END])?;
        self.put(&count)?;
        self.put(ids.as_bytes())?;
        let what = || Error::io("writing the bundle");
        self.file.flush().map_err(what())?;
        self.file.get_ref().sync_all().map_err(what())?;
        durable::rename(&self.temp, &self.to).map_err(what())?;
        Ok(self.bytes)
    }
}

impl Drop for PartsWriter {
    fn drop(&mut self) {
        // Gone already when the bundle was finished.
        let _ = fs::remove_file(&self.temp);
    }
}

/// One part as read: its sealed bytes, or why they are not the ones its address names.
pub(super) enum Part {
    Sealed { kind: u8, bytes: Vec<u8> },
    Damaged,
}

/// Reads a bundle part by part.
#[derive(Debug)]
pub(super) struct PartsReader {
    file: BufReader<File>,
    ids: blake3::Hasher,
    count: u32,
    /// Bytes of the file after what was read.
    pub(super) left: u64,
    /// Where the next part begins, when the file stands inside the first one.
    resume: Option<u64>,
    /// The twelve bytes at its beginning.
    pub(super) header: [u8; HEADER],
    /// Whether the end was met and is right.
    pub(super) whole: bool,
}

impl PartsReader {
    /// Opens a file and checks its beginning.
    ///
    /// # Errors
    /// `BAD_MAGIC` for a folder, an empty file or another kind of file; `TOO_NEW`; `TOO_BIG`; [`Error::Io`].
    pub(super) fn open(path: &Path) -> Result<Self> {
        let info = fs::metadata(path).map_err(Error::io("opening the bundle"))?;
        if !info.is_file() {
            return Err(Error::refused(Code::BadMagic, "a folder, not a file"));
        }
        if info.len() == 0 {
            return Err(Error::refused(Code::BadMagic, "an empty file"));
        }
        if info.len() > MAX_BUNDLE {
            return Err(Error::refused(Code::TooBig, "a bundle over 4 GiB"));
        }
        let mut file = BufReader::new(File::open(path).map_err(Error::io("opening the bundle"))?);
        let mut header = [0; HEADER];
        let short = file.read_exact(&mut header).is_err();
        if short || header[..8] != MAGIC {
            return Err(Error::refused(Code::BadMagic, "another beginning than bundles have"));
        }
        let version = u16::from_le_bytes([header[8], header[9]]);
        if version > WIRE_VERSION {
            return Err(Error::refused(
                Code::TooNew,
                format!("wire version {version}, this program knows {WIRE_VERSION}"),
            ));
        }
        let left = info.len() - HEADER as u64;
        Ok(Self { file, ids: blake3::Hasher::new(), count: 0, left, resume: None, header, whole: false })
    }

    /// The first part, which holds the text: its length, and its sealed bytes to be read once, after all of them were
    /// compared with its address, and before any other part is. `what` is what a refusal names. Takes no more memory than a
    /// small buffer: nobody has vouched for these bytes yet.
    ///
    /// # Errors
    /// `CUT` when it is not whole; `PART_HASH`; `SCHEMA` when the first part is another one; `TOO_BIG`; [`Error::Io`].
    pub(super) fn control(&mut self, what: &str) -> Result<(u64, impl BufRead + use<>)> {
        let cut = || Error::refused(Code::Cut, what);
        let (kind, length, id) = self.head()?.ok_or_else(cut)?;
        if kind != CONTROL {
            return Err(Error::refused(Code::Schema, what));
        }
        if length > self.left {
            return Err(cut());
        }
        let io = || Error::io("reading the bundle");
        let begin = self.file.stream_position().map_err(io())?;
        let mut hasher = blake3::Hasher::new();
        std::io::copy(&mut Read::take(&mut self.file, length), &mut hasher).map_err(io())?;
        self.ids.update(&id);
        self.left -= length;
        if *hasher.finalize().as_bytes() != id {
            return Err(Error::refused(Code::PartHash, what));
        }
        self.resume = Some(begin + length);
        // Both handles share one place in the file.
        let mut text = self.file.get_ref().try_clone().map_err(io())?;
        text.seek(SeekFrom::Start(begin)).map_err(io())?;
        Ok((length, BufReader::new(text).take(length)))
    }

    /// The next part; `None` at the end, or where the file is cut (then `whole` stays false).
    ///
    /// # Errors
    /// `TOO_BIG` when a part declares more than its kind may have; [`Error::Io`].
    pub(super) fn next(&mut self) -> Result<Option<Part>> {
        if let Some(at) = self.resume.take() {
            self.file.seek(SeekFrom::Start(at)).map_err(Error::io("reading the bundle"))?;
        }
        let Some((kind, length, id)) = self.head()? else { return Ok(None) };
        if length > self.left {
            return Ok(None);
        }
        let mut bytes = vec![0; usize::try_from(length).unwrap_or(0)];
        self.take(&mut bytes)?;
        self.ids.update(&id);
        Ok(Some(if *blake3::hash(&bytes).as_bytes() == id { Part::Sealed { kind, bytes } } else { Part::Damaged }))
    }

    /// Kind, length and address of the next part; `None` at the end or where the file is cut.
    fn head(&mut self) -> Result<Option<(u8, u64, [u8; 32])>> {
        let mut kind = [0; 1];
        if self.whole || !self.take(&mut kind)? {
            return Ok(None);
        }
        if kind[0] == END {
            let mut end = [0; 36];
            if self.take(&mut end)? {
                self.whole = end[..4] == self.count.to_le_bytes() && end[4..] == *self.ids.finalize().as_bytes();
            }
            return Ok(None);
        }
        let (mut length, mut id) = ([0; 8], [0; 32]);
        if !self.take(&mut length)? || !self.take(&mut id)? {
            return Ok(None);
        }
        let length = u64::from_le_bytes(length);
        let limit = if kind[0] == CONTROL { MAX_CONTROL } else { MAX_BLOB_PART };
        self.count += 1;
        if length > limit || self.count > MAX_PARTS {
            return Err(Error::refused(Code::TooBig, "a part longer than its kind may be, or too many parts"));
        }
        Ok(Some((kind[0], length, id)))
    }

    fn take(&mut self, into: &mut [u8]) -> Result<bool> {
        let wanted = into.len() as u64;
        if wanted > self.left {
            self.left = 0;
            return Ok(false);
        }
        self.file.read_exact(into).map_err(Error::io("reading the bundle"))?;
        self.left -= wanted;
        Ok(true)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample(dir: &Path) -> PathBuf {
        let path = dir.join("a.yard");
        let mut writer = PartsWriter::create(&path).unwrap();
        writer.part(CONTROL, b"control").unwrap();
        writer.part(BLOB, b"blob").unwrap();
        writer.finish().unwrap();
        path
    }

    fn read(path: &Path) -> Result<(Vec<Option<Vec<u8>>>, bool)> {
        let mut reader = PartsReader::open(path)?;
        let mut parts = Vec::new();
        while let Some(part) = reader.next()? {
            parts.push(match part {
                Part::Sealed { bytes, .. } => Some(bytes),
                Part::Damaged => None,
            });
        }
        Ok((parts, reader.whole))
    }

    #[test]
    fn a_cut_file_gives_its_whole_parts_and_says_so() {
        let dir = tempfile::tempdir().unwrap();
        let path = sample(dir.path());
        let bytes = fs::read(&path).unwrap();
        assert_eq!(read(&path).unwrap(), (vec![Some(b"control".to_vec()), Some(b"blob".to_vec())], true));
        for cut in HEADER..bytes.len() {
            fs::write(&path, &bytes[..cut]).unwrap();
            let (parts, whole) = read(&path).unwrap();
            assert!(!whole && parts.iter().all(Option::is_some), "cut at {cut}");
        }
        assert!(!dir.path().join("a.yard.part").exists());
    }

    #[test]
    fn every_flipped_byte_is_noticed() {
        let dir = tempfile::tempdir().unwrap();
        let path = sample(dir.path());
        let bytes = fs::read(&path).unwrap();
        for at in (0..bytes.len()).filter(|at| !(10..12).contains(at)) {
            let mut flipped = bytes.clone();
            flipped[at] ^= 0x40;
            fs::write(&path, &flipped).unwrap();
            let noticed = match read(&path) {
                Err(_) => true,
                Ok((parts, whole)) => !whole || parts.iter().any(Option::is_none),
            };
            // The kind of a part is sealed into nothing here: opening it as another kind fails later.
            assert!(noticed || at == HEADER || at == HEADER + 41 + 7, "byte {at}");
        }
    }

    #[test]
    fn a_length_over_the_limit_is_refused_before_memory_is_given() {
        let dir = tempfile::tempdir().unwrap();
        let path = sample(dir.path());
        let mut bytes = fs::read(&path).unwrap();
        bytes[HEADER + 1..HEADER + 9].copy_from_slice(&u64::MAX.to_le_bytes());
        fs::write(&path, &bytes).unwrap();
        assert_eq!(read(&path).unwrap_err().code(), Some(Code::TooBig));
    }
}
