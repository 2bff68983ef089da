//! The own answer, and each decision as records that can be taken back.

use axum::http::StatusCode;
use dooryard_core::record::Kind;
use serde_json::json;

use super::{CAUSE, SCRIPT, answered, decide, hidden, look, of, own, save, send};
use crate::{page::sample_county::county, people::Role};

#[test]
fn the_scouts_answer_is_not_sent_before_the_own_one_is_kept() {
    let county = county();
    let id = answered(&county);
    save(&county, Kind::Advice, None, &json!({"inquiry": county.tomato.to_string(), "text": "Spray for early blight"}));
    for uri in
        [format!("/review/{id}"), format!("/review/{id}?open=yes"), format!("/review/{id}/now"), "/review".into()]
    {
        let page = look(&county, Role::Reviewer, &uri).text();
        // The causes to choose from name every cause; which one the scout chose is in no page.
        let rest: String =
            page.split("<option").map(|part| part.split_once("</option>").map_or(part, |(_, r)| r)).collect();
        for told in ["Early blight", "60 in 100", "Low leaves first", "for early blight", "reasons for and against"] {
            assert!(!rest.to_lowercase().contains(&told.to_lowercase()), "{told} is in {uri}:\n{rest}");
        }
    }
    let kept = own(&county, Role::Reviewer, id);
    assert_eq!(kept.status, StatusCode::SEE_OTHER);
    let page = look(&county, Role::Reviewer, &format!("/review/{id}")).text();
    for told in
        ["Early blight", "likely, 60 in 100", "Low leaves first", "likely, 72 in 100", "You differ on the first cause"]
    {
        assert!(page.contains(told), "{told} is missing in:\n{page}");
    }
    assert!(!page.contains(SCRIPT) && !page.contains("<b>even</b>"), "words became part of the page");
    let other = look(&county, Role::Admin, &format!("/review/{id}")).text();
    assert!(other.contains("reviewer has kept an answer") && !other.contains("Small and"), "{other}");
}

#[test]
fn what_is_wrong_is_said_beside_its_field_and_nothing_is_written() {
    let county = county();
    let id = answered(&county);
    let seen = hidden(&look(&county, Role::Reviewer, &format!("/review/{id}")).text(), "seen").to_owned();
    for (fields, say) in [
        (vec![], "Name a cause, or say that you do not know yet."),
        (vec![("cause1", CAUSE), ("sure1", "101")], "Write a whole number from 0 to 100."),
        (vec![("cause1", "no_such_cause"), ("sure1", "50")], "This cause is not one that can be chosen here."),
        (vec![("sure2", "50")], "A number stands here without a cause."),
        (vec![("cause1", CAUSE), ("sure1", "50"), ("unknown", "yes")], "Take one of them away."),
        (vec![("cause1", CAUSE), ("sure1", "50"), ("role1", "secondary")], "is never the only cause"),
    ] {
        let all = [vec![("seen", seen.as_str()), ("grounds", "typed <i>all</i> this")], fields].concat();
        let page = send(&county, Role::Reviewer, &format!("/review/{id}/own"), &all);
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{say}");
        assert!(page.text().contains(say) && page.text().contains("typed &#60;i&#62;all&#60;/i&#62; this"), "{say}");
    }
    assert!(of(&county, Kind::Review).is_empty());
}

#[test]
fn agreeing_is_written_as_records_and_can_be_taken_back() {
    let county = county();
    let id = answered(&county);
    own(&county, Role::Reviewer, id);
    let done = decide(&county, Role::Reviewer, id, &[("decision", "agree"), ("words", "Good eye")]);
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text());
    let review = of(&county, Kind::Review).remove(0);
    let number = county.session(Role::Reviewer).visitor.account;
    assert_eq!(review.text("reviewer"), Some(format!("Reviewer {number}").as_str()), "a role, never a name");
    assert_eq!(review.get("agrees"), Some(&json!(true)));
    assert_eq!(review.text("reason"), Some("stop"));
    assert_eq!((review.text("decision"), review.text("correction")), (Some("agree"), Some("Good eye")));
    assert_eq!(of(&county, Kind::Diagnosis)[0].text("status"), Some("reviewed"));
    let queue = look(&county, Role::Reviewer, "/review").text();
    assert!(
        queue.contains("0 answers await")
            && queue.contains("Kept: the scout&#39;s answer stands")
            && queue.contains("Undo")
    );
    let other = look(&county, Role::Admin, "/review").text();
    assert!(!other.contains("action=\"/review/undo\""), "only who did it takes it back");

    assert_eq!(send(&county, Role::Reviewer, "/review/undo", &[]).status, StatusCode::SEE_OTHER);
    let reviews = of(&county, Kind::Review);
    assert_eq!(reviews.len(), 1);
    assert_eq!((reviews[0].text("decision"), reviews[0].get("agrees")), (None, None));
    assert_eq!(reviews[0].get("blind"), review.get("blind"), "the own answer is kept");
    assert_eq!(of(&county, Kind::Diagnosis)[0].text("status"), Some("presumptive"));
    assert!(look(&county, Role::Reviewer, "/review").text().contains("1 answer awaits"));
}

#[test]
fn correcting_makes_a_newer_answer_and_keeps_the_scouts() {
    let county = county();
    let id = answered(&county);
    own(&county, Role::Reviewer, id);
    decide(&county, Role::Reviewer, id, &[("decision", "correct")]);
    let newer = of(&county, Kind::Diagnosis).into_iter().find(|d| d.id != id).unwrap();
    assert_eq!(newer.text("supersedes"), Some(id.to_string().as_str()));
    assert_eq!((newer.text("status"), newer.text("reasons")), (Some("reviewed"), Some("Small and <b>even</b>")));
    assert_eq!(newer.get("causes").unwrap()[0]["cause"], CAUSE);
    assert_eq!(of(&county, Kind::Review)[0].get("agrees"), Some(&json!(false)));
    send(&county, Role::Reviewer, "/review/undo", &[]);
    assert_eq!(of(&county, Kind::Diagnosis).iter().map(|d| d.id).collect::<Vec<_>>(), [id]);
}

#[test]
fn asking_back_waits_for_the_scout_and_comes_again_with_the_answer() {
    let county = county();
    let id = answered(&county);
    own(&county, Role::Reviewer, id);
    let bad = decide(&county, Role::Reviewer, id, &[("decision", "ask_back"), ("due", "soon")]);
    assert_eq!(bad.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(bad.text().contains("Write what the scout should look at") && bad.text().contains("Write a day."));
    decide(
        &county,
        Role::Reviewer,
        id,
        &[("decision", "ask_back"), ("words", "Specks in the tan centers?"), ("due", "2026-07-27")],
    );
    let question = of(&county, Kind::FollowUp).remove(0);
    assert_eq!(question.text("question"), Some("Specks in the tan centers?"));
    let queue = look(&county, Role::Reviewer, "/review").text();
    assert!(queue.contains("0 answers await") && queue.contains("1 waits for a word"), "{queue}");
    save(&county, Kind::FollowUp, Some(question.id), &json!({"answer": "Yes", "answered": "2026-07-25"}));
    assert!(look(&county, Role::Reviewer, "/review").text().contains("1 answer awaits"));
    let again = look(&county, Role::Reviewer, &format!("/review/{id}")).text();
    assert!(again.contains(&format!("action=\"/review/{id}/decide\"")), "the own answer stands, and it can be decided");
}

#[test]
fn a_sample_names_its_part_and_waits_for_the_laboratory() {
    let county = county();
    let id = answered(&county);
    own(&county, Role::Reviewer, id);
    let fields =
        [("decision", "sample"), ("words", "Three leaves, dry towel"), ("part", "Leaf"), ("due", "2026-07-27")];
    assert_eq!(decide(&county, Role::Reviewer, id, &fields).status, StatusCode::SEE_OTHER);
    let sample = of(&county, Kind::Sample).remove(0);
    assert_eq!(sample.text("plant_part"), Some("Leaf"));
    assert!(look(&county, Role::Reviewer, "/review").text().contains("0 answers await"));
    save(&county, Kind::Sample, Some(sample.id), &json!({"result": "Septoria"}));
    assert!(look(&county, Role::Reviewer, "/review").text().contains("1 answer awaits"));
}

#[test]
fn what_another_reviewer_did_meanwhile_comes_back_with_what_was_typed() {
    let county = county();
    let id = answered(&county);
    own(&county, Role::Reviewer, id);
    let open = look(&county, Role::Reviewer, &format!("/review/{id}")).text();
    own(&county, Role::Admin, id);
    decide(&county, Role::Admin, id, &[("decision", "agree"), ("words", "Mine <u>too</u>")]);
    let fields = [("seen", hidden(&open, "seen")), ("decision", "correct"), ("words", "Long and <i>careful</i> words")];
    let back = send(&county, Role::Reviewer, &format!("/review/{id}/decide"), &fields);
    assert_eq!(back.status, StatusCode::CONFLICT);
    let page = back.text();
    for words in [
        "Somebody was here meanwhile",
        "Long and &#60;i&#62;careful&#60;/i&#62; words",
        "value=\"correct\" data-key=\"c\" checked",
        "admin has reviewed this at",
        "the scout&#39;s answer stands",
        "Mine &#60;u&#62;too&#60;/u&#62;",
    ] {
        assert!(page.contains(words), "{words} is missing in:\n{page}");
    }
    assert_eq!(of(&county, Kind::Diagnosis).len(), 1, "nothing was written");
    let kept = look(&county, Role::Reviewer, &format!("/review/{id}")).text();
    assert!(kept.contains("Long and &#60;i&#62;careful"), "it is kept as typed");
    let again = [("seen", hidden(&page, "seen")), ("decision", "correct"), ("words", "Long and careful words")];
    assert_eq!(send(&county, Role::Reviewer, &format!("/review/{id}/decide"), &again).status, StatusCode::SEE_OTHER);
}

#[test]
fn what_is_typed_is_kept_for_this_person_alone_until_it_is_a_record() {
    let county = county();
    let id = answered(&county);
    let typed = [("cause1", CAUSE), ("sure1", "7"), ("grounds", "half a thought")];
    let kept = send(&county, Role::Reviewer, &format!("/review/{id}/draft"), &typed);
    assert_eq!((kept.status, kept.bytes.len()), (StatusCode::NO_CONTENT, 0));
    let page = look(&county, Role::Reviewer, &format!("/review/{id}")).text();
    assert!(page.contains("half a thought") && page.contains("value=\"7\"") && page.contains("as you left it"));
    assert!(!look(&county, Role::Admin, &format!("/review/{id}")).text().contains("half a thought"));
    own(&county, Role::Reviewer, id);
    let page = look(&county, Role::Reviewer, &format!("/review/{id}")).text();
    assert!(!page.contains("half a thought"), "what became a record is no draft any more");
}
