//! Coarse areas on the map: public cells and townships. Longitude first, degrees, WGS 84.

use std::{collections::BTreeMap, path::Path};

use anyhow::{Context, Result, anyhow};
use geojson::{FeatureCollection, Geometry, GeometryValue, Position};

/// Height and width of a public cell in degrees: about five miles either way at 43 degrees north. Cells are counted from the
/// equator and from 180 degrees west.
const CELL: (f64, f64) = (0.0725, 0.0985);

/// A closed ring of corners.
pub(crate) type Ring = Vec<[f64; 2]>;

/// The rings of an area: of each polygon the outer one, then its holes.
#[derive(Clone, PartialEq, Debug)]
pub struct Area(Vec<Vec<Ring>>);

impl Area {
    /// The area of a public cell such as `r589c944`; nothing for a name of another form.
    pub fn of_cell(name: &str) -> Option<Self> {
        let (row, column) = name.strip_prefix('r')?.split_once('c')?;
        let (row, column) = (f64::from(row.parse::<i16>().ok()?), f64::from(column.parse::<u16>().ok()?));
        let (south, west) = (row * CELL.0, column * CELL.1 - 180.0);
        let (north, east) = (south + CELL.0, west + CELL.1);
        if south < -90.0 || north > 90.0 || east > 180.0 {
            return None;
        }
        Self::of_rings(vec![vec![[west, south], [east, south], [east, north], [west, north], [west, south]]])
    }

    /// One polygon: closed rings of at least three corners, the outer one turned counter-clockwise, holes clockwise
    /// (RFC 7946, section 3.1.6), five decimals at most.
    fn of_rings(rings: Vec<Ring>) -> Option<Self> {
        let turned = rings.into_iter().enumerate().map(|(at, ring)| turn(ring, at == 0));
        Some(Self(vec![turned.collect::<Option<_>>()?]))
    }

    /// A polygon or several of GeoJSON.
    ///
    /// # Errors
    /// What it is instead: `no polygon`, or `no closed ring`.
    pub(crate) fn of_geometry(geometry: Option<Geometry>) -> Result<Self, &'static str> {
        let polygons = match geometry.map(|g| g.value) {
            Some(GeometryValue::Polygon { coordinates }) => vec![coordinates],
            Some(GeometryValue::MultiPolygon { coordinates }) => coordinates,
            _ => return Err("no polygon"),
        };
        let mut whole = Self(Vec::new());
        for rings in polygons {
            let plain = |p: &Position| Some([*p.as_slice().first()?, *p.as_slice().get(1)?]);
            let rings: Option<Vec<Ring>> = rings.iter().map(|ring| ring.iter().map(plain).collect()).collect();
            whole.0.extend(rings.and_then(Self::of_rings).ok_or("no closed ring")?.0);
        }
        Ok(whole)
    }

    /// Several as one; nothing where there is none.
    pub(crate) fn joined(areas: Vec<Self>) -> Option<Self> {
        let polygons: Vec<Vec<Ring>> = areas.into_iter().flat_map(|area| area.0).collect();
        (!polygons.is_empty()).then_some(Self(polygons))
    }

    /// Its polygons: of each the outer ring, then its holes.
    pub(crate) fn polygons(&self) -> &[Vec<Ring>] {
        &self.0
    }

    /// As GeoJSON.
    pub fn geometry(&self) -> GeometryValue {
        let polygon = |rings: &Vec<Ring>| {
            rings.iter().map(|ring| ring.iter().map(|c| Position::from(*c)).collect()).collect::<Vec<Vec<_>>>()
        };
        match self.0.as_slice() {
            [one] => GeometryValue::Polygon { coordinates: polygon(one) },
            more => GeometryValue::MultiPolygon { coordinates: more.iter().map(polygon).collect() },
        }
    }

    /// As well-known text, longitude first.
    pub fn wkt(&self) -> String {
        let ring = |ring: &Ring| {
            let corners: Vec<String> = ring.iter().map(|[lon, lat]| format!("{lon} {lat}")).collect();
            format!("({})", corners.join(", "))
        };
        let polygons: Vec<String> =
            self.0.iter().map(|rings| format!("({})", rings.iter().map(ring).collect::<Vec<_>>().join(", "))).collect();
        match polygons.as_slice() {
            [one] => format!("POLYGON {one}"),
            more => format!("MULTIPOLYGON ({})", more.join(", ")),
        }
    }
}

/// Outlines of townships by their names in small letters, out of a GeoJSON file whose features have a `name`.
///
/// # Errors
/// When the file is not such a collection, or an outline is none.
pub fn outlines(file: &Path) -> Result<BTreeMap<String, Area>> {
    let shown = file.display();
    let text = std::fs::read_to_string(file).with_context(|| format!("reading {shown}"))?;
    let read: FeatureCollection =
        text.parse().with_context(|| format!("{shown} is no collection of GeoJSON features"))?;
    let mut areas = BTreeMap::new();
    for feature in read.features {
        let word = |name: &str| feature.property(name).and_then(|v| v.as_str()).map(str::to_owned);
        if word("kind").is_some_and(|kind| kind != "township") {
            continue;
        }
        let name = word("name").with_context(|| format!("an outline in {shown} has no name"))?;
        let area = Area::of_geometry(feature.geometry);
        let whole = area.map_err(|why| anyhow!("the outline of {name} in {shown} is {why}"))?;
        areas.insert(name.to_lowercase(), whole);
    }
    Ok(areas)
}

/// The ring with five decimals at most, no corner twice in a row, turned as asked; nothing when it is no ring.
fn turn(ring: Ring, counter_clockwise: bool) -> Option<Ring> {
    let short = |degrees: f64| (degrees * 1e5).round() / 1e5;
    let mut ring: Ring = ring.into_iter().map(|[lon, lat]| [short(lon), short(lat)]).collect();
    ring.dedup();
    let on_earth = ring.iter().all(|[lon, lat]| lon.abs() <= 180.0 && lat.abs() <= 90.0);
    if ring.len() < 4 || ring.first() != ring.last() || !on_earth {
        return None;
    }
    if (signed_area(&ring) > 0.0) != counter_clockwise {
        ring.reverse();
    }
    Some(ring)
}

/// Twice the area in square degrees by the shoelace formula; positive when the ring runs counter-clockwise.
fn signed_area(ring: &[[f64; 2]]) -> f64 {
    ring.iter().zip(ring.iter().skip(1)).map(|([x1, y1], [x2, y2])| x1 * y2 - x2 * y1).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_is_where_its_name_says_and_runs_counter_clockwise() {
        let cell = Area::of_cell("r589c944").unwrap();
        assert_eq!(
            cell.wkt(),
            "POLYGON ((-87.016 42.7025, -86.9175 42.7025, -86.9175 42.775, -87.016 42.775, -87.016 42.7025))"
        );
        for other in ["LK-0304", "", "r9999c1", "r1c9999", "rXc3", "r1"] {
            assert_eq!(Area::of_cell(other), None, "{other}");
        }
    }

    #[test]
    fn an_outline_is_turned_shortened_and_an_open_one_refused() {
        let clockwise = vec![[0.0, 0.0], [0.0, 1.000_000_4], [1.0, 1.0], [1.0, 0.0], [0.0, 0.0]];
        assert!(signed_area(&clockwise) < 0.0);
        let turned = turn(clockwise.clone(), true).unwrap();
        assert!(signed_area(&turned) > 0.0);
        assert_eq!(turned[3], [0.0, 1.0]);
        assert_eq!(turn(clockwise[..4].to_vec(), true), None);
    }
}
