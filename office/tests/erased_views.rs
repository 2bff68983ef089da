//! Saved views of the office page go with the erased private words that they search for.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{
    fs,
    path::{Path, PathBuf},
};

use dooryard_core::{clock::Env, ids::RecordId, job::Job, record::Kind};
use dooryard_office::{
    desk::{Erased, LedgerChoice, Office, recovery_key},
    people::{Passwords, People, Role, Visitor},
};
use dooryard_tests::{Yard, files_with, save};
use serde_json::json;

/// Words that stand nowhere else.
const NAME: &str = "Quillhaven";
const NOTE: &str = "ring twice at the teal gate";

fn people(yard: &Yard, folder: &Path) -> People {
    let env = Env::seeded(510, &yard.clock);
    let passwords = Passwords::with(&env, argon2::Params::new(8, 1, 1, None).unwrap()).unwrap();
    People::open(folder, env, passwords).unwrap()
}

fn signed_in(people: &People) -> Visitor {
    people.sign_in("Wren", "beans and squash", None).unwrap().visitor
}

fn names(people: &People, who: &Visitor) -> Vec<String> {
    people.views(who).unwrap().into_iter().map(|view| view.name).collect()
}

/// An office with a contact, and the views that Wren saved: the first three are about the contact.
fn viewed() -> (Yard, RecordId, People, Visitor) {
    let yard = Yard::new(511, 1).unwrap();
    let one = &yard.phones[0];
    let reach = json!({"name": format!("Robin {NAME}"), "phone": "555-0142", "preferred": "letter"});
    let contact = save(one, Kind::Contact, json!({"reach": reach, "note": NOTE})).unwrap();
    save(one, Kind::Contact, json!({"reach": {"name": "Robin Wetherby"}, "note": "the gate sticks"})).unwrap();
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    let people = people(&yard, yard.office.folder());
    people.add_account("Wren", Role::Admin, "beans and squash").unwrap();
    let wren = signed_in(&people);
    for (name, filter) in [
        ("by name", "q=quill&status=open".to_owned()),
        ("by number", "q=oak+0142".to_owned()),
        (NAME, "status=open".to_owned()),
        ("another of that name", "q=robin".to_owned()),
        ("gates", "q=gate&host=oak".to_owned()),
        ("oaks", "q=oak".to_owned()),
        ("letters", "q=letter".to_owned()),
        ("short", "q=t".to_owned()),
    ] {
        people.save_view(&wren, name, &filter).unwrap();
    }
    (yard, contact, people, wren)
}

const LEFT: [&str; 5] = ["another of that name", "gates", "letters", "oaks", "short"];

fn holds(folder: &Path) -> Vec<PathBuf> {
    let words = ["q=quill", "0142", NAME];
    words.iter().flat_map(|word| files_with(folder, word.as_bytes()).unwrap()).collect()
}

#[test]
fn saved_views_go_with_the_private_words_that_they_search_for_and_others_stay() {
    let (yard, contact, people, wren) = viewed();
    assert!(!holds(yard.office.folder()).is_empty(), "the test would see them");
    assert_eq!(yard.office.erase(contact).unwrap(), Erased { views: 3, to_decide: 0 });
    assert_eq!(names(&people, &wren), LEFT);
    yard.office.notebook().pause().unwrap();
    assert_eq!(holds(yard.office.folder()), Vec::<PathBuf>::new());
    assert_eq!(yard.office.erase(contact).unwrap().views, 0);
}

#[test]
fn saved_views_of_a_backup_do_not_bring_erased_words_back() {
    let (yard, contact, people, _) = viewed();
    let backup = yard.dir.path().join("kept/office.backup");
    fs::create_dir_all(backup.parent().unwrap()).unwrap();
    yard.office.back_up(&backup, false, &Job::silent()).unwrap();
    yard.office.erase(contact).unwrap();
    drop(people);
    fs::write(yard.file("recovery"), yard.office.recovery_key().unwrap()).unwrap();
    let key = recovery_key(&yard.file("recovery")).unwrap();
    let folder = yard.dir.path().join("restored");
    let env = Env::seeded(512, &yard.clock);
    let made = Office::restore(&backup, &folder, &key, &LedgerChoice::Beside, None, env, &Job::silent()).unwrap();
    assert!(made.accounts);
    let people = self::people(&yard, &folder);
    assert_eq!(names(&people, &signed_in(&people)), LEFT);
    drop(people);
    assert_eq!(holds(&folder), Vec::<PathBuf>::new());
}
