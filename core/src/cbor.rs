//! Deterministic CBOR (RFC 8949 section 4.2): integer keys, definite lengths, shortest forms, depth at most 8, no floats.
//!
//! The tokens are minicbor's; what stands here is the strict walk that no general decoder does: it finds where an item
//! ends and refuses every form that is not the one normal form, before anything is allocated for it.

use minicbor::{Decoder, Encoder, data::Type};

use crate::error::{Code, Error, Result};

/// How deep arrays and maps may nest.
pub const MAX_DEPTH: usize = 8;

/// An error of form.
pub fn malformed(what: &str) -> Error {
    Error::refused(Code::Schema, what)
}

/// Writes CBOR into a new buffer.
pub fn encode(write: impl FnOnce(&mut Writer<'_>) -> Result<(), WriteError>) -> Vec<u8> {
    let mut bytes = Vec::new();
    // Writing into a Vec cannot fail.
    let _ = write(&mut Encoder::new(&mut bytes));
    bytes
}

/// Encoder into memory.
pub type Writer<'a> = Encoder<&'a mut Vec<u8>>;
/// Never happens when writing into memory.
pub type WriteError = minicbor::encode::Error<std::convert::Infallible>;

/// Returns the length of the one normal-form item that `bytes` begins with.
///
/// # Errors
/// `SCHEMA` when the item is cut, not in normal form, or nested deeper than [`MAX_DEPTH`].
pub fn item_len(bytes: &[u8]) -> Result<usize> {
    walk(bytes, 0, 0)
}

/// Checks that `bytes` are exactly one item in normal form.
///
/// # Errors
/// As [`item_len`], or when bytes follow.
pub fn check(bytes: &[u8]) -> Result<()> {
    if item_len(bytes)? == bytes.len() { Ok(()) } else { Err(malformed("bytes after the item")) }
}

fn walk(bytes: &[u8], at: usize, depth: usize) -> Result<usize> {
    if depth > MAX_DEPTH {
        return Err(malformed("nested too deep"));
    }
    let first = *bytes.get(at).ok_or_else(|| malformed("cut short"))?;
    let (major, short) = (first >> 5, first & 0x1f);
    if major == 7 {
        return match short {
            20..=22 => Ok(at + 1),
            _ => Err(malformed("a float or a simple value")),
        };
    }
    let (count, mut at) = argument(bytes, at + 1, short)?;
    let count_here = usize::try_from(count).map_err(|_| malformed("a length over memory"))?;
    match major {
        0 | 1 => Ok(at),
        2 | 3 => {
            let end = at.checked_add(count_here).filter(|end| *end <= bytes.len());
            let end = end.ok_or_else(|| malformed("cut short"))?;
            if major == 3 && std::str::from_utf8(&bytes[at..end]).is_err() {
                return Err(malformed("text that is not UTF-8"));
            }
            Ok(end)
        }
        4 => {
            for _ in 0..count_here {
                at = walk(bytes, at, depth + 1)?;
            }
            Ok(at)
        }
        5 => {
            let mut last: Option<&[u8]> = None;
            for _ in 0..count_here {
                let end = walk(bytes, at, depth + 1)?;
                let key = &bytes[at..end];
                if last.is_some_and(|last| last >= key) {
                    return Err(malformed("map keys out of order"));
                }
                last = Some(key);
                at = walk(bytes, end, depth + 1)?;
            }
            Ok(at)
        }
        _ => Err(malformed("a tag")),
    }
}

/// Reads the argument of an initial byte; refuses longer forms than needed and indefinite lengths.
fn argument(bytes: &[u8], at: usize, short: u8) -> Result<(u64, usize)> {
    let (size, least) = match short {
        0..=23 => return Ok((u64::from(short), at)),
        24 => (1, 24),
        25 => (2, 1 << 8),
        26 => (4, 1 << 16),
        27 => (8, 1 << 32),
        _ => return Err(malformed("an indefinite length")),
    };
    let raw = bytes.get(at..at + size).ok_or_else(|| malformed("cut short"))?;
    let value = raw.iter().fold(0u64, |sum, byte| (sum << 8) | u64::from(*byte));
    if value < least {
        return Err(malformed("a number in a longer form than needed"));
    }
    Ok((value, at + size))
}

/// Reads items one after the other, each checked by the strict walk of the whole buffer beforehand.
pub struct Reader<'b> {
    bytes: &'b [u8],
    decoder: Decoder<'b>,
}

impl<'b> Reader<'b> {
    /// A reader over exactly one checked item.
    ///
    /// # Errors
    /// As [`check`].
    pub fn new(bytes: &'b [u8]) -> Result<Self> {
        check(bytes)?;
        Ok(Self { bytes, decoder: Decoder::new(bytes) })
    }

    /// Length of the array that comes next.
    ///
    /// # Errors
    /// `SCHEMA` when it is none.
    pub fn array(&mut self) -> Result<u64> {
        self.decoder.array().ok().flatten().ok_or_else(|| malformed("an array was expected"))
    }

    /// Like [`Reader::array`], of just this length.
    ///
    /// # Errors
    /// `SCHEMA` when it has another.
    pub fn array_of(&mut self, len: u64) -> Result<()> {
        if self.array()? == len { Ok(()) } else { Err(malformed("an array of another length")) }
    }

    /// Number of entries of the map that comes next.
    ///
    /// # Errors
    /// `SCHEMA` when it is none.
    pub fn map(&mut self) -> Result<u64> {
        self.decoder.map().ok().flatten().ok_or_else(|| malformed("a map was expected"))
    }

    /// The unsigned number that comes next.
    ///
    /// # Errors
    /// `SCHEMA` when it is none.
    pub fn uint(&mut self) -> Result<u64> {
        self.decoder.u64().map_err(|_| malformed("a number was expected"))
    }

    /// The signed number that comes next.
    ///
    /// # Errors
    /// `SCHEMA` when it is none or does not fit 64 bits.
    pub fn int(&mut self) -> Result<i64> {
        self.decoder.i64().map_err(|_| malformed("a number was expected"))
    }

    /// The bytes that come next.
    ///
    /// # Errors
    /// `SCHEMA` when they are none.
    pub fn bytes(&mut self) -> Result<&'b [u8]> {
        self.decoder.bytes().map_err(|_| malformed("bytes were expected"))
    }

    /// The text that comes next.
    ///
    /// # Errors
    /// `SCHEMA` when it is none.
    pub fn text(&mut self) -> Result<&'b str> {
        self.decoder.str().map_err(|_| malformed("text was expected"))
    }

    /// The yes or no that comes next.
    ///
    /// # Errors
    /// `SCHEMA` when it is none.
    pub fn bool(&mut self) -> Result<bool> {
        self.decoder.bool().map_err(|_| malformed("yes or no was expected"))
    }

    /// The raw bytes of the item that comes next, whatever it is.
    ///
    /// # Errors
    /// `SCHEMA` at the end.
    pub fn raw(&mut self) -> Result<&'b [u8]> {
        let start = self.decoder.position();
        let end = walk(self.bytes, start, 0)?;
        self.decoder.set_position(end);
        Ok(&self.bytes[start..end])
    }

    /// What kind of item comes next.
    ///
    /// # Errors
    /// `SCHEMA` at the end.
    pub fn peek(&self) -> Result<Type> {
        self.decoder.datatype().map_err(|_| malformed("cut short"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_normal_form_passes() {
        for good in
            [&b"\x00"[..], b"\x18\x18", b"\x82\x01\x02", b"\xa2\x01\x02\x03\x04", b"\x62\xc3\xb1", b"\xf5", b"\x40"]
        {
            check(good).unwrap();
        }
        for (bad, why) in [
            (&b""[..], "nothing"),
            (b"\x18\x17", "longer form"),
            (b"\x9f\x01\xff", "indefinite"),
            (b"\xa2\x03\x04\x01\x02", "order"),
            (b"\xa2\x01\x02\x01\x02", "twice"),
            (b"\x62\xc3\x28", "not UTF-8"),
            (b"\xf9\x00\x00", "float"),
            (b"\xc0\x00", "tag"),
            (b"\x00\x00", "more"),
            (b"\x5b\x7f\xff\xff\xff\xff\xff\xff\xff", "a length over memory"),
            (b"\x9b\x7f\xff\xff\xff\xff\xff\xff\xff", "a length over memory"),
        ] {
            assert!(check(bad).is_err(), "{why}");
        }
    }

    #[test]
    fn ten_thousand_nested_arrays_are_refused_without_recursing() {
        let deep = vec![0x81; 10_000];
        assert!(check(&deep).unwrap_err().to_string().contains("deep"));
        let mut just = vec![0x81; MAX_DEPTH];
        just.push(0x00);
        check(&just).unwrap();
    }
}
