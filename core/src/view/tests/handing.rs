use serde_json::json;

use super::*;
use crate::{inquiry::save, notebook::Way, record::Kind};

impl Phone {
    /// Hands over, and the office takes the file in.
    fn handed(&self, name: &str) -> HandedOver {
        let path = self.path(name);
        let made = hand_over(&self.view(), &path, &Job::silent()).unwrap();
        take_in(&self.office, &self.opener, &self.dir.path().join("office"), &path, &Job::silent()).unwrap();
        made
    }
}

#[test]
fn what_was_typed_goes_with_the_bundle_and_each_inquiry_says_where_it_is() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    import_photo(&phone.view(), inquiry, Some(plant), "whole", "", &photo_file()).unwrap();
    write(&phone.view(), inquiry, "words", "Spots on the low leaves", false).unwrap();
    phone.clock.set(phone.clock.now_ms() + 4 * 86_400_000);
    let before = hand_over_screen(&phone.view(), "", 20).unwrap();
    assert!(before.waits && before.what.starts_with("1 inquiry, 1 photo, "), "{}", before.what);
    assert_eq!(before.since, "1 inquiry on this phone, not handed over. Oldest: 4 days.");
    assert_eq!((before.rows[0].step, before.rows[0].words.as_str()), (1, "On this phone"));
    assert_eq!(inquiries(&phone.view(), InquiryFilter::NotHandedOver, "", "", 20).unwrap().rows.len(), 1);
    let made = phone.handed("first.yard");
    assert!(!made.more && made.lines.len() == 2);
    assert_eq!(phone.office.show(inquiry).unwrap().text("question"), Some("Spots on the low leaves"));
    let view = phone.killed();
    let after = hand_over_screen(&view, "", 20).unwrap();
    assert!(!after.waits && after.what == "Nothing on this phone waits to be handed over.");
    assert_eq!((after.rows[0].step, after.rows[0].note.is_empty()), (2, false));
    assert_eq!(inquiries(&view, InquiryFilter::NotHandedOver, "", "", 20).unwrap().rows.len(), 0);
    // One new finding, and the whole inquiry is on this phone again.
    let card = look(&view, inquiry, plant, "", "").unwrap().look.unwrap();
    answer(&view, inquiry, plant, &card.character, &ids(&["could_not_tell"]), &[], 1).unwrap();
    assert_eq!(inquiry_screen(&view, inquiry).unwrap().way, Way::OnThisPhone);
    let page = inquiries(&view, InquiryFilter::NotHandedOver, "", "", 20).unwrap();
    assert_eq!(page.rows.len(), 1);
    // Only a finding was written, and both screens speak of one inquiry.
    let again = hand_over_screen(&view, "", 20).unwrap();
    assert!(again.what.starts_with("1 inquiry, 0 photos"), "{}", again.what);
    assert!(today(&view).unwrap().waiting.starts_with("1 inquiry on this phone"));
}

#[test]
fn another_inquiry_at_the_same_site_is_not_told_as_not_handed_over() {
    let phone = phone();
    let (first, _) = phone.tomato();
    set_place(&phone.view(), first, 43.5, -87.0, Some(5.0)).unwrap();
    let site = phone.view().whole(first).unwrap().site.unwrap().id;
    let second = begin(&phone.view(), "").unwrap();
    save(phone.book(), Kind::Inquiry, Some(second), json!({"site": site.to_string()})).unwrap();
    phone.handed("all.yard");
    write_plant(&phone.view(), second, None, "host", "maple", true).unwrap();
    let waits = inquiries(&phone.view(), InquiryFilter::NotHandedOver, "", "", 20).unwrap();
    assert_eq!(waits.rows.iter().map(|r| r.id).collect::<Vec<_>>(), [second]);
    assert_eq!(inquiry_screen(&phone.view(), first).unwrap().way, Way::HandedOver);
    write_place(&phone.view(), first, "address", "the blue gate", true).unwrap();
    let waits = inquiries(&phone.view(), InquiryFilter::NotHandedOver, "", "", 20).unwrap();
    assert_eq!(waits.rows.len(), 2, "its own site was changed");
}

/// At the office two wrote otherwise of one plant.
fn conflict(phone: &Phone) -> (RecordId, RecordId) {
    let (inquiry, plant) = phone.tomato();
    phone.handed("one.yard");
    save(&phone.office, Kind::Plant, Some(plant), json!({"affected": 9, "tag": "row 4"})).unwrap();
    save(&phone.office, Kind::Inquiry, Some(inquiry), json!({"urgency": "today"})).unwrap();
    phone.minutes(5);
    write(&phone.view(), inquiry, "urgency", "this_week", true).unwrap();
    write_plant(&phone.view(), inquiry, Some(plant), "affected", "12", true).unwrap();
    let visit = json!({"inquiry": inquiry.to_string(), "note": "hot day"});
    let visit = save(phone.book(), Kind::Visit, None, visit).unwrap();
    phone.handed("two.yard");
    save(&phone.office, Kind::Visit, Some(visit), json!({"minutes": 10})).unwrap();
    save(phone.book(), Kind::Visit, Some(visit), json!({"minutes": 30})).unwrap();
    phone.handed("three.yard");
    (inquiry, plant)
}

fn at_office<'p>(phone: &'p Phone, language: Language) -> View<'p> {
    let reader = Reader { language, ..phone.reader.clone() };
    View::new(&phone.office, &PACK, names(language), &reader)
}

#[test]
fn a_conflict_is_told_with_who_wrote_what_when_in_both_languages_and_one_is_kept() {
    let phone = phone();
    let (inquiry, plant) = conflict(&phone);
    let view = at_office(&phone, Language::En);
    let screen = conflicts(&view, Some(inquiry)).unwrap();
    let row = screen.rows.iter().find(|r| r.record == plant).unwrap();
    assert_eq!(row.about, "A plant (tomato, pepper, potato): how many show it");
    let wrote: Vec<String> = row.wrote.iter().map(|w| format!("{} {} {}", w.who, w.what, w.at)).collect();
    assert_eq!(wrote, ["Office 9 10:42 am, 20 July", "Scout 3 12 10:47 am, 20 July"]);
    assert_eq!(row.end, "Written without having seen the first. Both are kept.");
    assert!(!row.as_note, "a plant has no note");
    assert!(conflicts(&at_office(&phone, Language::Es), None).unwrap().rows[0].end.starts_with("Escrito"));
    assert!(today(&view).unwrap().conflicts.starts_with("Two people wrote differently about 3 records"));
    let scouts = row.choices.iter().find(|c| c.text == "Keep: 12").unwrap();
    assert!(keep_both(&view, plant, "affected", &scouts.id).is_err());
    keep_one(&view, plant, "affected", &scouts.id).unwrap();
    assert_eq!(phone.office.show(plant).unwrap().get("affected"), Some(&json!(12)));
    assert!(conflicts(&view, Some(inquiry)).unwrap().rows.iter().all(|r| r.record != plant));
    assert!(keep_one(&view, plant, "affected", &row.choices[0].id).is_err(), "it was settled");
}

#[test]
fn where_a_photo_stands_is_nothing_to_settle() {
    let phone = phone();
    let (inquiry, plant) = phone.tomato();
    import_photo(&phone.view(), inquiry, Some(plant), "whole", "", &photo_file()).unwrap();
    let photo = phone.view().whole(inquiry).unwrap().of(Kind::Photo)[0].id;
    phone.handed("one.yard");
    save(&phone.office, Kind::Photo, Some(photo), json!({"order": 2, "caption": "the low leaves"})).unwrap();
    save(phone.book(), Kind::Photo, Some(photo), json!({"order": 1, "caption": "the leaves"})).unwrap();
    phone.handed("two.yard");
    let shown = phone.office.show(photo).unwrap();
    let order = shown.fields.iter().find(|f| f.name == "order").unwrap();
    assert_eq!((order.others.len(), order.shown.value.is_some()), (1, true), "both were written, one holds");
    let told = phone.office.conflicts().unwrap();
    assert_eq!(told.iter().map(|c| c.field.as_str()).collect::<Vec<_>>(), ["caption"]);
    assert_eq!(phone.office.rows_of(&[photo]).unwrap()[0].conflicts, 1);
}

#[test]
fn both_are_kept_as_a_note_that_names_who_wrote_the_other() {
    let phone = phone();
    let (inquiry, _) = conflict(&phone);
    let view = at_office(&phone, Language::En);
    let screen = conflicts(&view, Some(inquiry)).unwrap();
    let row = screen.rows.iter().find(|r| r.field == "minutes").unwrap();
    assert!(row.as_note);
    let offices = row.choices.iter().find(|c| c.text == "Keep: 10").unwrap();
    keep_both(&view, row.record, "minutes", &offices.id).unwrap();
    let visit = phone.office.show(row.record).unwrap();
    assert_eq!(visit.get("minutes"), Some(&json!(10)));
    assert_eq!(visit.text("note"), Some("hot day\nScout 3 wrote otherwise, 10:47 am, 20 July: minutes: 30"));
}

#[test]
fn writing_one_field_settles_no_conflict_of_another() {
    let phone = phone();
    let (inquiry, plant) = conflict(&phone);
    let view = at_office(&phone, Language::En);
    write_plant(&view, inquiry, Some(plant), "cultivar", "Early", true).unwrap();
    write(&view, inquiry, "wish", "know", true).unwrap();
    let left = conflicts(&view, Some(inquiry)).unwrap().rows;
    assert!(left.iter().any(|r| r.record == plant) && left.iter().any(|r| r.field == "urgency"), "{left:?}");
}

#[test]
fn a_reply_is_told_in_sentences_and_what_waits_says_why_once() {
    let phone = phone();
    let waiting = vec![("a".into(), "UNKNOWN_DEVICE".into()), ("b".into(), "UNKNOWN_DEVICE".into())];
    let taken =
        crate::bundle::ReplyTaken { number: 3, received: 1, photos_received: 2, records: 7, restored: true, waiting };
    let told = reply_told(&phone.view(), &taken);
    assert_eq!(told.lines[0], "The office has 1 change of this phone for certain.");
    assert_eq!((told.lines.len(), told.waiting.len()), (5, 1));
    assert!(reply_told(&phone.spanish(), &taken).lines[0].starts_with("La oficina"));
}

#[test]
fn what_was_asked_read_and_skipped_reaches_the_office_and_stands_in_the_history() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    answer_question(&phone.view(), inquiry, "sprayed", "unsure").unwrap();
    answer_question(&phone.view(), inquiry, "regulated", "yes").unwrap();
    answer_question(&phone.view(), inquiry, "regulated", "").unwrap();
    answer_question(&phone.view(), inquiry, "falling_or_wire", "no").unwrap();
    phone.minutes(1);
    let unread = stop_screen(&phone.view(), inquiry).unwrap().unread;
    for stop in unread.iter().chain(&unread) {
        read_stop(&phone.view(), inquiry, &stop.id).unwrap();
    }
    skip_shot(&phone.view(), inquiry, Some(plant), "underside", true).unwrap();
    skip_shot(&phone.view(), inquiry, None, "site", true).unwrap();
    skip_shot(&phone.view(), inquiry, None, "whole", true).unwrap();
    skip_shot(&phone.view(), inquiry, None, "site", false).unwrap();
    let screen = ask(&phone.killed(), inquiry).unwrap();
    let chosen: Vec<_> = screen.questions.iter().filter_map(|q| q.answers.iter().find(|a| a.chosen)).collect();
    assert_eq!(chosen.len(), 2);
    phone.handed("all.yard");
    let there = phone.office.show(inquiry).unwrap();
    let asked: Vec<_> = crate::inquiry::asked(&there).into_iter().collect();
    assert_eq!(asked, [("falling_or_wire".into(), "no".into()), ("sprayed".into(), "unsure".into())]);
    let read = crate::inquiry::stops_read(&there);
    assert_eq!(read.len(), unread.len(), "each once");
    assert!(read.iter().all(|r| r.wording.len() == 64 && r.content.starts_with("landscape")));
    assert_eq!(there.get("shots_skipped"), Some(&json!(["whole"])));
    assert_eq!(phone.office.show(plant).unwrap().get("shots_skipped"), Some(&json!(["underside"])));
    let told = all_of(&history(&phone.view(), inquiry, "", 50).unwrap());
    for words in ["read 10:43 am, 20 July", "? not sure", "Shots skipped: underside"] {
        assert!(told.contains(words), "{words} in {told}");
    }
}

#[test]
fn the_history_says_what_people_did_and_leaves_out_links_and_texts_of_the_pack() {
    let phone = phone();
    let (inquiry, plant) = phone.tomato();
    let card = look(&phone.view(), inquiry, plant, "", "").unwrap().look.unwrap();
    answer(&phone.view(), inquiry, plant, &card.character, &ids(&["could_not_tell"]), &[], 1).unwrap();
    told_it(&phone.view(), inquiry, plant, "spoken", true, "").unwrap();
    set_place(&phone.view(), inquiry, 43.5, -87.0, Some(5.0)).unwrap();
    let rows = history(&phone.view(), inquiry, "", 50).unwrap().rows;
    let told = all_of(&rows);
    assert!(told.contains("Looker") || told.contains("could not tell"), "{told}");
    assert!(rows.iter().any(|r| r.fields.iter().any(|f| f.contains("spoken"))), "how it was told stands there: {told}");
    for gone in ["link", "Link", "landscape", "dooryard phone", "Version"] {
        assert!(!told.contains(gone), "{gone} in {told}");
    }
    let advice = phone.view().whole(inquiry).unwrap().of(Kind::Advice)[0].text("text").unwrap().to_owned();
    assert!(!told.contains(&advice[..40]), "{told}");
    assert!(rows.iter().all(|r| !r.what.is_empty() && !r.what.contains('\n')));
}
