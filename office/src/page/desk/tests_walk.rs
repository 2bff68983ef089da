//! The walk, asked as a browser asks.

use axum::http::StatusCode;
use dooryard_core::record::Kind;
use serde_json::json;

use super::tests::{all, look, send, show};
use crate::{
    page::{
        asks::get,
        sample_county::{County, county},
    },
    people::Role,
};

fn walk(county: &County) -> String {
    format!("/inquiries/{}/walk", county.tomato)
}

/// Findings of the desk on a character, as (state, status).
fn told(county: &County, character: &str) -> Vec<(String, String)> {
    let own = all(county, Kind::Finding).into_iter().filter(|f| f.text("method") == Some("told"));
    let of = own.filter(|f| f.text("character") == Some(character));
    of.map(|f| (f.text("state").unwrap_or_default().into(), f.text("status").unwrap_or_default().into())).collect()
}

#[test]
fn a_look_is_asked_with_its_reason_and_every_answer_has_a_key() {
    let county = county();
    let page = look(&county, &walk(&county)).text();
    for fact in [
        "Next look",
        "Why this one",
        "in 100",
        "data-key=\"1\"",
        "value=\"could_not_tell\" data-key=\"0\"",
        "value=\"not_looked\" data-key=\"-\" checked",
        "What may be said already",
        "Leaf spots",
        "found by a scout",
    ] {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    assert!(page.find("Stop: something wild").unwrap() < page.find("Next look").unwrap());
}

#[test]
fn an_answer_is_a_finding_at_once_changed_in_its_place_and_taken_back() {
    let county = county();
    let uri = walk(&county);
    let say = |state: &str| send(&county, &uri, &[("look", "onset"), ("state", state), ("comfort", "2")]);
    let first = say("days");
    assert_eq!(first.status, StatusCode::SEE_OTHER);
    assert_eq!(told(&county, "onset"), [("days".to_owned(), "seen".to_owned())]);
    let page = look(&county, first.header("location")).text();
    assert!(page.contains("Take back:") && page.contains(", was "), "{page}");
    say("weeks");
    assert_eq!(told(&county, "onset"), [("weeks".to_owned(), "seen".to_owned())], "the new one stands in its place");
    say("could_not_tell");
    assert_eq!(told(&county, "onset"), [(String::new(), "could_not_tell".to_owned())]);
    say("not_looked");
    assert_eq!(told(&county, "onset"), [(String::new(), "not_looked".to_owned())]);
    let undone = send(&county, &format!("{uri}/undo"), &[("look", "onset")]);
    assert!(undone.header("location").contains("look=onset") && told(&county, "onset").is_empty());
    let visits = all(&county, Kind::Visit).into_iter().filter(|v| v.text("observer") == Some("Scout lead 2")).count();
    assert_eq!(visits, 1, "one visit a day");
    // What a scout found is the scout's.
    assert_eq!(send(&county, &format!("{uri}/undo"), &[("look", "leaf_spot")]).status, StatusCode::CONFLICT);
    for (character, state) in [("no_such", "x"), ("onset", "no_such"), ("onset", "<script>")] {
        let bad = send(&county, &uri, &[("look", character), ("state", state)]);
        assert_eq!(bad.status, StatusCode::BAD_REQUEST, "{character} {state}");
    }
}

#[test]
fn of_a_look_with_several_answers_each_ticked_one_is_a_finding() {
    let county = county();
    let pack = crate::pack::starter().unwrap();
    let many = pack
        .characters
        .iter()
        .find(|c| c.multi && c.states.len() > 3 && c.states.iter().all(|s| s.stops.is_empty()))
        .unwrap();
    let states: Vec<&str> =
        (0..many.states.len()).filter(|s| *s != many.normal).map(|s| many.states[s].id.as_str()).collect();
    let (one, two) = (format!("seen_{}", states[0]), format!("seen_{}", states[1]));
    send(&county, &walk(&county), &[("look", &many.id), (&one, "yes"), (&two, "yes"), ("state", "not_looked")]);
    assert_eq!(told(&county, &many.id).len(), 2);
    let normal = format!("seen_{}", many.states[many.normal].id);
    let both = send(&county, &walk(&county), &[("look", &many.id), (&one, "yes"), (&normal, "yes")]);
    assert_eq!(both.status, StatusCode::CONFLICT);
}

#[test]
fn an_answer_that_raises_a_stop_shows_it_before_anything_else_and_it_is_on_record() {
    let county = county();
    let pack = crate::pack::starter().unwrap();
    let raises = |s: &&dooryard_core::key::State| s.stops.iter().any(|id| id == "tree_failure");
    let (character, state) = pack
        .characters
        .iter()
        .filter(|c| !c.multi)
        .find_map(|c| Some((c.id.as_str(), c.states.iter().find(raises)?.id.as_str())))
        .unwrap();
    let answer = send(&county, &walk(&county), &[("look", character), ("state", state)]);
    assert!(answer.header("location").ends_with("&stop=new"), "{}", answer.header("location"));
    assert!(show(&county, county.tomato).get("stops").unwrap().as_array().unwrap().contains(&json!("tree_failure")));
    let halted = look(&county, answer.header("location")).text();
    assert!(halted.contains("Nobody here can say that it is safe.") && halted.contains("I have read this out"));
    assert!(!halted.contains("Next look"), "a stop halts");
    let read = send(&county, &format!("{}/read", walk(&county)), &[]);
    let on = look(&county, read.header("location")).text();
    assert!(on.contains("Nobody here can say that it is safe.") && on.contains("Next look"));
    assert!(on.contains("A stop holds back advice"));
    send(&county, &format!("{}/undo", walk(&county)), &[("look", character)]);
    assert!(
        look(&county, &walk(&county)).text().contains("Nobody here can say that it is safe."),
        "no undo takes it away"
    );
}

#[test]
fn the_walk_speaks_the_language_of_the_page() {
    let county = county();
    let page =
        get(&walk(&county)).signed_in(&county, Role::ScoutLead).header("accept-language", "es-US").send(&county).text();
    for fact in ["lang=\"es\"", "Lo que sigue mirar", "Por qué esto", "Alto: algo silvestre", "No se miró"] {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    for left in ["Next look", "Looked, not there", "likely"] {
        assert!(!page.contains(left), "{left}");
    }
}

#[test]
fn the_plant_can_be_another_one() {
    let county = county();
    let answer = send(&county, &format!("{}/host", walk(&county)), &[("host", "maple")]);
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
    assert!(look(&county, answer.header("location")).text().contains("Maple: looking with the caller"));
    assert_eq!(
        send(&county, &format!("{}/host", walk(&county)), &[("host", "pigeon")]).status,
        StatusCode::BAD_REQUEST
    );
}
