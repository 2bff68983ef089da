//! A phone lets go only of what a verified backup of the office holds, by its own chain, and only by its person's rule.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{fs, path::PathBuf};

use dooryard_core::{
    clock::Env,
    job::Job,
    notebook::{LetGo, LetGone, Notebook},
    record::Kind,
};
use dooryard_tests::{Yard, add_photo, copy_folder, edit, files_with, save};
use serde_json::json;

const WORDS: &str = "ring at the cobalt gate";

fn quiet() -> Job {
    Job::silent()
}

fn back_up(yard: &Yard, off_machine: bool) {
    yard.office.back_up(&yard.file("office.backup"), off_machine, &quiet()).unwrap();
}

/// A phone with a contact and a photo that the office has.
fn handed_over(seed: u64) -> Yard {
    let yard = Yard::new(seed, 1).unwrap();
    save(&yard.phones[0], Kind::Contact, json!({"note": WORDS})).unwrap();
    add_photo(&yard, &yard.phones[0]).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard
}

#[test]
fn nothing_goes_before_a_verified_backup_off_the_machine_and_nothing_without_a_rule() {
    let yard = handed_over(101);
    let phone = &yard.phones[0];
    let nothing = LetGone { rule: LetGo::OriginalsAndContacts, originals_kept: 1, ..LetGone::default() };
    phone.set_letting_go(LetGo::OriginalsAndContacts).unwrap();
    yard.reply(phone).unwrap();
    assert_eq!(phone.let_go().unwrap(), nothing, "the office has it, on its own disk only");
    back_up(&yard, false);
    yard.reply(phone).unwrap();
    assert_eq!(phone.let_go().unwrap(), nothing, "in a backup on the same machine");
    back_up(&yard, true);
    assert_eq!(phone.let_go().unwrap(), nothing, "no receipt has said so yet");
    yard.reply(phone).unwrap();
    phone.set_letting_go(LetGo::Nothing).unwrap();
    assert_eq!(phone.let_go().unwrap(), LetGone::default(), "the rule says keep");
    phone.set_letting_go(LetGo::Originals).unwrap();
    let gone = phone.let_go().unwrap();
    assert_eq!((gone.originals, gone.contact_values, gone.originals_kept), (1, 0, 0));
    assert!(gone.bytes > 0);
    assert!(!files_with(&yard.folder(1), WORDS.as_bytes()).unwrap().is_empty(), "contacts were not named");
}

#[test]
fn what_goes_is_gone_from_the_phone_is_at_the_office_and_what_came_later_stays() {
    let yard = handed_over(102);
    let phone = &yard.phones[0];
    back_up(&yard, true);
    let contact =
        phone.list(&Default::default()).unwrap().rows.into_iter().find(|r| r.kind == Kind::Contact).unwrap().id;
    let site = save(phone, Kind::Site, json!({"address": "canary-address 7"})).unwrap();
    let late_contact = save(phone, Kind::Contact, json!({"note": "the later one"})).unwrap();
    yard.take_in(&yard.bundle(phone, "2.yard").unwrap()).unwrap();
    yard.reply(phone).unwrap();
    phone.set_letting_go(LetGo::OriginalsAndContacts).unwrap();
    let gone = phone.let_go().unwrap();
    assert_eq!((gone.originals, gone.contact_values), (1, 1));
    phone.pause().unwrap();
    assert_eq!(files_with(&yard.folder(1), WORDS.as_bytes()).unwrap(), Vec::<PathBuf>::new());
    assert_eq!(phone.show(late_contact).unwrap().text("note"), Some("the later one"), "received after the backup");
    assert_eq!(phone.show(site).unwrap().text("address"), Some("canary-address 7"));
    assert_eq!(phone.blobs_awaited().unwrap(), [], "what was let go of is not waited for");
    // Neither the next reply nor the next hand-over undoes it or loses it.
    yard.reply(phone).unwrap();
    phone.pause().unwrap();
    assert_eq!(files_with(&yard.folder(1), WORDS.as_bytes()).unwrap(), Vec::<PathBuf>::new());
    edit(phone, Kind::Site, site, json!({"township": "Sedge"})).unwrap();
    yard.take_in(&yard.bundle(phone, "3.yard").unwrap()).unwrap();
    assert_eq!(yard.office.notebook().show(contact).unwrap().text("note"), Some(WORDS));
    let photo = yard.office.notebook().list(&Default::default()).unwrap().rows;
    let image = photo.iter().find_map(|r| r.text("image")).unwrap().parse().unwrap();
    assert!(yard.office.notebook().blob_path(&image).exists() && !phone.blob_path(&image).exists());
}

#[test]
fn what_this_notebooks_own_chain_does_not_prove_stays() {
    // Two notebooks with one key and one log: the office has the changes of the other one at these places.
    let mut yard = Yard::new(103, 1).unwrap();
    save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.phones[0].pause().unwrap();
    let copy = yard.dir.path().join("copy");
    copy_folder(&yard.folder(1), &copy).unwrap();
    let twin = Notebook::open(&copy, Env::seeded(5, &yard.clock)).unwrap();
    save(&yard.phones[0], Kind::Contact, json!({"note": "of the first"})).unwrap();
    save(&twin, Kind::Contact, json!({"note": WORDS})).unwrap();
    add_photo(&yard, &twin).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    back_up(&yard, true);
    twin.set_letting_go(LetGo::OriginalsAndContacts).unwrap();
    yard.reply(&twin).unwrap();
    let gone = twin.let_go().unwrap();
    assert_eq!((gone.originals, gone.contact_values, gone.originals_kept), (0, 0, 1));
    assert!(!files_with(&copy, WORDS.as_bytes()).unwrap().is_empty());
    // Once the office has the twin's own changes in a backup, they may go; those of the first are not touched by it.
    yard.take_in(&yard.bundle(&twin, "2.yard").unwrap()).unwrap();
    back_up(&yard, true);
    yard.reply(&twin).unwrap();
    let gone = twin.let_go().unwrap();
    assert_eq!((gone.originals, gone.contact_values), (1, 1));
    yard.phones.clear();
}

#[test]
fn a_new_life_of_the_office_makes_everything_unsafe_again() {
    let yard = handed_over(104);
    let phone = &yard.phones[0];
    back_up(&yard, true);
    yard.reply(phone).unwrap();
    let path = yard.file("recovery.key");
    fs::write(&path, yard.office.recovery_key().unwrap()).unwrap();
    let key = dooryard_office::desk::recovery_key(&path).unwrap();
    let env = Env::seeded(7, &yard.clock);
    let beside = dooryard_office::desk::LedgerChoice::Beside;
    let (office, backup) = (yard.office.folder().to_owned(), yard.file("office.backup"));
    dooryard_office::desk::Office::restore(&backup, &office, &key, &beside, None, env, &quiet()).unwrap();
    yard.reply(phone).unwrap();
    phone.set_letting_go(LetGo::OriginalsAndContacts).unwrap();
    let gone = phone.let_go().unwrap();
    assert_eq!((gone.originals, gone.contact_values, gone.originals_kept), (0, 0, 1));
}

#[test]
fn a_phones_backup_leaves_out_private_words_that_are_safe_and_the_next_reply_brings_them_back() {
    let mut yard = handed_over(105);
    back_up(&yard, true);
    save(&yard.phones[0], Kind::Contact, json!({"note": "not yet safe"})).unwrap();
    let contact = yard.phones[0].search("cobalt").unwrap().rows[0].id;
    let backup = yard.file("phone.backup");
    let words_of = |yard: &Yard| {
        yard.phones[0].back_up(&backup, &quiet()).unwrap();
        let mut plain = Vec::new();
        let key = fs::read_to_string(yard.folder(1).join("local/device.key")).unwrap();
        let key = key.lines().nth(1).unwrap().parse().unwrap();
        let opener = dooryard_core::bundle::Opener::new(vec![key]);
        dooryard_core::archive::read(&backup, &opener, &mut |_, _, body| {
            std::io::Read::read_to_end(body, &mut plain).map(drop).map_err(dooryard_core::Error::io("reading"))
        })
        .unwrap();
        let has = |words: &str| plain.windows(words.len()).any(|w| w == words.as_bytes());
        (has(WORDS) || has("cobalt"), has("not yet safe"))
    };
    assert_eq!(words_of(&yard), (true, true), "no receipt says safe yet");
    yard.reply(&yard.phones[0]).unwrap();
    assert_eq!(words_of(&yard), (false, true));
    assert_eq!(yard.phones[0].show(contact).unwrap().text("note"), Some(WORDS), "the phone itself keeps them");

    yard.phones.clear();
    for ending in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(yard.folder(1).join(format!("notebook.db{ending}")));
    }
    let restored = Notebook::restore_backup(&yard.folder(1), &backup, Env::seeded(9, &yard.clock), &quiet()).unwrap();
    assert!(restored.show(contact).unwrap().get("note").is_none());
    assert_eq!(restored.search("safe").unwrap().total, 1);
    yard.take_in(&yard.bundle(&restored, "2.yard").unwrap()).unwrap();
    yard.reply(&restored).unwrap();
    assert_eq!(restored.show(contact).unwrap().text("note"), Some(WORDS));
    assert_eq!(yard.office.notebook().show(contact).unwrap().text("note"), Some(WORDS), "and the office lost nothing");
}
