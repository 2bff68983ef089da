//! The form of backups: one sealed stream of entries, closed by a signature; written and read without holding it in memory.
//!
//! ```text
//! archive = age( "dooryard archive 1\n" entry* end )
//! entry   = kind u8, length of name u16be, name, length u64be, bytes
//! end     = an entry of kind 0xff: COSE_Sign1 over BLAKE3 of all plain bytes before it; nothing follows
//! ```
//! A name is an id or empty, never a path. Nothing of an archive is used before its end was met and its signature holds.

use std::{
    fs::{self, File},
    io::{self, BufReader, BufWriter, Read, Write},
    path::{Path, PathBuf},
};

use age::stream::StreamWriter;

use crate::{
    bundle::{Opener, seal_into},
    durable,
    error::{Code, Error, Result},
    ids::OfficeId,
    sign::{self, Purpose, Signing},
};

const MARK: &[u8] = b"dooryard archive 1\n";
const END: u8 = 0xff;

/// Bytes of a name at most.
const MAX_NAME: usize = 256;
/// Bytes of the closing signature at most.
const MAX_SIGNATURE: u64 = 4 << 10;
/// Bytes that are moved at once.
const BLOCK: usize = 256 << 10;

/// Writes an archive beside its place. What is dropped unfinished or unplaced leaves no file.
pub struct Writer {
    sealed: StreamWriter<BufWriter<File>>,
    hash: blake3::Hasher,
    place: Unplaced,
}

/// A whole archive that is on disk and not yet in its place.
pub struct Unplaced {
    temp: PathBuf,
    to: PathBuf,
}

impl Writer {
    /// Begins an archive that these age recipients can open.
    ///
    /// # Errors
    /// `SCHEMA` when a recipient is none; `NO_SPACE`; of the file system.
    pub fn create(to: &Path, recipients: &[&str]) -> Result<Self> {
        let mut name = to.file_name().unwrap_or_default().to_owned();
        name.push(".part");
        let place = Unplaced { temp: to.with_file_name(name), to: to.to_owned() };
        let mut options = fs::OpenOptions::new();
        options.write(true).create(true).truncate(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let file = options.open(&place.temp).map_err(writing())?;
        let sealed = seal_into(recipients, BufWriter::new(file))?;
        let mut writer = Self { sealed, hash: blake3::Hasher::new(), place };
        writer.put(MARK)?;
        Ok(writer)
    }

    fn put(&mut self, bytes: &[u8]) -> Result<()> {
        self.hash.update(bytes);
        self.sealed.write_all(bytes).map_err(writing())
    }

    /// Adds an entry of exactly `size` bytes, read from `source` block by block.
    ///
    /// # Errors
    /// [`Error::Io`] when the source gives fewer bytes; `NO_SPACE`.
    pub fn entry(&mut self, kind: u8, name: &[u8], size: u64, source: &mut dyn Read) -> Result<()> {
        self.head(kind, name, size)?;
        let (mut block, mut left) = (vec![0; BLOCK], size);
        while left > 0 {
            let most = usize::try_from(left).map_or(BLOCK, |left| left.min(BLOCK));
            source.read_exact(&mut block[..most]).map_err(Error::io("reading what is backed up"))?;
            self.put(&block[..most])?;
            left -= most as u64;
        }
        Ok(())
    }

    fn head(&mut self, kind: u8, name: &[u8], size: u64) -> Result<()> {
        let length = u16::try_from(name.len()).ok().filter(|_| name.len() <= MAX_NAME && kind != END);
        let length = length.ok_or_else(|| Error::refused(Code::TooBig, "the name of an entry"))?;
        self.put(&[kind])?;
        self.put(&length.to_be_bytes())?;
        self.put(name)?;
        self.put(&size.to_be_bytes())
    }

    /// Adds an entry that is in memory.
    ///
    /// # Errors
    /// `NO_SPACE`; of the file system.
    pub fn small(&mut self, kind: u8, name: &[u8], mut bytes: &[u8]) -> Result<()> {
        self.entry(kind, name, bytes.len() as u64, &mut bytes)
    }

    /// Closes the archive with a signature and makes it durable.
    ///
    /// # Errors
    /// `NO_SPACE`; of the file system.
    pub fn finish(mut self, key: &Signing, office: &OfficeId) -> Result<Unplaced> {
        let signature = key.sign(Purpose::Backup, office, self.hash.finalize().as_bytes());
        self.put(&[END, 0, 0])?;
        self.put(&(signature.len() as u64).to_be_bytes())?;
        self.put(&signature)?;
        let file = self.sealed.finish().map_err(writing())?;
        let file = file.into_inner().map_err(|e| writing()(e.into_error()))?;
        file.sync_all().map_err(writing())?;
        Ok(self.place)
    }
}

impl Unplaced {
    /// Where it stands for now: to be read back.
    pub fn path(&self) -> &Path {
        &self.temp
    }

    /// Puts it in its place and returns its bytes; what stood there before is replaced.
    ///
    /// # Errors
    /// Of the file system.
    pub fn place(self) -> Result<u64> {
        let bytes = fs::metadata(&self.temp).map_err(writing())?.len();
        durable::rename(&self.temp, &self.to).map_err(writing())?;
        Ok(bytes)
    }
}

impl Drop for Unplaced {
    fn drop(&mut self) {
        // Gone already when it was placed.
        let _ = fs::remove_file(&self.temp);
    }
}

fn writing() -> impl FnOnce(io::Error) -> Error {
    Error::io("writing the backup")
}

/// How an archive ended.
pub struct Seal {
    hash: [u8; 32],
    signature: Vec<u8>,
}

impl Seal {
    /// Checks that the holder of `key` closed exactly these bytes.
    ///
    /// # Errors
    /// `BAD_SIGNATURE` or `SCHEMA`.
    pub fn check(&self, office: &OfficeId, key: &[u8; 32]) -> Result<()> {
        let signed = sign::verify(&self.signature, Purpose::Backup, office, key).map_err(Error::of_backup)?;
        if signed == self.hash { Ok(()) } else { Err(Error::backup(Code::BadSignature, "the backup")) }
    }
}

/// What is called with each entry: its kind, its name, its bytes as they are opened.
pub type See<'s> = dyn FnMut(u8, &[u8], &mut dyn Read) -> Result<()> + 's;

/// Whether a sealed file is an archive, by its beginning alone.
///
/// # Errors
/// `NOT_FOR_US` when no key opens it; `SCHEMA`, `CUT`; of the file system.
pub fn is_archive(path: &Path, opener: &Opener) -> Result<bool> {
    let file = File::open(path).map_err(Error::io("reading the backup"))?;
    let mut plain = opener.open(BufReader::with_capacity(BLOCK, file)).map_err(Error::of_backup)?;
    let mut mark = [0; MARK.len()];
    plain.read_exact(&mut mark).map_err(cut)?;
    Ok(mark == MARK)
}

/// Reads an archive from end to end. `see` may leave bytes of an entry unread; what it does must be undone or harmless
/// when this fails, and nothing counts before [`Seal::check`].
///
/// # Errors
/// `NOT_FOR_US` when no key opens it; `CUT` when its end is missing or bytes were changed; `SCHEMA` when it is no archive;
/// what `see` returns.
pub fn read(path: &Path, opener: &Opener, see: &mut See<'_>) -> Result<Seal> {
    let file = File::open(path).map_err(Error::io("reading the backup"))?;
    let plain = opener.open(BufReader::with_capacity(BLOCK, file)).map_err(Error::of_backup)?;
    let mut plain = Hashed { plain, hash: blake3::Hasher::new(), failed: false };
    let mut mark = [0; MARK.len()];
    plain.read_exact(&mut mark).map_err(cut)?;
    if mark != MARK {
        return Err(Error::backup(Code::Schema, "no backup"));
    }
    loop {
        let before = *plain.hash.finalize().as_bytes();
        let (mut head, mut size) = ([0; 3], [0; 8]);
        plain.read_exact(&mut head).map_err(cut)?;
        let mut name = vec![0; usize::from(u16::from_be_bytes([head[1], head[2]]))];
        if name.len() > MAX_NAME {
            return Err(Error::backup(Code::TooBig, "the name of an entry"));
        }
        plain.read_exact(&mut name).map_err(cut)?;
        plain.read_exact(&mut size).map_err(cut)?;
        let size = u64::from_be_bytes(size);
        if head[0] == END {
            let mut signature = Vec::new();
            (&mut plain).take(size.min(MAX_SIGNATURE)).read_to_end(&mut signature).map_err(cut)?;
            // The last block is authentic only when the stream says that it is the last.
            return match plain.read(&mut [0]).map_err(cut)? {
                0 if signature.len() as u64 == size => Ok(Seal { hash: before, signature }),
                _ => Err(Error::backup(Code::Cut, "the backup")),
            };
        }
        let mut body = (&mut plain).take(size);
        let seen = see(head[0], &name, &mut body);
        if body.get_ref().failed {
            return Err(Error::backup(Code::Cut, "the backup"));
        }
        seen?;
        io::copy(&mut body, &mut io::sink()).map_err(cut)?;
        if body.limit() > 0 {
            return Err(Error::backup(Code::Cut, "the backup"));
        }
    }
}

fn cut(_: io::Error) -> Error {
    Error::backup(Code::Cut, "the backup")
}

struct Hashed<R> {
    plain: R,
    hash: blake3::Hasher,
    failed: bool,
}

impl<R: Read> Read for Hashed<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let n = self.plain.read(into).inspect_err(|_| self.failed = true)?;
        self.hash.update(&into[..n]);
        Ok(n)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notebook::seal_identity;

    const OFFICE: OfficeId = OfficeId([1; 16]);

    /// Kind, name and length of each.
    type Entries = Vec<(u8, Vec<u8>, usize)>;

    fn sample(dir: &Path) -> (PathBuf, Opener, Signing) {
        let (key, seal) = (Signing::from_seed(&[1; 32]), seal_identity(&[2; 32]).unwrap());
        let path = dir.join("a.backup");
        let mut writer = Writer::create(&path, &[&seal.to_public().to_string()]).unwrap();
        writer.small(1, b"", b"first").unwrap();
        writer.small(2, b"leaf", &vec![7; 200_000]).unwrap();
        writer.finish(&key, &OFFICE).unwrap().place().unwrap();
        (path, Opener::of(&seal), key)
    }

    fn entries(path: &Path, opener: &Opener) -> Result<(Entries, Seal)> {
        let mut found = Vec::new();
        let seal = read(path, opener, &mut |kind, name, body| {
            let mut bytes = Vec::new();
            body.read_to_end(&mut bytes).map_err(cut)?;
            found.push((kind, name.to_vec(), bytes.len()));
            Ok(())
        })?;
        Ok((found, seal))
    }

    #[test]
    fn what_goes_in_comes_out_and_only_the_signer_and_its_office_close_it() {
        let dir = tempfile::tempdir().unwrap();
        let (path, opener, key) = sample(dir.path());
        let (found, seal) = entries(&path, &opener).unwrap();
        assert_eq!(found, [(1, vec![], 5), (2, b"leaf".to_vec(), 200_000)]);
        seal.check(&OFFICE, &key.public()).unwrap();
        assert!(seal.check(&OfficeId([2; 16]), &key.public()).is_err());
        let moved = Seal { hash: [0; 32], signature: seal.signature.clone() };
        assert!(moved.check(&OFFICE, &key.public()).is_err(), "a signature that closes other bytes");
        assert!(seal.check(&OFFICE, &Signing::from_seed(&[3; 32]).public()).is_err());
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1, "nothing is left beside it");
    }

    #[test]
    fn a_cut_or_changed_archive_never_ends_well() {
        let dir = tempfile::tempdir().unwrap();
        let (path, opener, _) = sample(dir.path());
        let bytes = fs::read(&path).unwrap();
        // Around the header, the blocks of 64 KiB and the end; then every so often.
        let ends = (0..bytes.len()).filter(|at| at % 997 == 0 || bytes.len() - at < 300 || *at < 400);
        for at in ends {
            fs::write(&path, &bytes[..at]).unwrap();
            assert!(entries(&path, &opener).is_err(), "cut at {at}");
            let mut flipped = bytes.clone();
            flipped[at] ^= 1;
            fs::write(&path, &flipped).unwrap();
            assert!(entries(&path, &opener).is_err(), "flipped at {at}");
        }
        fs::write(&path, [&bytes[..], b"more"].concat()).unwrap();
        assert!(entries(&path, &opener).is_err(), "something after the end");
    }
}
