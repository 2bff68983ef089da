//! Several answers at once.

use axum::http::StatusCode;
use dooryard_core::record::Kind;
use serde_json::json;

use super::{answered, hidden, look, of, save, send};
use crate::{page::sample_county::county, people::Role};

#[test]
fn several_are_looked_at_changed_and_taken_back() {
    let county = county();
    let id = answered(&county);
    let other = save(&county, Kind::Inquiry, None, &json!({"taken_by": "Scout 5"}));
    save(&county, Kind::Visit, None, &json!({"inquiry": other.to_string()}));
    let (id, other) = (id.to_string(), other.to_string());
    let chosen = [("id", id.as_str()), ("id", other.as_str())];
    let ask = |more: &[(&str, &str)]| send(&county, Role::Reviewer, "/review/several", &[&chosen, more].concat());
    assert!(ask(&[("step", "choose")]).text().contains("2 answers are chosen."));
    assert_eq!(ask(&[("step", "preview")]).status, StatusCode::UNPROCESSABLE_ENTITY);
    let question = [("do", "ask"), ("words", "A photo of the <b>underside</b>?"), ("due", "2026-07-27")];
    let look_at = ask(&[&[("step", "preview")], &question[..]].concat());
    let page = look_at.text();
    assert!(page.contains("2 changes, if you do it") && page.contains("&#60;b&#62;underside"), "{page}");
    assert!(of(&county, Kind::FollowUp).is_empty(), "looking changes nothing");
    let seen = hidden(&page, "seen").to_owned();
    let late = ask(&[&[("step", "do"), ("seen", "0")], &question[..]].concat());
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert_eq!(
        ask(&[&[("step", "do"), ("seen", seen.as_str())], &question[..]].concat()).status,
        StatusCode::SEE_OTHER
    );
    assert_eq!(of(&county, Kind::FollowUp).len(), 2);
    let queue = look(&county, Role::Reviewer, "/review").text();
    assert!(queue.contains("0 answers await") && queue.contains("Asked of the scouts of 2 answers."), "{queue}");
    let undone = send(&county, Role::Reviewer, "/review/undo", &[]);
    assert!(undone.header("location").starts_with("/review?undone=6&left=0"), "{}", undone.header("location"));
    assert!(of(&county, Kind::FollowUp).is_empty() && of(&county, Kind::Review).is_empty());
    assert!(look(&county, Role::Reviewer, "/review").text().contains("2 answers await"));

    let page = ask(&[("step", "preview"), ("do", "today")]).text();
    let seen = hidden(&page, "seen").to_owned();
    ask(&[("step", "do"), ("do", "today"), ("seen", &seen)]);
    let urgency =
        |id: &str| county.office.notebook().show(id.parse().unwrap()).unwrap().text("urgency").map(str::to_owned);
    assert_eq!(urgency(&other).as_deref(), Some("today"));
    // Somebody writes one of them since: taking back leaves that one alone.
    save(&county, Kind::Inquiry, Some(county.tomato), &json!({"urgency": "this_week"}));
    let undone = send(&county, Role::Reviewer, "/review/undo", &[]);
    assert!(undone.header("location").starts_with("/review?undone=1&left=1"), "{}", undone.header("location"));
    assert_eq!(
        (urgency(&other).as_deref(), urgency(&county.tomato.to_string()).as_deref()),
        (Some("ordinary"), Some("this_week"))
    );
}
