//! What belongs to one inquiry, or to one plant of it, stands with no other; what was looked for and not found, who wrote
//! what, and who did what stand where they belong.

use axum::http::StatusCode;
use dooryard_core::{
    ids::RecordId,
    job::Job,
    notebook::Query,
    record::{Kind, Role as DeviceRole},
};
use serde_json::json;

use super::{
    asks::{Answer, post, send_files},
    sample_county::{County, county},
};
use crate::people::Role;

/// Adds an inquiry about an oak with everything that hangs on one: visit, finding, photo, answer, advice, sample with its way.
fn oak(county: &County) -> RecordId {
    let inquiry = county.save(Kind::Inquiry, &json!({"taken_by": "Scout 5", "summary": "oak summary"}));
    let of = inquiry.to_string();
    let plant = county.save(Kind::Plant, &json!({"inquiry": of, "host": "oak"})).to_string();
    let visit =
        county.save(Kind::Visit, &json!({"inquiry": of, "observer": "Scout 5", "start": "2026-07-19T10:00:00Z[UTC]"}));
    let looked =
        json!({"plant": plant, "visit": visit.to_string(), "character": "onset", "state": "days", "status": "seen"});
    county.save(Kind::Finding, &looked);
    let causes = json!([{"cause": "drought_stress", "role": "primary", "word": "likely", "percent": 61}]);
    let answer = county
        .save(Kind::Diagnosis, &json!({"inquiry": of, "plant": plant, "causes": causes, "reasons": "oak reasons"}));
    county.save(
        Kind::Advice,
        &json!({"inquiry": of, "diagnosis": answer.to_string(), "text": "oak advice", "how": "letter"}),
    );
    county.save(Kind::FollowUp, &json!({"inquiry": of, "due": "2026-09-01", "question": "oak question"}));
    let sample = county.save(Kind::Sample, &json!({"inquiry": of, "plant_part": "oak twig", "pieces": 3}));
    let way = json!({"sample": sample.to_string(), "from": "oak scout", "to": "oak laboratory"});
    county.save(Kind::Custody, &way);
    inquiry
}

#[test]
fn nothing_of_another_inquiry_stands_on_a_page_of_one() {
    let county = county();
    let oak = oak(&county);
    // A second sample beside the first: each has its own way.
    let of = oak.to_string();
    county.save(Kind::Sample, &json!({"inquiry": of, "plant_part": "bark"}));
    let words = ["oak summary", "oak reasons", "oak advice", "oak question", "oak laboratory", "61 in 100"];
    let own = county.see(Role::Reviewer, &format!("/inquiries/{oak}")).text();
    for words in words.into_iter().skip(1).chain(["Oak twig"]) {
        assert!(own.contains(words), "{words} is missing in:\n{own}");
    }
    let samples = own.split("id=\"history\"").next().unwrap();
    assert_eq!(samples.matches("oak laboratory").count(), 1, "a hand-over is of one sample");
    for theirs in ["the blight", "Lowest leaf", "tan with dark rim", &county.photo.to_string()] {
        assert!(!own.contains(theirs), "{theirs} stands with the oak");
    }
    let id = county.tomato;
    for uri in [
        format!("/inquiries/{id}"),
        format!("/inquiries/{id}/walk"),
        format!("/inquiries/{id}/letter"),
        format!("/review/{id}"),
    ] {
        let page = county.see(Role::Reviewer, &uri);
        assert_eq!(page.status, StatusCode::OK, "{uri}");
        for words in words.iter().chain(&["Oak twig", "Speed of onset: "]) {
            assert!(!page.text().contains(words), "{words} stands on {uri}");
        }
    }
}

/// The plant of the sample county.
fn plant_of(county: &County) -> RecordId {
    let query = Query { kind: Some(Kind::Plant), ..Query::default() };
    county.office.notebook().list(&query).unwrap().rows[0].id
}

/// The text of a letter on its page, without marks.
fn letter(page: &Answer) -> String {
    let page = page.text();
    let article = page.split("<article").nth(1).unwrap().split("</article>").next().unwrap().to_owned();
    article.split('<').map(|part| part.split_once('>').map_or(part, |(_, text)| text)).collect::<Vec<_>>().join(" ")
}

#[test]
fn a_letter_and_a_walk_of_one_plant_say_nothing_of_the_other_and_each_keeps_its_own_words() {
    let county = county();
    let of = county.tomato.to_string();
    let tomato = plant_of(&county);
    let oak = county.save(Kind::Plant, &json!({"inquiry": of, "host": "oak"}));
    county.save(
        Kind::Finding,
        &json!({"plant": oak.to_string(), "character": "onset", "state": "days", "status": "seen"}),
    );
    let of_tomato = |part: &str| format!("/inquiries/{of}/{part}?plant={tomato}");
    let of_oak = |part: &str| format!("/inquiries/{of}/{part}?plant={oak}");
    let see = |uri: &str| county.see(Role::ScoutLead, uri);
    let (first, second) = (letter(&see(&of_tomato("letter"))), letter(&see(&of_oak("letter"))));
    assert!(first.contains("tan with dark rim") && !first.contains("Speed of onset"), "{first}");
    assert!(second.contains("Speed of onset") && !second.contains("Leaf spots"), "{second}");
    // What was looked for and is not there is told as such, and what nobody looked at not at all.
    let absent = first.split("did not find it").nth(1).unwrap_or_default();
    assert!(absent.contains("Leaf spots") && !first.contains("Soil pH"), "{first}");
    let (first, second) = (see(&of_tomato("walk")).text(), see(&of_oak("walk")).text());
    assert!(first.contains("tan with dark rim") && !second.contains("tan with dark rim"), "{second}");

    let write = |plant: RecordId, words: &str| {
        let fields = [("plant", plant.to_string()), ("do", "typed".into()), ("piece_opening", words.to_owned())];
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        post(&format!("/inquiries/{of}/letter"), &fields).signed_in(&county, Role::ScoutLead).send(&county)
    };
    assert_eq!(write(tomato, "Of tomatoes.").status, StatusCode::OK);
    assert_eq!(write(oak, "Of the oak.").status, StatusCode::OK);
    let (first, second) = (letter(&see(&of_tomato("letter"))), letter(&see(&of_oak("letter"))));
    assert!(first.contains("Of tomatoes.") && second.contains("Of the oak."), "{first}\n{second}");
    let spanish = letter(&see(&format!("{}&lang=es", of_tomato("letter"))));
    assert!(!spanish.contains("Of tomatoes."), "each language has its own words");

    // Sent, it answers the plant that it is about: a newer answer that says the same of the other is not taken for it.
    let send = || {
        let fields =
            [("plant", tomato.to_string()), ("do", "sent".into()), ("how", "print".into()), ("due", String::new())];
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        let sent = post(&format!("/inquiries/{of}/letter"), &fields).signed_in(&county, Role::ScoutLead).send(&county);
        assert!(sent.header("location").ends_with("&sent=now"), "{}", sent.text());
    };
    let held = |kind| {
        let query = Query { kind: Some(kind), ..Query::default() };
        county.office.notebook().list(&query).unwrap().rows
    };
    send();
    let answer = held(Kind::Diagnosis).remove(0);
    assert_eq!(answer.text("plant"), Some(tomato.to_string().as_str()));
    let same = json!({"inquiry": of, "plant": oak.to_string(), "causes": answer.fields["causes"], "at": "2099-07-21T08:00:00Z[UTC]"});
    county.save(Kind::Diagnosis, &same);
    send();
    let advice = held(Kind::Advice);
    assert_eq!(advice.len(), 2);
    assert!(advice.iter().all(|a| a.text("diagnosis") == Some(answer.id.to_string().as_str())), "{advice:?}");
}

#[test]
fn what_was_looked_for_and_not_found_and_who_wrote_what_stand_on_the_page() {
    let county = county();
    let page = county.see(Role::Reader, &format!("/inquiries/{}", county.tomato)).text();
    let pack = crate::pack::starter().unwrap();
    let spots = pack.character("leaf_spot").unwrap();
    let absent = spots.states.iter().find(|s| s.id == "bullseye").unwrap().text.en().replace('\'', "&#39;");
    assert!(page.contains(&absent), "{absent} is missing in:\n{page}");
    for heading in ["Seen", "Looked, not there", "Not looked"] {
        let head = page.split("<th").find(|part| part.contains(heading)).unwrap();
        let counted = if heading == "Seen" { "2 findings" } else { "1 finding" };
        assert!(head.contains(counted), "{heading}: {head}");
    }
    // Each row of what happened begins with who it was.
    let happened = page.split("id=\"history\"").nth(1).unwrap();
    let rows: Vec<&str> = happened.split("<div class=\"b\"><p>").skip(1).collect();
    assert!(rows.len() >= 3);
    for row in rows {
        assert!(row.starts_with("Scout 3 ") || row.starts_with("Scout 5 ") || row.starts_with("Office "), "{row}");
    }
}

#[test]
fn a_reader_comes_to_nothing_private_and_others_only_by_asking() {
    let county = county();
    let page = |role, more: &str| county.see(role, &format!("/inquiries/{}{more}", county.tomato)).text();
    let (reader, reviewer) = (page(Role::Reader, ""), page(Role::Reviewer, ""));
    assert!(!reader.contains("the blight") && !reader.contains("Teal Lane") && !reader.contains("Somebody Invented"));
    assert!(reviewer.contains("the blight") && !reviewer.contains("Teal Lane"));
    for more in ["?place=full", "?contact=full"] {
        let refused = county.see(Role::Reader, &format!("/inquiries/{}{more}", county.tomato));
        assert_eq!(refused.status, StatusCode::FORBIDDEN, "{more}");
    }
}

#[test]
fn a_private_value_on_which_phones_disagree_is_told_only_where_it_was_asked_for() {
    let county = county();
    let book = county.notebook("s7", 7);
    let answer = county.office.add_device(&book.enrolment_request(), DeviceRole::Scout, "Scout 7").unwrap();
    book.enrol(&answer).unwrap();
    // It has never seen the address that is there: both hold.
    let address = json!({"address": "9 Plover Court"});
    book.save(Kind::Site, Some(county.site), address.as_object().unwrap()).unwrap();
    let room = tempfile::tempdir().unwrap();
    let file = room.path().join("s7.yard");
    book.make_bundle(&file, &Job::silent()).unwrap();
    county.office.take_in(&file, &Job::silent()).unwrap();
    let page = |role, more: &str| county.see(role, &format!("/inquiries/{}{more}", county.tomato)).text();
    for (role, more) in [(Role::Reader, ""), (Role::Admin, ""), (Role::Admin, "?contact=full")] {
        let text = page(role, more);
        assert!(text.contains("wrote <b>something private</b>") && !text.contains("Plover"), "{more}:\n{text}");
    }
    let asked = page(Role::Admin, "?place=full");
    assert!(asked.contains("Scout 7 wrote <b>“9 Plover Court”</b>"), "{asked}");
}

#[test]
fn a_letter_does_not_go_out_past_a_stop_that_nobody_was_shown() {
    let county = county();
    let pack = crate::pack::starter().unwrap();
    let raises = |s: &&dooryard_core::key::State| s.stops.iter().any(|id| id == "tree_failure");
    let found = pack.characters.iter().find_map(|c| Some((c.id.as_str(), c.states.iter().find(raises)?.id.as_str())));
    let (character, state) = found.unwrap();
    // It comes from a phone, after the desk looked last.
    let plant = plant_of(&county).to_string();
    county.save(Kind::Finding, &json!({"plant": plant, "character": character, "state": state, "status": "seen"}));
    let send = || {
        let fields = [("do", "sent"), ("how", "print"), ("due", "")];
        let sent = post(&format!("/inquiries/{}/letter", county.tomato), &fields).signed_in(&county, Role::ScoutLead);
        sent.send(&county).header("location").to_owned()
    };
    let advice = || {
        let query = Query { kind: Some(Kind::Advice), ..Query::default() };
        county.office.notebook().list(&query).unwrap().total
    };
    let to = send();
    assert!(to.contains("/walk?") && to.ends_with("&stop=new"), "{to}");
    assert_eq!(advice(), 0, "nothing was sent");
    assert!(send().ends_with("&sent=now"), "once it was shown, the letter goes out with it");
    assert_eq!(advice(), 1);
}

#[test]
fn photos_that_were_added_at_the_desk_are_in_the_audit() {
    let county = county();
    let mut png = std::io::Cursor::new(Vec::new());
    image::RgbImage::from_pixel(8, 8, image::Rgb([20, 120, 40])).write_to(&mut png, image::ImageFormat::Png).unwrap();
    let sent = send_files(&format!("/desk/{}/photos", county.tomato), &[("a.png", png.get_ref())]);
    assert_eq!(sent.signed_in(&county, Role::ScoutLead).send(&county).status, StatusCode::SEE_OTHER);
    let noted = county.people.audit(None).unwrap().into_iter().find(|row| row.act == "added_photos");
    assert_eq!(noted.and_then(|row| row.about), Some(county.tomato.to_string()));
}
