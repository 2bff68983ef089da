//! From two phones to the office and back.
#![allow(clippy::unwrap_used, reason = "a test")]

use dooryard_core::{
    Code, Error,
    ids::RecordId,
    job::Job,
    notebook::{Query, Way},
    record::Kind,
};
use dooryard_office::desk::Outcome;
use dooryard_tests::{Yard, edit, save};
use serde_json::json;

#[test]
fn work_of_two_phones_becomes_one_picture_and_the_reply_shows_what_the_office_knows() {
    let yard = Yard::new(1, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    let site = save(one, Kind::Site, json!({"township": "North Quay", "address": "12 Demo Lane"})).unwrap();
    let inquiry =
        save(one, Kind::Inquiry, json!({"channel": "yard", "site": site.to_string(), "question": "¿Por qué?"}))
            .unwrap();
    assert_eq!(one.way(inquiry).unwrap(), Way::OnThisPhone);
    let first = yard.bundle(one, "one.yard").unwrap();
    assert_eq!(one.way(inquiry).unwrap(), Way::HandedOver);
    let taken = yard.take_in(&first).unwrap();
    assert_eq!((taken.report.new, taken.report.new_records, taken.report.from.as_str()), (2, 2, "Scout 1"));
    let again = yard.take_in(&first).unwrap();
    assert_eq!((again.report.new, again.report.repeated), (0, 2));

    let theirs = save(two, Kind::Inquiry, json!({"channel": "phone"})).unwrap();
    yard.take_in(&yard.bundle(two, "two.yard").unwrap()).unwrap();
    assert_eq!(yard.office.notebook().list(&Query { kind: Some(Kind::Inquiry), ..Query::default() }).unwrap().total, 2);

    edit(yard.office.notebook(), Kind::Inquiry, inquiry, json!({"status": "answered"})).unwrap();
    let back = yard.reply(one).unwrap();
    assert_eq!((back.received, back.restored), (2, false));
    assert_eq!(one.way(inquiry).unwrap(), Way::OfficeHasIt);
    let shown = one.show(inquiry).unwrap();
    assert_eq!(shown.text("status"), Some("answered"));
    assert_eq!(shown.text("question"), Some("¿Por qué?"), "its own private words come back to it");
    assert!(matches!(one.show(theirs), Err(Error::NotFound(_))), "another phone's inquiry does not");
    let empty = one.make_bundle(&yard.file("empty.yard"), &Job::silent()).unwrap();
    assert_eq!((empty.changes, empty.photos), (0, 0), "what a receipt proves is not offered again");
}

#[test]
fn an_edit_of_the_same_field_apart_is_a_conflict_in_a_sentence_and_a_later_save_that_saw_both_ends_it() {
    let yard = Yard::new(2, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    let office = yard.office.notebook();
    let plant = save(one, Kind::Plant, json!({"host": "maple"})).unwrap();
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    // The second phone learns of the plant by writing to it: by its id, as from a tag.
    edit(two, Kind::Plant, plant, json!({"cultivar": "from two"})).unwrap();
    edit(one, Kind::Plant, plant, json!({"cultivar": "from one"})).unwrap();
    for (phone, name) in [(two, "2.yard"), (one, "3.yard")] {
        yard.take_in(&yard.bundle(phone, name).unwrap()).unwrap();
    }
    let conflicts = office.conflicts().unwrap();
    assert_eq!(conflicts.len(), 1);
    let sentence = &conflicts[0].sentence;
    for part in ["cultivar", "Scout 1 wrote “from one”", "Scout 2 wrote “from two”", "1 May 2026", "Both are kept"]
    {
        assert!(sentence.contains(part), "{sentence}");
    }
    edit(office, Kind::Plant, plant, json!({"cultivar": "Autumn"})).unwrap();
    assert_eq!(office.conflicts().unwrap().len(), 0);
    assert_eq!(office.history(plant).unwrap().len(), 4);
}

#[test]
fn deleting_hides_and_an_edit_that_the_deletion_had_not_seen_brings_back() {
    let yard = Yard::new(3, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    let finding = save(one, Kind::Finding, json!({"character": "leaf_spot", "status": "seen"})).unwrap();
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    one.delete(finding).unwrap();
    yard.take_in(&yard.bundle(one, "2.yard").unwrap()).unwrap();
    let office = yard.office.notebook();
    assert!(office.show(finding).unwrap().hidden);
    assert_eq!(office.search("leaf_spot").unwrap().total, 0);
    edit(two, Kind::Finding, finding, json!({"comfort": 3})).unwrap();
    yard.take_in(&yard.bundle(two, "3.yard").unwrap()).unwrap();
    assert!(!office.show(finding).unwrap().hidden);
    office.delete(finding).unwrap();
    assert!(office.show(finding).unwrap().hidden);
    office.restore(finding).unwrap();
    assert!(!office.show(finding).unwrap().hidden);
}

#[test]
fn search_finds_words_by_their_beginning_whatever_the_accents_and_no_operator_breaks_it() {
    let yard = Yard::new(4, 1).unwrap();
    let one = &yard.phones[0];
    let id = save(one, Kind::Inquiry, json!({"question": "El árbol está marrón 🌳 עץ"})).unwrap();
    for words in ["arbol", "MARRÓN arb", "עץ"] {
        assert_eq!(one.search(words).unwrap().rows.iter().map(|r| r.id).collect::<Vec<RecordId>>(), [id], "{words}");
    }
    for words in ["\"", "arbol OR", "NEAR(", "* - ^", "text:arbol"] {
        one.search(words).unwrap();
    }
    assert_eq!(one.search("roble").unwrap().total, 0);
}

#[test]
fn bad_fields_are_named_and_nothing_is_saved() {
    let yard = Yard::new(5, 1).unwrap();
    let one = &yard.phones[0];
    let bad = save(one, Kind::Inquiry, json!({"channel": "pigeon", "wish": "save_it"})).unwrap_err();
    assert_eq!(bad.to_string(), "not saved: channel UNKNOWN_WORD");
    assert_eq!(one.list(&Query::default()).unwrap().total, 0);
}

#[test]
fn a_reply_is_for_one_device_of_one_office_and_an_older_one_changes_nothing() {
    let yard = Yard::new(6, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    let (a, b) = (yard.file("a.yard"), yard.file("b.yard"));
    yard.office.make_reply(one.device(), &a, &Job::silent()).unwrap();
    yard.office.make_reply(one.device(), &b, &Job::silent()).unwrap();
    let silent = Job::silent();
    assert_eq!(two.take_reply(&a, &silent).unwrap_err().code(), Some(Code::NotForUs));
    assert_eq!(one.take_reply(&b, &silent).unwrap().number, 2);
    assert_eq!(one.take_reply(&a, &silent).unwrap_err().code(), Some(Code::StaleReply));
    let refused = yard.take_in(&a).unwrap();
    assert_eq!((refused.outcome, refused.code.as_deref()), (Outcome::Refused, Some("NOT_FOR_US")));
}

#[test]
fn a_long_job_can_be_stopped_and_leaves_no_file() {
    let yard = Yard::new(7, 1).unwrap();
    save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    let job = Job::silent();
    job.cancel();
    let out = yard.file("never.yard");
    assert!(matches!(yard.phones[0].make_bundle(&out, &job), Err(Error::Cancelled)));
    assert!(!out.exists() && !yard.file("never.yard.part").exists());
}
