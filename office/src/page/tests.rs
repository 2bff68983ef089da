//! The page over a real office, asked as a browser asks.

use std::{path::Path, sync::Arc};

use axum::{
    Router,
    body::{Body, to_bytes},
    http::{Request, StatusCode, header},
};
use dooryard_core::{
    clock::{Env, SetClock},
    ids::RecordId,
    job::Job,
    notebook::Notebook,
    record::{Kind, Role},
};
use serde_json::{Value as Json, json};
use tower::ServiceExt;

use super::router;
use crate::desk::Office;

/// 20 July 2026, 10:42 in the county.
const MORNING: u64 = 1_784_562_120_000;

struct County {
    _folder: tempfile::TempDir,
    router: Router,
    tomato: RecordId,
    sealed: RecordId,
    photo: RecordId,
    sealed_photo: RecordId,
}

fn save(book: &Notebook, kind: Kind, fields: &Json) -> RecordId {
    book.save(kind, None, fields.as_object().unwrap()).unwrap()
}

fn phone(office: &Office, dir: &Path, label: &str, clock: &SetClock, seed: u64) -> Notebook {
    let book = Notebook::create(dir, Env::seeded(seed, clock)).unwrap();
    book.enrol(&office.add_device(&book.enrolment_request(), Role::Scout, label).unwrap()).unwrap();
    book
}

fn picture(path: &Path) {
    let mut bytes = Vec::new();
    let green = image::RgbImage::from_fn(900, 600, |x, y| image::Rgb([(x % 200) as u8, 120, (y % 90) as u8]));
    green.write_to(&mut std::io::Cursor::new(&mut bytes), image::ImageFormat::Jpeg).unwrap();
    std::fs::write(path, bytes).unwrap();
}

fn county() -> County {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let clock = SetClock::at(MORNING);
    let office = Office::create(&at("office"), "Larkspur County office", Env::seeded(1, &clock)).unwrap();
    let three = phone(&office, &at("s3"), "Scout 3", &clock, 3);
    let five = phone(&office, &at("s5"), "Scout 5", &clock, 5);

    let site = save(
        &three,
        Kind::Site,
        &json!({
            "township": "Sedge", "county": "Larkspur", "cell": "LK-0304", "address": "1 Teal Lane",
            "point": {"latitude": 43.5, "longitude": -87.25, "datum": "EPSG:4326", "method": "phone"},
        }),
    );
    let contact = save(&three, Kind::Contact, &json!({"reach": {"name": "Somebody Invented", "phone": "000 0000"}}));
    let tomato = save(
        &three,
        Kind::Inquiry,
        &json!({
            "opened": "2026-07-18T09:00:00-05:00[America/Chicago]", "channel": "email", "taken_by": "Scout 3",
            "question": "Is it <script>alert(1)</script> the blight?", "site": site.to_string(),
            "contact": contact.to_string(), "stops": ["wild_mushroom"],
        }),
    );
    let plant = save(
        &three,
        Kind::Plant,
        &json!({
            "inquiry": tomato.to_string(), "site": site.to_string(), "host": "tomato_family", "affected": 12, "present": 30,
        }),
    );
    let visit = save(
        &three,
        Kind::Visit,
        &json!({
            "inquiry": tomato.to_string(), "start": "2026-07-20T10:28:00-05:00[America/Chicago]", "observer": "Scout 3",
            "minutes": 34, "plants_looked_at": 30,
        }),
    );
    for (character, state, status, comfort) in [
        ("leaf_spot", Some("tan_dark_rim"), "seen", Some(3)),
        ("leaf_spot", Some("bullseye"), "absent", Some(2)),
        ("age_of_leaves_hit", Some("oldest_first"), "seen", Some(3)),
        ("soil_ph", None, "not_looked", None),
    ] {
        let mut finding =
            json!({"plant": plant.to_string(), "visit": visit.to_string(), "character": character, "status": status});
        if let Some(state) = state {
            finding["state"] = json!(state);
        }
        if let Some(comfort) = comfort {
            finding["comfort"] = json!(comfort);
        }
        save(&three, Kind::Finding, &finding);
    }
    picture(&at("leaf.jpg"));
    let shows = json!({"inquiry": tomato.to_string(), "part": "close_up", "caption": "Lowest leaf"});
    let photo = three.add_photo(&at("leaf.jpg"), shows.as_object().unwrap()).unwrap();

    let sealed = save(&three, Kind::Inquiry, &json!({"taken_by": "Scout 3", "summary": "Boxwood bare at the door"}));
    let shows = json!({"inquiry": sealed.to_string()});
    let sealed_photo = three.add_photo(&at("leaf.jpg"), shows.as_object().unwrap()).unwrap();
    save(&three, Kind::Alert, &json!({"inquiry": sealed.to_string(), "suspect": "the suspected one"}));

    let job = Job::silent();
    three.make_bundle(&at("s3.yard"), &job).unwrap();
    office.take_in(&at("s3.yard"), &job).unwrap();
    // The other phone learns of the plant by a reply; then both change one count without seeing each other.
    let device = office.device("Scout 5").unwrap();
    office.assign(tomato, device).unwrap();
    office.make_reply(device, &at("r5.yard"), &job).unwrap();
    five.take_reply(&at("r5.yard"), &job).unwrap();
    for (book, affected, minutes) in [(&three, 14, 5), (&five, 9, 9)] {
        clock.set(MORNING + minutes * 60_000);
        book.save(Kind::Plant, Some(plant), json!({"affected": affected}).as_object().unwrap()).unwrap();
    }
    for (book, name) in [(&three, "s3b.yard"), (&five, "s5.yard")] {
        book.make_bundle(&at(name), &job).unwrap();
        office.take_in(&at(name), &job).unwrap();
    }
    std::fs::write(at("letter.yard"), b"no bundle").unwrap();
    office.take_in(&at("letter.yard"), &job).unwrap();
    let router = router(Arc::new(office), Arc::new(crate::pack::starter().unwrap()));
    County { _folder: folder, router, tomato, sealed, photo, sealed_photo }
}

struct Answer {
    status: StatusCode,
    headers: header::HeaderMap,
    bytes: Vec<u8>,
}

impl Answer {
    fn text(&self) -> String {
        String::from_utf8(self.bytes.clone()).unwrap()
    }
}

fn ask_as(county: &County, host: &str, uri: &str) -> Answer {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    runtime.block_on(async {
        let request = Request::get(uri).header(header::HOST, host).body(Body::empty()).unwrap();
        let response = county.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        Answer { status: parts.status, headers: parts.headers, bytes: to_bytes(body, 1 << 24).await.unwrap().to_vec() }
    })
}

fn ask(county: &County, uri: &str) -> Answer {
    ask_as(county, "127.0.0.1:8080", uri)
}

#[test]
fn an_inquiry_shows_what_was_said_looked_at_and_thought() {
    let county = county();
    let page = ask(&county, &format!("/inquiries/{}", county.tomato));
    assert_eq!(page.status, StatusCode::OK);
    let text = page.text();
    for fact in [
        "Tomato, pepper, potato, Sedge township",
        "Stop: something wild, eaten or meant to be",
        "&#60;script&#62;alert(1)&#60;/script&#62;",
        "Leaf spot: Small round tan with dark rim",
        "Looked, not there",
        "Soil ph",
        "Unreviewed starter content",
        "in 100",
        "wrote <b>14</b> at",
        "wrote <b>9</b> at",
        "Both are kept.",
        "34 minutes, 30 plants looked at",
        "Lowest leaf",
    ] {
        assert!(text.contains(fact), "{fact} is missing in:\n{text}");
    }
    assert!(!text.contains("<script"), "a resident's words became part of the page");
    let stop = text.find("Stop: something wild").unwrap();
    assert!(stop < text.find("the blight?").unwrap(), "a stop comes first");
}

#[test]
fn address_and_contact_show_only_when_asked_for() {
    let county = county();
    let (coarse, id) = (ask(&county, &format!("/inquiries/{}", county.tomato)).text(), county.tomato);
    for private in ["Teal Lane", "43.5", "Somebody Invented", "000 0000"] {
        assert!(!coarse.contains(private), "{private}");
    }
    let place = ask(&county, &format!("/inquiries/{id}?place=full")).text();
    assert!(place.contains("1 Teal Lane") && place.contains("43.50000 N") && !place.contains("Somebody Invented"));
    let contact = ask(&county, &format!("/inquiries/{id}?contact=full")).text();
    assert!(contact.contains("Somebody Invented") && !contact.contains("Teal Lane"));
}

#[test]
fn what_is_sealed_shows_nowhere_but_as_a_sentence() {
    let county = county();
    let list = ask(&county, "/inquiries").text();
    assert!(list.contains("One sealed record exists") && list.contains("1 of 1 inquiry; 1 of 1 not closed."));
    for page in ["/inquiries", "/inquiries?q=boxwood", "/inquiries?q=suspected", "/take-in", "/take-in/1", "/phones"] {
        let text = ask(&county, page).text();
        assert!(!text.contains("Boxwood") && !text.contains("the suspected one"), "{page}");
    }
    let id = county.sealed;
    let direct = ask(&county, &format!("/inquiries/{id}?place=full"));
    assert_eq!(direct.status, StatusCode::FORBIDDEN);
    assert!(!direct.text().contains("Boxwood") && direct.text().contains("What to do"));
    assert_eq!(ask(&county, &format!("/photos/{}/small", county.sealed_photo)).status, StatusCode::FORBIDDEN);
}

#[test]
fn the_list_finds_by_words_and_filters_and_says_out_of_how_many() {
    let county = county();
    let found = |query: &str| ask(&county, &format!("/inquiries?{query}")).text().contains("Sedge township</b></a>");
    for query in [
        "",
        "q=blight",
        "q=tan+blight",
        "q=tomato",
        "host=tomato_family",
        "township=Sedge",
        "scout=Scout+3",
        "stop=yes",
        "conflict=yes",
    ] {
        assert_eq!(found(query), query != "q=tan+blight", "{query}");
    }
    for query in ["q=quince", "host=oak", "township=Harrow", "status=closed", "cause=planted_too_deep"] {
        assert!(!found(query), "{query}");
    }
    assert!(ask(&county, "/inquiries?host=oak").text().contains("0 of 1 inquiry; 0 of 0 not closed."));
}

#[test]
fn pictures_are_made_anew_and_small() {
    let county = county();
    for (size, side) in [("small", 512), ("large", 900)] {
        let answer = ask(&county, &format!("/photos/{}/{size}", county.photo));
        assert_eq!(answer.headers[header::CONTENT_TYPE], "image/jpeg");
        assert_eq!(image::load_from_memory(&answer.bytes).unwrap().width(), side);
    }
    assert_eq!(ask(&county, &format!("/photos/{}/original", county.photo)).status, StatusCode::NOT_FOUND);
}

#[test]
fn the_log_of_bundles_adds_up_and_says_what_was_refused() {
    let county = county();
    let log = ask(&county, "/take-in").text();
    for fact in [
        "Bundle from Scout 3",
        "Bundle from Scout 5",
        "File letter.yard",
        "It is not a bundle.",
        "4 files were handed in",
    ] {
        assert!(log.contains(fact), "{fact} is missing in:\n{log}");
    }
    let second = ask(&county, "/take-in/2").text();
    assert!(second.contains("changes in the bundle") || second.contains("change in the bundle"));
    assert!(second.contains("Nothing is unaccounted for."));
    assert_eq!(ask(&county, "/take-in/5").status, StatusCode::NOT_FOUND);
    assert_eq!(ask(&county, "/take-in/0").status, StatusCode::NOT_FOUND);
    let phones = ask(&county, "/phones").text();
    assert!(phones.contains("2 of 2 phones have handed over so far."), "{phones}");
}

#[test]
fn trouble_says_what_why_and_what_to_do() {
    let county = county();
    for (uri, status) in [
        ("/nowhere", StatusCode::NOT_FOUND),
        ("/inquiries/not-a-number", StatusCode::BAD_REQUEST),
        ("/inquiries/../../etc/passwd", StatusCode::NOT_FOUND),
        ("/inquiries/0197f0c0-0000-7000-8000-000000000000", StatusCode::NOT_FOUND),
        ("/inquiries?page=pigeon", StatusCode::BAD_REQUEST),
        ("/take-in/pigeon", StatusCode::BAD_REQUEST),
    ] {
        let answer = ask(&county, uri);
        assert_eq!(answer.status, status, "{uri}");
        assert!(answer.text().contains("<b>What to do:</b>"), "{uri}");
    }
}

#[test]
fn every_answer_carries_the_safety_headers_and_no_other_host_is_answered() {
    let county = county();
    for uri in ["/inquiries", "/nowhere", "/look/dooryard.css", "/look/source-sans-3.woff2"] {
        let headers = ask(&county, uri).headers;
        let policy = headers[header::CONTENT_SECURITY_POLICY].to_str().unwrap();
        assert!(policy.starts_with("default-src 'self'") && policy.contains("frame-ancestors 'none'"), "{uri}");
        assert!(!policy.contains("unsafe"), "{uri}");
        assert_eq!(headers[header::X_CONTENT_TYPE_OPTIONS], "nosniff");
        assert_eq!(headers[header::REFERRER_POLICY], "no-referrer");
    }
    assert_eq!(ask(&county, "/inquiries").headers[header::CACHE_CONTROL], "no-store");
    assert_eq!(ask_as(&county, "elsewhere.invalid", "/inquiries").status, StatusCode::BAD_REQUEST);
    assert_eq!(ask_as(&county, "localhost:9000", "/inquiries").status, StatusCode::OK);
}

#[test]
fn no_page_needs_what_its_policy_forbids() {
    let county = county();
    let pages = [
        "/inquiries".to_owned(),
        format!("/inquiries/{}", county.tomato),
        "/take-in".into(),
        "/take-in/1".into(),
        "/phones".into(),
    ];
    for uri in pages {
        let text = ask(&county, &uri).text();
        for forbidden in [" style=", "<style", "<script", " onclick", "http://", "https://"] {
            assert!(!text.contains(forbidden), "{forbidden} in {uri}");
        }
    }
}
