use super::*;
use crate::{Code, record::Kind};

#[test]
fn another_visit_is_offered_by_what_there_is_to_visit() {
    let phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    let words = |inquiry| inquiry_screen(&phone.view(), inquiry).unwrap().again;
    assert_eq!(words(inquiry), "", "there is nothing to go to again");
    write_place(&phone.view(), inquiry, "address", "1 Teal Lane", true).unwrap();
    assert_eq!(words(inquiry), "Another visit to this place");
    let (of_plant, _) = phone.tomato();
    assert_eq!(words(of_plant), "Another visit to this plant");
    write_plant(&phone.view(), of_plant, None, "host", "maple", true).unwrap();
    assert_eq!(words(of_plant), "Another visit to these plants");
    take_away(&phone.view(), of_plant).unwrap();
    assert_eq!(words(of_plant), "");
}

#[test]
fn begun_again_it_has_the_place_and_the_plants_and_nothing_of_the_person_or_the_findings() {
    let mut phone = phone();
    let (first, plant) = phone.tomato();
    write(&phone.view(), first, "words", "Spots on the low leaves", true).unwrap();
    write(&phone.view(), first, "name", "Wren Somebody", true).unwrap();
    write(&phone.view(), first, "may_photo", "yes", true).unwrap();
    write(&phone.view(), first, "address", "1 Teal Lane", true).unwrap();
    write_plant(&phone.view(), first, Some(plant), "cultivar", "Brandywine", true).unwrap();
    write_plant(&phone.view(), first, Some(plant), "present", "9", true).unwrap();
    write_plant(&phone.view(), first, Some(plant), "affected", "2", true).unwrap();
    let card = look(&phone.view(), first, plant, "", "").unwrap().look.unwrap();
    let state = card.answers[0].id.clone();
    answer(&phone.view(), first, plant, &card.character, &[state], &[], 2).unwrap();
    phone.minutes(60 * 24 * 9);
    let second = again(&phone.view(), first).unwrap();
    let view = phone.killed();
    assert_eq!(resumed(&view), second);
    let (old, new) = (view.whole(first).unwrap(), view.whole(second).unwrap());
    assert_eq!(old.site.unwrap().id, new.site.as_ref().unwrap().id);
    assert!(new.contact.is_none() && new.inquiry.get("question").is_none() && new.inquiry.get("consent").is_none());
    assert!(new.of(Kind::Finding).is_empty() && new.of(Kind::Visit).is_empty());
    let [copy] = new.of(Kind::Plant)[..] else { panic!("one plant") };
    assert_ne!(copy.id, plant);
    assert_eq!((copy.text("host"), copy.text("cultivar")), (Some("tomato_family"), Some("Brandywine")));
    assert!(copy.get("present").is_some() && copy.get("affected").is_none());
    let screen = inquiry_screen(&view, second).unwrap();
    assert!(screen.unfinished && !all_of(&screen).contains("Wren"));
    assert_eq!(inquiry_screen(&view, first).unwrap().plants.len(), 1, "the first one is as it was");
}

fn resumed(view: &View<'_>) -> RecordId {
    today(view).unwrap().resume.unwrap().inquiry
}

#[test]
fn visits_to_one_place_stand_in_both_inquiries_newest_first_with_what_was_found() {
    let phone = phone();
    let (first, plant) = phone.tomato();
    write(&phone.view(), first, "township", "Sedge", true).unwrap();
    assert!(inquiry_screen(&phone.view(), first).unwrap().over_time.is_empty(), "no visit yet");
    let card = look(&phone.view(), first, plant, "", "").unwrap().look.unwrap();
    let state = card.answers[0].id.clone();
    answer(&phone.view(), first, plant, &card.character, &[state], &[], 2).unwrap();
    phone.minutes(60 * 24 * 9);
    let second = again(&phone.view(), first).unwrap();
    let plant = phone.view().whole(second).unwrap().of(Kind::Plant)[0].id;
    let card = look(&phone.view(), second, plant, "", "").unwrap().look.unwrap();
    answer(&phone.view(), second, plant, &card.character, &ids(&["could_not_tell"]), &[], 1).unwrap();
    let rows = inquiry_screen(&phone.view(), second).unwrap().over_time;
    let told: Vec<_> = rows.iter().map(|r| (r.inquiry, r.here, r.day.as_str())).collect();
    assert_eq!(told, [(second, true, "29 July"), (first, false, "20 July")]);
    assert_eq!(rows[0].found, "Nothing written down as seen");
    assert!(rows[1].found.contains(": "), "{}", rows[1].found);
    let from_first = inquiry_screen(&phone.view(), first).unwrap().over_time;
    assert_eq!(from_first.iter().map(|r| r.here).collect::<Vec<_>>(), [false, true]);
    // Another place is another row of nothing.
    let (other, _) = phone.tomato();
    write(&phone.view(), other, "township", "Sedge", true).unwrap();
    assert!(inquiry_screen(&phone.view(), other).unwrap().over_time.is_empty());
}

#[test]
fn what_is_under_seal_is_not_begun_again_and_its_visits_are_not_told() {
    let phone = phone();
    let (first, plant) = phone.tomato();
    write(&phone.view(), first, "township", "Sedge", true).unwrap();
    let card = look(&phone.view(), first, plant, "", "").unwrap().look.unwrap();
    answer(&phone.view(), first, plant, &card.character, &ids(&["could_not_tell"]), &[], 1).unwrap();
    let second = again(&phone.view(), first).unwrap();
    assert_eq!(inquiry_screen(&phone.view(), second).unwrap().over_time.len(), 1);
    answer_question(&phone.view(), first, "regulated", "yes").unwrap();
    assert!(inquiry_screen(&phone.view(), second).unwrap().over_time.is_empty());
    assert!(inquiry_screen(&phone.view(), first).unwrap().over_time.is_empty());
    assert_eq!(again(&phone.view(), first).unwrap_err().code(), Some(Code::ForbiddenField));
}
