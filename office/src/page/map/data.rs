//! The map as GeoJSON (RFC 7946): the county's lines, and the areas that were counted. Never a point, never a home: its size
//! is that of the areas, not of the county's inquiries.

use axum::{
    http::header,
    response::{IntoResponse, Response},
};
use geojson::{Feature, FeatureCollection, Geometry};
use serde_json::{Value as Json, json};

use super::{
    areas::{Places, Shade},
    county::County,
};
use crate::export::Area;

/// The county's outline and its townships.
pub(super) fn county(county: &County) -> Response {
    let outline = county.outline.iter().map(|area| feature(area, json!({ "kind": "county" })));
    let townships = county.townships.iter();
    let townships = townships.map(|t| feature(&t.area, json!({ "kind": "township", "name": t.name })));
    answer(outline.chain(townships).collect())
}

/// What was counted, with the words for each row: its name and its count. Rows without a place are in the table alone.
pub(super) fn areas(places: &Places, words: &[(String, String)]) -> Response {
    let rows = places.rows.iter().zip(words).enumerate();
    let placed = rows.filter_map(|(at, (row, (name, said)))| {
        let label = row.label();
        let about = json!({ "number": at + 1, "name": name, "label": label, "said": said, "shade": row.shade.name() });
        Some(feature(row.area.as_ref()?, about))
    });
    answer(placed.collect())
}

fn feature(area: &Area, about: Json) -> Feature {
    let properties = about.as_object().cloned();
    Feature { geometry: Some(Geometry::new(area.geometry())), properties, ..Feature::default() }
}

fn answer(features: Vec<Feature>) -> Response {
    let all = FeatureCollection { bbox: None, features, foreign_members: None };
    ([(header::CONTENT_TYPE, "application/geo+json")], all.to_string()).into_response()
}

/// Every shade, in the order in which the page explains them.
pub(super) const SHADES: [Shade; 5] = [Shade::Most, Shade::Middle, Shade::Less, Shade::None, Shade::Unknown];
