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
    yard.phones[0].back_up(&backup, &dooryard_core::job::Job::silent()).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.office.erase(contact).unwrap();

    let Yard { dir, clock, office, mut phones } = yard;
    drop(phones.remove(0));
    let folder = dir.path().join("phone-1");
    for ending in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(folder.join(format!("notebook.db{ending}")));
    }
    let env = dooryard_core::clock::Env::seeded(99, &clock);
    let restored =
        dooryard_core::notebook::Notebook::restore_backup(&folder, &backup, env, &dooryard_core::job::Job::silent())
            .unwrap();
    let yard = Yard { dir, clock, office, phones: vec![restored] };
    assert!(!files_with(yard.dir.path(), NOTE.as_bytes()).unwrap().is_empty(), "they are back for a moment");
    yard.take_in(&yard.bundle(&yard.phones[0], "2.yard").unwrap()).unwrap();
    yard.reply(&yard.phones[0]).unwrap();
    assert!(files_with(yard.dir.path(), NOTE.as_bytes()).unwrap().is_empty());
}

#[test]
fn the_photo_of_a_late_copy_is_erased_though_no_statement_names_it() {
    // Each phone has a photo record of the same number: the second one's picture reaches the office after the erasure.
    let yard = Yard::new(14, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    let photo = save(one, Kind::Photo, json!({"part": "close_up"})).unwrap();
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    let picture = dooryard_tests::add_photo(&yard, two).unwrap();
    let named = two.list(&Default::default()).unwrap().rows[0].fields.clone();
    edit(two, Kind::Photo, photo, json!({"image": named["image"], "thumbnail": named["thumbnail"]})).unwrap();
    let other = two.list(&Default::default()).unwrap().rows.iter().find(|r| r.id != photo).unwrap().id;
    let late = yard.bundle(two, "late.yard").unwrap();
    yard.office.erase(photo).unwrap();
    // The picture has another record too, which was not erased: it stays for that one.
    yard.take_in(&late).unwrap();
    let office = yard.office.notebook();
    assert!(office.blob_path(&picture).exists());
    yard.reply(two).unwrap();
    assert!(two.blob_path(&picture).exists());
    yard.office.erase(other).unwrap();
    yard.reply(two).unwrap();
    yard.take_in(&late).unwrap();
    assert!(!office.blob_path(&picture).exists() && !two.blob_path(&picture).exists());
}

#[test]
fn a_picture_that_only_a_late_copy_names_is_never_stored_and_goes_from_its_phone() {
    let yard = Yard::new(15, 1).unwrap();
    let one = &yard.phones[0];
    let photo = save(one, Kind::Photo, json!({"part": "close_up"})).unwrap();
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    yard.office.erase(photo).unwrap();
    let bytes = b"canary pixels";
    let id = dooryard_core::ids::BlobId::of(bytes);
    let path = one.blob_path(&id);
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(&path, bytes).unwrap();
    edit(one, Kind::Photo, photo, json!({"image": id.to_hex()})).unwrap();
    one.pause().unwrap();
    let conn = rusqlite::Connection::open(yard.folder(1).join("notebook.db")).unwrap();
    conn.execute("INSERT INTO blob(id, size, held) VALUES(?1, ?2, 1)", (id.0, bytes.len() as i64)).unwrap();
    drop(conn);
    let late = yard.bundle(one, "late.yard").unwrap();
    assert_eq!(yard.take_in(&late).unwrap().report.photos, 0);
    assert!(!yard.office.notebook().blob_path(&id).exists());
    assert!(path.exists(), "the test would see it");
    yard.reply(one).unwrap();
    assert!(!path.exists());
}

#[test]
fn an_erasure_that_was_stopped_is_finished_at_the_next_opening() {
    let mut yard = Yard::new(16, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"reach": {"name": NAME}, "note": NOTE})).unwrap();
    let image = dooryard_tests::add_photo(&yard, &yard.phones[0]).unwrap();
    let photo =
        yard.phones[0].list(&Default::default()).unwrap().rows.iter().find(|r| r.kind == Kind::Photo).unwrap().id;
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    // Whatever the erasure cannot reach at this moment: somebody reads, so that the write-ahead log stays.
    let reader = rusqlite::Connection::open(yard.folder(1).join("notebook.db")).unwrap();
    reader.execute_batch("BEGIN; SELECT count(*) FROM fact;").unwrap();
    yard.office.erase(contact).unwrap();
    yard.office.erase(photo).unwrap();
    yard.reply(&yard.phones[0]).unwrap();
    let folder = yard.folder(1);
    assert!(!files_with(&folder, NOTE.as_bytes()).unwrap().is_empty(), "the log could not be folded in");
    // And a picture that was half written, a copy that was at work: a stopped process left both.
    for left in ["photos/new/1-1", "notebook.scratch-1-1", "notebook.scratch-1-1-wal"] {
        std::fs::write(folder.join(left), NOTE).unwrap();
    }
    let path = yard.phones[0].blob_path(&image);
    yard.phones.clear();
    // As a stop between the erasure and the cleaning leaves it: the photo stands there still.
    std::fs::write(&path, NOTE).unwrap();
    let conn = rusqlite::Connection::open(folder.join("notebook.db")).unwrap();
    conn.execute("INSERT INTO blob(id, size, held) VALUES(?1, 9, 1)", [image.0]).unwrap();
    conn.execute("INSERT OR REPLACE INTO meta(key, value) VALUES('unclean', x'01')", []).unwrap();
    drop(conn);
    let env = dooryard_core::clock::Env::seeded(17, &yard.clock);
    let phone = dooryard_core::notebook::Notebook::open(&folder, env.clone()).unwrap();
    drop((phone, reader));
    let phone = dooryard_core::notebook::Notebook::open(&folder, env).unwrap();
    for words in [NAME, NOTE, "teal"] {
        assert_eq!(files_with(&folder, words.as_bytes()).unwrap(), Vec::<std::path::PathBuf>::new(), "{words}");
    }
    assert!(!phone.blob_path(&image).exists());
}

#[test]
fn a_damaged_file_that_was_set_aside_is_erased_once_all_of_it_is_here_and_else_listed_for_a_decision() {
    let mut yard = Yard::new(18, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"reach": {"name": NAME}, "note": NOTE})).unwrap();
    let plant = save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.phones[0].keep_draft("new inquiry", Some("half a sentence")).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.phones[0].pause().unwrap();
    yard.phones.clear();
    let folder = yard.folder(1);
    let (db, whole, broken) = ("notebook.db", "notebook.damaged-1", "notebook.damaged-2");
    let aside = |name: &str| folder.join(name);
    std::fs::copy(aside(db), aside(whole)).unwrap();
    // The second cannot be read at all.
    let mut bytes = std::fs::read(aside(db)).unwrap();
    bytes[..100].fill(0xaa);
    std::fs::write(aside(broken), &bytes).unwrap();
    std::fs::write(aside("notebook.damaged-3"), b"of something else").unwrap();
    std::fs::remove_file(aside(db)).unwrap();
    let phone =
        dooryard_core::notebook::Notebook::open(&folder, dooryard_core::clock::Env::seeded(19, &yard.clock)).unwrap();
    yard.enrol(&phone, dooryard_core::record::Role::Scout, "Scout 1").unwrap();
    yard.office.erase(contact).unwrap();
    yard.reply(&phone).unwrap();
    let listed = |phone: &dooryard_core::notebook::Notebook| -> Vec<(String, bool)> {
        phone.damaged_files().unwrap().into_iter().map(|file| (file.name, file.holds_erased)).collect()
    };
    let third = ("notebook.damaged-3".to_owned(), false);
    let first = (whole.to_owned(), true);
    assert_eq!(listed(&phone), [first, (broken.into(), true), third.clone()], "a draft in it is nowhere else");
    assert!(phone.show(plant).is_ok(), "all that could be read was got back");
    // The draft is here now: with the next erasure the file goes by itself.
    phone.keep_draft("new inquiry", Some("half a sentence")).unwrap();
    yard.office.erase(contact).unwrap();
    yard.reply(&phone).unwrap();
    assert_eq!(listed(&phone), [(broken.to_owned(), true), third.clone()]);
    assert!(phone.erase_damaged("notebook.db").is_err() && phone.erase_damaged("../notebook.damaged-2").is_err());
    phone.erase_damaged(broken).unwrap();
    assert_eq!(listed(&phone), [third]);
    phone.pause().unwrap();
    for words in [NAME, NOTE, "teal"] {
        assert_eq!(files_with(&folder, words.as_bytes()).unwrap(), Vec::<std::path::PathBuf>::new(), "{words}");
    }
}

#[test]
fn a_file_in_quarantine_that_names_an_erased_record_is_listed_for_a_decision() {
    let yard = Yard::new(20, 1).unwrap();
    let one = &yard.phones[0];
    let contact = save(one, Kind::Contact, json!({"note": NOTE})).unwrap();
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    // A copy of the office that does not know the second phone keeps its bundle sealed.
    yard.office.notebook().pause().unwrap();
    let folder = yard.dir.path().join("copy");
    dooryard_tests::copy_folder(yard.office.folder(), &folder).unwrap();
    let env = |seed| dooryard_core::clock::Env::seeded(seed, &yard.clock);
    let copy = dooryard_office::desk::Office::open(&folder, env(31)).unwrap();
    let two = dooryard_core::notebook::Notebook::create(&yard.folder(2), env(32)).unwrap();
    yard.enrol(&two, dooryard_core::record::Role::Scout, "Scout 2").unwrap();
    save(&two, Kind::Plant, json!({"host": "oak"})).unwrap();
    let job = dooryard_core::job::Job::silent();
    copy.take_in(&yard.bundle(&two, "other.yard").unwrap(), &job).unwrap();
    edit(&two, Kind::Contact, contact, json!({"note": NOTE})).unwrap();
    copy.take_in(&yard.bundle(&two, "late.yard").unwrap(), &job).unwrap();
    let flags = || copy.quarantined().unwrap().iter().map(|kept| kept.holds_erased).collect::<Vec<_>>();
    assert_eq!(flags(), [false, false]);
    copy.erase(contact).unwrap();
    let mut now = flags();
    now.sort_unstable();
    assert_eq!(now, [false, true]);
    let kept = copy.quarantined().unwrap().into_iter().find(|kept| kept.holds_erased).unwrap();
    copy.drop_quarantined(&kept.id).unwrap();
    assert!(copy.drop_quarantined(&kept.id).is_err());
    assert_eq!(flags(), [false]);
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
    one.back_up(&backup, &dooryard_core::job::Job::silent()).unwrap();
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
    let restored = dooryard_core::notebook::Notebook::restore_backup(
        &dir.path().join("phone-1"),
        &backup,
        env,
        &dooryard_core::job::Job::silent(),
    )
    .unwrap();
    let yard = Yard { dir, clock, office, phones };
    save(&restored, Kind::Plant, json!({"host": "oak"})).unwrap();
    let taken = yard.take_in(&yard.bundle(&restored, "3.yard").unwrap()).unwrap();
    assert_eq!((taken.report.new, taken.report.photos), (1, 0));
}

#[test]
fn a_photo_that_the_database_does_not_know_goes_with_the_erasure_too() {
    // As after a restore of a backup older than the photo: its file stands there, and no row names it.
    let yard = Yard::new(22, 1).unwrap();
    let one = &yard.phones[0];
    let image = dooryard_tests::add_photo(&yard, one).unwrap();
    let photo = one.list(&Default::default()).unwrap().rows.iter().find(|r| r.kind == Kind::Photo).unwrap().id;
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    one.pause().unwrap();
    let conn = rusqlite::Connection::open(yard.folder(1).join("notebook.db")).unwrap();
    assert_eq!(conn.execute("DELETE FROM blob WHERE id = ?1", [image.0]).unwrap(), 1);
    drop(conn);
    yard.office.erase(photo).unwrap();
    assert!(one.blob_path(&image).exists(), "the test would see it");
    yard.reply(one).unwrap();
    assert!(!one.blob_path(&image).exists());
}
