//! The page over a real office, asked as a browser asks.

use axum::http::{StatusCode, header};
use dooryard_core::{clock::Env, notebook::Notebook, record::Role};

use super::{
    asks::{Answer, get},
    sample_county::{County, county},
};
use crate::people::Role as PageRole;

fn ask_as(county: &County, host: &str, uri: &str) -> Answer {
    get(uri).header("host", host).signed_in(county, PageRole::Reviewer).send(county)
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
        "Leaf spots: Small round tan with dark rim",
        "Looked, not there",
        "Soil pH test",
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
fn what_was_erased_is_said_and_gone() {
    let county = county();
    for record in [county.tomato, county.site, county.contact] {
        county.office.erase(record).unwrap();
    }
    let text = ask(&county, &format!("/inquiries/{}?place=full&contact=full", county.tomato)).text();
    for gone in ["the blight", "Teal Lane", "Somebody Invented"] {
        assert!(!text.contains(gone), "{gone}");
    }
    assert!(text.contains("The resident's own words were erased."), "{text}");
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
        assert_eq!(headers[header::REFERRER_POLICY], "same-origin");
        assert_eq!(headers[header::X_FRAME_OPTIONS], "DENY");
    }
    assert_eq!(ask(&county, "/inquiries").headers[header::CACHE_CONTROL], "no-store");
    assert_eq!(ask_as(&county, "elsewhere.invalid", "/inquiries").status, StatusCode::BAD_REQUEST);
    assert_eq!(ask_as(&county, "localhost:9000", "/inquiries").status, StatusCode::OK);
}

#[test]
fn a_picture_alone_lets_in_nothing_but_its_own_layout() {
    let county = county();
    let page = ask(&county, &format!("/inquiries/{}", county.tomato)).text();
    let small = page.split("src=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("a photo");
    let headers = ask(&county, small).headers;
    let policy = headers[header::CONTENT_SECURITY_POLICY].to_str().unwrap();
    assert!(policy.starts_with("default-src 'none'") && policy.contains("frame-ancestors 'none'"), "{policy}");
    assert!(!policy.contains("script-src"), "{policy}");
    assert_eq!(headers[header::X_CONTENT_TYPE_OPTIONS], "nosniff");
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

#[test]
fn a_phone_that_asks_to_come_in_stands_over_the_others_with_its_six_words() {
    let county = county();
    assert!(!ask(&county, "/phones").text().contains("ask to come in"));
    let invitation = county.office.invite(Role::Scout, "Scout 9", 86_400_000).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let phone = Notebook::create(&folder.path().join("phone"), Env::system()).unwrap();
    phone.join(&invitation).unwrap();
    let asked = county.office.hear(&phone.ask().unwrap().unwrap()).unwrap();
    let page = ask(&county, "/phones").text();
    for words in ["Phones that ask to come in", "Scout 9", &asked.words.english(), &asked.words.spanish()] {
        assert!(page.contains(words), "{words} is missing in:\n{page}");
    }
}

#[test]
fn older_and_newer_lead_through_every_inquiry_once_and_back() {
    let county = county();
    for n in 0..90 {
        let fields = serde_json::json!({"summary": format!("row-{n:02}."), "taken_by": "Scout 7"});
        let kind = dooryard_core::record::Kind::Inquiry;
        county.office.notebook().save(kind, None, fields.as_object().unwrap()).unwrap();
    }
    let rows = |text: &str| (0..90).filter(|n| text.contains(&format!("row-{n:02}."))).collect::<Vec<_>>();
    let link = |text: &str, words: &str| {
        let before = text.split(&format!("\">{words}</a>")).next().filter(|before| before.len() < text.len())?;
        Some(before.rsplit("href=\"").next().unwrap().replace("&#38;", "&"))
    };
    let (mut uri, mut seen, mut pages) = ("/inquiries?scout=Scout+7".to_owned(), Vec::new(), Vec::new());
    loop {
        let text = ask(&county, &uri).text();
        seen.extend(rows(&text));
        pages.push(rows(&text));
        assert!(
            text.contains(&format!("Rows {} to {} of 90", seen.len() + 1 - rows(&text).len(), seen.len())),
            "{uri}"
        );
        match link(&text, "Older") {
            Some(older) => uri = older,
            None => break,
        }
    }
    assert_eq!((seen.len(), pages.len()), (90, 3));
    seen.sort_unstable();
    assert_eq!(seen, (0..90).collect::<Vec<_>>());
    let back = ask(&county, &link(&ask(&county, &uri).text(), "Newer").unwrap()).text();
    assert_eq!(rows(&back), pages[1]);
    assert_eq!(rows(&ask(&county, &link(&back, "Newer").unwrap()).text()), pages[0]);
}
