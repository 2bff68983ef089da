//! A disk that is full amid an erasure: the words go as soon as the work is done again, the device pauses, or it says anything.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::path::Path;

use dooryard_core::{Code, clock::Env, job::Job, notebook::Notebook, record::Kind};
use dooryard_office::{desk::Office, index::Index, page::Names};
use dooryard_tests::{
    Yard, copy_folder, files_with, save,
    sim::disk::{self, Failing},
};
use serde_json::json;

/// Words that stand nowhere else; and one of them, as the text index keeps it.
const NOTE: &str = "ring twice at the teal gate";
const TOKEN: &str = "teal";

fn stand_in(folder: &Path) -> bool {
    [NOTE, TOKEN].iter().any(|words| !files_with(folder, words.as_bytes()).unwrap().is_empty())
}

/// Whether a notebook knows that an erasure is not finished.
fn is_unclean(folder: &Path) -> bool {
    let conn = rusqlite::Connection::open(folder.join("notebook.db")).unwrap();
    conn.query_row("SELECT count(*) FROM meta WHERE key = 'unclean' AND value = x'01'", [], |row| row.get(0)).unwrap()
}

/// A phone and an office that both hold the words, and nothing in their write-ahead logs but what comes now.
fn scene(seed: u64) -> (Yard, dooryard_core::ids::RecordId) {
    disk::begin().unwrap();
    let yard = Yard::new(seed, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": NOTE})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.reply(&yard.phones[0]).unwrap();
    yard.phones[0].pause().unwrap();
    yard.office.notebook().pause().unwrap();
    (yard, contact)
}

/// Makes the disk of a phone full ever later while it takes the reply that erases, until the reply goes through. Each time that
/// the words were still there, `finish` must make them go.
fn a_phone_is_clean_after(seed: u64, finish: impl Fn(&Notebook, &Path)) {
    let (yard, contact) = scene(seed);
    yard.office.erase(contact).unwrap();
    let reply = yard.file("erasing.yard");
    yard.office.make_reply(yard.phones[0].device(), &reply, &Job::silent()).unwrap();
    let mut stopped_between = 0;
    for after in 0.. {
        let folder = yard.dir.path().join(format!("copy-{after}"));
        copy_folder(&yard.folder(1), &folder).unwrap();
        let phone = Notebook::open(&folder, Env::seeded(seed + after, &yard.clock)).unwrap();
        disk::fails(&folder, Failing::Full, after, 0);
        let taken = phone.take_reply(&reply, &Job::silent());
        disk::works();
        let Err(refused) = taken else {
            assert!(!stand_in(&folder));
            break;
        };
        assert_eq!(refused.code(), Some(Code::NoSpace), "{refused}");
        let known = phone.show(contact).is_ok_and(|record| record.get("note").is_none());
        if known && stand_in(&folder) {
            stopped_between += 1;
            assert!(is_unclean(&folder));
            finish(&phone, &reply);
            assert!(!is_unclean(&folder));
            assert!(!stand_in(&folder), "full after {after} writes: {:?}", files_with(&folder, TOKEN.as_bytes()));
        }
        drop(phone);
        std::fs::remove_dir_all(folder).unwrap();
    }
    assert!(stopped_between > 0, "the disk was never full between the statements and the cleaning");
}

#[test]
fn a_reply_taken_again_finishes_an_erasure_that_a_full_disk_stopped() {
    a_phone_is_clean_after(31, |phone, reply| drop(phone.take_reply(reply, &Job::silent()).unwrap()));
}

#[test]
fn a_phone_that_pauses_finishes_an_erasure_that_a_full_disk_stopped() {
    a_phone_is_clean_after(32, |phone, _| phone.pause().unwrap());
}

#[test]
fn an_office_that_says_anything_finishes_an_erasure_that_a_full_disk_stopped() {
    let (yard, contact) = scene(33);
    let plant = save(yard.office.notebook(), Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.office.notebook().pause().unwrap();
    let mut stopped_between = 0;
    for after in 0.. {
        let copy = yard.dir.path().join(format!("copy-{after}"));
        copy_folder(yard.office.folder(), &copy).unwrap();
        let office = Office::open(&copy, Env::seeded(33 + after, &yard.clock)).unwrap();
        let folder = copy.join("notebook");
        disk::fails(&folder, Failing::Full, after, 0);
        let erased = office.erase(contact);
        disk::works();
        let Err(refused) = erased else { break };
        assert_eq!(refused.code(), Some(Code::NoSpace), "{refused}");
        let known = office.notebook().show(contact).is_ok_and(|record| record.get("note").is_none());
        if known && stand_in(&folder) {
            stopped_between += 1;
            assert!(is_unclean(&folder));
            office.erase(plant).unwrap();
            assert!(!is_unclean(&folder));
            assert!(!stand_in(&folder), "full after {after} writes: {:?}", files_with(&folder, TOKEN.as_bytes()));
        }
        drop(office);
        std::fs::remove_dir_all(copy).unwrap();
    }
    assert!(stopped_between > 0, "the disk was never full between the statement and the cleaning");
}

#[test]
fn an_index_that_follows_again_finishes_an_erasure_that_a_full_disk_stopped() {
    disk::begin().unwrap();
    let yard = Yard::new(34, 0).unwrap();
    let notebook = yard.office.notebook();
    let inquiry = save(notebook, Kind::Inquiry, json!({"question": NOTE})).unwrap();
    let names = Names::of(&dooryard_office::pack::load(None).unwrap());
    let made = yard.dir.path().join("made");
    std::fs::create_dir(&made).unwrap();
    Index::open(&made, &names).unwrap().follow(notebook).unwrap();
    assert!(stand_in(&made), "the test would see them");
    yard.office.erase(inquiry).unwrap();
    let mut left = 0;
    for after in 0.. {
        let folder = yard.dir.path().join(format!("copy-{after}"));
        copy_folder(&made, &folder).unwrap();
        let index = Index::open(&folder, &names).unwrap();
        disk::fails(&folder, Failing::Full, after, 0);
        let followed = index.follow(notebook);
        disk::works();
        left += u64::from(followed.is_err() && stand_in(&folder));
        index.follow(notebook).unwrap();
        assert!(!stand_in(&folder), "full after {after} writes: {:?}", files_with(&folder, TOKEN.as_bytes()));
        if followed.is_ok() {
            break;
        }
    }
    assert!(left > 5, "only {left} times was the disk full before the words were gone");
}
