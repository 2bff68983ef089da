//! Opens a reply with its phone's key, past the code that phones use, to see every byte that is in it.

use std::io::Read;

use super::{Checked, Failure};

/// The kind of frame in which a receipt stands.
const RECEIPT: u8 = 4;

/// The file's header, and what stands before a part's bytes: kind, length, id.
const HEADER: usize = 12;
const BEFORE: usize = 1 + 8 + 32;

/// The plain frames of a reply.
pub fn open(file: &[u8], key: &age::x25519::Identity) -> Checked<Vec<u8>> {
    let wrong = |what: &str| Failure { check: "a reply is in the form of the wire", detail: what.to_owned() };
    let head = file.get(HEADER..HEADER + BEFORE).ok_or_else(|| wrong("too short"))?;
    let length = head[1..9].iter().rev().fold(0, |sum, byte| sum << 8 | usize::from(*byte));
    let sealed = file.get(HEADER + BEFORE..HEADER + BEFORE + length).ok_or_else(|| wrong("its part is cut"))?;
    let decryptor = age::Decryptor::new(sealed).map_err(|e| wrong(&e.to_string()))?;
    let mut plain = Vec::new();
    decryptor
        .decrypt(std::iter::once(key as &dyn age::Identity))
        .map_err(|e| wrong(&e.to_string()))?
        .read_to_end(&mut plain)?;
    let envelope = plain.get(..2).map_or(0, |b| usize::from(b[0]) << 8 | usize::from(b[1]));
    let packed = plain.get(2 + envelope..).ok_or_else(|| wrong("its envelope is cut"))?;
    let mut frames = Vec::new();
    zstd::stream::read::Decoder::with_buffer(packed)?.single_frame().read_to_end(&mut frames)?;
    Ok(frames)
}

/// The receipts in the plain frames of a reply, as the office signed them.
pub fn receipts(plain: &[u8]) -> Vec<Vec<u8>> {
    let (mut rest, mut found) = (plain, Vec::new());
    while let Some(([kind, length @ ..], after)) = rest.split_first_chunk::<5>() {
        let Some((bytes, after)) = after.split_at_checked(u32::from_be_bytes(*length) as usize) else { break };
        if *kind == RECEIPT {
            found.push(bytes.to_vec());
        }
        rest = after;
    }
    found
}
