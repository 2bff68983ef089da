//! Who sees what and may do what, in which language, and what is noted.

use axum::http::StatusCode;
use dooryard_core::record::Kind;
use serde_json::json;

use super::{answered, decide, look, of, own, save, send};
use crate::{
    page::{asks::get, sample_county::county},
    people::Role,
};

#[test]
fn readers_see_and_do_not_write() {
    let county = county();
    let id = answered(&county);
    for role in [Role::Reader, Role::ScoutLead] {
        let page = look(&county, role, &format!("/review/{id}")).text();
        assert!(page.contains("Early blight") && !page.contains("action=\"/review/"), "{role:?}");
        assert_eq!(page.contains("the blight?"), role == Role::ScoutLead, "the resident's own words");
        for part in ["own", "decide", "draft", "choose", "alike"] {
            let answer = send(&county, role, &format!("/review/{id}/{part}"), &[("decision", "agree")]);
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{part}");
        }
        for uri in ["/review/several", "/review/undo", "/review/undo/forget"] {
            assert_eq!(send(&county, role, uri, &[]).status, StatusCode::FORBIDDEN, "{uri}");
        }
        let private = look(&county, role, &format!("/review/{id}?private=full")).status;
        assert_eq!(private == StatusCode::FORBIDDEN, role == Role::Reader);
    }
    assert!(of(&county, Kind::Review).is_empty());
}

#[test]
fn what_is_sealed_has_no_review() {
    let county = county();
    let diagnosis =
        save(&county, Kind::Diagnosis, None, &json!({"inquiry": county.sealed.to_string(), "by": "Scout 3"}));
    for id in [county.sealed, diagnosis] {
        let answer = look(&county, Role::Admin, &format!("/review/{id}"));
        assert_eq!(answer.status, StatusCode::FORBIDDEN);
        assert!(!answer.text().contains("Boxwood"));
        let now = look(&county, Role::Admin, &format!("/review/{id}/now"));
        assert_eq!(now.status, StatusCode::FORBIDDEN);
    }
    for nothing in [county.photo, county.site] {
        assert_eq!(look(&county, Role::Admin, &format!("/review/{nothing}")).status, StatusCode::NOT_FOUND);
    }
}

#[test]
fn each_act_is_noted_once() {
    let county = county();
    let id = answered(&county);
    own(&county, Role::Reviewer, id);
    decide(&county, Role::Reviewer, id, &[("decision", "agree")]);
    send(&county, Role::Reviewer, "/review/undo", &[]);
    let rows = county.people.audit(None).unwrap();
    let count = |act: &str| rows.iter().filter(|row| row.act == act).count();
    assert_eq!((count("kept_answer"), count("decided"), count("took_back")), (1, 1, 1));
    assert!(count("saw_review") >= 2);
    let decided = rows.iter().find(|row| row.act == "decided").unwrap();
    assert_eq!(decided.about.as_deref(), Some(id.to_string().as_str()));
}

#[test]
fn every_sentence_is_there_in_both_languages() {
    let county = county();
    let id = answered(&county);
    let mut pages = vec![format!("/review/{id}"), "/review".into()];
    let other = save(&county, Kind::Inquiry, None, &json!({"taken_by": "Scout 5"}));
    save(&county, Kind::Visit, None, &json!({"inquiry": other.to_string()}));
    for role in [Role::Reviewer, Role::Reader] {
        pages.push(format!("/review/{other}"));
        for uri in &pages {
            let county_cookie = get(uri).signed_in(&county, role);
            for tag in ["en", "es"] {
                let page = county_cookie.clone().header("accept-language", tag).send(&county).text();
                let shown = page.replace("review-keys", "").replace("data-review", "");
                assert!(page.contains(&format!("<html lang=\"{tag}\"")), "{uri} is not in {tag}");
                for bad in [">review-", "\"review-", "{ $", "{$"] {
                    assert!(!shown.contains(bad), "{bad} in {uri}, {tag}:\n{shown}");
                }
            }
        }
        own(&county, Role::Reviewer, id);
    }
}

#[test]
fn no_page_needs_what_its_policy_forbids() {
    let county = county();
    let id = answered(&county);
    own(&county, Role::Reviewer, id);
    let by_inquiry = look(&county, Role::Reviewer, &format!("/review/{}", county.tomato));
    assert_eq!(
        by_inquiry.header("location"),
        format!("/review/{id}"),
        "by the inquiry's number one comes to its answer"
    );
    for uri in ["/review".to_owned(), format!("/review/{id}")] {
        let text = look(&county, Role::Reviewer, &uri).text();
        for forbidden in [" style=", "<style", " onclick", "http://", "https://"] {
            assert!(!text.contains(forbidden), "{forbidden} in {uri}");
        }
        let scripts: Vec<_> =
            text.match_indices("<script").map(|(at, _)| text[at..].split('>').next().unwrap()).collect();
        assert_eq!(scripts, ["<script type=\"module\" src=\"/look/review.js\""], "{uri}");
    }
    let script = look(&county, Role::Reader, "/look/review.js");
    assert!(script.header("content-type").starts_with("text/javascript"));
}
