//! Bundles through the page: taken in, repeated, set aside and tried again; replies; how the office is.

use axum::http::StatusCode;
use dooryard_core::{
    clock::Env,
    job::Job,
    notebook::{Notebook, Query},
    record::{Kind, Role as DeviceRole},
};
use serde_json::{Value as Json, json};

use super::{
    asks::{Answer, get, post, send_files},
    sample_county::{County, county},
};
use crate::{desk::Office, people::Role};

pub(super) fn see(county: &County, uri: &str, role: Role) -> String {
    let answer = get(uri).signed_in(county, role).send(county);
    assert_eq!(answer.status, StatusCode::OK, "{uri}: {}", answer.text());
    answer.text()
}

pub(super) fn sent(county: &County, files: &[(&str, &[u8])]) -> Answer {
    send_files("/take-in", files).signed_in(county, Role::ScoutLead).send(county)
}

pub(super) fn acts(county: &County) -> Vec<String> {
    county.people.audit(None).unwrap().into_iter().map(|row| row.act).collect()
}

/// A phone of the office with one inquiry of its own, and its bundle.
pub(super) fn another_phone(county: &County) -> (Notebook, Vec<u8>) {
    let book = county.notebook("s9", 9);
    let answer = county.office.add_device(&book.enrolment_request(), DeviceRole::Scout, "Scout 9").unwrap();
    book.enrol(&answer).unwrap();
    let bundle = written(&book);
    (book, bundle)
}

fn written(book: &Notebook) -> Vec<u8> {
    let site = json!({"township": "Harrow", "county": "Larkspur"});
    let site = book.save(Kind::Site, None, site.as_object().unwrap()).unwrap();
    let inquiry = json!({"taken_by": "Scout 9", "site": site.to_string(), "summary": "Leaves with holes"});
    book.save(Kind::Inquiry, None, inquiry.as_object().unwrap()).unwrap();
    let out = book.folder().join("out.yard");
    book.make_bundle(&out, &Job::silent()).unwrap();
    std::fs::read(out).unwrap()
}

#[test]
fn a_bundle_is_taken_in_once_and_the_second_time_changes_nothing() {
    let county = county();
    let (_, bundle) = another_phone(&county);
    let answer = sent(&county, &[("s9.yard", &bundle)]);
    assert_eq!((answer.status, answer.header("location")), (StatusCode::SEE_OTHER, "/take-in/5"));
    let page = see(&county, "/take-in/5", Role::Reader);
    for fact in [
        "Bundle from Scout 9",
        "file s9.yard",
        "<b>2</b>changes in the bundle",
        "Harrow",
        "New inquiry",
        "Nothing is missing",
    ] {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    let digest = county.office.notebook().digest().unwrap();
    let again = sent(&county, &[("s9.yard", &bundle)]);
    let page = see(&county, again.header("location"), Role::Reader);
    assert!(page.contains("The office had all of it already. Nothing changed."), "{page}");
    assert_eq!(county.office.notebook().digest().unwrap(), digest);
    let noted = county.people.audit(None).unwrap();
    let rows: Vec<_> = noted.iter().filter(|row| row.act == "took_in").collect();
    assert_eq!(rows.len(), 2);
    assert_eq!(rows[0].about, rows[1].about, "the same file");
    assert_eq!(rows[0].who.as_deref(), Some("scout lead"));
}

#[test]
fn many_files_are_taken_in_together_and_each_says_what_it_brought() {
    let county = county();
    let (_, bundle) = another_phone(&county);
    let again = county.file("s5.yard");
    let answer = sent(&county, &[("s9.yard", &bundle), ("s5.yard", &again), ("letter.yard", b"no bundle")]);
    assert_eq!(answer.header("location"), "/take-in/5-7");
    let page = see(&county, "/take-in/5-7", Role::Reader);
    for fact in
        ["3 files, 2 taken in", "Bundle from Scout 9", "Bundle from Scout 5", "It is not a bundle", "/take-in/6"]
    {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    let script = send_files("/take-in", &[("s9.yard", &bundle)]).header("accept", "application/json");
    let answer = script.header("x-dooryard-number", "7f").signed_in(&county, Role::ScoutLead).send(&county);
    let said: Json = serde_json::from_slice(&answer.bytes).unwrap();
    assert_eq!(said["files"][0]["number"], 8);
    assert!(said["files"][0]["sum"].as_str().unwrap().contains("0 changes new, 2 already here"), "{said}");
    let far = get("/take-in/how-far/7f").signed_in(&county, Role::ScoutLead).send(&county);
    assert_eq!(far.status, StatusCode::NO_CONTENT, "it is over");
    for uri in ["/take-in/7-5", "/take-in/1-9999", "/take-in/x", "/take-in?before=x"] {
        assert_eq!(get(uri).signed_in(&county, Role::Reader).send(&county).status, StatusCode::BAD_REQUEST, "{uri}");
    }
}

#[test]
fn the_token_also_comes_in_a_header() {
    let county = county();
    let session = county.session(Role::ScoutLead);
    let ask = send_files("/take-in", &[("letter.yard", b"no bundle")]).cookie(&county, &session.token);
    assert_eq!(ask.clone().send(&county).status, StatusCode::FORBIDDEN);
    let with = |token: &str| ask.clone().header("x-dooryard-token", token).send(&county).status;
    assert_eq!(with("0"), StatusCode::FORBIDDEN);
    assert_eq!(with(&session.visitor.form_token), StatusCode::SEE_OTHER);
}

#[test]
fn what_disagrees_stands_with_the_bundle_that_brought_it_and_nothing_sealed_does() {
    let county = county();
    // The first bundle brought what is under seal, the last the second of two counts.
    let first = see(&county, "/take-in/1", Role::Admin);
    assert!(first.contains("Some of it is under seal") && !first.contains("Boxwood"), "{first}");
    let last = see(&county, "/take-in/3", Role::Reader);
    assert!(last.contains("wrote <b>14</b> at") && last.contains("wrote <b>9</b> at"), "{last}");
    let letter = see(&county, "/take-in/4", Role::Reader);
    assert!(letter.contains("Nothing in this bundle disagrees") && letter.contains("It is not a bundle"));
}

#[test]
fn only_who_may_take_in_sees_the_form() {
    let county = county();
    let form = "enctype=\"multipart/form-data\"";
    assert!(!see(&county, "/take-in", Role::Reader).contains(form));
    assert!(see(&county, "/take-in", Role::ScoutLead).contains(form));
}

/// A bundle of a phone that this office does not know yet, and what it needs to know it.
fn of_a_stranger(county: &County) -> (Vec<u8>, Vec<u8>) {
    // Another machine of the same office took the phone on.
    let twin = tempfile::tempdir().unwrap();
    copy(county.office.folder(), twin.path());
    let twin = Office::open(twin.path(), Env::seeded(77, &county.clock)).unwrap();
    let book = county.notebook("stranger", 13);
    let request = book.enrolment_request();
    book.enrol(&twin.add_device(&request, DeviceRole::Scout, "Scout 9").unwrap()).unwrap();
    (request, written(&book))
}

fn copy(from: &std::path::Path, to: &std::path::Path) {
    for entry in std::fs::read_dir(from).unwrap().flatten() {
        let place = to.join(entry.file_name());
        if entry.path().is_dir() {
            std::fs::create_dir(&place).unwrap();
            copy(&entry.path(), &place);
        } else {
            std::fs::copy(entry.path(), &place).unwrap();
        }
    }
}

#[test]
fn a_file_that_was_set_aside_is_tried_again_with_one_click() {
    let county = county();
    let (request, bundle) = of_a_stranger(&county);
    sent(&county, &[("stranger.yard", &bundle)]);
    let kept = county.office.quarantined().unwrap();
    assert_eq!((kept.len(), kept[0].file.as_str()), (1, "stranger.yard"));
    let page = see(&county, "/set-aside", Role::ScoutLead);
    for fact in ["stranger.yard", "This office does not know the phone.", "Add the device", "Try again"] {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    assert!(
        !page.contains("Throw it away for good") && !see(&county, "/set-aside", Role::Reader).contains("Try again")
    );
    let again = |county: &County| {
        post("/set-aside/again", &[("file", &kept[0].id)]).signed_in(county, Role::ScoutLead).send(county)
    };
    let page = see(&county, again(&county).header("location"), Role::Reader);
    assert!(page.contains("Set aside, kept sealed") || page.contains("kept sealed until someone decides"), "{page}");
    assert_eq!(county.office.quarantined().unwrap().len(), 1, "it is still kept");
    county.office.add_device(&request, DeviceRole::Scout, "Scout 9").unwrap();
    let page = see(&county, again(&county).header("location"), Role::Reader);
    assert!(page.contains("Bundle from Scout 9") && page.contains("file stranger.yard"), "{page}");
    assert!(county.office.quarantined().unwrap().is_empty());
    assert_eq!(again(&county).status, StatusCode::NOT_FOUND);
    assert_eq!(acts(&county).iter().filter(|act| *act == "tried_again").count(), 2);
}

#[test]
fn a_file_is_thrown_away_by_an_admin_alone_and_noted_first() {
    let county = county();
    let mut newer = county.file("s3.yard");
    newer[8] = 99;
    sent(&county, &[("newer.yard", &newer)]);
    let id = county.office.quarantined().unwrap()[0].id.clone();
    let throw = |role| post(&format!("/set-aside/{id}/throw-away"), &[]).signed_in(&county, role).send(&county);
    assert_eq!(throw(Role::Reviewer).status, StatusCode::FORBIDDEN);
    assert_eq!(county.office.quarantined().unwrap().len(), 1);
    assert_eq!(throw(Role::Admin).status, StatusCode::SEE_OTHER);
    assert!(county.office.quarantined().unwrap().is_empty());
    assert_eq!(throw(Role::Admin).status, StatusCode::NOT_FOUND);
    assert_eq!(acts(&county).iter().filter(|act| *act == "threw_away").count(), 1);
}

#[test]
fn a_file_that_names_an_erased_record_is_listed_for_a_decision() {
    let county = county();
    let (request, bundle) = of_a_stranger(&county);
    sent(&county, &[("stranger.yard", &bundle)]);
    // The same came another way meanwhile; the copy is still here.
    county.office.add_device(&request, DeviceRole::Scout, "Scout 9").unwrap();
    sent(&county, &[("stranger.yard", &bundle)]);
    county.office.erase(county.tomato).unwrap();
    let page = see(&county, "/set-aside", Role::Admin);
    assert!(page.contains("stranger.yard") && !page.contains("names a record that was erased"), "{page}");
    let inquiries = Query { kind: Some(Kind::Inquiry), limit: 100, ..Query::default() };
    let all = county.office.notebook().list(&inquiries).unwrap().rows;
    let theirs = all.iter().find(|row| row.text("summary") == Some("Leaves with holes")).unwrap();
    county.office.erase(theirs.id).unwrap();
    let page = see(&county, "/set-aside", Role::Admin);
    assert!(page.contains("It names a record that was erased.") && page.contains("Throw it away for good"), "{page}");
}

#[test]
fn changes_that_wait_are_let_in_as_they_were_counted() {
    let county = county();
    let (book, _) = another_phone(&county);
    let device = county.office.device("Scout 9").unwrap();
    county.office.revoke(device).unwrap();
    let late = written(&book);
    sent(&county, &[("late.yard", &late)]);
    let page = see(&county, "/set-aside", Role::Reviewer);
    assert!(page.contains("This phone was revoked.") && page.contains("Let all 4 count"), "{page}");
    let waiting = || county.office.notebook().count_of(&device).unwrap().1;
    assert_eq!(waiting(), 4);
    let decide = |role, n: &str, counts: &str| {
        let (phone, code) = (device.to_string(), "REVOKED");
        let fields = [("phone", phone.as_str()), ("code", code), ("n", n), ("counts", counts)];
        post("/set-aside/changes", &fields).signed_in(&county, role).send(&county)
    };
    assert_eq!(decide(Role::ScoutLead, "4", "yes").status, StatusCode::FORBIDDEN);
    let other = decide(Role::Reviewer, "3", "yes");
    assert!(other.status == StatusCode::CONFLICT && other.text().contains("Meanwhile 4 changes wait"));
    assert_eq!(waiting(), 4);
    assert_eq!(decide(Role::Reviewer, "4", "maybe").status, StatusCode::BAD_REQUEST);
    assert_eq!(decide(Role::Reviewer, "4", "yes").status, StatusCode::SEE_OTHER);
    assert_eq!(waiting(), 0);
    assert!(see(&county, "/inquiries", Role::Reader).contains("Harrow"));
    assert_eq!(acts(&county).iter().filter(|act| *act == "let_count").count(), 4);
}
