//! An office that goes back more than once, and what phones may believe of its earlier lives.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{fs, path::PathBuf};

use dooryard_core::{clock::Env, ids::Hash32, job::Job, log::Segment, notebook::Notebook, record::Kind};
use dooryard_office::desk::{LedgerChoice, Office, Restored, recovery_key};
use dooryard_tests::{Yard, copy_folder, files_with, save};
use serde_json::json;

const WORDS: &str = "ring at the cobalt gate";

fn quiet() -> Job {
    Job::silent()
}

/// The office's machine is lost, and its backup comes back.
fn lose(yard: &mut Yard, seed: u64) -> Restored {
    let key = yard.file("recovery.key");
    fs::write(&key, yard.office.recovery_key().unwrap()).unwrap();
    let key = recovery_key(&key).unwrap();
    fs::remove_dir_all(yard.office.folder()).unwrap();
    let (backup, dir) = (yard.file("office.backup"), yard.file(&format!("office-{seed}")));
    let env = Env::seeded(seed, &yard.clock);
    let restored = Office::restore(&backup, &dir, &key, &LedgerChoice::Beside, None, env, &quiet()).unwrap();
    yard.office = Office::open(&dir, Env::seeded(seed + 1, &yard.clock)).unwrap();
    restored
}

/// A contact that two phones hold, at the office and in its backup; and its number.
fn backed_up(seed: u64) -> (Yard, dooryard_core::ids::RecordId) {
    let yard = Yard::new(seed, 2).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": WORDS})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.office.assign(contact, yard.phones[1].device()).unwrap();
    yard.office.back_up(&yard.file("office.backup"), true, &quiet()).unwrap();
    (yard, contact)
}

#[test]
fn what_was_erased_after_a_restore_stays_gone_when_the_same_backup_comes_back_again() {
    let (mut yard, contact) = backed_up(111);
    assert!(lose(&mut yard, 1).ledger_follows);
    yard.office.erase(contact).unwrap();
    assert_eq!(yard.office.backups_behind().unwrap(), Vec::<PathBuf>::new(), "the ledger beside the backup knows");
    assert_eq!(lose(&mut yard, 3).erased_records, 1);
    yard.office.notebook().pause().unwrap();
    assert_eq!(files_with(yard.office.folder(), WORDS.as_bytes()).unwrap(), Vec::<PathBuf>::new());
}

#[test]
fn a_ledger_that_knows_more_than_the_restored_office_is_left_as_it_is() {
    let (mut yard, contact) = backed_up(112);
    let old = fs::read(yard.file("office.backup.ledger")).unwrap();
    yard.office.erase(contact).unwrap();
    let (old_ledger, key) = (yard.file("old.ledger"), yard.file("recovery.key"));
    fs::write(&old_ledger, old).unwrap();
    fs::write(&key, yard.office.recovery_key().unwrap()).unwrap();
    let (newer, dir) = (fs::read(yard.file("office.backup.ledger")).unwrap(), yard.file("other"));
    let (choice, env) = (LedgerChoice::File(old_ledger), Env::seeded(5, &yard.clock));
    let key = recovery_key(&key).unwrap();
    let restored = Office::restore(&yard.file("office.backup"), &dir, &key, &choice, None, env, &quiet()).unwrap();
    assert!(!restored.ledger_follows);
    assert_eq!(fs::read(yard.file("office.backup.ledger")).unwrap(), newer);
    // The one who goes by it has the erasure.
    assert_eq!(lose(&mut yard, 7).erased_records, 1);
}

#[test]
fn a_late_reply_of_a_life_that_a_phone_never_knew_brings_no_erased_words() {
    let (mut yard, contact) = backed_up(113);
    let two = yard.phones[1].device();
    lose(&mut yard, 1);
    let late = yard.file("late.yard");
    yard.office.make_reply(two, &late, &quiet()).unwrap();
    // Nobody heard of that life: the next one has the same number.
    lose(&mut yard, 3);
    yard.reply(&yard.phones[1]).unwrap();
    assert_eq!(yard.phones[1].search("cobalt").unwrap().total, 1, "the test would see them");
    yard.office.erase(contact).unwrap();
    yard.reply(&yard.phones[1]).unwrap();
    yard.phones[1].take_reply(&late, &quiet()).unwrap();
    assert_eq!(yard.phones[1].search("cobalt").unwrap().total, 0);
    yard.phones[1].pause().unwrap();
    assert_eq!(files_with(&yard.folder(2), b"cobalt").unwrap(), Vec::<PathBuf>::new());
}

#[test]
fn a_receipt_names_no_run_along_the_branch_of_another_phone() {
    let yard = Yard::new(114, 1).unwrap();
    let one = &yard.phones[0];
    one.pause().unwrap();
    let copy = yard.dir.path().join("copy");
    copy_folder(&yard.folder(1), &copy).unwrap();
    let twin = Notebook::open(&copy, Env::seeded(5, &yard.clock)).unwrap();
    for host in ["oak", "elm", "ash"] {
        save(&twin, Kind::Plant, json!({ "host": host })).unwrap();
    }
    yard.take_in(&yard.bundle(&twin, "1.yard").unwrap()).unwrap();
    // Of the phone's own branch only the second change is here, and that it was the last of its log.
    let first = save(one, Kind::Plant, json!({"host": "pine"})).unwrap();
    save(one, Kind::Plant, json!({"host": "fir"})).unwrap();
    let log = one.own_log();
    assert!(yard.reply(one).unwrap().restored);
    save(one, Kind::Plant, json!({"host": "larch"})).unwrap();
    let office = yard.office.notebook();
    let whole = one.segment_after(&log, 0).unwrap().unwrap();
    let second = Segment::new(&one.office().unwrap(), log, whole.hashes[0], whole.changes[1..].to_vec());
    office.take_segment(second).unwrap();
    let later = one.segment_after(&one.own_log(), 0).unwrap().unwrap();
    assert_eq!(later.prev, whole.tip());
    assert_ne!(later.prev, Hash32::ZERO);
    office.take_segment(later).unwrap();
    yard.reply(one).unwrap();
    yard.take_in(&yard.bundle(one, "2.yard").unwrap()).unwrap();
    assert_eq!(office.show(first).unwrap().text("host"), Some("pine"), "it was offered still");
    yard.reply(one).unwrap();
    assert_eq!(one.make_bundle(&yard.file("3.yard"), &quiet()).unwrap().changes, 0);
}
