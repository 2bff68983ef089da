//! What a photo's metadata says (Exif 2.32).

use std::io::Cursor;

use exif::{Exif, In, Reader, Tag, Value};
use image::{ImageFormat, ImageReader};
use jiff::{civil::DateTime, tz::Offset};
use serde::Serialize;

use super::{MAX_BYTES, MAX_PIXELS, PhotoProblem, gps};
use crate::{Error, Result};

/// Which north a direction counts from.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum North {
    /// The pole of the map.
    True,
    /// Where a compass needle points.
    Magnetic,
}

impl North {
    /// The registry's word: `true` or `magnetic`.
    pub fn word(self) -> &'static str {
        match self {
            Self::True => "true",
            Self::Magnetic => "magnetic",
        }
    }
}

/// What a photo says of itself. Whatever the camera did not write, or wrote damaged, is `None`.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct PhotoFacts {
    /// Media type: `image/jpeg` or `image/png`.
    pub mime: &'static str,
    /// Pixels across, as stored (before any turning).
    pub width_px: u32,
    /// Pixels down, as stored.
    pub height_px: u32,
    /// EXIF orientation, 1 to 8.
    pub orientation: Option<u8>,
    /// Local time of capture (DateTimeOriginal).
    pub taken_local: Option<DateTime>,
    /// Offset of that local time from UTC (OffsetTimeOriginal).
    #[serde(serialize_with = "offset_text")]
    pub offset: Option<Offset>,
    /// Degrees north, WGS 84.
    pub latitude: Option<f64>,
    /// Degrees east, WGS 84.
    pub longitude: Option<f64>,
    /// Meters above sea level; below is negative.
    pub altitude_m: Option<f64>,
    /// Horizontal positioning error, meters.
    pub accuracy_m: Option<f64>,
    /// Direction the camera looked, degrees from north, clockwise, 0 to below 360.
    pub direction_deg: Option<f64>,
    /// The north that the direction counts from.
    pub direction_ref: Option<North>,
}

impl PhotoFacts {
    /// The time of capture as RFC 3339, with its offset where the camera wrote one, without otherwise.
    pub fn taken(&self) -> Option<String> {
        let local = self.taken_local?;
        Some(match self.offset {
            Some(offset) => {
                let minutes = offset.seconds() / 60;
                let sign = if minutes < 0 { '-' } else { '+' };
                format!("{local}{sign}{:02}:{:02}", minutes.abs() / 60, minutes.abs() % 60)
            }
            None => local.to_string(),
        })
    }
}

fn offset_text<S: serde::Serializer>(offset: &Option<Offset>, s: S) -> Result<S::Ok, S::Error> {
    offset.map(|o| o.to_string()).serialize(s)
}

/// Reads a photo's format, size and metadata without decoding its pixels.
///
/// # Errors
/// [`Error::Photo`] when it is no JPEG or PNG, over a limit, or its frame cannot be read.
pub fn read(bytes: &[u8]) -> Result<PhotoFacts> {
    let frame = Frame::of(bytes)?;
    let exif = metadata(bytes);
    let exif = exif.as_ref();
    let position = exif.and_then(gps::position);
    let direction = exif.and_then(gps::direction);
    Ok(PhotoFacts {
        mime: frame.format.to_mime_type(),
        width_px: frame.width_px,
        height_px: frame.height_px,
        orientation: exif.and_then(orientation),
        taken_local: exif.and_then(|e| date_time(ascii(e, Tag::DateTimeOriginal)?)),
        offset: exif.and_then(|e| parse_offset(ascii(e, Tag::OffsetTimeOriginal)?)),
        latitude: position.map(|p| p.0),
        longitude: position.map(|p| p.1),
        altitude_m: exif.and_then(gps::altitude_m),
        accuracy_m: exif.and_then(gps::accuracy_m),
        direction_deg: direction.map(|d| d.0),
        direction_ref: direction.and_then(|d| d.1),
    })
}

/// Format and size of a picture within the limits.
pub(super) struct Frame {
    pub format: ImageFormat,
    pub width_px: u32,
    pub height_px: u32,
}

impl Frame {
    /// Reads the header only.
    pub fn of(bytes: &[u8]) -> Result<Self> {
        if bytes.len() > MAX_BYTES {
            return Err(Error::Photo(PhotoProblem::TooManyBytes));
        }
        let Ok(format @ (ImageFormat::Jpeg | ImageFormat::Png)) = image::guess_format(bytes) else {
            return Err(Error::Photo(PhotoProblem::OtherFormat));
        };
        let (width_px, height_px) = ImageReader::with_format(Cursor::new(bytes), format)
            .into_dimensions()
            .map_err(|_| Error::Photo(PhotoProblem::Damaged))?;
        if width_px == 0 || height_px == 0 {
            return Err(Error::Photo(PhotoProblem::Damaged));
        }
        if u64::from(width_px) * u64::from(height_px) > MAX_PIXELS {
            return Err(Error::Photo(PhotoProblem::TooManyPixels));
        }
        Ok(Self { format, width_px, height_px })
    }
}

/// The metadata as far as it can be read.
pub(super) fn metadata(bytes: &[u8]) -> Option<Exif> {
    Reader::new()
        .continue_on_error(true)
        .read_from_container(&mut Cursor::new(bytes))
        .or_else(|e| e.distill_partial_result(|_| ()))
        .ok()
}

/// EXIF orientation, 1 to 8.
pub(super) fn orientation(exif: &Exif) -> Option<u8> {
    let value = exif.get_field(Tag::Orientation, In::PRIMARY)?.value.get_uint(0)?;
    u8::try_from(value).ok().filter(|o| (1..=8).contains(o))
}

/// Text of a field, without what pads it.
pub(super) fn ascii(exif: &Exif, tag: Tag) -> Option<&str> {
    match &exif.get_field(tag, In::PRIMARY)?.value {
        Value::Ascii(lines) => {
            let text = std::str::from_utf8(lines.first()?).ok()?;
            Some(text.trim_matches(|c: char| c == '\0' || c.is_ascii_whitespace())).filter(|t| !t.is_empty())
        }
        _ => None,
    }
}

/// `2026:07:12 09:30:15`, the one form that Exif knows; blanks or zeros mean unknown.
fn date_time(text: &str) -> Option<DateTime> {
    DateTime::strptime("%Y:%m:%d %H:%M:%S", text).ok()
}

/// `-05:00`, or `Z`.
fn parse_offset(text: &str) -> Option<Offset> {
    if text == "Z" {
        return Some(Offset::UTC);
    }
    let (sign, rest) = match text.split_at_checked(1)? {
        ("+", rest) => (1, rest),
        ("-", rest) => (-1, rest),
        _ => return None,
    };
    let (hours, minutes) = rest.split_once(':')?;
    let (hours, minutes): (i32, i32) = (hours.parse().ok()?, minutes.parse().ok()?);
    if !(0..=14).contains(&hours) || !(0..60).contains(&minutes) {
        return None;
    }
    Offset::from_seconds(sign * (hours * 3600 + minutes * 60)).ok()
}

#[cfg(test)]
mod tests {
    use std::{fs, path::Path};

    use super::*;

    /// A row of the measured truth: the file's path and the other columns by name.
    type Row = (String, Vec<(String, String)>);

    fn truth() -> Option<Vec<Row>> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../shared/reference/photos");
        let Ok(text) = fs::read_to_string(folder.join("truth.csv")) else {
            eprintln!("no reference photos here: not tested against them");
            return None;
        };
        let mut lines = text.lines();
        let names: Vec<&str> = lines.next().unwrap().split(',').collect();
        let rows = lines.map(|line| {
            let cells = line.split(',').map(str::to_owned);
            let row: Vec<(String, String)> = names.iter().map(|n| (*n).to_owned()).zip(cells).collect();
            (folder.join(&row[0].1).to_str().unwrap().to_owned(), row[1..].to_vec())
        });
        Some(rows.collect())
    }

    fn close(found: Option<f64>, told: &str, within: f64, what: &str) {
        match (found, told) {
            (None, "") => {}
            (Some(found), told) => {
                let told: f64 = told.parse().unwrap_or_else(|_| panic!("{what}: {found} where none is told"));
                assert!((found - told).abs() <= within, "{what}: {found} is not {told}");
            }
            (None, told) => panic!("{what}: nothing instead of {told}"),
        }
    }

    #[test]
    fn real_phone_photos_read_as_they_were_measured() {
        let Some(rows) = truth() else { return };
        assert_eq!(rows.len(), 9);
        for (file, row) in rows {
            let facts = read(&fs::read(&file).unwrap()).unwrap();
            for (name, told) in row {
                let what = format!("{file} {name}");
                match name.as_str() {
                    "latitude" => close(facts.latitude, &told, 1e-6, &what),
                    "longitude" => close(facts.longitude, &told, 1e-6, &what),
                    "altitude_m" => close(facts.altitude_m, &told, 1e-6, &what),
                    "direction_deg" => close(facts.direction_deg, &told, 1e-6, &what),
                    "accuracy_m" => close(facts.accuracy_m, &told, 1e-6, &what),
                    "direction_ref" => {
                        let letter = match facts.direction_ref {
                            Some(North::True) => "T",
                            Some(North::Magnetic) => "M",
                            None => "",
                        };
                        assert_eq!(letter, told, "{what}");
                    }
                    "orientation" => {
                        assert_eq!(facts.orientation.map_or(String::new(), |o| o.to_string()), told, "{what}")
                    }
                    "taken_local" => {
                        let text = facts.taken_local.unwrap().strftime("%Y:%m:%d %H:%M:%S").to_string();
                        assert_eq!(text, told, "{what}");
                    }
                    "offset" => assert_eq!(facts.offset.map_or(String::new(), |o| o.to_string()), told, "{what}"),
                    "width_px" => assert_eq!(facts.width_px.to_string(), told, "{what}"),
                    "height_px" => assert_eq!(facts.height_px.to_string(), told, "{what}"),
                    other => panic!("a column that is not tested: {other}"),
                }
            }
        }
    }

    #[test]
    fn times_and_offsets_are_read_strictly() {
        assert_eq!(date_time("2026:07:12 09:30:15"), Some(jiff::civil::date(2026, 7, 12).at(9, 30, 15, 0)));
        for bad in ["0000:00:00 00:00:00", "    :  :     :  :  ", "2026-07-12", "2026:02:30 01:00:00"] {
            assert_eq!(date_time(bad), None, "{bad}");
        }
        assert_eq!(parse_offset("-05:00").map(Offset::seconds), Some(-18_000));
        assert_eq!(parse_offset("+05:30").map(Offset::seconds), Some(19_800));
        for bad in ["", "05:00", "-5", "+99:00", "+05:61", "\u{2212}05:00", "é1:00"] {
            assert_eq!(parse_offset(bad), None, "{bad}");
        }
    }

    #[test]
    fn the_time_is_written_with_its_offset_only_where_known() {
        let plain = image::RgbImage::new(4, 3);
        let mut bytes = Cursor::new(Vec::new());
        plain.write_to(&mut bytes, ImageFormat::Jpeg).unwrap();
        let mut facts = read(bytes.get_ref()).unwrap();
        assert_eq!((facts.width_px, facts.height_px, facts.taken()), (4, 3, None));
        facts.taken_local = date_time("2026:07:12 09:30:15");
        assert_eq!(facts.taken().unwrap(), "2026-07-12T09:30:15");
        facts.offset = parse_offset("-05:00");
        assert_eq!(facts.taken().unwrap(), "2026-07-12T09:30:15-05:00");
    }
}
