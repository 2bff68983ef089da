//! One person's data and the rule of keeping, asked as an admin asks.

use axum::http::StatusCode;
use dooryard_core::{ids::RecordId, record::Kind};
use serde_json::{Value as Json, json};

use super::{
    asks::{Answer, get, post},
    sample_county::{County, county},
};
use crate::people::Role;

const PRIVATE: [&str; 4] = ["Somebody Invented", "000 0000", "Teal Lane", "the blight"];

fn send(county: &County, uri: &str, fields: &[(&str, &str)]) -> Answer {
    post(uri, fields).signed_in(county, Role::Admin).send(county)
}

fn see(county: &County, uri: &str) -> String {
    get(uri).signed_in(county, Role::Admin).send(county).text()
}

fn save(county: &County, kind: Kind, id: Option<RecordId>, fields: &Json) -> RecordId {
    county.office.notebook().save(kind, id, fields.as_object().unwrap()).unwrap()
}

/// Everything that the office's pages and its export say of the person.
fn all_of(county: &County) -> String {
    let inquiry = see(county, &format!("/inquiries/{}?place=full&contact=full", county.tomato));
    inquiry + &send(county, &format!("/person/{}/export", county.contact), &[]).text()
}

fn acts(county: &County) -> Vec<(String, String)> {
    let rows = county.people.audit(None).unwrap().into_iter();
    rows.map(|row| (row.act, row.about.unwrap_or_default())).collect()
}

#[test]
fn a_person_is_found_by_the_contact_looked_at_and_handed_out() {
    let county = county();
    for (words, found) in [("somebody", true), ("000", true), ("invented some", true), ("nobody", false), (" ", false)]
    {
        let page = send(&county, "/person", &[("words", words)]).text();
        assert_eq!(page.contains(&format!("/person/{}", county.contact)), found, "{words}");
    }
    let page = see(&county, &format!("/person/{}", county.contact));
    assert!(page.contains("Somebody Invented") && page.contains(&county.tomato.to_string()), "{page}");
    let answer = send(&county, &format!("/person/{}/export", county.contact), &[]);
    assert!(answer.header("content-disposition").starts_with("attachment; filename=\"person-"));
    let data: Json = serde_json::from_slice(&answer.bytes).unwrap();
    assert_eq!(data["contact"]["fields"]["reach"]["name"], "Somebody Invented");
    assert_eq!(data["inquiries"][0]["id"], county.tomato.to_string());
    assert_eq!(data["sites"][0]["fields"]["address"], "1 Teal Lane");
    let kinds: Vec<&str> = data["records"].as_array().unwrap().iter().filter_map(|r| r["kind"].as_str()).collect();
    assert_eq!(kinds, ["plant", "visit", "finding", "finding", "finding", "finding", "photo"]);
    assert_eq!(data["records"][0]["fields"]["affected"]["disagree"].as_array().unwrap().len(), 2);
    assert_eq!(data["photos"][0]["photo"], county.photo.to_string());
    assert_eq!(data["photos"][0]["image"]["here"], true);
    let id = county.contact.to_string();
    let told = acts(&county);
    let expected = [("exported_person", id.as_str()), ("saw_person", &id), ("searched", ""), ("searched", "")];
    for (row, (act, about)) in told.iter().zip(expected) {
        assert_eq!((row.0.as_str(), row.1.as_str()), (act, about));
    }
}

#[test]
fn only_a_contact_is_a_person() {
    let county = county();
    for id in [county.tomato, county.site, county.photo] {
        let answer = get(&format!("/person/{id}")).signed_in(&county, Role::Admin).send(&county);
        assert_eq!(answer.status, StatusCode::NOT_FOUND);
        assert_eq!(send(&county, &format!("/person/{id}/erase"), &[("sure", "yes")]).status, StatusCode::NOT_FOUND);
    }
    assert!(all_of(&county).contains("the blight"), "nothing was erased");
}

#[test]
fn erasing_takes_the_contact_and_what_is_private_and_leaves_what_was_looked_at() {
    let county = county();
    let uri = format!("/person/{}/erase", county.contact);
    assert_eq!(send(&county, &uri, &[]).status, StatusCode::CONFLICT, "the box was not ticked");
    let before = all_of(&county);
    assert!(PRIVATE.iter().all(|words| before.contains(words)), "{before}");
    let done = send(&county, &uri, &[("sure", "yes")]);
    assert!(done.status == StatusCode::OK && done.text().contains("3 records"), "{}", done.text());
    let after = all_of(&county);
    for words in PRIVATE {
        assert!(!after.contains(words), "{words}");
    }
    assert!(after.contains("Leaf spots: Small round tan") && after.contains("Sedge"), "what was looked at stays");
    assert_eq!(send(&county, "/person", &[("words", "somebody")]).text().matches("/person/").count(), 0);
    let erased: Vec<_> = acts(&county).into_iter().filter(|(act, _)| act == "erased_person").collect();
    assert_eq!(erased, [("erased_person".to_owned(), county.contact.to_string())], "noted once");
}

#[test]
fn erasing_says_which_saved_views_went_with_the_words() {
    let county = county();
    let admin = &county.session(Role::Admin).visitor;
    for (name, filter) in [("one person", "q=Invented"), ("tomatoes", "q=tomato&status=open")] {
        county.people.save_view(admin, name, filter).unwrap();
    }
    // The index knows the names of plants once somebody has looked at the list.
    see(&county, "/inquiries");
    let done = send(&county, &format!("/person/{}/erase", county.contact), &[("sure", "yes")]).text();
    assert!(done.contains("1 saved view went with them"), "{done}");
    let left: Vec<String> = county.people.views(admin).unwrap().into_iter().map(|view| view.name).collect();
    assert_eq!(left, ["tomatoes"]);
    assert!(!see(&county, "/views").contains("Invented"));
}

#[test]
fn what_is_under_seal_and_what_is_also_of_others_stays() {
    let county = county();
    let (contact, site) = (county.contact.to_string(), county.site.to_string());
    save(&county, Kind::Inquiry, Some(county.sealed), &json!({"contact": contact, "question": "hush, the hedge"}));
    save(&county, Kind::Inquiry, None, &json!({"site": site, "question": "mine is another question"}));
    let page = see(&county, &format!("/person/{contact}"));
    assert!(page.contains("1 inquiry is of this person under seal") && !page.contains("hush"), "{page}");
    assert!(page.contains("1 site is also in inquiries of others"), "{page}");
    let export = send(&county, &format!("/person/{contact}/export"), &[]).text();
    assert!(
        !export.contains("hush") && !export.contains("Teal Lane") && export.contains("\"under_seal\": 1"),
        "{export}"
    );
    assert_eq!(send(&county, &format!("/person/{contact}/erase"), &[("sure", "yes")]).status, StatusCode::OK);
    let show = |id: RecordId| serde_json::to_string(&county.office.notebook().show(id).unwrap()).unwrap();
    assert!(show(county.contact).contains("Somebody Invented") && show(county.sealed).contains("hush"));
    assert!(show(county.site).contains("Teal Lane") && !show(county.tomato).contains("the blight"));
}

#[test]
fn the_rule_counts_first_and_erases_what_was_counted() {
    let county = county();
    let month = 31 * 86_400_000;
    assert!(see(&county, "/keeping").contains("until the rule is set"));
    assert_eq!(send(&county, "/keeping/erase", &[("fields", "0")]).status, StatusCode::CONFLICT);
    for months in ["", "0", "241", "-1", "six", "6.5"] {
        assert_eq!(send(&county, "/keeping", &[("months", months)]).status, StatusCode::CONFLICT, "{months}");
    }
    assert_eq!(send(&county, "/keeping", &[("months", "6")]).status, StatusCode::SEE_OTHER);
    assert!(see(&county, "/keeping").contains("Nothing is older than the rule."));
    save(&county, Kind::Inquiry, Some(county.tomato), &json!({"status": "closed"}));
    assert!(see(&county, "/keeping").contains("Nothing is older than the rule."), "closed just now");
    county.clock.set(county.clock.now_ms() + 7 * month);
    let admin = county.people.sign_in("admin", super::sample_county::PASSWORD, None).unwrap();
    let see = |uri: &str| get(uri).held(&county, &admin).send(&county).text();
    let send = |fields: &str| post("/keeping/erase", &[("fields", fields)]).held(&county, &admin).send(&county);
    let page = see("/keeping");
    assert!(page.contains("4 private fields of 1 closed inquiry"), "{page}");
    let all = |id: RecordId| serde_json::to_string(&county.office.notebook().show(id).unwrap()).unwrap();
    assert_eq!(send("3").status, StatusCode::CONFLICT, "another count than was looked at");
    assert!(all(county.tomato).contains("the blight"));
    assert_eq!(send("4").status, StatusCode::OK);
    for (id, words) in [(county.tomato, "the blight"), (county.site, "Teal Lane"), (county.contact, "Somebody")] {
        assert!(!all(id).contains(words), "{words}");
    }
    assert!(all(county.site).contains("Sedge") && see("/keeping").contains("Nothing is older than the rule."));
    let noted = acts(&county).into_iter().filter(|(act, _)| act == "erased_by_rule").collect::<Vec<_>>();
    assert_eq!(noted, [("erased_by_rule".to_owned(), county.tomato.to_string())]);
}

#[test]
fn the_rule_keeps_what_an_open_inquiry_still_needs() {
    let county = county();
    save(&county, Kind::Inquiry, Some(county.tomato), &json!({"status": "closed"}));
    let refers = json!({"contact": county.contact.to_string(), "site": county.site.to_string(), "question": "again"});
    save(&county, Kind::Inquiry, None, &refers);
    county.people.keep_for(&county.session(Role::Admin).visitor, 1).unwrap();
    county.clock.set(county.clock.now_ms() + 62 * 86_400_000);
    let admin = county.people.sign_in("admin", super::sample_county::PASSWORD, None).unwrap();
    let page = get("/keeping").held(&county, &admin).send(&county).text();
    assert!(page.contains("1 private field of 1 closed inquiry"), "{page}");
    post("/keeping/erase", &[("fields", "1")]).held(&county, &admin).send(&county);
    let all = |id: RecordId| serde_json::to_string(&county.office.notebook().show(id).unwrap()).unwrap();
    assert!(all(county.contact).contains("Somebody") && all(county.site).contains("Teal Lane"));
    assert!(!all(county.tomato).contains("the blight"));
}
