//! Thumbnails.

use std::io::Cursor;

use image::{DynamicImage, ImageReader, Limits, codecs::jpeg::JpegEncoder, metadata::Orientation};

use super::{
    MAX_PIXELS, PhotoProblem,
    facts::{Frame, metadata, orientation},
};
use crate::{Error, Result};

/// Long side of a thumbnail, pixels.
pub const THUMBNAIL_PX: u32 = 512;

/// JPEG quality of a thumbnail, 1 to 100.
const QUALITY: u8 = 80;

/// A small JPEG of the photo: at most [`THUMBNAIL_PX`] on the long side, turned upright, without metadata.
/// A picture that is smaller already keeps its size.
///
/// # Errors
/// [`Error::Photo`] when the photo is no JPEG or PNG, over a limit, or damaged.
pub fn thumbnail(bytes: &[u8]) -> Result<Vec<u8>> {
    copy(bytes, THUMBNAIL_PX)
}

/// A JPEG made anew from the photo's pixels: at most `long_side` pixels long, turned upright, without metadata.
/// A picture that is smaller already keeps its size.
///
/// # Errors
/// As [`thumbnail`].
pub fn copy(bytes: &[u8], long_side: u32) -> Result<Vec<u8>> {
    let whole = decode(bytes)?;
    let small =
        if whole.width().max(whole.height()) <= long_side { whole } else { whole.thumbnail(long_side, long_side) };
    let mut upright = DynamicImage::ImageRgb8(small.into_rgb8());
    if let Some(turn) = metadata(bytes).as_ref().and_then(orientation).and_then(Orientation::from_exif) {
        upright.apply_orientation(turn);
    }
    let mut out = Vec::new();
    JpegEncoder::new_with_quality(&mut out, QUALITY)
        .encode_image(&upright)
        .map_err(|_| Error::Photo(PhotoProblem::Damaged))?;
    Ok(out)
}

/// The pixels as stored, within the limits.
fn decode(bytes: &[u8]) -> Result<DynamicImage> {
    let frame = Frame::of(bytes)?;
    let mut reader = ImageReader::with_format(Cursor::new(bytes), frame.format);
    let mut limits = Limits::default();
    // Four channels of 16 bits, and as much again to work in.
    limits.max_alloc = Some(MAX_PIXELS * 8 * 2);
    reader.limits(limits);
    reader.decode().map_err(|_| Error::Photo(PhotoProblem::Damaged))
}

#[cfg(test)]
mod tests {
    use exif::{Field, In, Tag, Value, experimental::Writer};
    use image::ImageFormat;
    use img_parts::{ImageEXIF, jpeg::Jpeg};

    use super::*;
    use crate::photo::{read, tests::two_halves};

    fn turned(orientation: u16) -> Vec<u8> {
        let field = Field { tag: Tag::Orientation, ifd_num: In::PRIMARY, value: Value::Short(vec![orientation]) };
        let mut writer = Writer::new();
        writer.push_field(&field);
        let mut exif = Cursor::new(Vec::new());
        writer.write(&mut exif, true).unwrap();
        let mut jpeg = Jpeg::from_bytes(two_halves(1200, 800, ImageFormat::Jpeg).into()).unwrap();
        jpeg.set_exif(Some(exif.into_inner().into()));
        jpeg.encoder().bytes().to_vec()
    }

    #[test]
    fn thumbnails_are_small_upright_and_bare() {
        for (orientation, size, red_at) in [
            (1, (512, 341), (10, 170)),
            (3, (512, 341), (500, 170)),
            (6, (341, 512), (170, 10)),
            (8, (341, 512), (170, 500)),
        ] {
            let photo = turned(orientation);
            assert_eq!(read(&photo).unwrap().orientation.map(u16::from), Some(orientation));
            let small = thumbnail(&photo).unwrap();
            let picture = image::load_from_memory(&small).unwrap().into_rgb8();
            assert_eq!(picture.dimensions(), size, "orientation {orientation}");
            let [r, _, b] = picture.get_pixel(red_at.0, red_at.1).0;
            assert!(r > 150 && b < 100, "orientation {orientation}");
            assert!(metadata(&small).is_none());
        }
    }

    #[test]
    fn a_copy_is_as_large_as_asked_for_and_bare() {
        let copy = copy(&turned(6), 900).unwrap();
        assert_eq!(image::load_from_memory(&copy).unwrap().into_rgb8().dimensions(), (600, 900));
        assert!(metadata(&copy).is_none());
    }

    #[test]
    fn a_small_picture_is_not_blown_up() {
        for format in [ImageFormat::Jpeg, ImageFormat::Png] {
            let small = thumbnail(&two_halves(100, 60, format)).unwrap();
            assert_eq!(read(&small).unwrap().mime, "image/jpeg");
            assert_eq!(read(&small).unwrap().width_px, 100);
        }
    }
}
