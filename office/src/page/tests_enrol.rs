//! Phones that become the office's at the page: invited, heard, compared, admitted, turned away, closed.

use axum::http::StatusCode;
use dooryard_core::{
    enrol::{Answer as Certified, Invitation},
    job::Job,
    notebook::Notebook,
    record::Kind,
};
use serde_json::json;

use super::{
    asks::{Answer, get, post, send_files},
    sample_county::{County, county},
};
use crate::people::Role;

fn admin(county: &County, uri: &str, fields: &[(&str, &str)]) -> Answer {
    post(uri, fields).signed_in(county, Role::Admin).send(county)
}

fn phones(county: &County) -> String {
    get("/phones").signed_in(county, Role::Admin).send(county).text()
}

/// The text of the code on a page.
fn code(page: &str) -> String {
    assert!(page.contains("<svg class=\"qr\""), "{page}");
    let (_, rest) = page.split_once("readonly spellcheck=\"false\">").unwrap();
    rest.split_once("</textarea>").unwrap().0.to_owned()
}

fn invited(county: &County, label: &str) -> String {
    let page = admin(county, "/phones/invite", &[("label", label), ("role", "scout"), ("days", "7")]);
    assert_eq!(page.status, StatusCode::OK, "{}", page.text());
    code(&page.text())
}

fn joined(county: &County, text: &str, name: &str, seed: u64) -> Notebook {
    let book = county.notebook(name, seed);
    book.join(&Invitation::from_text(text).unwrap()).unwrap();
    book
}

fn bundle(book: &Notebook) -> Vec<u8> {
    let hours = json!({"hours": "0.5", "cases": 1});
    book.save(Kind::Hours, None, hours.as_object().unwrap()).unwrap();
    let out = book.folder().join("out.yard");
    book.make_bundle(&out, &Job::silent()).unwrap();
    std::fs::read(out).unwrap()
}

#[test]
fn a_phone_comes_in_at_one_table() {
    let county = county();
    let book = joined(&county, &invited(&county, "Scout 9"), "s9", 9);
    let ask = book.ask().unwrap().unwrap().to_text().unwrap();
    assert_eq!(admin(&county, "/phones/ask", &[("code", &ask)]).status, StatusCode::SEE_OTHER);
    let (page, words) = (phones(&county), book.check_words().unwrap());
    assert!(page.contains(&words.english()) && page.contains(&words.spanish()), "{page}");
    let uri = format!("/phones/{}/admit", book.device());
    let unsaid = admin(&county, &uri, &[]);
    assert!(unsaid.status == StatusCode::CONFLICT && unsaid.text().contains("six words are the same"));
    assert!(county.office.device("Scout 9").is_err(), "nobody compared anything");
    let admitted = admin(&county, &uri, &[("same", "yes")]);
    assert_eq!(admitted.status, StatusCode::OK, "{}", admitted.text());
    book.take_answer(&Certified::from_text(&code(&admitted.text())).unwrap()).unwrap();
    assert!(county.office.device("Scout 9").is_ok() && !phones(&county).contains(&words.english()));
    let acts: Vec<_> = county.people.audit(None).unwrap().into_iter().map(|row| (row.act, row.about)).collect();
    for act in ["heard_phone", "admitted_phone"] {
        assert!(acts.contains(&(act.to_owned(), Some(book.device().to_string()))), "{act}");
    }
    assert!(acts.iter().any(|(act, _)| act == "invited_phone"));
}

#[test]
fn a_phone_comes_in_by_its_first_bundle_which_waits_for_the_words() {
    let county = county();
    let book = joined(&county, &invited(&county, "Scout 9"), "s9", 9);
    let sent = send_files("/take-in", &[("s9.yard", &bundle(&book))]).signed_in(&county, Role::ScoutLead);
    let report = sent.send(&county).header("location").to_owned();
    let said = get(&report).signed_in(&county, Role::Reader).send(&county).text();
    assert!(said.contains("does not know the phone"), "{said}");
    assert!(phones(&county).contains("1 sealed bundle waits"), "{}", phones(&county));
    let page = admin(&county, &format!("/phones/{}/admit", book.device()), &[("same", "yes")]).text();
    assert!(page.contains("What had waited was taken in") && page.contains("Bundle from Scout 9"), "{page}");
    assert!(county.office.waiting().unwrap().is_empty());
}

#[test]
fn a_bundle_that_waits_and_names_what_is_erased_is_set_aside_for_a_decision() {
    let county = county();
    let book = joined(&county, &invited(&county, "Scout 9"), "s9", 9);
    let words = json!({"summary": "written without knowing"});
    book.save(Kind::Inquiry, Some(county.tomato), words.as_object().unwrap()).unwrap();
    let sent = send_files("/take-in", &[("s9.yard", &bundle(&book))]).signed_in(&county, Role::ScoutLead);
    assert_eq!(sent.send(&county).status, StatusCode::SEE_OTHER);
    let aside = || county.see(Role::Admin, "/set-aside").text();
    assert!(!aside().contains("Scout 9"), "it only waits");
    let done = admin(&county, &format!("/person/{}/erase", county.contact), &[("sure", "yes")]).text();
    assert!(done.contains("1 sealed file that is kept here names what was erased"), "{done}");
    let page = aside();
    for fact in ["Scout 9", "It names a record that was erased.", "until its phone is admitted"] {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    assert!(!page.contains("Try again") && page.contains("Throw it away for good"));
    let uri = format!("/set-aside/{}/throw-away", county.office.waiting().unwrap()[0].id);
    let reviewer = post(&uri, &[]).signed_in(&county, Role::Reviewer).send(&county);
    assert_eq!((reviewer.status, county.office.waiting().unwrap().len()), (StatusCode::FORBIDDEN, 1));
    assert_eq!(admin(&county, &uri, &[]).status, StatusCode::SEE_OTHER);
    assert!(county.office.waiting().unwrap().is_empty() && !aside().contains("Scout 9"));
    assert_eq!(admin(&county, &uri, &[]).status, StatusCode::NOT_FOUND);
}

#[test]
fn of_two_phones_with_one_code_a_person_says_which_is_right() {
    let county = county();
    let text = invited(&county, "Scout 9");
    let (right, wrong) = (joined(&county, &text, "right", 9), joined(&county, &text, "wrong", 10));
    for book in [&right, &wrong] {
        let ask = book.ask().unwrap().unwrap().to_text().unwrap();
        assert_eq!(admin(&county, "/phones/ask", &[("code", &ask)]).status, StatusCode::SEE_OTHER);
    }
    assert!(phones(&county).contains("Two phones came with this code:"));
    let uri = format!("/phones/{}/admit", right.device());
    let frozen = admin(&county, &uri, &[("same", "yes")]);
    assert!(frozen.status == StatusCode::CONFLICT && frozen.text().contains("Two phones came with one code"));
    assert_eq!(admin(&county, &uri, &[("same", "yes"), ("this_one", "yes")]).status, StatusCode::OK);
    assert_eq!(county.office.device("Scout 9").unwrap(), right.device());
    assert!(!phones(&county).contains(&wrong.check_words().unwrap().english()), "the other was turned away");
}

#[test]
fn a_phone_is_turned_away_or_closed() {
    let county = county();
    let book = joined(&county, &invited(&county, "Scout 9"), "s9", 9);
    let ask = book.ask().unwrap().unwrap().to_text().unwrap();
    admin(&county, "/phones/ask", &[("code", &ask)]);
    let away = format!("/phones/{}/turn-away", book.device());
    assert_eq!(admin(&county, &away, &[]).status, StatusCode::SEE_OTHER);
    assert_eq!(admin(&county, &away, &[]).status, StatusCode::NOT_FOUND);
    assert!(!phones(&county).contains("Phones that ask to come in"));
    let five = county.office.device("Scout 5").unwrap();
    let close = format!("/phones/{five}/close");
    assert_eq!(post(&close, &[]).signed_in(&county, Role::Reviewer).send(&county).status, StatusCode::FORBIDDEN);
    assert_eq!(admin(&county, &close, &[]).status, StatusCode::SEE_OTHER);
    assert!(phones(&county).contains("closed: what it writes now waits for a person"));
}

#[test]
fn what_is_no_invitation_or_code_says_what_is_wrong_with_it() {
    let county = county();
    for (fields, why) in [
        ([("label", ""), ("role", "scout"), ("days", "7")], "1 to 40 letters"),
        ([("label", "Scout 9"), ("role", "office"), ("days", "7")], "Choose a role"),
        ([("label", "Scout 9"), ("role", "scout"), ("days", "0")], "1 to 366"),
        ([("label", "Scout 9"), ("role", "scout"), ("days", "x")], "1 to 366"),
    ] {
        let answer = admin(&county, "/phones/invite", &fields);
        assert!(answer.status == StatusCode::CONFLICT && answer.text().contains(why), "{why}: {}", answer.text());
    }
    let own = invited(&county, "Scout 9");
    for wrong in ["", "DY2:AAAA", &own] {
        let answer = admin(&county, "/phones/ask", &[("code", wrong)]);
        assert!(answer.status == StatusCode::CONFLICT && answer.text().contains("not the text of a phone"), "{wrong}");
    }
    assert_eq!(
        admin(&county, &format!("/phones/{}/admit", "0".repeat(32)), &[("same", "yes")]).status,
        StatusCode::NOT_FOUND
    );
    let hostile =
        admin(&county, "/phones/invite", &[("label", "<script>x</script>"), ("role", "scout"), ("days", "7")]);
    assert!(!hostile.text().contains("<script>x") && hostile.text().contains("&#60;script"), "{}", hostile.text());
}
