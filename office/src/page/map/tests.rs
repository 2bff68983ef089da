//! The map over a real office, asked as a browser asks.

use std::fs;

use axum::http::StatusCode;
use dooryard_core::record::Kind;
use serde_json::{Value as Json, json};

use crate::{
    desk::county_files::{BASEMAP, OUTLINE},
    page::{
        asks::get,
        sample_county::{County, county},
    },
    people::Role,
};

/// Adds inquiries about tomatoes in a township, `held` of which name a cause.
fn ask(county: &County, township: &str, asked: usize, held: usize, may_count: bool) {
    let cell = if township == "Tern Hollow" { "r591c941" } else { "r590c942" };
    for n in 0..asked {
        let point = json!({"latitude": 42.912_345, "longitude": -87.254_321, "datum": "EPSG:4326", "method": "phone"});
        let site = county.save(
            Kind::Site,
            &json!({"township": township, "cell": cell, "address": "9 Secret Street", "point": point}),
        );
        let inquiry = county.save(
            Kind::Inquiry,
            &json!({
                "opened": format!("2026-07-{:02}T09:00:00-05:00[America/Chicago]", 6 + n), "site": site.to_string(),
                "taken_by": "Scout 3", "consent": {"visit": true, "cut": true, "photo": true, "count": may_count, "contact_back": true},
            }),
        );
        let about = inquiry.to_string();
        county.save(Kind::Plant, &json!({"inquiry": about, "host": "tomato_family"}));
        if n < held {
            let causes = json!([{"cause": "early_blight_tomato", "role": "primary", "word": "likely", "percent": 70}]);
            county.save(
                Kind::Diagnosis,
                &json!({"inquiry": about, "causes": causes, "at": "2026-07-20T09:00:00-05:00[America/Chicago]"}),
            );
        }
    }
}

/// The sample county with its lines, and two townships with enough asked.
fn drawn() -> County {
    let county = county();
    fs::write(county.office.folder().join(OUTLINE), dooryard_fixtures::places::OUTLINE).unwrap();
    ask(&county, "Tern Hollow", 8, 6, true);
    ask(&county, "Gull Meadow", 6, 1, true);
    county
}

const CAUSE: &str = "/map?host=tomato_family&cause=early_blight_tomato";

fn data(county: &County, role: Role, uri: &str) -> Json {
    let answer = county.see(role, uri);
    assert_eq!(answer.status, StatusCode::OK, "{uri}");
    assert_eq!(answer.header("content-type"), "application/geo+json");
    serde_json::from_slice(&answer.bytes).unwrap()
}

/// (name, said, shade) of each area.
fn areas(json: &Json) -> Vec<(String, String, String)> {
    let text = |f: &Json, name: &str| f["properties"][name].as_str().unwrap().to_owned();
    let all = json["features"].as_array().unwrap().iter();
    all.map(|f| (text(f, "name"), text(f, "said"), text(f, "shade"))).collect()
}

#[test]
fn areas_are_shaded_by_the_share_of_those_who_asked_and_the_table_says_the_same() {
    let county = drawn();
    let page = county.see(Role::Reviewer, CAUSE).text();
    for fact in [
        "Tern Hollow township",
        "6 of 8",
        "<td class=\"r\">75</td>",
        "1 of 6",
        "<td class=\"r\">17</td>",
        "none asked",
        "m-area most",
        "m-area less",
    ] {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    let all = areas(&data(&county, Role::Reviewer, &CAUSE.replace("/map", "/map/areas.geojson")));
    let of = |name: &str| all.iter().find(|(n, ..)| n == name).map(|(_, said, shade)| (said.as_str(), shade.as_str()));
    assert_eq!(of("Tern Hollow township"), Some(("6 of 8", "most")));
    assert_eq!(of("Gull Meadow township"), Some(("1 of 6", "less")));
    assert_eq!(of("Sandlark township"), Some(("none asked", "unknown")));
    assert_eq!(all.len(), 8, "one for each township, however many inquiries");
    // The township of the sample has no outline: it is in the table alone.
    assert!(page.contains("Sedge township") && page.contains("not on the map") && of("Sedge township").is_none());
    let plain = county.see(Role::Reviewer, "/map").text();
    assert!(
        plain.contains("Nothing is shaded yet.") && plain.contains("m-area plain") && !plain.contains("m-area most")
    );
}

#[test]
fn a_row_leads_to_the_inquiries_that_it_counts() {
    let county = drawn();
    let page = county.see(Role::Reviewer, CAUSE).text();
    let link = page.split("href=\"").find(|part| part.contains("township=Tern+Hollow")).unwrap();
    let link = link.split('"').next().unwrap().replace("&#38;", "&");
    let list = county.see(Role::Reviewer, &link);
    assert_eq!(list.status, StatusCode::OK, "{link}");
    assert!(list.text().contains("6 of"), "{}", list.text());
}

#[test]
fn no_answer_of_the_map_tells_a_point_an_address_or_what_is_sealed() {
    let county = drawn();
    for uri in [CAUSE, "/map", "/map?by=cell", "/map/areas.geojson", "/map/areas.geojson?by=cell", "/map/lines.geojson"]
    {
        let text = county.see(Role::Admin, uri).text();
        for private in
            ["42.91234", "87.25432", "Secret", "Teal Lane", "Boxwood", "\"Point\"", &county.tomato.to_string()]
        {
            assert!(!text.contains(private), "{private} in {uri}");
        }
    }
    let cells = data(&county, Role::ScoutLead, "/map/areas.geojson?by=cell");
    let names: Vec<String> = areas(&cells).into_iter().map(|a| a.0).collect();
    assert_eq!(names, ["r590c942", "r591c941"]);
}

#[test]
fn a_reader_sees_no_cells_and_no_small_counts() {
    let county = drawn();
    for uri in ["/map?by=cell", "/map/areas.geojson?by=cell"] {
        assert_eq!(county.see(Role::Reader, uri).status, StatusCode::FORBIDDEN, "{uri}");
        assert_eq!(county.see(Role::ScoutLead, uri).status, StatusCode::OK, "{uri}");
    }
    let page = county.see(Role::Reader, CAUSE).text();
    assert!(page.contains("6 of 8") && page.contains("few of 6") && !page.contains("1 of 6"), "{page}");
    assert!(!page.contains("by=cell") && !page.contains("value=\"cell\""));
    assert!(page.contains("told to scout leads and reviewers only"));
    let all = areas(&data(&county, Role::Reader, &CAUSE.replace("/map", "/map/areas.geojson")));
    assert!(all.iter().all(|(_, said, _)| said != "1 of 6"), "{all:?}");
}

#[test]
fn who_does_not_agree_to_be_counted_is_not_and_that_is_said() {
    let county = drawn();
    ask(&county, "Sandlark", 5, 5, false);
    let page = county.see(Role::Reviewer, CAUSE).text();
    assert!(page.contains("5 inquiries are left out at the resident’s wish."), "{page}");
    assert!(!page.contains("5 of 5"));
}

#[test]
fn files_of_the_county_that_cannot_be_read_are_said_with_what_to_do() {
    let county = county();
    let page = county.see(Role::Reader, "/map").text();
    assert!(page.contains("put outline.geojson and townships.geojson into the office’s folder"), "{page}");
    fs::write(county.office.folder().join(OUTLINE), "pigeon <script>").unwrap();
    let page = county.see(Role::Reader, "/map").text();
    assert!(page.contains("outline.geojson was not read.") && page.contains("It is no GeoJSON."), "{page}");
    let named = dooryard_fixtures::places::OUTLINE.replace("Sandlark", "<script>alert(1)</script>");
    fs::write(county.office.folder().join(OUTLINE), named).unwrap();
    let page = county.see(Role::Reader, "/map").text();
    assert!(page.contains("&#60;script&#62;alert(1)"), "{page}");
    assert_eq!(page.matches("<script").count(), 1, "its own alone");
    assert!(!page.contains("<script>"));
    fs::write(county.office.folder().join(BASEMAP), "no map").unwrap();
    assert!(county.see(Role::Reader, "/map").text().contains("It is no PMTiles file of version 3"));
}

#[test]
fn parts_of_the_base_map_are_given_as_asked_for_and_nothing_else_of_the_folder() {
    let county = county();
    let ask =
        |range: &str| get("/map/basemap.pmtiles").header("range", range).signed_in(&county, Role::Reader).send(&county);
    assert_eq!(ask("bytes=0-9").status, StatusCode::NOT_FOUND);
    let bytes: Vec<u8> = (0..=255).collect();
    fs::write(county.office.folder().join(BASEMAP), &bytes).unwrap();
    let part = ask("bytes=10-19");
    assert_eq!((part.status, part.header("content-range")), (StatusCode::PARTIAL_CONTENT, "bytes 10-19/256"));
    assert_eq!(part.bytes, bytes[10..20]);
    assert!(!part.header("etag").is_empty());
    for wrong in ["bytes=256-", "bytes=9-0", "pigeon", "bytes=0-1,4-5"] {
        assert_eq!(ask(wrong).status, StatusCode::RANGE_NOT_SATISFIABLE, "{wrong}");
    }
    assert_eq!(county.see(Role::Reader, "/map/basemap.pmtiles").status, StatusCode::RANGE_NOT_SATISFIABLE);
    assert_eq!(get("/map/basemap.pmtiles").header("range", "bytes=0-9").send(&county).status, StatusCode::SEE_OTHER);
    assert_eq!(county.see(Role::Admin, "/map/people.db").status, StatusCode::NOT_FOUND);
}

#[test]
fn an_address_that_is_no_filter_is_refused_and_words_on_the_page_are_only_words() {
    let county = drawn();
    for uri in ["/map?by=pigeon", "/map?page=pigeon", "/map/areas.geojson?by=x"] {
        assert_eq!(county.see(Role::Admin, uri).status, StatusCode::BAD_REQUEST, "{uri}");
    }
    let page = county.see(Role::Admin, "/map?q=%22%3E%3Cscript%3Ealert(1)%3C%2Fscript%3E&township=%3Cb%3E").text();
    assert!(!page.contains("<script>") && !page.contains("<b>\""), "{page}");
    for forbidden in [" style=", "<style", " onclick", "http://", "https://"] {
        assert!(!page.contains(forbidden), "{forbidden}");
    }
}

#[test]
fn the_page_speaks_both_languages() {
    let county = drawn();
    let spanish = get(CAUSE).header("accept-language", "es-US").signed_in(&county, Role::Admin).send(&county).text();
    for words in ["Mapa de las consultas", "Municipio de Tern Hollow", "6 de 8", "De cada 100"] {
        assert!(spanish.contains(words), "{words} is missing in:\n{spanish}");
    }
    assert!(!spanish.contains(">map-") && !spanish.contains(">season-"));
}
