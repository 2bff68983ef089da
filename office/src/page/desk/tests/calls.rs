//! A call: typed, kept, read for danger, written as records; who sees what of it.

use axum::http::StatusCode;
use dooryard_core::{ids::RecordId, record::Kind};
use serde_json::json;

use super::{SCRIPT, all, escaped, id_of, look, send, show, typed};
use crate::page::sample_county::county;

#[test]
fn a_call_is_kept_from_the_first_key_on_and_comes_back_after_a_closed_browser() {
    let county = county();
    assert!(look(&county, "/desk").text().contains("Nothing is written yet."));
    let said = typed(&county, "/desk/typed", &[("words", "T"), ("channel", "email")]);
    let id = id_of(&said);
    assert!(said["saved"].as_str().unwrap().starts_with("Saved at 10:"), "{said}");
    let begun = show(&county, id);
    assert_eq!((begun.text("channel"), begun.text("taken_by")), (Some("email"), Some("Scout lead 2")));
    assert!(begun.text("opened").is_some() && begun.text("question").is_none());
    typed(&county, &format!("/desk/{id}/typed"), &[("words", "The maple is thin.\nSince May."), ("township", "Sedge")]);
    let again = look(&county, &format!("/desk/{id}")).text();
    assert!(
        again.contains("The maple is thin.\nSince May.</textarea>") && again.contains("value=\"Sedge\""),
        "{again}"
    );
    assert!(
        look(&county, "/desk").text().contains(&format!("href=\"/desk/{id}\"")),
        "an unfinished call is found again"
    );
    // Into the records when a field is left.
    let written = [("words", "The maple is thin."), ("township", "Sedge"), ("host", "maple"), ("written", "yes")];
    typed(&county, &format!("/desk/{id}/typed"), &written);
    assert_eq!(show(&county, id).text("question"), Some("The maple is thin."));
    let later = send(&county, &format!("/desk/{id}"), &[&written[..3], &[("go", "later")]].concat());
    assert_eq!((later.status, later.header("location")), (StatusCode::SEE_OTHER, "/desk"));
    assert!(!look(&county, "/desk").text().contains(&format!("href=\"/desk/{id}\"")));
    assert!(look(&county, &format!("/desk/{id}")).text().contains("The maple is thin.</textarea>"));
    assert!(look(&county, "/inquiries?q=thin").text().contains(&id.to_string()));
}

#[test]
fn without_script_a_form_writes_every_field_into_its_record() {
    let county = county();
    let fields = [
        ("channel", "phone"),
        ("language", "es"),
        ("words", "Se está secando el arce."),
        ("name", "Somebody"),
        ("phone", "000 0001"),
        ("preferred", "phone"),
        ("township", "Harrow"),
        ("address", "2 Teal Lane"),
        ("host", "maple"),
        ("host_comfort", "2"),
        ("affected", "1"),
        ("present", "6"),
        ("planted", "2017"),
        ("wish", "save_it"),
        ("urgency", "today"),
        ("may_visit", "yes"),
        ("may_count", "yes"),
        ("go", "walk"),
    ];
    let answer = send(&county, "/desk", &fields);
    let to = answer.header("location").to_owned();
    let id: RecordId = to.split('/').nth(2).unwrap().parse().unwrap();
    assert_eq!(to, format!("/inquiries/{id}/walk"));
    let inquiry = show(&county, id);
    for (field, value) in [("language", "es"), ("wish", "save_it"), ("urgency", "today"), ("question", fields[2].1)] {
        assert_eq!(inquiry.text(field), Some(value));
    }
    let agreed = json!({"visit": true, "cut": false, "photo": false, "count": true, "contact_back": false});
    assert_eq!(inquiry.get("consent"), Some(&agreed));
    let of = |field| show(&county, inquiry.text(field).unwrap().parse().unwrap());
    let reach = json!({"name": "Somebody", "phone": "000 0001", "preferred": "phone"});
    assert_eq!(of("contact").get("reach"), Some(&reach));
    assert_eq!((of("site").text("township"), of("site").text("address")), (Some("Harrow"), Some("2 Teal Lane")));
    let plant = all(&county, Kind::Plant).into_iter().find(|p| p.text("inquiry") == Some(&id.to_string())).unwrap();
    assert_eq!((plant.text("host"), plant.get("present")), (Some("maple"), Some(&json!(6))));
    assert!(look(&county, &to).text().contains("Next look"));
}

#[test]
fn words_are_read_for_danger_at_once_and_no_later_word_takes_a_stop_away() {
    let county = county();
    let words = "A limb is resting on the power line to our house.";
    let said = typed(&county, "/desk/typed", &[("words", words)]);
    let id = id_of(&said);
    assert!(said["stops"].as_array().unwrap().contains(&json!("utility_line")), "{said}");
    assert!(said["html"].as_str().unwrap().contains("Stay at least 10 ft away"));
    let page = look(&county, &format!("/desk/{id}")).text();
    assert!(page.find("Stay at least 10 ft away").unwrap() < page.find("In their own words").unwrap());
    typed(&county, &format!("/desk/{id}/typed"), &[("words", words), ("written", "yes")]);
    send(&county, &format!("/desk/{id}"), &[("words", "All is well."), ("asked_falling_or_wire", "no")]);
    assert!(show(&county, id).get("stops").unwrap().as_array().unwrap().contains(&json!("utility_line")));
    assert!(look(&county, &format!("/desk/{id}")).text().contains("Stay at least 10 ft away"));
}

#[test]
fn a_yes_to_a_safety_question_raises_its_stops_and_a_no_is_kept_beside_them() {
    let county = county();
    let said =
        typed(&county, "/desk/typed", &[("asked_ate_or_touched", "yes"), ("asked_sprayed", "no"), ("written", "yes")]);
    let id = id_of(&said);
    assert!(show(&county, id).get("stops").unwrap().as_array().unwrap().contains(&json!("wild_mushroom")));
    send(&county, &format!("/desk/{id}"), &[("asked_ate_or_touched", "yes"), ("asked_sprayed", "no"), ("go", "later")]);
    let page = look(&county, &format!("/desk/{id}")).text();
    assert!(page.contains("name=\"asked_sprayed\" value=\"no\" checked"), "{page}");
}

#[test]
fn what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost() {
    let county = county();
    let answer = send(&county, "/desk", &[("words", "Spots."), ("affected", "12"), ("present", "six")]);
    let page = answer.text();
    assert_eq!(answer.status, StatusCode::OK);
    assert!(page.contains("id=\"present-problem\">A whole number") && page.contains("value=\"six\""), "{page}");
    assert!(page.contains("Kept as it was typed, and not in the records yet."));
    let id: RecordId = page.split("action=\"/desk/").nth(1).unwrap().split('"').next().unwrap().parse().unwrap();
    assert!(show(&county, id).text("question").is_none());
    assert!(look(&county, &format!("/desk/{id}")).text().contains("value=\"six\""));
    let long = "x".repeat(16_001);
    let page = send(&county, &format!("/desk/{id}"), &[("words", &long)]).text();
    assert!(page.contains("words-problem") && page.contains(&long));
    assert_eq!(
        send(&county, &format!("/desk/{id}"), &[("words", &"x".repeat(300_000))]).status,
        StatusCode::PAYLOAD_TOO_LARGE
    );
}

#[test]
fn of_a_child_nothing_is_kept() {
    let county = county();
    let said = typed(
        &county,
        "/desk/typed",
        &[
            ("name", "Little Somebody"),
            ("phone", "000"),
            ("township", "Sedge"),
            ("address", "the blue gate"),
            ("written", "yes"),
        ],
    );
    let id = id_of(&said);
    let site: RecordId = show(&county, id).text("site").unwrap().parse().unwrap();
    assert_eq!(show(&county, site).text("address"), Some("the blue gate"));
    let contact: RecordId = show(&county, id).text("contact").unwrap().parse().unwrap();
    assert!(show(&county, contact).get("reach").is_some());
    let of_child = [
        ("name", "Little Somebody"),
        ("township", "Sedge"),
        ("address", "the blue gate"),
        ("minor", "yes"),
        ("go", "later"),
    ];
    send(&county, &format!("/desk/{id}"), &of_child);
    assert!(show(&county, contact).get("reach").is_none());
    let site = show(&county, site);
    assert_eq!((site.text("township"), site.get("address")), (Some("Sedge"), None));
    let page = look(&county, &format!("/desk/{id}")).text();
    assert!(!page.contains("Little Somebody") && !page.contains("the blue gate"));
}

#[test]
fn words_of_others_never_become_part_of_a_page() {
    let county = county();
    let texts = ["words", "name", "phone", "email", "reach_note", "township", "address", "planted"];
    let mut fields: Vec<(&str, &str)> = texts.iter().map(|name| (*name, &SCRIPT[..38])).collect();
    fields.push(("host", "maple"));
    let answer = send(&county, "/desk", &fields);
    let id = answer.header("location").trim_start_matches("/desk/").to_owned();
    let follow_up = format!("/inquiries/{id}/follow-up");
    assert_eq!(send(&county, &follow_up, &[("due", "2026-01-02"), ("question", SCRIPT)]).status, StatusCode::SEE_OTHER);
    for uri in
        [format!("/desk/{id}"), "/desk".into(), "/follow-ups".into(), "/".into(), format!("/inquiries/{id}/walk")]
    {
        let page = look(&county, &uri).text();
        assert!(!page.contains("<script>alert") && !page.contains("<img src=x"), "{uri}");
        assert!(!page.contains(" style=") && !page.contains("http://"), "{uri}");
    }
    assert!(look(&county, &format!("/desk/{id}")).text().contains(&escaped(&SCRIPT[..38])));
    assert!(look(&county, "/follow-ups").text().contains(&escaped(SCRIPT)));
}

#[test]
fn what_is_under_seal_is_open_while_its_call_is_under_way_and_to_nobody_after() {
    let county = county();
    let fields = [("words", "Boxwood bare at the bottom."), ("host", "boxwood"), ("asked_regulated", "yes")];
    let said = typed(&county, "/desk/typed", &[&fields[..], &[("written", "yes")]].concat());
    let id = id_of(&said);
    let page = look(&county, &format!("/desk/{id}"));
    assert!(page.status == StatusCode::OK && page.text().contains("Do not post or share the place."));
    for uri in ["/", "/desk", "/inquiries", "/follow-ups"] {
        assert!(!look(&county, uri).text().contains("Boxwood bare"), "{uri}");
    }
    send(&county, &format!("/desk/{id}"), &[&fields[..], &[("go", "walk")]].concat());
    assert_eq!(look(&county, &format!("/desk/{id}")).status, StatusCode::FORBIDDEN);
    assert_eq!(send(&county, &format!("/desk/{id}/typed"), &fields).status, StatusCode::FORBIDDEN);
    let walk = look(&county, &format!("/inquiries/{id}/walk")).text();
    assert!(
        walk.contains("Do not post or share the place.") && !walk.contains("oxwood") && !walk.contains("Next look")
    );
    assert_eq!(look(&county, &format!("/inquiries/{id}/letter")).status, StatusCode::FORBIDDEN);
}
