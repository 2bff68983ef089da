//! The drawn map: outline and areas as paths of SVG, labels, north, a scale. It prints, and stands where there is no script.

use super::areas::Shade;
use crate::export::{Area, Ring};

/// Width of the drawing, its own units.
const WIDTH: f64 = 424.0;
/// Tallest it gets.
const TALLEST: f64 = 620.0;
/// Air around the county.
const EDGE: f64 = 18.0;
/// Width of a letter of a label, about.
const LETTER: f64 = 8.6;
/// Miles in a degree of latitude, mean of the WGS 84 ellipsoid (111.13 km).
const MILES: f64 = 69.05;

/// What is drawn.
#[derive(Clone, Default, PartialEq, Debug)]
pub(super) struct Drawing {
    /// Of the whole: `0 0 424 444`.
    pub(super) frame: String,
    /// Areas, each with its shade.
    pub(super) areas: Vec<Piece>,
    /// The county's outline; empty where there is none.
    pub(super) outline: String,
    /// The scale.
    pub(super) scale: Scale,
    /// Where north is written.
    pub(super) north: (f64, f64),
}

/// One area.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Piece {
    /// Its path.
    pub(super) path: String,
    /// How it is shaded.
    pub(super) shade: Shade,
    /// Its label.
    pub(super) label: Label,
}

/// The words on an area, on a ground of their own.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Label {
    /// Its ground: left, top, width, height.
    pub(super) ground: (f64, f64, f64, f64),
    /// Lines: where, and what.
    pub(super) lines: Vec<(f64, f64, String)>,
}

/// So long on the drawing is so much on the ground.
#[derive(Clone, Default, PartialEq, Debug)]
pub(super) struct Scale {
    /// From here.
    pub(super) from: f64,
    /// To here.
    pub(super) to: f64,
    /// At this height.
    pub(super) at: f64,
    /// Miles.
    pub(super) miles: f64,
}

/// Where degrees lie on the drawing: as on a globe seen from above the middle of the county.
struct Sheet {
    west: f64,
    north: f64,
    across: f64,
    down: f64,
}

/// An area to draw: where, its shade, and what stands on it: its name and its count, or its number where these have no room.
pub(super) struct Drawn<'a> {
    pub(super) area: &'a Area,
    pub(super) shade: Shade,
    pub(super) name: &'a str,
    pub(super) count: &'a str,
    pub(super) number: usize,
}

impl Drawing {
    /// Draws; nothing where nothing has a place.
    pub(super) fn of(outline: Option<&Area>, areas: &[Drawn<'_>]) -> Option<Self> {
        let all = outline.into_iter().chain(areas.iter().map(|a| a.area));
        let corners = all.flat_map(|a| a.polygons()).flatten().flatten();
        let (mut west, mut south, mut east, mut north) = (f64::MAX, f64::MAX, f64::MIN, f64::MIN);
        for [lon, lat] in corners {
            (west, east) = (west.min(*lon), east.max(*lon));
            (south, north) = (south.min(*lat), north.max(*lat));
        }
        if west >= east || south >= north {
            return None;
        }
        let narrow = f64::midpoint(south, north).to_radians().cos().max(0.01);
        let fit = ((WIDTH - 2.0 * EDGE) / ((east - west) * narrow)).min((TALLEST - 2.0 * EDGE) / (north - south));
        let sheet = Sheet { west, north, across: fit * narrow, down: fit };
        let height = (north - south) * fit + 2.0 * EDGE;
        let width = ((east - west) * fit * narrow + 2.0 * EDGE).max(160.0);
        Some(Self {
            frame: format!("0 0 {width:.0} {:.0}", height + 26.0),
            areas: areas.iter().map(|a| piece(&sheet, a)).collect(),
            outline: outline.map(|o| sheet.path(o)).unwrap_or_default(),
            scale: scale(fit / MILES, width, height + 12.0),
            north: (width - EDGE, height + 2.0),
        })
    }
}

impl Sheet {
    fn at(&self, [lon, lat]: [f64; 2]) -> (f64, f64) {
        (EDGE + (lon - self.west) * self.across, EDGE + (self.north - lat) * self.down)
    }

    fn path(&self, area: &Area) -> String {
        area.polygons().iter().flatten().map(|ring| self.ring(ring)).collect()
    }

    /// A ring without the corners that nobody could see.
    fn ring(&self, ring: &Ring) -> String {
        let mut path = String::new();
        let mut last: Option<(f64, f64)> = None;
        for corner in ring.iter().take(ring.len().saturating_sub(1)) {
            let (x, y) = self.at(*corner);
            if last.is_some_and(|(a, b)| (x - a).abs() < 0.4 && (y - b).abs() < 0.4) {
                continue;
            }
            let begins = if last.is_none() { 'M' } else { 'L' };
            path.push_str(&format!("{begins}{x:.1} {y:.1}"));
            last = Some((x, y));
        }
        path.push('Z');
        path
    }

    /// Where a label stands, and how wide and high it may be: in the middle of the largest part.
    fn middle(&self, area: &Area) -> (f64, f64, f64, f64) {
        let outer = area.polygons().iter().filter_map(|rings| rings.first());
        let frames = outer.map(|ring| {
            let points = ring.iter().map(|c| self.at(*c));
            let (mut left, mut top, mut right, mut bottom) = (f64::MAX, f64::MAX, f64::MIN, f64::MIN);
            for (x, y) in points {
                (left, right) = (left.min(x), right.max(x));
                (top, bottom) = (top.min(y), bottom.max(y));
            }
            (left, top, right, bottom)
        });
        let size = |f: &(f64, f64, f64, f64)| (f.2 - f.0) * (f.3 - f.1);
        let (left, top, right, bottom) =
            frames.max_by(|a, b| size(a).total_cmp(&size(b))).unwrap_or((0.0, 0.0, 0.0, 0.0));
        (f64::midpoint(left, right), f64::midpoint(top, bottom), right - left, bottom - top)
    }
}

fn piece(sheet: &Sheet, drawn: &Drawn<'_>) -> Piece {
    let (x, y, wide, high) = sheet.middle(drawn.area);
    #[expect(clippy::cast_precision_loss, reason = "letters of a label")]
    let width = |text: &str| text.chars().count() as f64 * LETTER;
    let needs = width(drawn.name).max(width(drawn.count)) + 10.0;
    let lines = if needs <= wide && high >= 46.0 {
        vec![drawn.name.to_owned(), drawn.count.to_owned()]
    } else {
        vec![drawn.number.to_string()]
    };
    let widest = lines.iter().map(|l| width(l)).fold(0.0, f64::max) + 10.0;
    let two = lines.len() == 2;
    let height = if two { 42.0 } else { 21.0 };
    let top = y - height / 2.0;
    let placed = lines.into_iter().zip([16.0, 35.0]).map(|(text, down)| (round(x), round(top + down), text));
    Piece {
        path: sheet.path(drawn.area),
        shade: drawn.shade,
        label: Label { ground: (round(x - widest / 2.0), round(top), round(widest), height), lines: placed.collect() },
    }
}

/// A scale of at most a third of the width.
fn scale(per_mile: f64, width: f64, at: f64) -> Scale {
    let steps = [0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0];
    let miles = steps.into_iter().rev().find(|m| m * per_mile <= width / 3.0).unwrap_or(0.1);
    Scale { from: EDGE, to: round(EDGE + miles * per_mile), at: round(at), miles }
}

fn round(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(west: f64, south: f64, size: f64) -> Area {
        let ring = format!(
            "[[[{west},{south}],[{e},{south}],[{e},{n}],[{west},{n}],[{west},{south}]]]",
            e = west + size,
            n = south + size
        );
        let text = format!(r#"{{"type":"Polygon","coordinates":{ring}}}"#);
        Area::of_geometry(Some(text.parse().unwrap())).unwrap()
    }

    fn drawn<'a>(area: &'a Area, name: &'a str) -> Drawn<'a> {
        Drawn { area, shade: Shade::Most, name, count: "16 of 19", number: 7 }
    }

    #[test]
    fn north_is_up_and_west_is_left_and_a_degree_of_longitude_is_narrower_than_one_of_latitude() {
        let (a, b) = (square(-87.4, 42.6, 0.2), square(-87.2, 42.8, 0.2));
        let map = Drawing::of(None, &[drawn(&a, "Sedge"), drawn(&b, "Teasel")]).unwrap();
        let first = |path: &str| -> (f64, f64) {
            let (x, y) = path[1..].split('L').next().unwrap().split_once(' ').unwrap();
            (x.parse().unwrap(), y.parse().unwrap())
        };
        let (south_west, north_east) = (first(&map.areas[0].path), first(&map.areas[1].path));
        assert!(south_west.0 < north_east.0 && south_west.1 > north_east.1);
        let (across, down) = (north_east.0 - south_west.0, south_west.1 - north_east.1);
        assert!((across / down - 42.8_f64.to_radians().cos()).abs() < 0.01, "{across} {down}");
    }

    #[test]
    fn the_scale_says_the_true_length() {
        let map = Drawing::of(Some(&square(-87.4, 42.6, 0.4)), &[]).unwrap();
        let down = {
            let ys: Vec<f64> = map.outline[1..map.outline.len() - 1]
                .split('L')
                .map(|c| c.split_once(' ').unwrap().1.parse().unwrap())
                .collect();
            ys.iter().copied().fold(f64::MIN, f64::max) - ys.iter().copied().fold(f64::MAX, f64::min)
        };
        let miles = (map.scale.to - map.scale.from) / (down / (0.4 * 69.05));
        assert!((miles - map.scale.miles).abs() < 0.05, "{miles} {:?}", map.scale);
    }

    #[test]
    fn what_has_no_room_for_its_name_shows_its_number() {
        let (large, small) = (square(-87.4, 42.6, 0.4), square(-87.0, 42.6, 0.02));
        let map = Drawing::of(None, &[drawn(&large, "Sedge"), drawn(&small, "Teasel")]).unwrap();
        let words = |at: usize| map.areas[at].label.lines.iter().map(|l| l.2.as_str()).collect::<Vec<_>>();
        assert_eq!((words(0), words(1)), (vec!["Sedge", "16 of 19"], vec!["7"]));
        assert_eq!(Drawing::of(None, &[]), None);
    }
}
