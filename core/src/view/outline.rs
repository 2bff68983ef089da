//! The county's own lines: its outline and townships, out of the GeoJSON file that stands in the notebook's folder. Without the
//! file everything works, and the scene has no outline.

use std::{fs, path::Path};

use serde_json::Value as Json;

/// The file's name.
const FILE: &str = "outline.geojson";
/// Most that it may weigh, bytes.
const MOST: u64 = 4 << 20;

/// Corners of one ring: longitude and latitude in degrees, WGS 84; the last is the first.
pub type Ring = Vec<(f64, f64)>;

/// The county's lines, as far as the file has them. Corners are longitude and latitude in degrees, WGS 84.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Outline {
    /// Name of the county; empty where there is none.
    pub county: String,
    /// Rings of its outline.
    pub rings: Vec<Ring>,
    /// Townships by name, with the rings of each.
    pub townships: Vec<(String, Vec<Ring>)>,
}

impl Outline {
    /// The outline in a notebook's folder; an empty one where there is no such file or it is none.
    pub fn of_folder(folder: &Path) -> Self {
        let path = folder.join(FILE);
        let small = fs::metadata(&path).is_ok_and(|file| file.len() <= MOST);
        let text = small.then(|| fs::read_to_string(&path).ok()).flatten();
        text.map_or_else(Self::default, |text| Self::from_geojson(&text))
    }

    /// Reads a feature collection: townships have the property `kind` `township`, everything else is the county. What is no area
    /// is passed over.
    pub fn from_geojson(text: &str) -> Self {
        let mut outline = Self::default();
        let json: Json = serde_json::from_str(text).unwrap_or_default();
        let features = json.get("features").and_then(Json::as_array).into_iter().flatten();
        for feature in features {
            let word = |name: &str| feature.get("properties").and_then(|p| p.get(name)).and_then(Json::as_str);
            let rings = rings(feature.get("geometry").unwrap_or(&Json::Null));
            if rings.is_empty() {
                continue;
            }
            let name = word("name").unwrap_or_default().to_owned();
            if word("kind") == Some("township") {
                outline.townships.push((name, rings));
            } else {
                outline.county = name;
                outline.rings.extend(rings);
            }
        }
        outline
    }

    /// Name of the township in which a place lies; nothing outside of all.
    pub fn township_of(&self, latitude: f64, longitude: f64) -> Option<&str> {
        let here = |(_, rings): &&(String, Vec<Ring>)| inside(rings, longitude, latitude);
        self.townships.iter().find(here).map(|(name, _)| name.as_str())
    }
}

/// Rings of a polygon, or of several.
fn rings(geometry: &Json) -> Vec<Ring> {
    let coordinates = geometry.get("coordinates");
    let polygons: Vec<&Json> = match geometry.get("type").and_then(Json::as_str) {
        Some("Polygon") => coordinates.into_iter().collect(),
        Some("MultiPolygon") => coordinates.and_then(Json::as_array).into_iter().flatten().collect(),
        _ => Vec::new(),
    };
    let corner = |pair: &Json| {
        let (lon, lat) = (pair.get(0)?.as_f64()?, pair.get(1)?.as_f64()?);
        ((-180.0..=180.0).contains(&lon) && (-90.0..=90.0).contains(&lat)).then_some((lon, lat))
    };
    let ring = |ring: &Json| -> Option<Ring> {
        let corners: Option<Ring> = ring.as_array()?.iter().map(corner).collect();
        corners.filter(|c| c.len() >= 4)
    };
    polygons.into_iter().filter_map(Json::as_array).flatten().filter_map(ring).collect()
}

/// Whether a point lies inside of rings: a ray from it crosses an odd number of their edges.
fn inside(rings: &[Ring], x: f64, y: f64) -> bool {
    let mut odd = false;
    for ring in rings {
        for edge in ring.windows(2) {
            let [(ax, ay), (bx, by)] = edge else { continue };
            if (*ay > y) != (*by > y) && x < (bx - ax) * (y - ay) / (by - ay) + ax {
                odd = !odd;
            }
        }
    }
    odd
}

#[cfg(test)]
mod tests {
    use super::*;

    const LARKSPUR: &str = include_str!("../../../fixtures/county/larkspur.geojson");

    #[test]
    fn the_demo_county_has_its_outline_and_a_place_its_township() {
        let outline = Outline::from_geojson(LARKSPUR);
        assert_eq!((outline.county.as_str(), outline.townships.len()), ("Larkspur County", 8));
        let (name, rings) = &outline.townships[3];
        let ring = &rings[0];
        let n = (ring.len() - 1) as f64;
        let middle = ring.iter().skip(1).fold((0.0, 0.0), |sum, c| (sum.0 + c.0 / n, sum.1 + c.1 / n));
        assert_eq!(outline.township_of(middle.1, middle.0), Some(name.as_str()));
        assert_eq!(outline.township_of(0.0, 0.0), None);
    }

    #[test]
    fn a_file_that_is_none_gives_no_outline() {
        for text in ["", "{}", "[1]", r#"{"features": [{"geometry": {"type": "Point", "coordinates": [1, 2]}}]}"#] {
            assert_eq!(Outline::from_geojson(text), Outline::default(), "{text}");
        }
        assert_eq!(Outline::of_folder(Path::new("/nowhere")), Outline::default());
    }
}
