//! Position and direction in a photo's metadata (Exif 2.32, section 4.6.6), to decimal degrees.

use exif::{Exif, In, Rational, Tag, Value};

use super::facts::{North, ascii};

/// Latitude and longitude, degrees, WGS 84; nothing when one of them, or its letter, is missing or out of range.
/// Degrees + minutes/60 + seconds/3600, negative south and west.
pub(super) fn position(exif: &Exif) -> Option<(f64, f64)> {
    let latitude = angle(exif, Tag::GPSLatitude, Tag::GPSLatitudeRef, "N", "S")?;
    let longitude = angle(exif, Tag::GPSLongitude, Tag::GPSLongitudeRef, "E", "W")?;
    (latitude.abs() <= 90.0 && longitude.abs() <= 180.0).then_some((latitude, longitude))
}

fn angle(exif: &Exif, tag: Tag, letter_tag: Tag, plus: &str, minus: &str) -> Option<f64> {
    let parts = rationals(exif, tag)?;
    let [degrees, minutes, seconds] = parts else { return None };
    let size = number(degrees)? + number(minutes)? / 60.0 + number(seconds)? / 3600.0;
    match ascii(exif, letter_tag)? {
        letter if letter == plus => Some(size),
        letter if letter == minus => Some(-size),
        _ => None,
    }
}

/// Meters above sea level; a reference of 1 means below.
pub(super) fn altitude_m(exif: &Exif) -> Option<f64> {
    let size = number(rationals(exif, Tag::GPSAltitude)?.first()?)?;
    let below = match exif.get_field(Tag::GPSAltitudeRef, In::PRIMARY).map(|f| &f.value) {
        Some(Value::Byte(bytes)) => bytes.first() == Some(&1),
        _ => false,
    };
    Some(if below { -size } else { size })
}

/// Horizontal positioning error, meters.
pub(super) fn accuracy_m(exif: &Exif) -> Option<f64> {
    number(rationals(exif, Tag::GPSHPositioningError)?.first()?)
}

/// Direction of the picture, degrees, and which north it counts from, where that is told.
pub(super) fn direction(exif: &Exif) -> Option<(f64, Option<North>)> {
    let degrees = number(rationals(exif, Tag::GPSImgDirection)?.first()?)?;
    let north = match ascii(exif, Tag::GPSImgDirectionRef) {
        Some("T") => Some(North::True),
        Some("M") => Some(North::Magnetic),
        _ => None,
    };
    (0.0..=360.0).contains(&degrees).then_some((degrees % 360.0, north))
}

fn rationals(exif: &Exif, tag: Tag) -> Option<&[Rational]> {
    match &exif.get_field(tag, In::PRIMARY)?.value {
        Value::Rational(parts) => Some(parts),
        _ => None,
    }
}

/// The number; nothing when the denominator is zero, which cameras write for unknown.
fn number(rational: &Rational) -> Option<f64> {
    (rational.denom != 0).then(|| rational.to_f64())
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use exif::{Field, Reader, experimental::Writer};

    use super::*;

    fn field(tag: Tag, value: Value) -> Field {
        Field { tag, ifd_num: In::PRIMARY, value }
    }

    fn exif(fields: &[Field]) -> Exif {
        let mut writer = Writer::new();
        fields.iter().for_each(|f| writer.push_field(f));
        let mut bytes = Cursor::new(Vec::new());
        writer.write(&mut bytes, false).unwrap();
        Reader::new().read_raw(bytes.into_inner()).unwrap()
    }

    fn parts(parts: &[(u32, u32)]) -> Value {
        Value::Rational(parts.iter().map(|&(num, denom)| Rational { num, denom }).collect())
    }

    fn letter(letter: &str) -> Value {
        Value::Ascii(vec![letter.as_bytes().to_vec()])
    }

    fn at(latitude: Value, south: &str, longitude: Value, west: &str) -> Option<(f64, f64)> {
        position(&exif(&[
            field(Tag::GPSLatitude, latitude),
            field(Tag::GPSLatitudeRef, letter(south)),
            field(Tag::GPSLongitude, longitude),
            field(Tag::GPSLongitudeRef, letter(west)),
        ]))
    }

    #[test]
    fn all_four_quarters_of_the_globe() {
        let (deg, whole) = (parts(&[(42, 1), (30, 1), (36, 1)]), parts(&[(87, 1), (15, 1), (0, 1)]));
        for (south, west, signs) in [("N", "E", (1.0, 1.0)), ("S", "W", (-1.0, -1.0)), ("N", "W", (1.0, -1.0))] {
            let (lat, lon) = at(deg.clone(), south, whole.clone(), west).unwrap();
            assert!((lat - signs.0 * 42.51).abs() < 1e-9 && (lon - signs.1 * 87.25).abs() < 1e-9);
        }
    }

    #[test]
    fn a_position_that_is_not_whole_is_no_position() {
        let good = parts(&[(42, 1), (30, 1), (0, 1)]);
        assert_eq!(at(parts(&[(0, 0), (0, 0), (0, 0)]), "N", good.clone(), "W"), None);
        assert_eq!(at(parts(&[(42, 1)]), "N", good.clone(), "W"), None);
        assert_eq!(at(parts(&[(95, 1), (0, 1), (0, 1)]), "N", good.clone(), "W"), None);
        assert_eq!(at(good.clone(), "X", good.clone(), "W"), None);
        assert_eq!(position(&exif(&[field(Tag::GPSLatitude, good)])), None);
    }

    #[test]
    fn below_the_sea_is_negative_and_a_direction_keeps_its_north() {
        let below = exif(&[
            field(Tag::GPSAltitude, parts(&[(1663, 10)])),
            field(Tag::GPSAltitudeRef, Value::Byte(vec![1])),
            field(Tag::GPSHPositioningError, parts(&[(9, 2)])),
            field(Tag::GPSImgDirection, parts(&[(3600, 10)])),
            field(Tag::GPSImgDirectionRef, letter("M")),
        ]);
        assert_eq!(altitude_m(&below), Some(-166.3));
        assert_eq!(accuracy_m(&below), Some(4.5));
        assert_eq!(direction(&below), Some((0.0, Some(North::Magnetic))));
        let odd = exif(&[field(Tag::GPSImgDirection, parts(&[(400, 1)]))]);
        assert_eq!(direction(&odd), None);
    }
}
