//! The queue: how many, why, in which order, key by key.

use axum::http::StatusCode;
use dooryard_core::{ids::RecordId, record::Kind};
use serde_json::json;

use super::{answered, look, save};
use crate::{page::sample_county::county, people::Role};

#[test]
fn the_queue_says_how_many_why_and_most_urgent_first() {
    let county = county();
    let empty = look(&county, Role::Reader, "/review").text();
    assert!(empty.contains("1 answer awaits a reviewer."), "somebody looked and named no cause: {empty}");
    let answered = answered(&county);
    let other = save(&county, Kind::Inquiry, None, &json!({"urgency": "today", "taken_by": "Scout 5"}));
    save(&county, Kind::Visit, None, &json!({"inquiry": other.to_string(), "observer": "Scout 5"}));
    let page = look(&county, Role::Reader, "/review").text();
    for words in [
        "2 answers await a reviewer.",
        "<b>1</b> A stop was raised",
        "<b>1</b> Somebody means to eat of it",
        "<b>1</b> The first of its cause this season",
        "<b>1</b> Below likely, or no cause named",
    ] {
        assert!(page.contains(words), "{words} is missing in:\n{page}");
    }
    let at = |id: RecordId| page.find(&format!("/review/{id}")).unwrap();
    assert!(at(answered) < at(other), "a stop comes before what is needed today");
    assert!(!page.contains(&county.sealed.to_string()));
    let narrowed = look(&county, Role::Reader, "/review?why=low_confidence").text();
    assert!(narrowed.contains(&other.to_string()) && !narrowed.contains(&format!("/review/{answered}")));
    for bad in ["/review?why=pigeon", "/review?after=pigeon", "/review?after=1.2"] {
        assert_eq!(look(&county, Role::Reader, bad).status, StatusCode::BAD_REQUEST, "{bad}");
    }
}

#[test]
fn the_queue_goes_on_by_key_and_every_entry_stands_once() {
    let county = county();
    let mut all = vec![county.tomato];
    for n in 0..64 {
        let inquiry = save(&county, Kind::Inquiry, None, &json!({"taken_by": format!("Scout {n}")}));
        save(&county, Kind::Visit, None, &json!({"inquiry": inquiry.to_string()}));
        all.push(inquiry);
    }
    let (mut uri, mut seen) = ("/review".to_owned(), Vec::new());
    for _ in 0..4 {
        let page = look(&county, Role::Reader, &uri).text();
        seen.extend(all.iter().filter(|id| page.contains(&format!("<a href=\"/review/{id}\">"))).copied());
        let Some((before, _)) = page.split_once("\" rel=\"next\"") else { break };
        uri = before.rsplit_once("href=\"").unwrap().1.replace("&#38;", "&").replace("&amp;", "&");
    }
    seen.sort_unstable();
    all.sort_unstable();
    assert_eq!(seen, all);
}
