//! An erased person's words are nowhere, and stay out.
#![allow(clippy::unwrap_used, reason = "a test")]

use dooryard_core::record::Kind;
use dooryard_tests::{Yard, edit, files_with, save};
use serde_json::json;

/// Words that stand nowhere else.
const NAME: &str = "Quillhaven-Brandt";
const NOTE: &str = "ring twice at the teal gate";

fn nowhere(yard: &Yard) {
    for words in [NAME, NOTE, &NAME.to_lowercase()] {
        let found = files_with(yard.dir.path(), words.as_bytes()).unwrap();
        assert!(found.is_empty(), "{words} stands in {found:?}");
    }
    // The text index keeps words in lower case, cut at marks.
    for token in ["quillhaven", "brandt", "teal"] {
        let found = files_with(yard.dir.path(), token.as_bytes()).unwrap();
        assert!(found.is_empty(), "{token} stands in {found:?}");
    }
}

#[test]
fn erased_words_are_in_no_file_of_office_or_phones_and_stay_out_after_replaying_the_oldest_bundle() {
    let yard = Yard::new(11, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    let contact =
        save(one, Kind::Contact, json!({"reach": {"name": NAME, "phone": "555-0142"}, "note": NOTE})).unwrap();
    let inquiry = save(one, Kind::Inquiry, json!({"channel": "phone", "contact": contact.to_string()})).unwrap();
    one.keep_draft(&format!("contact {contact}"), Some(NOTE)).unwrap();
    // A row in the index, in the write-ahead log, in free pages: the words have been around.
    edit(one, Kind::Contact, contact, json!({"note": format!("{NOTE}, {NAME}")})).unwrap();
    let oldest = yard.bundle(one, "oldest.yard").unwrap();
    yard.take_in(&oldest).unwrap();
    let office = yard.office.notebook();
    assert_eq!(office.search("quillhaven").unwrap().total, 1);
    yard.reply(one).unwrap();
    // Another phone writes to the same contact without knowing of the erasure; an equal sibling.
    edit(two, Kind::Contact, contact, json!({"note": NOTE})).unwrap();
    let late = yard.bundle(two, "late.yard").unwrap();
    assert!(!files_with(yard.dir.path(), NAME.as_bytes()).unwrap().is_empty(), "the test would see them");

    yard.office.erase(contact).unwrap();
    yard.take_in(&late).unwrap();
    yard.reply(one).unwrap();
    yard.reply(two).unwrap();
    for notebook in [office, one, two] {
        notebook.pause().unwrap();
    }
    nowhere(&yard);
    assert_eq!(office.search("quillhaven").unwrap().total, 0);
    assert!(office.show(contact).unwrap().get("reach").is_none());
    assert!(office.show(inquiry).unwrap().get("channel").is_some(), "what is not the person's stays");
    assert_eq!(one.draft(&format!("contact {contact}")).unwrap(), None);

    let digest = office.digest().unwrap();
    for file in [&oldest, &late, &oldest] {
        yard.take_in(file).unwrap();
    }
    nowhere(&yard);
    assert_eq!(office.digest().unwrap(), digest);
    office.rebuild().unwrap();
    assert_eq!(office.digest().unwrap(), digest);

    // Written anew, knowing of the erasure: a new consent is a new word, and it stays.
    edit(one, Kind::Contact, contact, json!({"note": "asked us to keep it"})).unwrap();
    yard.take_in(&yard.bundle(one, "new.yard").unwrap()).unwrap();
    assert_eq!(office.show(contact).unwrap().text("note"), Some("asked us to keep it"));
}

#[test]
fn an_erased_photo_is_gone_and_is_not_stored_again() {
    let yard = Yard::new(12, 1).unwrap();
    let one = &yard.phones[0];
    let file = yard.file("leaf.png");
    dooryard_tests::picture(&file).unwrap();
    let photo = one.add_photo(&file, &dooryard_tests::fields(json!({"part": "close_up"}))).unwrap();
    std::fs::remove_file(&file).unwrap();
    let bundle = yard.bundle(one, "photo.yard").unwrap();
    assert_eq!(yard.take_in(&bundle).unwrap().report.photos, 2);
    let office = yard.office.notebook();
    let image = office.show(photo).unwrap().text("image").unwrap().parse().unwrap();
    assert!(office.blob_path(&image).exists() && one.blob_path(&image).exists());
    yard.office.erase(photo).unwrap();
    yard.reply(one).unwrap();
    assert!(!office.blob_path(&image).exists() && !one.blob_path(&image).exists());
    assert_eq!(yard.take_in(&bundle).unwrap().report.photos, 0);
    assert!(!office.blob_path(&image).exists());
}

#[test]
fn a_restored_backup_does_not_bring_erased_words_back() {
    let yard = Yard::new(13, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": NOTE})).unwrap();
    let backup = yard.file("backup");
    yard.phones[0].back_up(&backup).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.office.erase(contact).unwrap();

    let Yard { dir, clock, office, mut phones } = yard;
    drop(phones.remove(0));
    let folder = dir.path().join("phone-1");
    for ending in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(folder.join(format!("notebook.db{ending}")));
    }
    let env = dooryard_core::clock::Env::seeded(99, &clock);
    let restored = dooryard_core::notebook::Notebook::restore_backup(&folder, &backup, env).unwrap();
    let yard = Yard { dir, clock, office, phones: vec![restored] };
    assert!(!files_with(yard.dir.path(), NOTE.as_bytes()).unwrap().is_empty(), "they are back for a moment");
    yard.take_in(&yard.bundle(&yard.phones[0], "2.yard").unwrap()).unwrap();
    yard.reply(&yard.phones[0]).unwrap();
    assert!(files_with(yard.dir.path(), NOTE.as_bytes()).unwrap().is_empty());
}

#[test]
fn words_that_a_phone_holds_by_a_reply_alone_are_gone_when_it_takes_the_erasure() {
    let yard = Yard::new(14, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    let contact = save(one, Kind::Contact, json!({"note": NOTE})).unwrap();
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    yard.office.assign(contact, two.device()).unwrap();
    yard.reply(two).unwrap();
    assert_eq!(two.search("teal").unwrap().total, 1, "it stands in its lists");
    yard.office.erase(contact).unwrap();
    yard.reply(two).unwrap();
    // Nothing is listed in between: taking the reply is enough.
    assert_eq!(files_with(&yard.folder(2), b"teal").unwrap(), Vec::<std::path::PathBuf>::new());
    assert_eq!(two.search("teal").unwrap().total, 0);
}

#[test]
fn a_photo_of_a_record_that_was_erased_before_it_came_is_gone_from_phone_and_office() {
    let yard = Yard::new(15, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    let file = yard.file("leaf.png");
    dooryard_tests::picture(&file).unwrap();
    let photo = one.add_photo(&file, &dooryard_tests::fields(json!({"part": "close_up"}))).unwrap();
    std::fs::remove_file(&file).unwrap();
    let image = one.show(photo).unwrap().text("image").unwrap().parse().unwrap();
    // The office knows the record by another phone's word only, so its statement names no photo.
    edit(two, Kind::Photo, photo, json!({"caption": NOTE})).unwrap();
    yard.take_in(&yard.bundle(two, "1.yard").unwrap()).unwrap();
    yard.office.erase(photo).unwrap();
    let backup = yard.file("backup");
    one.back_up(&backup).unwrap();
    let late = yard.bundle(one, "late.yard").unwrap();
    for _ in 0..2 {
        assert_eq!(yard.take_in(&late).unwrap().report.photos, 0);
        assert!(!yard.office.notebook().blob_path(&image).exists());
    }
    yard.reply(one).unwrap();
    assert!(!one.blob_path(&image).exists());
    let left = one.make_bundle(&yard.file("2.yard"), &dooryard_core::job::Job::silent()).unwrap();
    assert_eq!((left.changes, left.photos), (0, 0));

    // A backup knows the photo still, and its file is gone: what else there is can be handed over.
    let Yard { dir, clock, office, mut phones } = yard;
    drop(phones.remove(0));
    for ending in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(dir.path().join(format!("phone-1/notebook.db{ending}")));
    }
    let env = dooryard_core::clock::Env::seeded(98, &clock);
    let restored =
        dooryard_core::notebook::Notebook::restore_backup(&dir.path().join("phone-1"), &backup, env).unwrap();
    let yard = Yard { dir, clock, office, phones };
    save(&restored, Kind::Plant, json!({"host": "oak"})).unwrap();
    let taken = yard.take_in(&yard.bundle(&restored, "3.yard").unwrap()).unwrap();
    assert_eq!((taken.report.new, taken.report.photos), (1, 0));
}
