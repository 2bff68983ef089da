//! Sealing to age recipients, and opening with a look at the header before the library sees it.

use std::{
    io::{BufRead, Read, Write},
    iter,
    str::FromStr,
};

use crate::error::{Code, Error, Result};

/// Bytes of an age header at most.
const MAX_HEADER: usize = 4 << 10;
/// Recipient stanzas of an age header at most.
const MAX_STANZAS: usize = 8;
/// Bytes of the last line of an age header: three dashes, a space, a MAC of 43 letters, the end of the line.
const LAST_LINE: usize = 48;

/// Seals what `write` gives to all recipients.
///
/// # Errors
/// `SCHEMA` when a recipient is none.
pub(super) fn seal(recipients: &[&str], write: impl FnOnce(&mut dyn Write) -> std::io::Result<()>) -> Result<Vec<u8>> {
    let mut sealed = Vec::new();
    let what = || Error::io("sealing");
    let mut writer = seal_into(recipients, &mut sealed)?;
    write(&mut writer).map_err(what())?;
    writer.finish().map_err(what())?;
    Ok(sealed)
}

/// Seals what is written to all recipients, as it is written; the last block goes out with `finish`.
///
/// # Errors
/// `SCHEMA` when a recipient is none; of the writer below.
pub(crate) fn seal_into<W: Write>(recipients: &[&str], out: W) -> Result<age::stream::StreamWriter<W>> {
    let wrong = |_| Error::refused(Code::Schema, "an age recipient");
    let recipients: Vec<_> =
        recipients.iter().map(|r| age::x25519::Recipient::from_str(r).map_err(wrong)).collect::<Result<_>>()?;
    let encryptor = age::Encryptor::with_recipients(recipients.iter().map(|r| r as &dyn age::Recipient))
        .map_err(|_| Error::refused(Code::Schema, "no recipient"))?;
    encryptor.wrap_output(out).map_err(Error::io("sealing"))
}

/// The keys that open what is sealed to their holder.
pub struct Opener(Vec<age::x25519::Identity>);

impl Opener {
    /// An opener with these keys.
    pub fn new(keys: Vec<age::x25519::Identity>) -> Self {
        Self(keys)
    }

    /// Opens one sealed part, whose reader buffers at least [`MAX_HEADER`] bytes at a time; what comes back gives its plain
    /// bytes as they are decrypted.
    ///
    /// # Errors
    /// `SCHEMA` when it is no age file within the limits, `NOT_FOR_US` when no key fits; of the reader.
    pub(crate) fn open<R: BufRead>(&self, mut sealed: R) -> Result<impl Read + use<R>> {
        scan_header(sealed.fill_buf().map_err(Error::io("opening a sealed part"))?)?;
        let no_age = |_| Error::refused(Code::Schema, "not sealed as bundles are");
        let decryptor = age::Decryptor::new_buffered(sealed).map_err(no_age)?;
        decryptor.decrypt(self.0.iter().map(|key| key as &dyn age::Identity)).map_err(|e| match e {
            age::DecryptError::NoMatchingKeys => Error::refused(Code::NotForUs, "a sealed part"),
            _ => Error::refused(Code::Schema, "not sealed as bundles are"),
        })
    }

    /// Opens one part sealed to a single key.
    pub(crate) fn of(key: &age::x25519::Identity) -> Self {
        Self(iter::once(key.clone()).collect())
    }
}

/// Looks at the text header of an age file: length, number of stanzas, a whole last line. The library reads on to the end of the
/// line that it lacks, however far that is.
fn scan_header(sealed: &[u8]) -> Result<()> {
    let wrong = |what: &str| Error::refused(Code::Schema, what);
    let head = &sealed[..sealed.len().min(MAX_HEADER)];
    if !head.starts_with(b"age-encryption.org/v1\n") {
        return Err(wrong("not sealed as bundles are"));
    }
    let mut stanzas = 0;
    for line in head.split_inclusive(|b| *b == b'\n') {
        if line.starts_with(b"--- ") {
            return match line {
                _ if stanzas > MAX_STANZAS => Err(wrong("sealed to too many")),
                [.., b'\n'] if line.len() == LAST_LINE => Ok(()),
                _ => Err(wrong("not sealed as bundles are")),
            };
        }
        stanzas += usize::from(line.starts_with(b"-> "));
    }
    Err(wrong("a header longer than bundles have"))
}

/// A short name for a recipient: the first eight bytes of its BLAKE3, in hex.
pub fn seal_key_id(recipient: &str) -> String {
    hex::encode(&blake3::hash(recipient.as_bytes()).as_bytes()[..8])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notebook::seal_identity;

    #[test]
    fn only_a_recipient_opens_it() {
        let (a, b) = (seal_identity(&[1; 32]).unwrap(), seal_identity(&[2; 32]).unwrap());
        let sealed = seal(&[&a.to_public().to_string()], |w| w.write_all(b"words")).unwrap();
        let mut plain = Vec::new();
        Opener::of(&a).open(&sealed[..]).unwrap().read_to_end(&mut plain).unwrap();
        assert_eq!(plain, b"words");
        assert_eq!(Opener::of(&b).open(&sealed[..]).err().and_then(|e| e.code()), Some(Code::NotForUs));
    }

    #[test]
    fn a_header_with_many_stanzas_or_no_end_never_reaches_the_library() {
        let key = seal_identity(&[1; 32]).unwrap();
        let recipient = key.to_public().to_string();
        let many = seal(&[recipient.as_str(); 9], |w| w.write_all(b"x")).unwrap();
        assert_eq!(Opener::of(&key).open(&many[..]).err().and_then(|e| e.code()), Some(Code::Schema));
        let endless = [&b"age-encryption.org/v1\n"[..], &b"-> x\n".repeat(2_000)].concat();
        assert_eq!(scan_header(&endless).err().and_then(|e| e.code()), Some(Code::Schema));
    }
}
