//! The county's own lines: its outline and its townships, out of files that the county drops into the office's folder.

use std::{
    fs,
    io::ErrorKind,
    path::Path,
    sync::{Arc, Mutex, PoisonError},
    time::SystemTime,
};

use geojson::{Feature, GeoJson, Geometry, GeometryValue};

use crate::{
    desk::county_files::{MOST_LINES, OUTLINE, TOWNSHIPS},
    export::Area,
};

/// The county as far as its files say.
#[derive(Clone, Default, Debug)]
pub(super) struct County {
    /// Its outline.
    pub(super) outline: Option<Area>,
    /// Its townships, in the order of the file.
    pub(super) townships: Vec<Township>,
    /// Files that could not be read, and why.
    pub(super) bad: Vec<Bad>,
}

/// One township.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Township {
    /// Its name, as sites have it.
    pub(super) name: String,
    /// Where it lies.
    pub(super) area: Area,
}

/// A file that could not be read.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Bad {
    /// Its name.
    pub(super) file: &'static str,
    /// Why.
    pub(super) why: Why,
    /// Which feature, or what the reader said; empty where that says nothing.
    pub(super) detail: String,
}

/// Why a file could not be read.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Why {
    /// The file system said no.
    Unreadable,
    /// It is larger than outlines are.
    TooLarge,
    /// It is not GeoJSON.
    NoGeoJson,
    /// It holds no area.
    Empty,
    /// A township has no name.
    NoName,
    /// Two townships have one name.
    SameName,
    /// An outline is a point or a line.
    NoPolygon,
    /// An outline does not end where it begins.
    Open,
    /// Its corners are no degrees: it is in the coordinates of another system.
    NoDegrees,
}

impl Why {
    /// Its name among the words.
    pub(super) fn id(self) -> &'static str {
        match self {
            Self::Unreadable => "map-file-unreadable",
            Self::TooLarge => "map-file-too-large",
            Self::NoGeoJson => "map-file-no-geojson",
            Self::Empty => "map-file-empty",
            Self::NoName => "map-file-no-name",
            Self::SameName => "map-file-same-name",
            Self::NoPolygon => "map-file-no-polygon",
            Self::Open => "map-file-open",
            Self::NoDegrees => "map-file-no-degrees",
        }
    }
}

/// When and how large the files were that the county was read from.
type Stamp = [Option<(SystemTime, u64)>; 2];

/// The county as it was read, until one of its files is another.
#[derive(Default)]
pub(in crate::page) struct Kept(Mutex<Option<(Stamp, Arc<County>)>>);

impl Kept {
    /// The county of an office's folder.
    pub(super) fn read(&self, folder: &Path) -> Arc<County> {
        let stamp = [OUTLINE, TOWNSHIPS].map(|name| {
            let meta = fs::metadata(folder.join(name)).ok()?;
            Some((meta.modified().unwrap_or(SystemTime::UNIX_EPOCH), meta.len()))
        });
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((known, county)) = kept.as_ref()
            && *known == stamp
        {
            return county.clone();
        }
        let county = Arc::new(County::read(folder));
        *kept = Some((stamp, county.clone()));
        county
    }
}

impl County {
    fn read(folder: &Path) -> Self {
        let mut county = Self::default();
        let mut take = |file: &'static str, read: Result<Vec<Feature>, (Why, String)>| match read {
            Ok(features) => Some(features),
            Err((why, detail)) => {
                county.bad.push(Bad { file, why, detail });
                None
            }
        };
        let own = take(OUTLINE, features(&folder.join(OUTLINE)));
        let theirs = take(TOWNSHIPS, features(&folder.join(TOWNSHIPS)));
        let (towns, outline): (Vec<Feature>, Vec<Feature>) =
            own.unwrap_or_default().into_iter().partition(|f| text(f, &["kind"]).as_deref() == Some("township"));
        // A file of townships takes the place of those in the other.
        let (file, towns) = match theirs {
            Some(features) if !features.is_empty() => (TOWNSHIPS, features),
            _ => (OUTLINE, towns),
        };
        let mut parts = Vec::new();
        for feature in outline {
            match area(feature.geometry) {
                Ok(area) => parts.push(area),
                Err((why, detail)) => county.bad.push(Bad { file: OUTLINE, why, detail }),
            }
        }
        county.outline = Area::joined(parts);
        match townships(towns) {
            Ok(townships) => county.townships = townships,
            Err((why, detail)) => county.bad.push(Bad { file, why, detail }),
        }
        county
    }

    /// The township of this name, in whatever letters.
    pub(super) fn township(&self, name: &str) -> Option<&Township> {
        let wanted = plain(name);
        self.townships.iter().find(|t| plain(&t.name) == wanted)
    }
}

/// `Sedge Township` and `sedge` are one.
pub(super) fn plain(name: &str) -> String {
    let small = name.trim().to_lowercase();
    let short = small.strip_suffix(" township").or_else(|| small.strip_prefix("township of ")).unwrap_or(&small);
    short.trim().to_owned()
}

/// The features of a file; none where there is no file.
fn features(path: &Path) -> Result<Vec<Feature>, (Why, String)> {
    let size = match fs::metadata(path) {
        Ok(meta) => meta.len(),
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(e) => return Err((Why::Unreadable, e.to_string())),
    };
    if size > MOST_LINES {
        return Err((Why::TooLarge, String::new()));
    }
    let text = fs::read_to_string(path).map_err(|e| match e.kind() {
        ErrorKind::InvalidData => (Why::NoGeoJson, String::new()),
        _ => (Why::Unreadable, e.to_string()),
    })?;
    let read: GeoJson = text.trim_start_matches('\u{feff}').parse().map_err(|_| (Why::NoGeoJson, String::new()))?;
    let features = match read {
        GeoJson::FeatureCollection(all) => all.features,
        GeoJson::Feature(one) => vec![one],
        GeoJson::Geometry(one) => vec![Feature { geometry: Some(one), ..Feature::default() }],
    };
    if features.is_empty() { Err((Why::Empty, String::new())) } else { Ok(features) }
}

fn townships(features: Vec<Feature>) -> Result<Vec<Township>, (Why, String)> {
    let mut all: Vec<Township> = Vec::new();
    for (at, feature) in features.into_iter().enumerate() {
        let name = text(&feature, &["name", "NAME", "Name"]).filter(|name| !name.trim().is_empty());
        let name = name.ok_or_else(|| (Why::NoName, (at + 1).to_string()))?;
        if all.iter().any(|t| plain(&t.name) == plain(&name)) {
            return Err((Why::SameName, name));
        }
        let area = area(feature.geometry).map_err(|(why, _)| (why, name.clone()))?;
        all.push(Township { name, area });
    }
    Ok(all)
}

fn text(feature: &Feature, names: &[&str]) -> Option<String> {
    names.iter().find_map(|name| feature.property(*name)?.as_str().map(str::to_owned))
}

fn area(geometry: Option<Geometry>) -> Result<Area, (Why, String)> {
    if geometry.as_ref().is_some_and(|g| !in_degrees(&g.value)) {
        return Err((Why::NoDegrees, String::new()));
    }
    Area::of_geometry(geometry).map_err(|what| {
        let why = if what == "no polygon" { Why::NoPolygon } else { Why::Open };
        (why, String::new())
    })
}

/// Whether corners are longitude and latitude. Files of surveyors are often in feet of a state's own plane.
fn in_degrees(value: &GeometryValue) -> bool {
    let ok = |ring: &Vec<geojson::Position>| {
        ring.iter().all(|p| matches!(p.as_slice(), [lon, lat, ..] if lon.abs() <= 180.0 && lat.abs() <= 90.0))
    };
    match value {
        GeometryValue::Polygon { coordinates } => coordinates.iter().all(ok),
        GeometryValue::MultiPolygon { coordinates } => coordinates.iter().flatten().all(ok),
        _ => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: &str = "[[[-87.3,42.7],[-87.1,42.7],[-87.1,42.9],[-87.3,42.9],[-87.3,42.7]]]";

    fn read(outline: Option<&str>, townships: Option<&str>) -> County {
        let folder = tempfile::tempdir().unwrap();
        for (name, text) in [(OUTLINE, outline), (TOWNSHIPS, townships)] {
            if let Some(text) = text {
                fs::write(folder.path().join(name), text).unwrap();
            }
        }
        County::read(folder.path())
    }

    fn town(name: &str, geometry: &str) -> String {
        format!(
            r#"{{"type":"FeatureCollection","features":[{{"type":"Feature","properties":{{"NAME":{name}}},"geometry":{geometry}}}]}}"#
        )
    }

    fn polygon(rings: &str) -> String {
        format!(r#"{{"type":"Polygon","coordinates":{rings}}}"#)
    }

    #[test]
    fn an_outline_comes_as_a_collection_a_feature_or_a_bare_polygon() {
        assert!(read(Some(&polygon(SQUARE)), None).outline.is_some());
        let feature = format!(r#"{{"type":"Feature","properties":null,"geometry":{}}}"#, polygon(SQUARE));
        assert!(read(Some(&feature), None).outline.is_some());
        let both = read(Some(dooryard_fixtures::places::OUTLINE), Some(&town("\"Sedge Township\"", &polygon(SQUARE))));
        assert_eq!((both.outline.is_some(), both.townships.len()), (true, 1), "a file of townships takes their place");
        assert!(both.township("sedge").is_some() && both.bad.is_empty());
        let demo = read(Some(dooryard_fixtures::places::OUTLINE), None);
        assert!(demo.outline.is_some() && demo.townships.len() == 8 && demo.township("Tern Hollow").is_some());
        let none = read(None, None);
        assert!(none.outline.is_none() && none.bad.is_empty());
    }

    #[test]
    fn a_bad_file_is_named_with_its_reason_and_the_other_is_still_read() {
        let open = polygon("[[[-87.3,42.7],[-87.1,42.7],[-87.1,42.9],[-87.3,42.9]]]");
        let feet = polygon("[[[2000000,400000],[2100000,400000],[2100000,500000],[2000000,400000]]]");
        for (text, why, detail) in [
            ("pigeon".to_owned(), Why::NoGeoJson, ""),
            (r#"{"type":"FeatureCollection","features":[]}"#.to_owned(), Why::Empty, ""),
            (town("null", &polygon(SQUARE)), Why::NoName, "1"),
            (town("\"Sedge\"", r#"{"type":"Point","coordinates":[-87.2,42.8]}"#), Why::NoPolygon, "Sedge"),
            (town("\"Sedge\"", "null"), Why::NoPolygon, "Sedge"),
            (town("\"Sedge\"", &open), Why::Open, "Sedge"),
            (town("\"Sedge\"", &feet), Why::NoDegrees, "Sedge"),
            (two_of_one_name(), Why::SameName, "sedge township"),
        ] {
            let county = read(Some(&polygon(SQUARE)), Some(&text));
            assert_eq!(county.bad, [Bad { file: TOWNSHIPS, why, detail: detail.into() }], "{text}");
            assert!(county.outline.is_some(), "{text}");
        }
        assert_eq!(read(Some(&feet), None).bad[0].why, Why::NoDegrees);
    }

    fn two_of_one_name() -> String {
        let one = |name: &str| {
            format!(r#"{{"type":"Feature","properties":{{"name":"{name}"}},"geometry":{}}}"#, polygon(SQUARE))
        };
        format!(r#"{{"type":"FeatureCollection","features":[{},{}]}}"#, one("Sedge"), one("sedge township"))
    }

    #[test]
    fn a_file_that_is_too_large_is_not_read() {
        let folder = tempfile::tempdir().unwrap();
        let file = fs::File::create(folder.path().join(OUTLINE)).unwrap();
        file.set_len(MOST_LINES + 1).unwrap();
        assert_eq!(County::read(folder.path()).bad[0].why, Why::TooLarge);
    }

    #[test]
    fn another_file_is_read_anew_and_the_same_one_is_not() {
        let (folder, kept) = (tempfile::tempdir().unwrap(), Kept::default());
        assert!(kept.read(folder.path()).outline.is_none());
        fs::write(folder.path().join(OUTLINE), polygon(SQUARE)).unwrap();
        let first = kept.read(folder.path());
        assert!(first.outline.is_some());
        assert!(Arc::ptr_eq(&first, &kept.read(folder.path())));
    }
}
