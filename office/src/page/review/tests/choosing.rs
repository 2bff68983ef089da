//! Values that two phones wrote apart, and inquiries that look alike.

use axum::http::StatusCode;
use dooryard_core::{ids::RecordId, record::Kind};
use serde_json::json;

use super::{SCRIPT, hidden, look, save, send};
use crate::{
    page::{
        asks::Answer,
        sample_county::{County, county},
    },
    people::Role,
};

fn clash(county: &County, page: &str, choice: &str, third: &str) -> Answer {
    let fields = [
        ("record", hidden(page, "record")),
        ("field", hidden(page, "field")),
        ("changes", hidden(page, "changes")),
        ("choice", choice),
        ("third", third),
    ];
    send(county, Role::Reviewer, &format!("/review/{}/choose", county.tomato), &fields)
}

#[test]
fn values_written_apart_are_told_chosen_or_replaced_and_nothing_is_lost() {
    let county = county();
    let uri = format!("/review/{}", county.tomato);
    let page = look(&county, Role::Reviewer, &uri).text();
    let changes: Vec<String> = hidden(&page, "changes").split(',').map(str::to_owned).collect();
    assert_eq!(changes.len(), 2);
    assert!(page.contains("Scout 3 wrote <b>14</b>") && page.contains("Scout 5 wrote <b>9</b>"), "{page}");
    let plant: RecordId = hidden(&page, "record").parse().unwrap();
    let affected = || county.office.notebook().show(plant).unwrap().get("affected").cloned();

    assert_eq!(clash(&county, &page, "", "").status, StatusCode::UNPROCESSABLE_ENTITY);
    let bad = clash(&county, &page, "own", "<b>many</b>");
    assert_eq!(bad.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(bad.text().contains("&#60;b&#62;many") && bad.text().contains("not a value that this field can hold"));
    let before = county.office.notebook().history(plant).unwrap().len();

    assert_eq!(clash(&county, &page, "own", "11").status, StatusCode::SEE_OTHER);
    assert_eq!(affected(), Some(json!(11)));
    assert!(!look(&county, Role::Reviewer, &uri).text().contains("Two phones disagree"));
    let late = clash(&county, &page, &changes[0], "");
    assert_eq!(late.status, StatusCode::CONFLICT, "the form has not seen what is there now");
    send(&county, Role::Reviewer, "/review/undo", &[]);
    assert!(matches!(affected(), Some(v) if v == json!(14) || v == json!(9)));
    assert_eq!(county.office.notebook().history(plant).unwrap().len(), before + 2, "the history holds all of it");
}

#[test]
fn inquiries_that_look_alike_are_suggested_with_a_reason_linked_and_parted_again() {
    let county = county();
    let other = save(
        &county,
        Kind::Inquiry,
        None,
        &json!({
            "opened": "2026-07-19T09:00:00-05:00[America/Chicago]", "site": county.site.to_string(),
            "contact": county.contact.to_string(), "taken_by": format!("Scout {SCRIPT}"),
        }),
    );
    let far = json!({"opened": "2026-01-19T09:00:00-06:00[America/Chicago]", "site": county.site.to_string()});
    let far = save(&county, Kind::Inquiry, None, &far);
    let uri = format!("/review/{}", county.tomato);
    let page = look(&county, Role::Reviewer, &uri).text();
    assert!(page.contains("The same contact. The same place, a common host, within 14 days."), "{page}");
    assert!(page.contains(&other.to_string()) && !page.contains(&far.to_string()) && !page.contains(SCRIPT));

    let say = |word: &str| {
        let fields = [("other", other.to_string()), ("say", word.to_owned())];
        let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (*n, v.as_str())).collect();
        assert_eq!(send(&county, Role::Reviewer, &format!("{uri}/alike"), &fields).status, StatusCode::SEE_OTHER);
    };
    say("same");
    let linked = |id: RecordId| {
        look(&county, Role::Reviewer, &format!("/review/{id}")).text().contains("Linked: the same trouble.")
    };
    assert!(linked(county.tomato) && linked(other), "each of the two says so");
    send(&county, Role::Reviewer, "/review/undo", &[]);
    assert!(!linked(county.tomato));
    say("same");
    say("unlink");
    assert!(!linked(other));
    say("apart");
    assert!(
        !look(&county, Role::Reviewer, &uri).text().contains("The same contact."),
        "said to be apart: not suggested again"
    );
    let wrong = send(
        &county,
        Role::Reviewer,
        &format!("{uri}/alike"),
        &[("other", &county.sealed.to_string()), ("say", "same")],
    );
    assert_eq!(wrong.status, StatusCode::NOT_FOUND, "what is sealed is linked with nothing");
}
