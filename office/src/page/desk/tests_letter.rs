//! Letters, asked as a browser asks.

use axum::http::StatusCode;
use dooryard_core::record::Kind;
use serde_json::json;

use super::tests::{SCRIPT, all, look, send, show};
use crate::{
    page::{
        asks::post,
        sample_county::{County, county},
    },
    people::Role,
};

fn letter(county: &County) -> String {
    format!("/inquiries/{}/letter", county.tomato)
}

/// Ids of the pieces that a page lets a person change.
fn pieces(page: &str) -> Vec<String> {
    page.split("name=\"piece_").skip(1).map(|rest| rest.split('"').next().unwrap().to_owned()).collect()
}

fn article(page: &str) -> &str {
    page.split("<article").nth(1).unwrap().split("</article>").next().unwrap()
}

#[test]
fn the_letter_stands_beside_what_may_be_changed_and_stops_come_first() {
    let county = county();
    let page = look(&county, &letter(&county)).text();
    assert!(pieces(&page).contains(&"opening".to_owned()));
    let text = article(&page);
    assert!(text.find("Something wild").unwrap() < text.find("What we saw").unwrap());
    for fact in [
        "Leaf spots",
        "A person reviewed this letter: no",
        "Unreviewed starter content",
        "This list is a thinking aid.",
    ] {
        assert!(text.contains(fact), "{fact} is missing in:\n{text}");
    }
    assert!(text.contains("&#60;script&#62;") && !text.contains("<script"), "the resident's words are quoted, not run");
}

#[test]
fn what_a_person_wrote_is_kept_while_it_is_written_and_stands_in_the_letter() {
    let county = county();
    let uri = letter(&county);
    let typed = send(&county, &uri, &[("do", "typed"), ("piece_opening", SCRIPT)]);
    assert!(typed.text().contains("Kept at"), "{}", typed.text());
    let page = look(&county, &uri).text();
    assert!(
        !page.contains("<script>alert") && !page.contains("<img src=x") && article(&page).contains("&#60;img src=x")
    );
    let shown =
        send(&county, &uri, &[("do", "preview"), ("piece_opening", ""), ("piece_think", "We will look again.")]);
    let page = look(&county, shown.header("location")).text();
    assert!(!article(&page).contains("Here is what we saw") && article(&page).contains("We will look again."));
    let long = send(&county, &uri, &[("do", "preview"), ("piece_think", &"x".repeat(2_001))]).text();
    assert!(long.contains("A paragraph has 2,000 characters at most.") && long.contains(&"x".repeat(2_001)));
}

#[test]
fn no_form_takes_a_stop_a_caution_or_a_note_out() {
    let county = county();
    let uri = letter(&county);
    let before = article(&look(&county, &uri).text()).to_owned();
    let pack = crate::pack::starter().unwrap();
    let mut fields: Vec<(String, String)> =
        pack.stops.iter().map(|s| (format!("piece_{}", s.id), String::new())).collect();
    fields.extend(pack.causes.iter().map(|c| (format!("piece_{}.dont", c.id), String::new())));
    fields.extend(
        pack.guidance
            .blocks
            .iter()
            .filter(|b| format!("{:?}", b.kind) == "Caution")
            .map(|b| (format!("piece_{}", b.id), String::new())),
    );
    fields.push(("do".into(), "preview".into()));
    let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
    assert_eq!(send(&county, &uri, &fields).status, StatusCode::SEE_OTHER);
    assert_eq!(article(&look(&county, &uri).text()), before);
}

#[test]
fn a_letter_as_sent_is_kept_with_versions_and_without_the_residents_own_words() {
    let county = county();
    let uri = letter(&county);
    let page = look(&county, &uri).text();
    assert!(page.contains("name=\"due\""));
    let fields = [
        ("do", "sent"),
        ("how", "email"),
        ("read_back", "yes"),
        ("piece_opening", "Thank you for asking."),
        ("due", "2099-08-05"),
        ("question", "How did it go?"),
        ("by", "Reviewer 3"),
        ("reviewed", "yes"),
    ];
    let sent = send(&county, &uri, &fields);
    assert!(sent.header("location").ends_with("&sent=now"), "{}", sent.text());
    let advice = &all(&county, Kind::Advice)[0];
    let text = advice.text("text").unwrap();
    assert!(text.contains("Thank you for asking.") && text.contains("Something wild") && !text.contains("the blight"));
    assert!(text.contains("A person reviewed this letter: no"), "a scout lead reviews nothing");
    assert_eq!(
        (advice.text("how"), advice.text("by"), advice.get("read_back")),
        (Some("email"), Some("Scout lead 2"), Some(&json!(true)))
    );
    let version = crate::pack::starter().unwrap().content_version();
    let blocks = advice.get("blocks").unwrap().as_array().unwrap();
    assert!(!blocks.is_empty() && blocks.iter().all(|b| b["version"] == json!(version)));
    assert!(advice.get("cautions").unwrap().as_array().unwrap().contains(&json!("wild_mushroom")));
    let inquiry = show(&county, county.tomato);
    assert_eq!(inquiry.text("status"), Some("answered"));
    let follow_up = &all(&county, Kind::FollowUp)[0];
    assert_eq!((follow_up.text("due"), follow_up.text("by")), (Some("2099-08-05"), Some("Reviewer 3")));
    let again = look(&county, sent.header("location")).text();
    assert!(
        again.contains("Kept as sent.")
            && again.contains("Sent before")
            && article(&again).contains("Thank you for asking.")
    );
    // A second letter that says the same causes answers the same diagnosis.
    send(&county, &uri, &[("do", "sent"), ("how", "spoken"), ("due", "")]);
    assert!(all(&county, Kind::Diagnosis).len() <= 1);
    assert_eq!(
        (all(&county, Kind::Advice).len(), all(&county, Kind::FollowUp).len()),
        (2, 1),
        "no day, nothing is asked"
    );
    assert_eq!(send(&county, &uri, &[("do", "sent"), ("how", "pigeon")]).status, StatusCode::BAD_REQUEST);
}

#[test]
fn the_letter_speaks_the_residents_language_and_not_the_pages() {
    let county = county();
    let spanish = json!({"language": "es"});
    county.office.notebook().save(Kind::Inquiry, Some(county.tomato), spanish.as_object().unwrap()).unwrap();
    let page = look(&county, &letter(&county)).text();
    assert!(
        page.contains("First paragraph")
            && article(&page).contains("Lo que vimos")
            && page.contains("class=\"letter\" lang=\"es\"")
    );
    let english = look(&county, &format!("{}?lang=en", letter(&county))).text();
    assert!(article(&english).contains("What we saw"));
}

#[test]
fn whoever_may_review_says_so_in_the_letter() {
    let county = county();
    let fields = [("do", "sent"), ("how", "print"), ("reviewed", "yes"), ("due", "")];
    post(&letter(&county), &fields).signed_in(&county, Role::Reviewer).send(&county);
    let advice = &all(&county, Kind::Advice)[0];
    assert!(advice.text("text").unwrap().contains("A person reviewed this letter: yes (by the county educator)"));
    let uri = letter(&county);
    assert!(article(&look(&county, &uri).text()).contains("A person reviewed this letter: yes"));
    // A review is of the words that were reviewed.
    send(&county, &uri, &[("do", "preview"), ("piece_opening", "Other words.")]);
    assert!(article(&look(&county, &uri).text()).contains("A person reviewed this letter: no"));
}

#[test]
fn a_cause_that_is_left_out_stays_left_out_until_it_is_ticked_again() {
    let county = county();
    let uri = letter(&county);
    let page = look(&county, &uri).text();
    let cause = page.split("name=\"cause_").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let name = crate::pack::starter().unwrap().cause(&cause).unwrap().name.en().to_owned();
    assert!(article(&page).contains(&name));
    let (offered, told) = (format!("offered_{cause}"), format!("cause_{cause}"));
    send(&county, &uri, &[("do", "preview"), (&offered, "yes")]);
    assert!(!article(&look(&county, &uri).text()).contains(&name));
    send(&county, &uri, &[("do", "preview"), (&offered, "yes"), (&told, "yes")]);
    assert!(article(&look(&county, &uri).text()).contains(&name));
}
