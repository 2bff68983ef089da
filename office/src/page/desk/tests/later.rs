//! What is to be asked later, and the morning.

use axum::http::StatusCode;
use dooryard_core::record::Kind;
use serde_json::json;

use super::{all, look, send, show};
use crate::{
    page::{
        asks::{get, post},
        sample_county::county,
    },
    people::Role,
};

#[test]
fn readers_see_the_morning_and_write_nothing() {
    let county = county();
    let reader = |uri: &str| get(uri).signed_in(&county, Role::Reader).send(&county).status;
    assert_eq!(["/", "/follow-ups"].map(reader), [StatusCode::OK; 2]);
    let id = county.tomato;
    for uri in
        ["/desk".into(), format!("/desk/{id}"), format!("/inquiries/{id}/walk"), format!("/inquiries/{id}/letter")]
    {
        assert_eq!(reader(&uri), StatusCode::FORBIDDEN, "{uri}");
    }
    for uri in
        ["/desk".into(), "/desk/typed".into(), format!("/inquiries/{id}/walk"), format!("/inquiries/{id}/follow-up")]
    {
        let sent = post(&uri, &[("words", "x")]).signed_in(&county, Role::Reader).send(&county);
        assert_eq!(sent.status, StatusCode::FORBIDDEN, "{uri}");
    }
    let page = get("/").signed_in(&county, Role::Reader).send(&county).text();
    assert!(!page.contains("the blight") && !page.contains("Someone is asking"));
}

#[test]
fn a_follow_up_is_answered_put_off_handed_over_and_taken_back() {
    let county = county();
    let made = send(
        &county,
        &format!("/inquiries/{}/follow-up", county.tomato),
        &[("due", "2026-01-02"), ("question", "How is it?")],
    );
    assert_eq!(made.status, StatusCode::SEE_OTHER);
    let id = all(&county, Kind::FollowUp)[0].id;
    let at = format!("/follow-ups/{id}");
    let list = look(&county, "/follow-ups").text();
    assert!(list.contains("1 late, 0 due today, of 1 open; 0 done.") && list.contains("days late"), "{list}");
    assert!(look(&county, "/").text().contains("1 late, 0 today, of 1 open"));
    let put_off = send(&county, &at, &[("do", "postpone"), ("due", "2099-01-01")]);
    assert_eq!(put_off.header("location"), format!("/follow-ups?changed={id}&was=2026-01-02"));
    assert!(look(&county, put_off.header("location")).text().contains("Take it back"));
    assert_eq!(show(&county, id).text("due"), Some("2099-01-01"));
    send(&county, &at, &[("do", "undo"), ("was", "2026-01-02")]);
    assert_eq!(show(&county, id).text("due"), Some("2026-01-02"));
    send(&county, &at, &[("do", "hand"), ("by", "Reviewer 3")]);
    assert!(
        look(&county, "/follow-ups").text().contains("reviewer, reviewer")
            && !look(&county, "/follow-ups?whose=own").text().contains("How is it?")
    );
    assert_eq!(send(&county, &at, &[("do", "hand"), ("by", "Reviewer 99")]).status, StatusCode::BAD_REQUEST);
    send(&county, &at, &[("do", "done"), ("answer", "The new leaves are clean."), ("outcome", "recovered")]);
    let done = look(&county, "/follow-ups").text();
    assert!(done.contains("0 late, 0 due today, of 0 open; 1 done.") && done.contains("The new leaves are clean."));
    let reader = get("/follow-ups").signed_in(&county, Role::Reader).send(&county).text();
    assert!(!reader.contains("The new leaves are clean."), "a resident's words are not for readers");
    send(&county, &at, &[("do", "undo")]);
    let open = show(&county, id);
    assert!(look(&county, "/follow-ups").text().contains("of 1 open; 0 done."));
    assert_eq!(open.text("answer"), Some("The new leaves are clean."), "what was said stays");
}

#[test]
fn an_answer_to_a_follow_up_is_read_for_danger_too() {
    let county = county();
    send(
        &county,
        &format!("/inquiries/{}/follow-up", county.tomato),
        &[("due", "2026-01-02"), ("question", "How is it?")],
    );
    let id = all(&county, Kind::FollowUp)[0].id;
    let words = "A limb is resting on the power line to our house.";
    let answer = send(&county, &format!("/follow-ups/{id}"), &[("do", "done"), ("answer", words)]);
    assert_eq!(answer.header("location"), format!("/inquiries/{}/walk?stop=new", county.tomato));
    assert!(show(&county, county.tomato).get("stops").unwrap().as_array().unwrap().contains(&json!("utility_line")));
}

#[test]
fn the_morning_counts_out_of_how_many_and_leads_to_each_list() {
    let county = county();
    let page = look(&county, "/").text();
    for fact in [
        "1 open inquiries of 1; 0 follow-ups late, 0 due today.",
        "Something wild, eaten or meant to be",
        "Sealed records: 1.",
        "Bundle from Scout 3",
        "File letter.yard, refused",
        "1 awaits a reviewer, of 1 that nobody has reviewed",
        "href=\"/follow-ups\"",
        "href=\"/inquiries?status=open\"",
        "Inquiries in which two phones disagree: 1",
        "0 of 2",
    ] {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    assert!(!page.contains("Boxwood"));
}
