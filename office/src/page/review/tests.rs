//! The review over a real office, asked as a browser asks.

use axum::http::StatusCode;
use dooryard_core::{
    ids::RecordId,
    notebook::{Notebook, Query, Record},
    record::Kind,
};
use serde_json::{Value as Json, json};

use crate::{
    page::{
        asks::{Answer, get, post},
        sample_county::{County, county},
    },
    people::Role,
};

const SCRIPT: &str = "<script>alert(1)</script>";

fn save(county: &County, kind: Kind, id: Option<RecordId>, fields: &Json) -> RecordId {
    county.office.notebook().save(kind, id, fields.as_object().unwrap()).unwrap()
}

/// The scout's answer to the tomato: early blight, likely.
fn answered(county: &County) -> RecordId {
    let causes = json!([{"cause": "tomato_early_blight", "role": "primary", "word": "likely", "percent": 60}]);
    save(
        county,
        Kind::Diagnosis,
        None,
        &json!({
            "inquiry": county.tomato.to_string(), "causes": causes, "basis": "field", "by": "Scout 3",
            "reasons": format!("Low leaves first {SCRIPT}"), "at": "2026-07-20T11:02:00-05:00[America/Chicago]",
        }),
    )
}

fn look(county: &County, role: Role, uri: &str) -> Answer {
    get(uri).signed_in(county, role).send(county)
}

fn send(county: &County, role: Role, uri: &str, fields: &[(&str, &str)]) -> Answer {
    post(uri, fields).signed_in(county, role).send(county)
}

/// What a hidden field of a form holds.
fn hidden<'a>(page: &'a str, name: &str) -> &'a str {
    let (_, rest) = page.split_once(&format!("name=\"{name}\" value=\"")).unwrap_or_else(|| panic!("{name}: {page}"));
    rest.split_once('"').unwrap().0
}

const CAUSE: &str = "tomato_septoria";

/// Keeps an own answer.
fn own(county: &County, role: Role, id: RecordId) -> Answer {
    let page = look(county, role, &format!("/review/{id}")).text();
    let fields =
        [("seen", hidden(&page, "seen")), ("cause1", CAUSE), ("sure1", "72"), ("grounds", "Small and <b>even</b>")];
    send(county, role, &format!("/review/{id}/own"), &fields)
}

/// Decides.
fn decide(county: &County, role: Role, id: RecordId, fields: &[(&str, &str)]) -> Answer {
    let page = look(county, role, &format!("/review/{id}")).text();
    let all = [&[("seen", hidden(&page, "seen"))], fields].concat();
    send(county, role, &format!("/review/{id}/decide"), &all)
}

fn of(county: &County, kind: Kind) -> Vec<Record> {
    let book: &Notebook = county.office.notebook();
    let rows = book.list(&Query { kind: Some(kind), ..Query::default() }).unwrap().rows;
    rows.into_iter().map(|row| book.show(row.id).unwrap()).collect()
}

#[test]
fn the_pack_knows_the_causes_of_these_tests() {
    let names = crate::page::sample::names();
    assert!(names.causes.contains_key(CAUSE) && names.causes.contains_key("tomato_early_blight"));
}

#[test]
fn the_queue_says_how_many_why_and_most_urgent_first() {
    let county = county();
    let empty = look(&county, Role::Reader, "/review").text();
    assert!(empty.contains("1 answer awaits a reviewer."), "somebody looked and named no cause: {empty}");
    let answered = answered(&county);
    let other = save(&county, Kind::Inquiry, None, &json!({"urgency": "today", "taken_by": "Scout 5"}));
    save(&county, Kind::Visit, None, &json!({"inquiry": other.to_string(), "observer": "Scout 5"}));
    let page = look(&county, Role::Reader, "/review").text();
    for words in [
        "2 answers await a reviewer.",
        "<b>1</b> A stop was raised",
        "<b>1</b> Somebody means to eat of it",
        "<b>1</b> The first of its cause this season",
        "<b>1</b> Below likely, or no cause named",
    ] {
        assert!(page.contains(words), "{words} is missing in:\n{page}");
    }
    let at = |id: RecordId| page.find(&format!("/review/{id}")).unwrap();
    assert!(at(answered) < at(other), "a stop comes before what is needed today");
    assert!(!page.contains(&county.sealed.to_string()));
    let narrowed = look(&county, Role::Reader, "/review?why=low_confidence").text();
    assert!(narrowed.contains(&other.to_string()) && !narrowed.contains(&format!("/review/{answered}")));
    for bad in ["/review?why=pigeon", "/review?after=pigeon", "/review?after=1.2"] {
        assert_eq!(look(&county, Role::Reader, bad).status, StatusCode::BAD_REQUEST, "{bad}");
    }
}

#[test]
fn the_queue_goes_on_by_key_and_every_entry_stands_once() {
    let county = county();
    let mut all = vec![county.tomato];
    for n in 0..64 {
        let inquiry = save(&county, Kind::Inquiry, None, &json!({"taken_by": format!("Scout {n}")}));
        save(&county, Kind::Visit, None, &json!({"inquiry": inquiry.to_string()}));
        all.push(inquiry);
    }
    let (mut uri, mut seen) = ("/review".to_owned(), Vec::new());
    for _ in 0..4 {
        let page = look(&county, Role::Reader, &uri).text();
        seen.extend(all.iter().filter(|id| page.contains(&format!("<a href=\"/review/{id}\">"))).copied());
        let Some((before, _)) = page.split_once("\" rel=\"next\"") else { break };
        uri = before.rsplit_once("href=\"").unwrap().1.replace("&#38;", "&").replace("&amp;", "&");
    }
    seen.sort_unstable();
    all.sort_unstable();
    assert_eq!(seen, all);
}

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
