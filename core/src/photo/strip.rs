//! The same picture without metadata.

use std::io::Cursor;

use exif::{Field, In, Tag, Value, experimental::Writer};
use image::ImageFormat;
use img_parts::{
    Bytes, ImageEXIF,
    jpeg::{Jpeg, JpegSegment, markers},
    png::Png,
};

use super::{
    PhotoProblem,
    facts::{Frame, metadata, orientation},
};
use crate::{Error, Result};

/// Chunks of a PNG that say how its pixels look.
const PNG_CHUNKS: [&[u8; 4]; 10] =
    [b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT"];

/// The same pixels, untouched, without time, place, camera, comment, preview or anything behind the picture's end.
/// What remains is the color profile and, where the picture is stored turned, how to turn it.
///
/// # Errors
/// [`Error::Photo`] when the photo is no JPEG or PNG, over a limit, or damaged.
pub fn strip(bytes: &[u8]) -> Result<Vec<u8>> {
    let frame = Frame::of(bytes)?;
    let turn = metadata(bytes).as_ref().and_then(orientation).filter(|&o| o != 1).map(only_orientation).transpose()?;
    let input = Bytes::copy_from_slice(bytes);
    let stripped = if frame.format == ImageFormat::Jpeg {
        let mut jpeg = Jpeg::from_bytes(input).map_err(|_| damaged())?;
        let segments = jpeg.segments_mut();
        *segments = segments.drain(..).filter_map(bare).collect();
        let Some(scan) = segments.pop().filter(|s| s.marker() == markers::SOS) else { return Err(damaged()) };
        let whole = scan.clone().encoder().bytes();
        let head = scan.len();
        let pixels = until_end(&whole[head..]).ok_or_else(damaged)?;
        segments.push(JpegSegment::new_with_entropy(markers::SOS, scan.contents().clone(), pixels.into()));
        jpeg.set_exif(turn);
        jpeg.encoder().bytes().to_vec()
    } else {
        let mut png = Png::from_bytes(input).map_err(|_| damaged())?;
        png.chunks_mut().retain(|c| PNG_CHUNKS.contains(&&c.kind()));
        let Some(end) = png.chunks().iter().position(|c| c.kind() == *b"IEND") else { return Err(damaged()) };
        png.chunks_mut().truncate(end + 1);
        png.set_exif(turn);
        png.encoder().bytes().to_vec()
    };
    // What one reader takes for the picture and another for something else is no copy to hand out.
    Frame::of(&stripped)?;
    let left = metadata(&stripped);
    if left.as_ref().is_some_and(|e| e.fields().any(|f| f.tag != Tag::Orientation)) {
        return Err(damaged());
    }
    Ok(stripped)
}

fn damaged() -> Error {
    Error::Photo(PhotoProblem::Damaged)
}

/// A segment of a JPEG where it says how the pixels look: frame, tables, scan, and of the application segments the two that decoders
/// need (JFIF without its preview, Adobe's color transform) and the color profile. Nothing for all others.
fn bare(segment: JpegSegment) -> Option<JpegSegment> {
    let contents = segment.contents();
    match segment.marker() {
        markers::APP0 if contents.starts_with(b"JFIF\0") => {
            // Version, unit and the two densities; then no pixels of a preview, across and down.
            let mut jfif = contents.get(..12)?.to_vec();
            jfif.extend_from_slice(&[0, 0]);
            Some(JpegSegment::new_with_contents(markers::APP0, jfif.into()))
        }
        markers::APP14 if contents.starts_with(b"Adobe") => {
            Some(JpegSegment::new_with_contents(markers::APP14, contents.slice(..contents.len().min(12))))
        }
        markers::APP2 if contents.starts_with(b"ICC_PROFILE\0") => Some(segment),
        marker if draws(marker) => Some(segment),
        _ => None,
    }
}

/// Whether a segment is of the picture itself (ITU-T T.81, table B.1): frames and scans with what they are decoded by.
fn draws(marker: u8) -> bool {
    matches!(
        marker,
        markers::SOF0..=markers::SOF7 | markers::SOF9..=markers::SOF15 | markers::SOS..=markers::DRI
    )
}

/// What follows the header of the first scan, up to and with the end marker; comments and application segments between
/// scans are left out. Nothing when the end marker is missing, and where a marker stands that no picture has there: whether such a
/// one has a length, readers do not agree.
fn until_end(data: &[u8]) -> Option<Vec<u8>> {
    let mut out = Vec::with_capacity(data.len());
    let mut at = 0;
    while at < data.len() {
        let next = at + data[at..].iter().position(|&b| b == markers::P)?;
        out.extend_from_slice(&data[at..next]);
        match *data.get(next + 1)? {
            markers::EOI => {
                out.extend_from_slice(&[markers::P, markers::EOI]);
                return Some(out);
            }
            markers::P => at = next + 1,
            marker @ (markers::Z | markers::RST0..=markers::RST7) => {
                out.extend_from_slice(&[markers::P, marker]);
                at = next + 2;
            }
            marker @ (markers::SOF0..=markers::SOF15 | markers::SOS..=markers::COM) => {
                let len = usize::from(u16::from_be_bytes([*data.get(next + 2)?, *data.get(next + 3)?]));
                let end = next + 2 + len;
                data.get(next + 4..end)?;
                if draws(marker) {
                    out.extend_from_slice(&data[next..end]);
                }
                at = end;
            }
            _ => return None,
        }
    }
    None
}

/// Metadata that holds the orientation and nothing else.
fn only_orientation(orientation: u8) -> Result<Bytes> {
    let field = Field { tag: Tag::Orientation, ifd_num: In::PRIMARY, value: Value::Short(vec![orientation.into()]) };
    let mut writer = Writer::new();
    writer.push_field(&field);
    let mut out = Cursor::new(Vec::new());
    writer.write(&mut out, false).map_err(|_| damaged())?;
    Ok(out.into_inner().into())
}

#[cfg(test)]
mod tests {
    use std::{fs, path::Path};

    use super::*;
    use crate::photo::{read, tests::two_halves};

    #[test]
    fn a_picture_that_two_readers_see_in_different_places_is_damaged() {
        let odd = include_bytes!("../../../tests/fuzz/corpus/exif/two_frames");
        assert!(read(odd).is_ok());
        assert!(matches!(strip(odd), Err(Error::Photo(PhotoProblem::Damaged))));
    }

    #[test]
    fn a_place_behind_a_marker_that_readers_take_differently_is_not_handed_out() {
        let told = include_bytes!("../../../tests/fuzz/corpus/exif/place.jpg");
        let told = Jpeg::from_bytes(told.as_slice().into()).unwrap();
        let place = told.segment_by_marker(markers::APP1).unwrap().clone().encoder().bytes();
        let plain = two_halves(200, 100, ImageFormat::Jpeg);
        // A marker without a length (TEM), one that is reserved, and one that begins another picture.
        for odd in [0x01, 0x02, 0xbf, markers::SOI] {
            let mut hiding = plain[..plain.len() - 2].to_vec();
            hiding.extend_from_slice(&[markers::P, odd]);
            hiding.extend_from_slice(&u16::try_from(2 + place.len()).unwrap().to_be_bytes());
            hiding.extend_from_slice(&place);
            hiding.extend_from_slice(&plain[plain.len() - 2..]);
            assert_eq!(read(&hiding).unwrap().latitude.is_some(), odd == 0x01, "{odd:#x}: what our own reader sees");
            assert!(matches!(strip(&hiding), Err(Error::Photo(PhotoProblem::Damaged))), "{odd:#x}");
        }
    }

    #[test]
    fn the_small_preview_of_a_jpeg_is_gone_too() {
        let plain = two_halves(200, 100, ImageFormat::Jpeg);
        let mut jpeg = Jpeg::from_bytes(plain.clone().into()).unwrap();
        let mut jfif = jpeg.segments()[0].contents().to_vec();
        assert!(jfif.starts_with(b"JFIF\0") && jfif.ends_with(&[0, 0]));
        let size = jfif.len();
        jfif[size - 2..].copy_from_slice(&[1, 1]);
        jfif.extend_from_slice(&[220, 30, 30]);
        jpeg.segments_mut()[0] = JpegSegment::new_with_contents(markers::APP0, jfif.into());
        let with_preview = jpeg.encoder().bytes();
        assert_eq!(with_preview.len(), plain.len() + 3);
        assert_eq!(strip(&with_preview).unwrap(), plain);
    }

    fn pixels(bytes: &[u8]) -> image::RgbImage {
        image::load_from_memory(bytes).unwrap().into_rgb8()
    }

    #[test]
    fn words_in_every_corner_of_a_jpeg_are_gone_and_the_pixels_are_the_same() {
        let plain = two_halves(200, 100, ImageFormat::Jpeg);
        let mut jpeg = Jpeg::from_bytes(plain.clone().into()).unwrap();
        for (marker, text) in [
            (markers::APP1, "http://ns.adobe.com/xap/1.0/\0 Larkspur"),
            (markers::APP2, "MPF\0 Larkspur"),
            (markers::APP13, "Photoshop 3.0\0 Larkspur"),
            (markers::COM, "Larkspur"),
        ] {
            jpeg.segments_mut().insert(1, JpegSegment::new_with_contents(marker, text.into()));
        }
        let mut told = jpeg.encoder().bytes().to_vec();
        told.extend_from_slice(b"Larkspur behind the end");
        let bare = strip(&told).unwrap();
        assert!(!bare.windows(8).any(|w| w == b"Larkspur"));
        assert_eq!(pixels(&bare), pixels(&plain));
        assert_eq!(strip(&plain).unwrap(), plain, "a bare picture stays as it is");
    }

    #[test]
    fn a_comment_between_scans_is_left_out() {
        let scans = [1, 2, 0xff, 0x00, 3, 0xff, 0xfe, 0, 4, b'h', b'i', 0xff, 0xda, 0, 2, 9, 0xff, 0xd9, 7, 7];
        let kept = until_end(&scans).unwrap();
        assert_eq!(kept, [1, 2, 0xff, 0x00, 3, 0xff, 0xda, 0, 2, 9, 0xff, 0xd9]);
        assert_eq!(until_end(&scans[..16]), None);
        assert_eq!(until_end(&[0xff, 0xfe, 0, 0]), None);
    }

    #[test]
    fn words_in_a_png_are_gone() {
        let plain = two_halves(20, 10, ImageFormat::Png);
        let mut png = Png::from_bytes(plain.clone().into()).unwrap();
        let chunk = img_parts::png::PngChunk::new(*b"tEXt", "Comment\0Larkspur".into());
        png.chunks_mut().insert(1, chunk);
        let bare = strip(&png.encoder().bytes()).unwrap();
        assert!(!bare.windows(8).any(|w| w == b"Larkspur"));
        assert_eq!(pixels(&bare), pixels(&plain));
    }

    #[test]
    fn real_phone_photos_keep_their_pixels_and_their_turn_and_nothing_else() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../shared/reference/photos");
        let Ok(entries) = fs::read_dir(folder) else {
            eprintln!("no reference photos here: not tested against them");
            return;
        };
        for path in entries.map(|e| e.unwrap().path()).filter(|p| p.extension().is_some_and(|x| x == "jpg")) {
            let photo = fs::read(&path).unwrap();
            let (before, bare) = (read(&photo).unwrap(), strip(&photo).unwrap());
            let after = read(&bare).unwrap();
            assert_eq!((after.latitude, after.taken_local, after.altitude_m), (None, None, None), "{path:?}");
            assert_eq!(after.orientation, before.orientation.filter(|&o| o != 1), "{path:?}");
            let fields = metadata(&bare).map_or(0, |e| e.fields().count());
            assert_eq!(fields, usize::from(after.orientation.is_some()), "{path:?}");
            assert!(pixels(&bare) == pixels(&photo), "{path:?}");
        }
    }
}
