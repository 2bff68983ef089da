//! The control part: envelope, then packed frames. Written into memory, read frame by frame under a hard cap.

use std::io::{Read, Write};

use super::{
    envelope::{Envelope, MAX_ENVELOPE},
    parts::MAX_CONTROL,
    seal::seal,
};
use crate::{
    error::{Code, Error, Result},
    ids::Hash32,
    sign::Signing,
};

pub(super) const MANIFEST: u8 = 1;
pub(super) const SEGMENT: u8 = 2;
pub(super) const STATEMENT: u8 = 3;
pub(super) const RECEIPT: u8 = 4;
pub(super) const SNAPSHOT: u8 = 5;

/// Bytes of one frame at most.
const MAX_FRAME: usize = 4 << 20;
/// Packed frames stop here, so that the sealed part stays under its limit.
const AIM_PACKED: u64 = MAX_CONTROL - (1 << 20);
/// The control part is padded to steps of this many bytes: its size says little about its content.
const STEP: usize = 4 << 10;
/// zstd windows up to 8 MiB.
const WINDOW_LOG: u32 = 23;

/// Frames being packed.
pub(super) struct Frames {
    encoder: zstd::stream::write::Encoder<'static, Vec<u8>>,
    raw: u64,
}

impl Frames {
    pub(super) fn new() -> Result<Self> {
        let encoder = zstd::stream::write::Encoder::new(Vec::new(), 3).map_err(Error::io("packing"))?;
        Ok(Self { encoder, raw: 0 })
    }

    pub(super) fn push(&mut self, kind: u8, bytes: &[u8]) -> Result<()> {
        let length = u32::try_from(bytes.len()).ok().filter(|_| bytes.len() <= MAX_FRAME);
        let length = length.ok_or_else(|| Error::refused(Code::TooBig, "a frame over 4 MiB"))?;
        let what = || Error::io("packing");
        self.encoder.write_all(&[kind]).map_err(what())?;
        self.encoder.write_all(&length.to_be_bytes()).map_err(what())?;
        self.encoder.write_all(bytes).map_err(what())?;
        self.raw += 5 + bytes.len() as u64;
        Ok(())
    }

    /// Whether another frame of this size still fits.
    pub(super) fn has_room(&mut self, bytes: usize) -> Result<bool> {
        self.encoder.flush().map_err(Error::io("packing"))?;
        let packed = self.encoder.get_ref().len() + bytes;
        Ok(packed as u64 <= AIM_PACKED && self.raw + bytes as u64 + 5 <= super::envelope::MAX_RAW)
    }

    /// Signs the envelope over what was packed and seals both.
    pub(super) fn seal(self, envelope: Envelope, key: &Signing, recipients: &[&str]) -> Result<Vec<u8>> {
        let raw_len = self.raw;
        let packed = self.encoder.finish().map_err(Error::io("packing"))?;
        let envelope =
            Envelope { raw_len, packed_len: packed.len() as u64, packed_hash: Hash32::of(&packed), ..envelope };
        let signed = envelope.sign(key);
        let length = u16::try_from(signed.len()).ok().filter(|_| signed.len() <= MAX_ENVELOPE);
        let length = length.ok_or_else(|| Error::refused(Code::TooBig, "an envelope over 4 KiB"))?;
        let used = 2 + signed.len() + packed.len();
        seal(recipients, |w| {
            w.write_all(&length.to_be_bytes())?;
            w.write_all(&signed)?;
            w.write_all(&packed)?;
            w.write_all(&vec![0; used.next_multiple_of(STEP) - used])
        })
    }
}

/// Reads the signed envelope: nothing more than [`MAX_ENVELOPE`] bytes before its signature holds.
pub(super) fn read_envelope(reader: &mut impl Read) -> Result<Vec<u8>> {
    let cut = |_| Error::refused(Code::Schema, "no envelope");
    let mut length = [0; 2];
    reader.read_exact(&mut length).map_err(cut)?;
    let length = usize::from(u16::from_be_bytes(length));
    if length > MAX_ENVELOPE {
        return Err(Error::refused(Code::TooBig, "an envelope over 4 KiB"));
    }
    let mut signed = vec![0; length];
    reader.read_exact(&mut signed).map_err(cut)?;
    Ok(signed)
}

/// Reads the packed frames that a checked envelope vouches for.
pub(super) fn read_packed(reader: &mut impl Read, envelope: &Envelope) -> Result<Vec<u8>> {
    let mut packed = vec![0; usize::try_from(envelope.packed_len).unwrap_or(0)];
    reader.read_exact(&mut packed).map_err(|_| Error::refused(Code::Schema, "fewer bytes than the envelope says"))?;
    if Hash32::of(&packed) == envelope.packed_hash {
        Ok(packed)
    } else {
        Err(Error::refused(Code::BadSignature, "other bytes than the envelope was signed over"))
    }
}

/// Unpacks frames one by one, never more than the envelope declares.
pub(super) struct FrameReader<'b> {
    decoder: std::io::Take<zstd::stream::read::Decoder<'b, &'b [u8]>>,
}

impl<'b> FrameReader<'b> {
    pub(super) fn new(packed: &'b [u8], raw_len: u64) -> Result<Self> {
        let what = || Error::io("unpacking");
        let mut decoder = zstd::stream::read::Decoder::with_buffer(packed).map_err(what())?;
        decoder.window_log_max(WINDOW_LOG).map_err(what())?;
        // One byte more than declared: a reader that gets it has met a bomb.
        Ok(Self { decoder: decoder.take(raw_len + 1) })
    }

    /// The next frame; `None` at the end.
    pub(super) fn next(&mut self) -> Result<Option<(u8, Vec<u8>)>> {
        let mut head = [0; 5];
        let mut got = 0;
        while got < head.len() {
            match self.read(&mut head[got..])? {
                0 if got == 0 => return Ok(None),
                0 => return Err(Error::refused(Code::Schema, "a frame cut short")),
                n => got += n,
            }
        }
        let length = u32::from_be_bytes([head[1], head[2], head[3], head[4]]) as usize;
        if length > MAX_FRAME {
            return Err(Error::refused(Code::TooBig, "a frame over 4 MiB"));
        }
        let mut bytes = vec![0; length];
        let mut got = 0;
        while got < length {
            match self.read(&mut bytes[got..])? {
                0 => return Err(Error::refused(Code::Schema, "a frame cut short")),
                n => got += n,
            }
        }
        Ok(Some((head[0], bytes)))
    }

    fn read(&mut self, into: &mut [u8]) -> Result<usize> {
        let n = self.decoder.read(into).map_err(|_| Error::refused(Code::Schema, "packed in another way"))?;
        if self.decoder.limit() == 0 {
            return Err(Error::refused(Code::Bomb, "more than the envelope declares"));
        }
        Ok(n)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_gibibytes_of_zeros_stop_at_the_declared_length() {
        let mut encoder = zstd::stream::write::Encoder::new(Vec::new(), 19).unwrap();
        let chunk = vec![0; 1 << 24];
        for _ in 0..256 {
            encoder.write_all(&chunk).unwrap();
        }
        let packed = encoder.finish().unwrap();
        assert!(packed.len() < 1 << 20, "a bomb of {} bytes", packed.len());
        let mut reader = FrameReader::new(&packed, 1 << 20).unwrap();
        let mut frames = 0u64;
        let stopped = loop {
            match reader.next() {
                Ok(Some(_)) => frames += 1,
                Ok(None) => panic!("the whole bomb was unpacked"),
                Err(e) => break e,
            }
        };
        assert_eq!(stopped.code(), Some(Code::Bomb));
        assert!(frames <= (1 << 20) / 5);
    }

    #[test]
    fn a_wider_window_than_allowed_is_refused() {
        let mut encoder = zstd::stream::write::Encoder::new(Vec::new(), 1).unwrap();
        encoder.window_log(27).unwrap();
        encoder.long_distance_matching(true).unwrap();
        encoder.write_all(&vec![7; 64 << 20]).unwrap();
        let packed = encoder.finish().unwrap();
        assert!(FrameReader::new(&packed, 64 << 20).unwrap().next().is_err());
    }

    #[test]
    fn what_an_older_form_of_zstd_packed_is_refused() {
        // In form 0.7, which its library reads when it is asked to: a head, one raw block that holds a whole frame, an end.
        let head = [0x27, 0xB5, 0x2F, 0xFD, 0x20, 6, 0x40, 0, 6];
        let old = [&head[..], &[1, 0, 0, 0, 1, 7], &[0xC0, 0, 0]].concat();
        let refused = FrameReader::new(&old, 6).unwrap().next().unwrap_err();
        assert_eq!(refused.code(), Some(Code::Schema));
    }
}
