//! The map scene: outline, townships, earlier records, rings around the middle, north and scale, as shapes in units of a screen.
//! No map and no signal are needed; a shell only paints.

use super::{outline::Outline, reader::View};

/// What a shape is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum MapShapeKind {
    /// The county's outline: a heavy line.
    County,
    /// A township: a thin line.
    Township,
    /// A ring around the middle: a circle of the first point with the radius.
    Ring,
    /// Words at a point.
    Label,
    /// An earlier record.
    Record,
    /// Where this phone is, with a circle of what it knows.
    Here,
    /// The pin of this inquiry.
    Pin,
    /// An arrow to the north, from the first point to the second.
    North,
    /// The scale: a line between two points.
    Scale,
}

/// One shape.
#[derive(Clone, PartialEq, Debug)]
pub struct MapShape {
    /// What it is.
    pub kind: MapShapeKind,
    /// Across and down, in turn, in units of the screen.
    pub points: Vec<f32>,
    /// Radius of a circle; 0 where there is none.
    pub radius: f32,
    /// Its words; empty where it has none.
    pub text: String,
}

/// The scene, for one size of the screen.
#[derive(Clone, PartialEq, Debug)]
pub struct MapScene {
    /// Width in units of the screen.
    pub width: f32,
    /// Height in units of the screen.
    pub height: f32,
    /// Shapes, the lowest first.
    pub shapes: Vec<MapShape>,
    /// The same in words, a line each.
    pub twin: Vec<String>,
    /// Latitude of the middle, degrees, WGS 84. Handed back with a touch.
    pub latitude: f64,
    /// Longitude of the middle, degrees, WGS 84.
    pub longitude: f64,
    /// Meters of one unit of the screen.
    pub meters: f64,
}

/// Meters of a degree of latitude: 60 nautical miles.
const DEGREE: f64 = 111_120.0;
/// Rings drawn.
const RINGS: u32 = 3;
/// Meters across that are shown around a place.
const AROUND: f64 = 1_200.0;

/// A place with what it is called and how well it is known.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Spot {
    pub(super) latitude: f64,
    pub(super) longitude: f64,
    pub(super) accuracy_m: f64,
    pub(super) text: String,
}

/// Where on the plane around the middle a place lies: meters east and north.
pub(super) fn offset(middle: (f64, f64), place: (f64, f64)) -> (f64, f64) {
    let east = (place.1 - middle.1) * DEGREE * middle.0.to_radians().cos();
    (east, (place.0 - middle.0) * DEGREE)
}

/// The place that lies so many meters east and north of another.
pub(super) fn moved(from: (f64, f64), east: f64, north: f64) -> (f64, f64) {
    (from.0 + north / DEGREE, from.1 + east / (DEGREE * from.0.to_radians().cos().max(0.01)))
}

struct Canvas {
    middle: (f64, f64),
    meters: f64,
    width: f32,
    height: f32,
    shapes: Vec<MapShape>,
}

impl Canvas {
    fn at(&self, latitude: f64, longitude: f64) -> (f32, f32) {
        let (east, north) = offset(self.middle, (latitude, longitude));
        (self.width / 2.0 + to_f32(east / self.meters), self.height / 2.0 - to_f32(north / self.meters))
    }

    fn line(&mut self, kind: MapShapeKind, ring: &[(f64, f64)], text: &str) {
        let points = ring.iter().flat_map(|(lon, lat)| <[f32; 2]>::from(self.at(*lat, *lon))).collect();
        self.shapes.push(MapShape { kind, points, radius: 0.0, text: text.to_owned() });
    }

    fn spot(&mut self, kind: MapShapeKind, spot: &Spot) {
        let (x, y) = self.at(spot.latitude, spot.longitude);
        let radius = to_f32(spot.accuracy_m / self.meters);
        self.shapes.push(MapShape { kind, points: vec![x, y], radius, text: spot.text.clone() });
    }
}

#[expect(clippy::cast_possible_truncation, reason = "units of a screen")]
fn to_f32(number: f64) -> f32 {
    number as f32
}

/// The scene around a pin, or where this phone is, or else of the whole county.
pub(super) fn scene(
    view: &View<'_>,
    (width, height): (f32, f32),
    outline: &Outline,
    pin: Option<&Spot>,
    here: Option<&Spot>,
    records: &[Spot],
) -> MapScene {
    let (width, height) = (width.max(1.0), height.max(1.0));
    let (middle, meters) = frame(width.min(height), outline, pin, here);
    let mut canvas = Canvas { middle, meters, width, height, shapes: Vec::new() };
    for (name, rings) in &outline.townships {
        rings.iter().for_each(|ring| canvas.line(MapShapeKind::Township, ring, name));
        if let Some(ring) = rings.first() {
            let (x, y) = label_of(&canvas, ring);
            canvas.shapes.push(MapShape {
                kind: MapShapeKind::Label,
                points: vec![x, y],
                radius: 0.0,
                text: name.clone(),
            });
        }
    }
    outline.rings.iter().for_each(|ring| canvas.line(MapShapeKind::County, ring, &outline.county));
    let step = nice(view, f64::from(width.min(height)) / 2.0 * meters / f64::from(RINGS));
    for n in 1..=RINGS {
        let far = step * f64::from(n);
        let radius = to_f32(far / meters);
        let points = vec![width / 2.0, height / 2.0];
        canvas.shapes.push(MapShape { kind: MapShapeKind::Ring, points, radius, text: view.way_length(far) });
    }
    records.iter().for_each(|spot| canvas.spot(MapShapeKind::Record, spot));
    here.iter().for_each(|spot| canvas.spot(MapShapeKind::Here, spot));
    pin.iter().for_each(|spot| canvas.spot(MapShapeKind::Pin, spot));
    let edge = 24.0;
    let north = vec![width - edge, edge * 2.0, width - edge, edge];
    canvas.shapes.push(MapShape {
        kind: MapShapeKind::North,
        points: north,
        radius: 0.0,
        text: view.say("phone-north"),
    });
    let long = to_f32(step / meters);
    let scale = vec![edge, height - edge, edge + long, height - edge];
    canvas.shapes.push(MapShape { kind: MapShapeKind::Scale, points: scale, radius: 0.0, text: view.way_length(step) });
    MapScene {
        width,
        height,
        shapes: canvas.shapes,
        twin: twin(view, outline, middle, pin, here, records),
        latitude: middle.0,
        longitude: middle.1,
        meters,
    }
}

/// The middle, and meters of a unit.
fn frame(short: f32, outline: &Outline, pin: Option<&Spot>, here: Option<&Spot>) -> ((f64, f64), f64) {
    if let Some(spot) = pin.or(here) {
        return ((spot.latitude, spot.longitude), AROUND / f64::from(short));
    }
    let corners = outline.rings.iter().chain(outline.townships.iter().flat_map(|(_, rings)| rings)).flatten();
    let bounds = corners.fold(None, |bounds: Option<[f64; 4]>, (lon, lat)| {
        let [west, south, east, north] = bounds.unwrap_or([*lon, *lat, *lon, *lat]);
        Some([west.min(*lon), south.min(*lat), east.max(*lon), north.max(*lat)])
    });
    let Some([west, south, east, north]) = bounds else { return ((0.0, 0.0), AROUND / f64::from(short)) };
    let middle = ((south + north) / 2.0, (west + east) / 2.0);
    let (half_east, half_north) = offset(middle, (north, east));
    (middle, half_east.max(half_north) * 2.1 / f64::from(short))
}

fn label_of(canvas: &Canvas, ring: &[(f64, f64)]) -> (f32, f32) {
    let n = ring.len().saturating_sub(1).max(1);
    let sum = ring.iter().skip(1).fold((0.0, 0.0), |sum, c| (sum.0 + c.0, sum.1 + c.1));
    #[expect(clippy::cast_precision_loss, reason = "corners of a township")]
    let (lon, lat) = (sum.0 / n as f64, sum.1 / n as f64);
    canvas.at(lat, lon)
}

/// A round length of at most so many meters: 1, 2 or 5 of a power of ten of the reader's unit.
fn nice(view: &View<'_>, most: f64) -> f64 {
    let unit = match view.units {
        super::Units::Metric => 1.0,
        super::Units::Customary if most >= 1_609.344 / 5.0 => 1_609.344 / 10.0,
        super::Units::Customary => 0.3048,
    };
    let power = 10_f64.powf((most / unit).log10().floor());
    let steps = [5.0, 2.0, 1.0].map(|n| n * power * unit);
    steps.into_iter().find(|step| *step <= most).unwrap_or(most)
}

/// The scene in words.
fn twin(
    view: &View<'_>,
    outline: &Outline,
    middle: (f64, f64),
    pin: Option<&Spot>,
    here: Option<&Spot>,
    records: &[Spot],
) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(spot) = pin.or(here) {
        let township = outline.township_of(spot.latitude, spot.longitude);
        lines.extend(township.map(|name| view.with("phone-scene-in", [("township", &name)])));
    }
    if let (Some(pin), Some(here)) = (pin, here) {
        let way = direction(view, (here.latitude, here.longitude), (pin.latitude, pin.longitude));
        lines.push(view.with("phone-scene-pin", [("way", &way)]));
    }
    for spot in records {
        let way = direction(view, middle, (spot.latitude, spot.longitude));
        lines.push(view.with("phone-scene-record", [("way", &way), ("what", &spot.text)]));
    }
    if outline.rings.is_empty() {
        lines.push(view.say("phone-scene-no-outline"));
    }
    lines
}

/// `0.3 mi northeast`; `here` for less than a few steps.
pub(super) fn direction(view: &View<'_>, from: (f64, f64), to: (f64, f64)) -> String {
    const WINDS: [&str; 8] = ["n", "ne", "e", "se", "s", "sw", "w", "nw"];
    let (east, north) = offset(from, to);
    let far = east.hypot(north);
    if far < 3.0 {
        return view.say("phone-way-none");
    }
    let turn = (east.atan2(north).to_degrees() + 360.0 + 22.5) / 45.0;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 16")]
    let wind = WINDS.get(turn as usize % 8).copied().unwrap_or("n");
    view.with("phone-way", [("far", &view.way_length(far)), ("wind", &view.say(&format!("phone-wind-{wind}")))])
}
