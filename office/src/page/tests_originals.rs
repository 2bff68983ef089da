//! A bundle as it came, through the page: taken out, read in again, gone with an erasure.

use axum::http::StatusCode;
use dooryard_core::{notebook::Query, record::Kind};

use super::{
    asks::{get, post},
    sample_county::{PASSWORD, county},
    tests_take_in::{acts, another_phone, see, sent},
};
use crate::people::Role;

#[test]
fn it_is_taken_out_as_it_came_and_read_in_again() {
    let county = county();
    let (_, bundle) = another_phone(&county);
    assert_eq!(sent(&county, &[("s9.yard", &bundle)]).header("location"), "/take-in/5");
    assert!(see(&county, "/take-in/5", Role::Reader).contains("It is kept here as it came"));
    assert!(!see(&county, "/take-in/5", Role::Reader).contains("/take-in/5/original"), "readers take nothing out");
    assert!(see(&county, "/take-in/5", Role::ScoutLead).contains("href=\"/take-in/5/original\""));
    let out = get("/take-in/5/original").signed_in(&county, Role::ScoutLead).send(&county);
    assert_eq!((out.status, out.bytes.as_slice()), (StatusCode::OK, bundle.as_slice()));
    assert_eq!(out.header("content-disposition"), "attachment; filename=\"bundle-5.yard\"");
    let digest = county.office.notebook().digest().unwrap();
    let again = post("/take-in/5/again", &[]).signed_in(&county, Role::ScoutLead).send(&county);
    assert_eq!((again.status, again.header("location")), (StatusCode::SEE_OTHER, "/take-in/6"));
    assert!(see(&county, "/take-in/6", Role::Reader).contains("file s9.yard"));
    assert_eq!(county.office.notebook().digest().unwrap(), digest);
    assert!(acts(&county).contains(&"took_original".to_owned()));
    assert_eq!(acts(&county).iter().filter(|act| *act == "took_in").count(), 2);
    for (uri, role, status) in [
        ("/take-in/5/original", Role::Reader, StatusCode::FORBIDDEN),
        ("/take-in/99/original", Role::ScoutLead, StatusCode::NOT_FOUND),
        ("/take-in/0/original", Role::ScoutLead, StatusCode::NOT_FOUND),
        ("/take-in/x/original", Role::ScoutLead, StatusCode::NOT_FOUND),
    ] {
        assert_eq!(get(uri).signed_in(&county, role).send(&county).status, status, "{uri}");
    }
}

#[test]
fn after_an_erasure_the_page_says_that_it_was_removed() {
    let county = county();
    let (_, bundle) = another_phone(&county);
    sent(&county, &[("s9.yard", &bundle)]);
    let inquiries = Query { kind: Some(Kind::Inquiry), words: "holes".into(), ..Query::default() };
    let id = county.office.notebook().list(&inquiries).unwrap().rows[0].id;
    county.office.erase(id).unwrap();
    let page = see(&county, "/take-in/5", Role::ScoutLead);
    assert!(page.contains("It was removed: something in it was erased since."), "{page}");
    assert!(!page.contains("/take-in/5/again"));
    for answer in [get("/take-in/5/original"), post("/take-in/5/again", &[])] {
        assert_eq!(answer.signed_in(&county, Role::ScoutLead).send(&county).status, StatusCode::NOT_FOUND);
    }
    sent(&county, &[("letter.yard", b"no bundle")]);
    assert!(!see(&county, "/take-in/6", Role::ScoutLead).contains("The file itself"), "it was not taken in");
}

#[test]
fn after_thirty_days_the_page_says_that_it_is_gone() {
    let county = county();
    let (_, bundle) = another_phone(&county);
    sent(&county, &[("s9.yard", &bundle)]);
    let id = county.office.intake_log().unwrap()[0].1.original.clone().unwrap();
    std::fs::remove_file(county.office.original(&id).unwrap()).unwrap();
    let said = |days: u64| {
        county.clock.set(county.clock.now_ms() + days * 86_400_000);
        let admin = county.people.sign_in("scout lead", PASSWORD, None).unwrap();
        get("/take-in/5").held(&county, &admin).send(&county).text()
    };
    assert!(said(29).contains("something in it was erased since"));
    let page = said(2);
    assert!(page.contains("It was kept for 30 days, and is gone."), "{page}");
}
