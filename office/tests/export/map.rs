//! GeoJSON, held against RFC 7946.

use std::collections::BTreeSet;

use dooryard_core::record::Kind;
use dooryard_office::export::{Audience, By, MAP_DELAY_DAYS, outlines, write_map};
use dooryard_tests::save;
use geojson::GeoJson;
use serde_json::{Value as Json, json};

use crate::yard::{County, OPENED, all_for};

/// Everything that RFC 7946 asks of a collection of polygons, and what we promise beyond it.
fn check(text: &str) -> Json {
    assert!(matches!(text.parse::<GeoJson>().unwrap(), GeoJson::FeatureCollection(_)));
    let json: Json = serde_json::from_str(text).unwrap();
    assert_eq!(json["type"], "FeatureCollection");
    assert!(json.get("crs").is_none(), "RFC 7946, 4: no crs");
    for feature in json["features"].as_array().unwrap() {
        let members: BTreeSet<&str> = feature.as_object().unwrap().keys().map(String::as_str).collect();
        assert!(["type", "geometry", "properties"].iter().all(|m| members.contains(m)), "3.2: {members:?}");
        let geometry = &feature["geometry"];
        if geometry.is_null() {
            continue;
        }
        let polygons = match geometry["type"].as_str().unwrap() {
            "Polygon" => vec![geometry["coordinates"].clone()],
            "MultiPolygon" => geometry["coordinates"].as_array().unwrap().clone(),
            other => panic!("a {other} shows more than an area"),
        };
        for polygon in polygons {
            for (at, ring) in polygon.as_array().unwrap().iter().enumerate() {
                let ring: Vec<(f64, f64)> = ring.as_array().unwrap().iter().map(corner).collect();
                assert!(ring.len() >= 4 && ring.first() == ring.last(), "3.1.6: {ring:?}");
                let area: f64 = ring.windows(2).map(|w| w[0].0 * w[1].1 - w[1].0 * w[0].1).sum();
                assert_eq!(area > 0.0, at == 0, "3.1.6: outer rings counter-clockwise, holes clockwise");
            }
        }
    }
    json
}

fn corner(pair: &Json) -> (f64, f64) {
    let pair = pair.as_array().unwrap();
    assert_eq!(pair.len(), 2);
    for number in pair {
        let text = number.to_string();
        assert!(
            text.split_once('.').is_none_or(|(_, decimals)| decimals.len() <= 5),
            "{text} is finer than five decimals"
        );
    }
    let (longitude, latitude) = (pair[0].as_f64().unwrap(), pair[1].as_f64().unwrap());
    assert!((-88.0..-86.0).contains(&longitude) && (42.0..44.0).contains(&latitude), "longitude first: {pair:?}");
    (longitude, latitude)
}

/// More inquiries of one host in each of these cells.
fn more(county: &County, cells: &[(&str, usize)]) {
    let phone = &county.yard.phones[0];
    for (cell, n) in cells {
        for _ in 0..*n {
            let site = save(phone, Kind::Site, json!({"cell": cell, "township": "Tern Hollow", "county": "Larkspur"}))
                .unwrap();
            let consent = json!({"visit": true, "cut": true, "photo": true, "count": true, "contact_back": true});
            let inquiry =
                save(phone, Kind::Inquiry, json!({"opened": OPENED, "site": site.to_string(), "consent": consent}))
                    .unwrap();
            save(phone, Kind::Plant, json!({"inquiry": inquiry.to_string(), "host": "maple"})).unwrap();
        }
    }
    let file = county.yard.bundle(phone, "more.yard").unwrap();
    county.yard.take_in(&file).unwrap();
}

fn map(county: &County, audience: Audience, by: &By) -> Json {
    let mut ask = all_for(audience);
    ask.delay_days = if audience == Audience::Public { MAP_DELAY_DAYS } else { 0 };
    check(&county.export("map.geojson", &ask, |scope, out| {
        write_map(scope, out, by).unwrap();
        std::fs::read_to_string(out).unwrap()
    }))
}

/// (area, inquiries) in order.
fn counts(map: &Json, by: &str) -> Vec<(String, Option<u64>)> {
    let features = map["features"].as_array().unwrap().iter().map(|f| &f["properties"]);
    features.map(|p| (p[by].as_str().unwrap_or("-").to_owned(), p["inquiries"].as_u64())).collect()
}

#[test]
fn the_public_map_hides_counts_under_five_and_what_would_give_them_away() {
    let county = County::new();
    more(&county, &[("r590c944", 5), ("r591c944", 7), ("r592c944", 9)]);
    let public = map(&county, Audience::Public, &By::Cell);
    // Two areas are small by themselves: they hide each other.
    let cells = ["nowhere", "r589c944", "r590c944", "r591c944", "r592c944"].map(str::to_owned);
    assert_eq!(
        counts(&public, "cell"),
        cells.clone().into_iter().zip([None, None, Some(5), Some(7), Some(9)]).collect::<Vec<_>>()
    );
    let maple = &public["features"][2]["properties"]["hosts"][0];
    assert_eq!((&maple["host"], &maple["inquiries"], &maple["of"]), (&json!("maple"), &json!(5), &json!(5)));
    assert_eq!(public["features"][1]["properties"]["hosts"], json!([]));
    assert!(public["features"][0]["geometry"].is_null() && public["features"][1]["geometry"]["type"] == "Polygon");
    let office = map(&county, Audience::Office, &By::Cell);
    assert_eq!(counts(&office, "cell")[..2], [("nowhere".to_owned(), Some(1)), ("r589c944".to_owned(), Some(2))]);
    let causes = &office["features"][1]["properties"]["causes"];
    let named: Vec<&str> = causes.as_array().unwrap().iter().map(|c| c["cause"].as_str().unwrap()).collect();
    assert_eq!(named, ["drought_stress", "tomato_early_blight"], "held about even or likelier, none regulated");
}

#[test]
fn a_single_small_count_takes_the_next_smallest_with_it() {
    let county = County::new();
    more(&county, &[("r589c944", 6), ("r591c944", 6), ("r592c944", 9)]);
    let public = map(&county, Audience::Public, &By::Cell);
    let told: Vec<Option<u64>> = counts(&public, "cell").into_iter().map(|(_, n)| n).collect();
    assert_eq!(told, [None, Some(7), None, Some(9)]);
}

#[test]
fn a_public_map_waits_two_weeks() {
    let county = County::new();
    more(&county, &[("r590c944", 6)]);
    county.yard.clock.set(1_772_463_600_000 + 13 * 86_400_000);
    let young = map(&county, Audience::Public, &By::Cell);
    assert_eq!(
        (young["features"].as_array().unwrap().len(), &young["about"]["inquiries"]["left_out_too_recent"]),
        (0, &json!(8))
    );
    county.yard.clock.set(1_772_463_600_000 + 15 * 86_400_000);
    assert_eq!(map(&county, Audience::Public, &By::Cell)["about"]["inquiries"]["written"], 8);
}

#[test]
fn townships_stand_in_their_outlines_turned_as_the_standard_asks() {
    let county = County::new();
    // The outlines as drawn, and the same ones drawn the other way round.
    let drawn = county.yard.file("drawn.geojson");
    std::fs::write(&drawn, dooryard_fixtures::places::OUTLINE).unwrap();
    let mut turned: Json = serde_json::from_str(dooryard_fixtures::places::OUTLINE).unwrap();
    for feature in turned["features"].as_array_mut().unwrap() {
        feature["geometry"]["coordinates"][0].as_array_mut().unwrap().reverse();
    }
    let backward = county.yard.file("backward.geojson");
    std::fs::write(&backward, turned.to_string()).unwrap();
    for file in [drawn, backward] {
        let map = map(&county, Audience::Office, &By::Township(outlines(&file).unwrap()));
        let tern = map["features"].as_array().unwrap().iter().find(|f| f["id"] == "Tern Hollow").unwrap();
        assert!(tern["geometry"]["coordinates"][0].as_array().unwrap().len() > 4);
    }
    let wrong = county.yard.file("wrong.geojson");
    std::fs::write(&wrong, r#"{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Sedge"},"geometry":{"type":"Point","coordinates":[1,2]}}]}"#).unwrap();
    assert!(format!("{:#}", outlines(&wrong).unwrap_err()).contains("the outline of Sedge"));
}
