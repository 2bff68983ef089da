//! It comes back whole or merged, without what was erased; phones offer again what it lacks.

use std::{fs, path::PathBuf};

use dooryard_core::{Code, clock::Env, notebook::Notebook, record::Kind};
use dooryard_office::desk::{LedgerChoice, Office};
use dooryard_tests::{Yard, add_photo, copy_folder, edit, files_with, save};
use serde_json::json;

use super::steps::{WORDS, bring_back, key, quiet, restore};

#[test]
fn a_lost_office_comes_back_whole_and_phones_offer_again_what_it_lacks() {
    let mut yard = Yard::new(81, 2).unwrap();
    let before = save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    let image = add_photo(&yard, &yard.phones[0]).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    for _ in 0..3 {
        yard.reply(&yard.phones[0]).unwrap();
    }
    let own = save(yard.office.notebook(), Kind::Plant, json!({"cultivar": "it is the shade"})).unwrap();
    fs::write(yard.file("odd.yard"), [&b"\x89YRD\r\n\x1a\n"[..], &[9, 0, 0, 0]].concat()).unwrap();
    yard.take_in(&yard.file("odd.yard")).unwrap();
    let made = yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    assert_eq!((made.photos, made.quarantined), (2, 1));
    let (digest, life) = (yard.office.notebook().digest().unwrap(), yard.office.epoch().unwrap());
    // After the backup: received, with a receipt, and lost with the machine.
    let after = save(&yard.phones[0], Kind::Plant, json!({"host": "elm"})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "2.yard").unwrap()).unwrap();
    yard.reply(&yard.phones[0]).unwrap();
    let nothing = yard.phones[0].make_bundle(&yard.file("none.yard"), &quiet()).unwrap();
    assert_eq!(nothing.changes, 0, "the phone believes that all is at the office");

    let restored = bring_back(&mut yard);
    assert_eq!(restored.epoch, life.n + 1);
    let office = yard.office.notebook();
    assert_eq!(office.digest().unwrap(), digest);
    assert_eq!(office.show(own).unwrap().text("cultivar"), Some("it is the shade"));
    assert_eq!(fs::read(office.blob_path(&image)).unwrap(), fs::read(yard.phones[0].blob_path(&image)).unwrap());
    assert_eq!(yard.office.quarantined().unwrap().len(), 1);
    assert_eq!(yard.office.intake_log().unwrap().len(), 2);
    assert!(office.show(after).is_err());
    // Its first reply has a lower number than those before; it is of a new life, and the phone offers what it lacks again.
    assert_eq!(yard.reply(&yard.phones[0]).unwrap().received, 2);
    let taken = yard.take_in(&yard.bundle(&yard.phones[0], "3.yard").unwrap()).unwrap();
    assert_eq!((taken.report.new, taken.report.repeated), (1, 0));
    for (plant, host) in [(before, "oak"), (after, "elm")] {
        assert_eq!(office.show(plant).unwrap().text("host"), Some(host));
    }
    assert_eq!(yard.reply(&yard.phones[0]).unwrap().received, 1);
    // What the desk writes from now on stands in a log of its own.
    edit(office, Kind::Plant, own, json!({"cultivar": "it is the soil"})).unwrap();
    assert_eq!(office.own_logs().unwrap().iter().filter(|log| log.tip > 0).count(), 2);
}

#[test]
fn erased_words_stay_gone_from_every_file_after_an_older_backup_comes_back() {
    let mut yard = Yard::new(82, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": WORDS})).unwrap();
    let image = add_photo(&yard, &yard.phones[0]).unwrap();
    let photo = yard.phones[0].list(&Default::default()).unwrap().rows[0].id;
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.reply(&yard.phones[0]).unwrap();
    yard.office.back_up(&yard.file("office.backup"), true, &quiet()).unwrap();
    assert!(!files_with(yard.dir.path(), WORDS.as_bytes()).unwrap().is_empty(), "the test would see them");
    yard.office.erase(contact).unwrap();
    yard.office.erase(photo).unwrap();
    assert_eq!(yard.office.backups_behind().unwrap(), Vec::<PathBuf>::new(), "the ledger beside the backup knows");
    yard.reply(&yard.phones[0]).unwrap();

    let restored = bring_back(&mut yard);
    assert_eq!(restored.erased_records, 2);
    yard.office.notebook().pause().unwrap();
    yard.phones[0].pause().unwrap();
    for words in [WORDS, "cobalt"] {
        assert_eq!(files_with(yard.dir.path(), words.as_bytes()).unwrap(), Vec::<PathBuf>::new());
    }
    assert!(!yard.office.notebook().blob_path(&image).exists());
    // Nor by a replay of the first bundle, nor when the backup is merged once more.
    yard.take_in(&yard.file("1.yard")).unwrap();
    let (recovery, dir) = (key(&yard), yard.office.folder().to_owned());
    restore(&yard, &recovery, &dir, &LedgerChoice::Beside).unwrap();
    yard.office.notebook().pause().unwrap();
    assert_eq!(files_with(yard.dir.path(), WORDS.as_bytes()).unwrap(), Vec::<PathBuf>::new());
    assert!(!yard.office.notebook().blob_path(&image).exists());
}

#[test]
fn without_a_ledger_as_new_as_the_backup_nothing_comes_back_unless_a_person_says_so() {
    let yard = Yard::new(83, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": WORDS})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    let (backup, ledger) = (yard.file("office.backup"), yard.file("office.backup.ledger"));
    yard.office.back_up(&backup, false, &quiet()).unwrap();
    let old = fs::read(&ledger).unwrap();
    yard.office.assign(contact, yard.phones[0].device()).unwrap();
    yard.office.back_up(&backup, false, &quiet()).unwrap();
    let (key, dir) = (key(&yard), yard.file("elsewhere"));
    let code = |choice: &LedgerChoice| restore(&yard, &key, &dir, choice).err().and_then(|e| e.code());
    let empty = || !dir.join("office.key").exists() && !dir.join("notebook").exists();
    fs::write(&ledger, &old).unwrap();
    assert_eq!(code(&LedgerChoice::Beside), Some(Code::StaleReply), "older than the backup");
    assert!(empty());
    fs::write(&ledger, b"pigeon").unwrap();
    assert_eq!(code(&LedgerChoice::Beside), Some(Code::Schema));
    let mut flipped = old.clone();
    flipped[old.len() / 2] ^= 1;
    fs::write(&ledger, &flipped).unwrap();
    assert!(code(&LedgerChoice::Beside).is_some());
    fs::remove_file(&ledger).unwrap();
    assert_eq!(code(&LedgerChoice::Beside), Some(Code::StaleReply), "none at all");
    assert!(empty());
    assert_eq!(code(&LedgerChoice::None), None, "a person said so");
    assert!(dir.join("office.key").exists());
}

#[test]
fn an_office_folder_copied_back_by_hand_heeds_its_ledgers_before_it_serves() {
    let mut yard = Yard::new(84, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": WORDS})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.reply(&yard.phones[0]).unwrap();
    yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    yard.office.notebook().pause().unwrap();
    let (office, copy) = (yard.dir.path().join("office"), yard.dir.path().join("copy"));
    copy_folder(&office, &copy).unwrap();
    yard.office.erase(contact).unwrap();
    yard.reply(&yard.phones[0]).unwrap();
    let life = yard.office.epoch().unwrap();
    // The whole folder goes back; the ledger beside the backup does not.
    fs::remove_dir_all(&office).unwrap();
    fs::rename(&copy, &office).unwrap();
    assert!(!files_with(&office, WORDS.as_bytes()).unwrap().is_empty(), "they are back for a moment");
    yard.office = Office::open(&office, Env::seeded(85, &yard.clock)).unwrap();
    yard.office.notebook().pause().unwrap();
    assert_eq!(files_with(yard.dir.path(), WORDS.as_bytes()).unwrap(), Vec::<PathBuf>::new());
    assert!(yard.office.epoch().unwrap().n > life.n);
    // A ledger that cannot be read may know of an erasure: the office does not open.
    fs::write(yard.file("office.backup.ledger"), b"pigeon").unwrap();
    assert!(Office::open(&office, Env::seeded(86, &yard.clock)).is_err());
}

#[test]
fn an_office_that_went_back_learns_it_from_a_phones_receipt() {
    let mut yard = Yard::new(85, 1).unwrap();
    save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.reply(&yard.phones[0]).unwrap();
    yard.office.notebook().pause().unwrap();
    let (office, copy) = (yard.dir.path().join("office"), yard.dir.path().join("copy"));
    copy_folder(&office, &copy).unwrap();
    let lost = save(&yard.phones[0], Kind::Plant, json!({"host": "elm"})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "2.yard").unwrap()).unwrap();
    yard.reply(&yard.phones[0]).unwrap();
    fs::remove_dir_all(&office).unwrap();
    fs::rename(&copy, &office).unwrap();
    yard.office = Office::open(&office, Env::seeded(87, &yard.clock)).unwrap();
    let life = yard.office.epoch().unwrap();

    let new = save(&yard.phones[0], Kind::Plant, json!({"host": "ash"})).unwrap();
    let taken = yard.take_in(&yard.bundle(&yard.phones[0], "3.yard").unwrap()).unwrap();
    assert!(taken.report.went_back && yard.office.notebook().show(lost).is_err());
    assert_eq!(yard.office.epoch().unwrap().n, life.n + 1);
    // Said once: a bundle that was made before the new life began is no news.
    yard.take_in(&yard.file("3.yard")).unwrap();
    assert_eq!(yard.office.epoch().unwrap().n, life.n + 1);
    yard.reply(&yard.phones[0]).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "4.yard").unwrap()).unwrap();
    assert_eq!(yard.office.notebook().show(lost).unwrap().text("host"), Some("elm"));
    assert!(yard.office.notebook().show(new).is_ok());
    assert_eq!(yard.office.epoch().unwrap().n, life.n + 1);
}

#[test]
fn a_phone_refuses_a_reply_of_an_earlier_life_and_still_erases_what_it_names() {
    let mut yard = Yard::new(86, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": WORDS})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    let (key, dir) = (key(&yard), yard.dir.path().join("new-office"));
    restore(&yard, &key, &dir, &LedgerChoice::Beside).unwrap();
    let old = std::mem::replace(&mut yard.office, Office::open(&dir, Env::seeded(88, &yard.clock)).unwrap());
    yard.reply(&yard.phones[0]).unwrap();
    // The old machine runs on beside the new one, and somebody erases there.
    old.erase(contact).unwrap();
    for _ in 0..4 {
        old.make_reply(yard.phones[0].device(), &yard.file("old.yard"), &quiet()).unwrap();
    }
    let digest_of = |phone: &Notebook| phone.own_logs().unwrap();
    let before = digest_of(&yard.phones[0]);
    let refused = yard.phones[0].take_reply(&yard.file("old.yard"), &quiet()).err().unwrap();
    assert_eq!(refused.code(), Some(Code::StaleReply));
    assert_eq!(digest_of(&yard.phones[0]), before, "its receipt proves nothing");
    yard.phones[0].pause().unwrap();
    assert_eq!(files_with(&yard.folder(1), WORDS.as_bytes()).unwrap(), Vec::<PathBuf>::new());
}

/// Found by the simulator: a phone that was told of both would have heard nothing of the office any more.
#[test]
fn two_lives_of_one_number_end_in_a_third() {
    let mut yard = Yard::new(94, 1).unwrap();
    save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    let key = key(&yard);
    let [one, two] = [95, 96].map(|seed| {
        let (dir, env) = (yard.file(&seed.to_string()), || Env::seeded(seed, &yard.clock));
        let backup = yard.file("office.backup");
        Office::restore(&backup, &dir, &key, &LedgerChoice::None, None, env(), &quiet()).unwrap();
        Office::open(&dir, env()).unwrap()
    });
    let (first, second) = (one.epoch().unwrap(), two.epoch().unwrap());
    assert!(first.n == second.n && first != second);
    // The phone hears of the second life, and late of the first one, which the second knows nothing of.
    one.make_reply(yard.phones[0].device(), &yard.file("late.yard"), &quiet()).unwrap();
    yard.office = two;
    yard.reply(&yard.phones[0]).unwrap();
    yard.phones[0].take_reply(&yard.file("late.yard"), &quiet()).unwrap();
    assert_eq!(yard.reply(&yard.phones[0]).unwrap_err().code(), Some(Code::StaleReply));

    save(&yard.phones[0], Kind::Plant, json!({"host": "elm"})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "2.yard").unwrap()).unwrap();
    assert_eq!(yard.office.epoch().unwrap().n, second.n + 1);
    assert!(yard.reply(&yard.phones[0]).unwrap().received > 0);
    yard.take_in(&yard.file("2.yard")).unwrap();
    assert_eq!(yard.office.epoch().unwrap().n, second.n + 1, "said once");
}

#[test]
fn a_backup_merges_into_the_same_office_and_no_other() {
    let yard = Yard::new(87, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    save(one, Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    let (key, dir) = (key(&yard), yard.file("second"));
    restore(&yard, &key, &dir, &LedgerChoice::Beside).unwrap();
    // Both go on; then the first one's newer backup is merged into the second.
    let second = Office::open(&dir, Env::seeded(89, &yard.clock)).unwrap();
    let there = save(second.notebook(), Kind::Plant, json!({"cultivar": "there"})).unwrap();
    let here = save(yard.office.notebook(), Kind::Plant, json!({"cultivar": "here"})).unwrap();
    save(two, Kind::Plant, json!({"host": "elm"})).unwrap();
    yard.take_in(&yard.bundle(two, "2.yard").unwrap()).unwrap();
    yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    drop(second);
    let merged = restore(&yard, &key, &dir, &LedgerChoice::Beside).unwrap().merged.unwrap();
    assert_eq!((merged.changes, merged.here), (2, 1));
    let second = Office::open(&dir, Env::seeded(90, &yard.clock)).unwrap();
    assert_eq!(second.notebook().show(there).unwrap().text("cultivar"), Some("there"));
    assert_eq!(second.notebook().show(here).unwrap().text("cultivar"), Some("here"));

    let other = Yard::new(91, 1).unwrap();
    let digest = other.office.notebook().digest().unwrap();
    let refused = restore(&yard, &key, other.office.folder(), &LedgerChoice::Beside).err().unwrap();
    assert_eq!(refused.code(), Some(Code::NotForUs));
    assert_eq!(other.office.notebook().digest().unwrap(), digest);
    let wrong = dooryard_core::notebook::seal_identity(&[5; 32]).unwrap();
    assert_eq!(restore(&yard, &wrong, &dir, &LedgerChoice::Beside).err().unwrap().code(), Some(Code::NotForUs));
}

#[test]
fn a_bad_backup_of_an_office_leaves_the_folder_empty() {
    let yard = Yard::new(92, 1).unwrap();
    save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    let backup = yard.file("office.backup");
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.office.back_up(&backup, false, &quiet()).unwrap();
    let (good, key, dir) = (fs::read(&backup).unwrap(), key(&yard), yard.file("elsewhere"));
    let code = || restore(&yard, &key, &dir, &LedgerChoice::Beside).err().and_then(|e| e.code());
    for at in [good.len() - 1, good.len() / 2, 5_000, 400] {
        fs::write(&backup, &good[..at]).unwrap();
        assert!(code().is_some(), "cut at {at}");
        let mut flipped = good.clone();
        flipped[at] ^= 1;
        fs::write(&backup, &flipped).unwrap();
        assert!(code().is_some(), "flipped at {at}");
    }
    // A phone's backup, which the recovery key opens too, is no office's.
    yard.phones[0].back_up(&backup, &quiet()).unwrap();
    assert_eq!(code(), Some(Code::Schema));
    assert!(!dir.join("office.key").exists() && !dir.join("notebook").exists());
    fs::write(&backup, &good).unwrap();
    assert_eq!(code(), None, "and then the good one comes in");
}

#[test]
fn a_lost_phones_backup_is_taken_in_by_the_office() {
    let mut yard = Yard::new(93, 2).unwrap();
    let plant = save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    let image = add_photo(&yard, &yard.phones[0]).unwrap();
    let backup = yard.file("phone.backup");
    yard.phones[0].back_up(&backup, &quiet()).unwrap();
    yard.phones.remove(0);
    fs::remove_dir_all(yard.folder(1)).unwrap();
    let merged = yard.office.take_backup_of_phone(&backup, None, &quiet()).unwrap();
    assert_eq!((merged.changes, merged.photos), (2, 2));
    assert_eq!(yard.office.notebook().show(plant).unwrap().text("host"), Some("oak"));
    assert!(yard.office.notebook().blob_path(&image).exists());
    let other = Yard::new(94, 0).unwrap();
    assert!(other.office.take_backup_of_phone(&backup, None, &quiet()).is_err());
}

#[test]
fn the_countys_own_lines_come_back_where_none_are_and_a_base_map_stays_out() {
    let mut yard = Yard::new(84, 1).unwrap();
    let at = |yard: &Yard, name: &str| yard.office.folder().join(name);
    // As a backup of before was: without such a file.
    let made = yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    assert_eq!((made.county_files, made.left_out.len()), (0, 0));
    let restored = bring_back(&mut yard);
    assert!(restored.county_files == 0 && !at(&yard, "outline.geojson").exists());

    let bytes = vec![7; 3 << 20];
    fs::write(at(&yard, "outline.geojson"), &bytes).unwrap();
    fs::write(at(&yard, "townships.geojson"), "as it was").unwrap();
    fs::write(at(&yard, "basemap.pmtiles"), "a map").unwrap();
    let made = yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    assert_eq!((made.county_files, made.left_out), (2, vec!["basemap.pmtiles".to_owned()]));
    let (key, dir) = (key(&yard), yard.dir.path().join("third"));
    let restored = restore(&yard, &key, &dir, &LedgerChoice::Beside).unwrap();
    assert_eq!(restored.county_files, 2);
    assert_eq!(fs::read(dir.join("outline.geojson")).unwrap(), bytes);
    assert_eq!(fs::read_to_string(dir.join("townships.geojson")).unwrap(), "as it was");
    assert!(!dir.join("basemap.pmtiles").exists());
    // Merged into an office that stands, what is there is newer; what is missing comes back.
    fs::write(dir.join("townships.geojson"), "drawn anew").unwrap();
    fs::remove_file(dir.join("outline.geojson")).unwrap();
    assert_eq!(restore(&yard, &key, &dir, &LedgerChoice::Beside).unwrap().county_files, 1);
    assert_eq!(fs::read_to_string(dir.join("townships.geojson")).unwrap(), "drawn anew");
    assert!(dir.join("outline.geojson").exists() && !dir.join("outline.geojson.new").exists());

    // What no page reads is in no backup either.
    let drawn = fs::File::create(at(&yard, "townships.geojson")).unwrap();
    drawn.set_len((16 << 20) + 1).unwrap();
    let made = yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    let left_out = vec!["townships.geojson".to_owned(), "basemap.pmtiles".to_owned()];
    assert_eq!((made.county_files, made.left_out), (1, left_out));
}

/// Found by the simulator: a restored office forgot the photo, erased what named it, and is offered the photo alone.
#[test]
fn a_photo_that_nothing_names_any_more_is_not_taken_in() {
    let mut yard = Yard::new(89, 2).unwrap();
    let file = yard.file("leaf.png");
    dooryard_tests::picture(&file).unwrap();
    let photo = yard.phones[0].add_photo(&file, &dooryard_tests::fields(json!({"part": "close_up"}))).unwrap();
    let image = yard.phones[0].show(photo).unwrap().text("image").unwrap().parse().unwrap();
    edit(&yard.phones[1], Kind::Photo, photo, json!({"caption": WORDS})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[1], "1.yard").unwrap()).unwrap();
    yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    let kept = add_photo(&yard, &yard.phones[1]).unwrap();
    for phone in &yard.phones {
        let text = yard.file("text.yard");
        phone.make_text_bundle(&text, &quiet()).unwrap();
        yard.take_in(&text).unwrap();
        yard.reply(phone).unwrap();
    }
    bring_back(&mut yard);
    yard.office.erase(photo).unwrap();
    let late = yard.file("late.yard");
    let offered = yard.phones[0].make_bundle(&late, &quiet()).unwrap();
    assert_eq!((offered.changes, offered.photos), (0, 2), "the text counts as received");
    let report = yard.take_in(&late).unwrap().report;
    assert_eq!((report.photos, report.photos_missing), (0, 2), "said, and not kept");
    assert!(!yard.office.notebook().blob_path(&image).exists());
    yard.reply(&yard.phones[0]).unwrap();
    assert!(!yard.phones[0].blob_path(&image).exists(), "the erasure reaches the phone");

    // What was not erased comes with the words that name it, once the phone has heard of the new life.
    let alone = yard.bundle(&yard.phones[1], "alone.yard").unwrap();
    assert_eq!(yard.take_in(&alone).unwrap().report.photos_missing, 2);
    assert!(!yard.office.notebook().blob_path(&kept).exists());
    yard.reply(&yard.phones[1]).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[1], "again.yard").unwrap()).unwrap();
    assert!(yard.office.notebook().blob_path(&kept).exists());
}
