//! The page of one inquiry: who has it, photos side by side, samples and advice, both languages.

use axum::http::StatusCode;
use dooryard_core::{ids::RecordId, record::Kind};
use serde_json::{Value as Json, json};

use super::{
    asks::{Answer, Ask, get, post},
    sample_county::{County, county},
};
use crate::people::Role;

/// What would run if a page let it.
const SCRIPT: &str = "<script>alert(2)</script>";

fn see(county: &County, uri: &str) -> Answer {
    get(uri).signed_in(county, Role::Reviewer).send(county)
}

fn save(county: &County, kind: Kind, fields: &Json) -> RecordId {
    county.office.notebook().save(kind, None, fields.as_object().unwrap()).unwrap()
}

/// The changes that the form of a page was made from.
fn seen(page: &str) -> String {
    page.split("name=\"seen\" value=\"").nth(1).and_then(|rest| rest.split('"').next()).unwrap().to_owned()
}

fn hand_on(county: &County, seen: &str, [by, due, waiting_on]: [&str; 3]) -> Ask {
    let fields = [("seen", seen), ("by", by), ("due", due), ("waiting_on", waiting_on)];
    post(&format!("/inquiries/{}/held", county.tomato), &fields).signed_in(county, Role::ScoutLead)
}

fn held(county: &County) -> Option<Json> {
    county.office.notebook().show(county.tomato).unwrap().get("held").cloned()
}

fn acts(county: &County) -> Vec<String> {
    county.people.audit(None).unwrap().into_iter().map(|row| row.act).collect()
}

#[test]
fn who_has_it_is_kept_told_and_noted() {
    let county = county();
    let page = format!("/inquiries/{}", county.tomato);
    let first = see(&county, &page).text();
    assert!(first.contains("Nobody has it yet.") && first.contains("<option value=\"Scout 5\">"), "{first}");
    let kept = hand_on(&county, &seen(&first), ["Scout 5", "2026-07-24", "the result of the laboratory"]).send(&county);
    assert_eq!((kept.status, kept.header("location")), (StatusCode::SEE_OTHER, format!("{page}#held").as_str()));
    assert_eq!(held(&county).unwrap()["waiting_on"], "the result of the laboratory");
    assert!(acts(&county).contains(&"changed_holder".to_owned()));
    let told = see(&county, &page).text();
    for fact in ["Scout 5 has it", "24 July", "the result of the laboratory", "Said by Office at", "who has it"] {
        assert!(told.contains(fact), "{fact} is missing in:\n{told}");
    }
    // A day and a reason can be taken back, and with them the hand.
    hand_on(&county, &seen(&told), ["", "", ""]).send(&county);
    assert_eq!(held(&county), Some(json!({"by": ""})));
    assert!(see(&county, &page).text().contains("Nobody has it yet."));
}

#[test]
fn a_change_made_meanwhile_brings_the_page_back_with_both_and_loses_nothing() {
    let county = county();
    let stale = seen(&see(&county, &format!("/inquiries/{}", county.tomato)).text());
    hand_on(&county, &stale, ["Scout 5", "2026-07-24", ""]).send(&county);
    let before = held(&county);
    let typed = ["Scout 3", "2026-07-30", "rain, and a dry day"];
    let back = hand_on(&county, &stale, typed).send(&county);
    assert_eq!((back.status, held(&county)), (StatusCode::CONFLICT, before));
    let page = back.text();
    for fact in [
        "Somebody else changed this meanwhile.",
        "Scout 5 has it",
        "24 July",
        "value=\"Scout 3\"",
        "value=\"2026-07-30\"",
        "rain, and a dry day</textarea>",
        "Keep what I typed",
    ] {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    assert!(acts(&county).first().is_some_and(|act| act == "saw_inquiry"), "the page that came back is noted");
    // It carries what holds now: sent once more, it is kept.
    assert_eq!(hand_on(&county, &seen(&page), typed).send(&county).status, StatusCode::SEE_OTHER);
    assert_eq!(held(&county).unwrap()["by"], "Scout 3");
}

#[test]
fn what_cannot_be_kept_is_said_beside_its_field_and_stays_typed() {
    let county = county();
    let long = "x".repeat(401);
    let back = hand_on(&county, "", ["Scout 3", "30 July", &long]).send(&county);
    assert_eq!((back.status, held(&county)), (StatusCode::UNPROCESSABLE_ENTITY, None));
    let page = back.text();
    for fact in ["This is not a day.", "401 letters long; the limit is 400.", "value=\"30 July\"", &long] {
        assert!(page.contains(fact), "{fact} is missing");
    }
    assert!(!page.contains("changed this meanwhile"));
}

#[test]
fn only_who_leads_scouts_hands_on_and_nothing_under_seal_is_handed_on() {
    let county = county();
    let page = get(&format!("/inquiries/{}", county.tomato)).signed_in(&county, Role::Reader).send(&county).text();
    assert!(!page.contains("name=\"waiting_on\"") && page.contains("Nobody has it yet."));
    let asked = hand_on(&county, "", ["Scout 3", "", ""]).signed_in(&county, Role::Reader).send(&county);
    assert_eq!((asked.status, held(&county)), (StatusCode::FORBIDDEN, None));
    let sealed = post(&format!("/inquiries/{}/held", county.sealed), &[("by", "Scout 3")]);
    assert_eq!(sealed.signed_in(&county, Role::Admin).send(&county).status, StatusCode::FORBIDDEN);
    assert!(county.office.notebook().show(county.sealed).unwrap().get("held").is_none());
}

/// Two more photos, of the tomatoes and of another inquiry.
fn more_photos(county: &County) -> (RecordId, RecordId, RecordId) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("leaf.png");
    image::RgbImage::from_pixel(3600, 40, image::Rgb([20, 120, 40])).save(&file).unwrap();
    let other = save(county, Kind::Inquiry, &json!({"summary": "Oak, thin at the top"}));
    let add = |inquiry: RecordId, caption: &str| {
        let fields = json!({"inquiry": inquiry.to_string(), "caption": caption, "taken": "2026-07-20T10:31:00-05:00"});
        county.office.notebook().add_photo(&file, fields.as_object().unwrap()).unwrap()
    };
    (add(county.tomato, SCRIPT), other, add(other, "Oak leaf"))
}

#[test]
fn chosen_photos_stand_side_by_side_with_what_when_and_by_whom() {
    let county = county();
    let (second, other, foreign) = more_photos(&county);
    let at = |query: &str| see(&county, &format!("/inquiries/{}/photos{query}", county.tomato));
    let panes = |text: &str| text.matches("class=\"glass\"").count();
    let pair = at(&format!("?photo={second}&photo={}", county.photo)).text();
    for fact in
        ["A: photo 2.", "B: photo 1. Close up", "10:31 am, 20 July, by Office", "Lowest leaf", "Move all together"]
    {
        assert!(pair.contains(fact), "{fact} is missing in:\n{pair}");
    }
    assert!(panes(&pair) == 2 && !pair.contains(SCRIPT) && pair.contains(&format!("/photos/{second}/full")));
    assert!(at(&format!("?photo={second}")).text().contains("Choose another below"));
    assert_eq!(panes(&at("").text()), 0);
    // Of another inquiry only where that one is asked for, by its number or the last letters of it.
    let mixed = format!("?photo={second}&photo={foreign}");
    let alone = at(&mixed).text();
    assert!(panes(&alone) == 1 && alone.contains("1 chosen photo is not one of these inquiries"), "{alone}");
    let number = other.to_string();
    for typed in
        [number.as_str(), &number[number.len() - 8..], &format!("http%3A%2F%2Flocalhost%2Finquiries%2F{number}")]
    {
        assert_eq!(panes(&at(&format!("{mixed}&other={typed}")).text()), 2, "{typed}");
    }
    for typed in ["pigeon-loft", "f", "%3Cscript%3E"] {
        let text = at(&format!("?other={typed}")).text();
        assert!(
            text.contains("No inquiry, or more than one, has this number.") && !text.contains("<script>"),
            "{typed}"
        );
    }
    assert_eq!(at("?photo=pigeon").status, StatusCode::BAD_REQUEST);
    // Nothing under seal, on either side.
    assert_eq!(at(&format!("?other={}", county.sealed)).status, StatusCode::FORBIDDEN);
    assert_eq!(see(&county, &format!("/inquiries/{}/photos", county.sealed)).status, StatusCode::FORBIDDEN);
    assert_eq!(panes(&at(&format!("?photo={}", county.sealed_photo)).text()), 0);
    let wide = see(&county, &format!("/photos/{second}/full"));
    assert_eq!(image::load_from_memory(&wide.bytes).unwrap().width(), 3200, "made anew, and no larger");
    let twice = format!("?photo={0}&photo={0}", county.photo);
    assert!(at(&twice).text().contains("One photo is chosen."), "chosen twice is one");
}

#[test]
fn samples_go_step_by_step_and_advice_says_its_versions() {
    let county = county();
    let inquiry = county.tomato.to_string();
    let sample = save(
        &county,
        Kind::Sample,
        &json!({"inquiry": inquiry, "taken": "2026-07-20T10:40:00-05:00[America/Chicago]", "taken_by": "Scout 3",
            "plant_part": "lowest leaves", "pieces": 4, "seal": SCRIPT, "kept_cool": true}),
    );
    let page = |county: &County| see(county, &format!("/inquiries/{inquiry}")).text();
    let text = page(&county);
    for fact in
        ["Lowest leaves", "Taken, not handed over yet. No hand-over was written down.", "4 pieces", "No result yet."]
    {
        assert!(text.contains(fact), "{fact} is missing in:\n{text}");
    }
    save(
        &county,
        Kind::Custody,
        &json!({"sample": sample.to_string(), "from": "Scout 3", "to": "County office", "condition": "cool, dry",
            "at": "2026-07-20T15:05:00-05:00[America/Chicago]"}),
    );
    let more = json!({"accession": "LAB-7", "result": "Early blight.", "result_date": "2026-07-29", "result_method": "culture"});
    county.office.notebook().save(Kind::Sample, Some(sample), more.as_object().unwrap()).unwrap();
    let answer = save(
        &county,
        Kind::Diagnosis,
        &json!({"inquiry": inquiry, "at": "2026-07-21T08:00:00-05:00[America/Chicago]", "pack_version": "older 3",
            "causes": [{"cause": "early_blight", "role": "primary", "word": "likely", "percent": 60}], "reasons": SCRIPT}),
    );
    save(
        &county,
        Kind::Advice,
        &json!({"inquiry": inquiry, "diagnosis": answer.to_string(), "text": "Pick off the lowest leaves.", "how": "letter",
            "blocks": [{"id": "pick_off", "version": "older 3"}], "cautions": ["label_is_law"],
            "given": "2026-07-21T09:00:00-05:00[America/Chicago]"}),
    );
    save(
        &county,
        Kind::FollowUp,
        &json!({"inquiry": inquiry, "due": "2026-01-05", "question": "Are new leaves clean?"}),
    );
    let text = page(&county);
    let steps = ["Taken", "Scout 3 to County office", "cool, dry", "number LAB-7", "Early blight."];
    let places: Vec<_> = steps.iter().map(|step: &&str| text.to_lowercase().find(&step.to_lowercase())).collect();
    assert!(places.iter().all(Option::is_some), "{places:?}");
    for fact in [
        "The result has come.",
        "By letter · after the answer of 8:00 am, 21 July · pack older 3",
        "version older 3",
        "Cautions shown: ",
        "late</b>",
        "likely, 60 in 100",
        "were made with older 3; the key here reckons with",
    ] {
        assert!(text.contains(fact), "{fact} is missing in:\n{text}");
    }
    assert!(!text.contains(SCRIPT), "what somebody wrote became part of the page");
}

#[test]
fn what_was_looked_at_says_by_whom_and_what_would_change_the_answer() {
    let county = county();
    let text = see(&county, &format!("/inquiries/{}", county.tomato)).text();
    for fact in [
        "Looked at by Scout 3, 20 July, in the field",
        "What would change it: look at these next",
        "goes from ",
        "Phone of Scout 3, number ",
        "another value stands beside it; both are kept",
        "How many show it: was 12, is now 14",
    ] {
        assert!(text.contains(fact), "{fact} is missing in:\n{text}");
    }
    let history = text.split("What happened").nth(1).unwrap();
    for private in ["Teal Lane", "43.5", "Somebody Invented", "alert(1)"] {
        assert!(!history.contains(private), "{private} in the history");
    }
}

#[test]
fn the_page_speaks_spanish_to_whoever_reads_it() {
    let county = county();
    let spanish =
        |uri: &str| get(uri).header("accept-language", "es-US").signed_in(&county, Role::Reviewer).send(&county);
    let text = spanish(&format!("/inquiries/{}?place=full&contact=full", county.tomato)).text();
    for fact in [
        "<html lang=\"es\"",
        "Quién la tiene",
        "Se miró, no está",
        "razones a favor y en contra",
        "Lo que pasó",
        "Alto: ",
        "municipio de Sedge",
        "1 Teal Lane",
        "20 de julio",
        "Contenido inicial sin revisar",
        "Scout 3 anotó ",
    ] {
        assert!(text.contains(fact), "{fact} is missing in:\n{text}");
    }
    for english in ["Looked, not there", "Who has it", "in 100", "What happened", "wrote down", "inquiry-", "registry-"]
    {
        let shown = text.replace("/inquiry", "").replace("for=\"held", "");
        assert!(!shown.contains(english), "{english} in:\n{shown}");
    }
    let photos = spanish(&format!("/inquiries/{}/photos?photo={}", county.tomato, county.photo)).text();
    assert!(photos.contains("Fotos lado a lado") && photos.contains("A: foto 1. De cerca"), "{photos}");
}
