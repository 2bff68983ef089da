use std::fs;

use super::*;
use crate::record::Kind;

/// A walk of some looks, so that something can be told.
fn walked(phone: &Phone) -> (RecordId, RecordId) {
    let (inquiry, plant) = phone.tomato();
    let view = phone.view();
    for _ in 0..8 {
        let Some(card) = look(&view, inquiry, plant, "", "").unwrap().look else { break };
        let pick = card.answers.iter().find(|a| a.mark == "seen").unwrap();
        answer(&view, inquiry, plant, &card.character, std::slice::from_ref(&pick.id), &[], 3).unwrap();
    }
    for stop in stop_screen(&view, inquiry).unwrap().unread {
        read_stop(&view, inquiry, &stop.id).unwrap();
    }
    (inquiry, plant)
}

#[test]
fn what_is_told_is_kept_with_cautions_versions_and_who_told_it() {
    let mut phone = phone();
    let (inquiry, plant) = walked(&phone);
    let screen = tell(&phone.view(), inquiry, plant).unwrap();
    assert!(!screen.say_this.is_empty() && !screen.notice.is_empty());
    told_it(&phone.view(), inquiry, plant, "spoken", true, "2026-08-03").unwrap();
    let view = phone.killed();
    let whole = view.whole(inquiry).unwrap();
    let advice = whole.of(Kind::Advice)[0];
    assert_eq!((advice.text("how"), advice.text("by")), (Some("spoken"), Some("Scout 3")));
    assert_eq!(advice.get("read_back"), Some(&serde_json::json!(true)));
    assert!(advice.get("cautions").is_some() && advice.text("text").unwrap().len() > 100);
    let follow_up = whole.of(Kind::FollowUp)[0];
    assert_eq!((follow_up.text("due"), follow_up.text("by")), (Some("2026-08-03"), Some("Scout 3")));
    let again = tell(&view, inquiry, plant).unwrap();
    assert_eq!(again.before.len(), 1);
    assert_eq!(again.before[0].label, "10:42 am, 20 July · spoken · Scout 3");
    assert!(told_it(&view, inquiry, plant, "shouted", true, "").is_err());
    assert!(told_it(&view, inquiry, plant, "spoken", true, "2026-07-01").is_err(), "a day that is past");
    assert_eq!(view.whole(inquiry).unwrap().of(Kind::Advice).len(), 1);
}

#[test]
fn the_letter_speaks_the_residents_language_and_stays_as_it_was_written() {
    let mut phone = phone();
    let (inquiry, plant) = walked(&phone);
    write(&phone.view(), inquiry, "language", "es", true).unwrap();
    let screen = letter(&phone.view(), inquiry, plant, "").unwrap();
    assert!(screen.languages.iter().find(|l| l.id == "es").unwrap().chosen);
    assert!(screen.text.contains("planta"), "{}", screen.text);
    let english = letter(&phone.view(), inquiry, plant, "en").unwrap();
    assert!(english.text.contains("plant") && english.text != screen.text);
    let number = &inquiry.to_string()[28..];
    assert!(english.text.contains(number) && !english.text.contains(&inquiry.to_string()), "{}", english.text);
    let found = |words: &str| inquiries(&phone.view(), InquiryFilter::All, words, "", 20).unwrap().rows;
    assert_eq!(found(&number.to_uppercase())[0].id, inquiry);
    assert!(found(&number[1..]).is_empty(), "only the whole number is one");
    let piece = &english.pieces[0];
    write_piece(&phone.view(), inquiry, plant, "en", &piece.id, "Good morning. This is about your row of tomatoes.")
        .unwrap();
    let kept = letter(&phone.killed(), inquiry, plant, "en").unwrap();
    assert!(kept.pieces[0].changed && kept.text.contains("your row of tomatoes"));
    assert!(!letter(&phone.view(), inquiry, plant, "es").unwrap().text.contains("your row of tomatoes"));
    assert!(write_piece(&phone.view(), inquiry, plant, "en", "no_piece", "x").is_err());
    let long = "x".repeat(2_001);
    assert!(write_piece(&phone.view(), inquiry, plant, "en", &piece.id, &long).is_err());
    let cautions: Vec<_> = kept.pieces.iter().filter(|p| p.head.contains("not to do")).collect();
    assert!(cautions.is_empty(), "cautions cannot be said otherwise");
}

#[test]
fn letter_files_are_written_for_the_share_sheet_and_their_names_say_nothing() {
    let phone = phone();
    let (inquiry, plant) = walked(&phone);
    write(&phone.view(), inquiry, "name", "Wren Somebody", true).unwrap();
    write(&phone.view(), inquiry, "address", "1 Teal Lane", true).unwrap();
    let paths = letter_files(&phone.view(), inquiry, plant, "en", &phone.path("share")).unwrap();
    assert_eq!(paths.len(), 2);
    for path in &paths {
        let text = fs::read_to_string(path).unwrap();
        assert!(text.contains("Larkspur County") && !text.contains("Teal Lane"));
        assert!(!path.to_lowercase().contains("tomato") && !path.contains("Wren"));
    }
}

#[test]
fn a_sample_has_its_label_without_a_name_or_a_place_and_each_hand_over_stands_in_its_chain() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    write(&phone.view(), inquiry, "name", "Wren Somebody", true).unwrap();
    write(&phone.view(), inquiry, "address", "1 Teal Lane", true).unwrap();
    take_sample(&phone.view(), inquiry, Some(plant), "low leaves", 4, "A-7", true).unwrap();
    let screen = samples(&phone.killed(), inquiry).unwrap();
    let sample = &screen.samples[0];
    assert_eq!((sample.head.as_str(), sample.steps, screen.packing.len()), ("Low leaves", 1, 6));
    let label = all_of(&sample.label);
    assert!(label.contains("A-7") && label.contains("Scout 3") && label.contains("Tomato"), "{label}");
    assert!(!label.contains("Wren") && !label.contains("Teal") && screen.held.is_empty());
    phone.minutes(60);
    let id = sample.id;
    hand_over_sample(&phone.view(), id, "Office", "cool, dry").unwrap();
    let screen = hand_over_sample(&phone.view(), id, "Laboratory", "").unwrap();
    assert_eq!((screen.samples[0].chain.len(), screen.samples[0].steps), (3, 2));
    assert_eq!(screen.samples[0].chain[1].line, "Cool, dry");
    let screen = write_sample(&phone.view(), id, "accession", "L-99").unwrap();
    assert_eq!(screen.samples[0].steps, 3);
    assert!(hand_over_sample(&phone.view(), id, " ", "").is_err());
    assert!(write_sample(&phone.view(), id, "result", "x").is_err());
    assert!(take_away(&phone.view(), phone.view().whole(inquiry).unwrap().of(Kind::Custody)[0].id).is_err());
}

#[test]
fn what_is_asked_later_is_due_answered_and_read_for_danger() {
    let mut phone = phone();
    let (inquiry, _) = phone.tomato();
    for (day, question) in [("2026-07-24", "Any new spots?"), ("2026-07-20", "Did it set fruit?")] {
        ask_later(&phone.view(), inquiry, day, question).unwrap();
    }
    assert!(ask_later(&phone.view(), inquiry, "2026-07-19", "x").is_err());
    assert!(ask_later(&phone.view(), inquiry, "soon", "x").is_err());
    phone.clock.set(phone.clock.now_ms() + 86_400_000);
    let home = today(&phone.killed()).unwrap();
    assert_eq!(home.due.len(), 1);
    assert_eq!((home.due[0].at.as_str(), home.due[0].late), ("1 day late", true));
    assert!(home.due[0].head.contains("Tomato"));
    let page = later(&phone.view(), false, "", 1).unwrap();
    let next = later(&phone.view(), false, &page.next, 1).unwrap();
    assert_eq!((page.rows.len(), next.rows.len(), next.next.as_str()), (1, 1, ""));
    assert_ne!(page.rows[0].id, next.rows[0].id);
    let id = page.rows[0].id;
    answer_later(&phone.view(), id, "Yes, but the dog ate some and is sick", "", "same").unwrap();
    let done = later(&phone.killed(), true, "", 20).unwrap();
    assert_eq!((done.rows.len(), done.rows[0].at.as_str()), (1, "21 July"));
    assert!(done.rows[0].outcomes.iter().find(|o| o.id == "same").unwrap().chosen);
    assert!(!stop_screen(&phone.view(), inquiry).unwrap().unread.is_empty(), "an answer is read for danger");
    answer_later(&phone.view(), id, "", "", "").unwrap();
    assert_eq!(later(&phone.view(), false, "", 20).unwrap().rows.len(), 2, "taken back");
    assert!(answer_later(&phone.view(), id, "x", "", "eaten").is_err());
}
