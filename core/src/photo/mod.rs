//! Photos as they come from a camera: what their metadata says, a small upright picture for lists, and the same picture
//! without metadata for anything that leaves the office.
//!
//! In: the bytes of a file. Out: [`PhotoFacts`], a thumbnail, a stripped copy. No storage. JPEG and PNG; size and number of
//! pixels are checked before anything is decoded. Damaged metadata gives missing values, a damaged picture gives an error.

mod facts;
mod gps;
mod picture;
mod strip;

use std::fmt;

pub use facts::{North, PhotoFacts, read};
pub use picture::{THUMBNAIL_PX, copy, thumbnail};
pub use strip::strip;

/// Largest photo taken in, bytes (32 MiB).
pub const MAX_BYTES: usize = 32 * 1024 * 1024;

/// Most pixels taken in (40 megapixels).
pub const MAX_PIXELS: u64 = 40_000_000;

/// Why a photo was not taken in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum PhotoProblem {
    /// Neither JPEG nor PNG.
    OtherFormat,
    /// More than [`MAX_BYTES`].
    TooManyBytes,
    /// More than [`MAX_PIXELS`].
    TooManyPixels,
    /// Cut off or damaged.
    Damaged,
}

impl PhotoProblem {
    /// The name in `--json` and at the boundary.
    pub fn name(self) -> &'static str {
        match self {
            Self::OtherFormat => "OTHER_FORMAT",
            Self::TooManyBytes => "TOO_MANY_BYTES",
            Self::TooManyPixels => "TOO_MANY_PIXELS",
            Self::Damaged => "DAMAGED",
        }
    }
}

impl fmt::Display for PhotoProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::OtherFormat => "it is neither JPEG nor PNG. Set the camera to save JPEG",
            Self::TooManyBytes => "the file is larger than 32 MiB. Set the camera to a smaller size",
            Self::TooManyPixels => "it has more than 40 megapixels. Set the camera to a smaller size",
            Self::Damaged => "it is cut off or damaged. Copy it again or take another",
        })
    }
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use image::{ImageFormat, Rgb, RgbImage};

    use super::*;

    /// A picture, red on the left half and blue on the right.
    pub(super) fn two_halves(width: u32, height: u32, format: ImageFormat) -> Vec<u8> {
        let picture =
            RgbImage::from_fn(
                width,
                height,
                |x, _| if x < width / 2 { Rgb([220, 30, 30]) } else { Rgb([30, 30, 220]) },
            );
        let mut bytes = Cursor::new(Vec::new());
        picture.write_to(&mut bytes, format).unwrap();
        bytes.into_inner()
    }

    fn problem<T: fmt::Debug>(result: crate::Result<T>) -> PhotoProblem {
        match result {
            Err(crate::Error::Photo(problem)) => problem,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn other_files_and_huge_files_are_refused() {
        for bytes in [&b""[..], b"GIF89a....", b"%PDF-1.7", &[0xff, 0xd8][..]] {
            assert_eq!(problem(read(bytes)), PhotoProblem::OtherFormat, "{bytes:?}");
            assert_eq!(problem(thumbnail(bytes)), PhotoProblem::OtherFormat);
            assert_eq!(problem(strip(bytes)), PhotoProblem::OtherFormat);
        }
        let mut large = two_halves(8, 8, ImageFormat::Jpeg);
        large.resize(MAX_BYTES + 1, 0);
        assert_eq!(problem(read(&large)), PhotoProblem::TooManyBytes);
    }

    #[test]
    fn a_small_file_that_claims_too_many_pixels_is_refused_before_decoding() {
        let mut bytes = two_halves(16, 16, ImageFormat::Jpeg);
        let frame = bytes.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
        bytes[frame + 5..frame + 9].copy_from_slice(&[0xff, 0x00, 0xff, 0x00]);
        for result in [read(&bytes).map(drop), thumbnail(&bytes).map(drop), strip(&bytes).map(drop)] {
            assert_eq!(problem(result), PhotoProblem::TooManyPixels);
        }
    }

    #[test]
    fn cut_and_scrambled_files_never_panic() {
        for format in [ImageFormat::Jpeg, ImageFormat::Png] {
            let whole = two_halves(64, 48, format);
            for len in 0..whole.len() {
                let cut = &whole[..len];
                let _ = (read(cut), thumbnail(cut));
                assert!(strip(cut).is_err(), "{format:?} cut at {len}");
            }
            for at in 0..whole.len() {
                let mut scrambled = whole.clone();
                scrambled[at] ^= 0xff;
                let _ = (read(&scrambled), thumbnail(&scrambled), strip(&scrambled));
            }
        }
    }
}
