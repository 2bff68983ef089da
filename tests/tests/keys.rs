//! New keys for an office: what stays valid, what phones learn, what a lost or stolen key can still do.

#![expect(clippy::unwrap_used, reason = "a test")]

use std::{
    fs,
    path::{Path, PathBuf},
};

use dooryard_core::{
    Code,
    clock::Env,
    ids::Hash32,
    job::Job,
    log::{Body, Statement},
    notebook::Notebook,
    record::{Kind, Role},
    sign::Signing,
};
use dooryard_office::desk::{Office, Outcome};
use dooryard_tests::{MAY_1, Yard, copy_folder, save};
use serde_json::json;

const DAY_MS: u64 = 86_400_000;

/// Gives the office of a yard new keys, as a program that starts anew.
fn change_keys(yard: &mut Yard, drawer: Option<&Path>, seed: u64) {
    let folder = yard.office.folder().to_owned();
    yard.office = Office::change_keys(&folder, drawer, Env::seeded(seed, &yard.clock)).unwrap();
}

fn plant(phone: &Notebook, host: &str) {
    save(phone, Kind::Plant, json!({"host": host})).unwrap();
}

fn take(yard: &Yard, file: &Path) -> (Outcome, Option<String>) {
    let taken = yard.take_in(file).unwrap();
    (taken.outcome, taken.code)
}

fn taken_in() -> (Outcome, Option<String>) {
    (Outcome::TakenIn, None)
}

/// The office's signing key as somebody stole it, from its key file.
fn stolen(office: &Path) -> Signing {
    let file: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(office.join("office.key")).unwrap()).unwrap();
    let seed: Hash32 = file["signing"].as_str().unwrap().parse().unwrap();
    Signing::from_seed(&seed.0)
}

#[test]
fn a_phone_that_missed_two_changes_of_keys_hands_over_and_learns_the_newest_with_its_reply() {
    let mut yard = Yard::new(50, 1).unwrap();
    let first = yard.office.card().clone();
    plant(&yard.phones[0], "oak");
    let old = yard.bundle(&yard.phones[0], "old.yard").unwrap();
    change_keys(&mut yard, None, 1);
    change_keys(&mut yard, None, 2);
    assert_eq!(yard.office.card().serial, 3);
    assert_eq!(yard.office.card().former.len(), 2);
    assert_ne!((yard.office.card().key, &yard.office.card().seal), (first.key, &first.seal));
    assert_eq!((yard.office.card().root, &yard.office.card().recovery), (first.root, &first.recovery));

    assert_eq!(take(&yard, &old), taken_in(), "sealed to the key before the last");
    assert_eq!(yard.phones[0].card().unwrap(), first);
    assert_eq!(yard.reply(&yard.phones[0]).unwrap().received, 1);
    assert_eq!(&yard.phones[0].card().unwrap(), yard.office.card());
    plant(&yard.phones[0], "maple");
    let new = yard.bundle(&yard.phones[0], "new.yard").unwrap();
    assert_eq!(take(&yard, &new), taken_in());
    assert_eq!(yard.reply(&yard.phones[0]).unwrap().received, 1);
    // All that any of the three keys said is known to a phone that is opened again.
    let folder = yard.folder(1);
    yard.phones.clear();
    let again = Notebook::open(&folder, Env::seeded(9, &yard.clock)).unwrap();
    assert_eq!(again.role().unwrap(), (Role::Scout, "Scout 1".into()));
    assert_eq!(again.statements().unwrap(), yard.office.notebook().statements().unwrap());
}

#[test]
fn a_replaced_signing_key_says_nothing_new_and_no_older_card_comes_back() {
    let mut yard = Yard::new(51, 1).unwrap();
    plant(&yard.phones[0], "oak");
    let file = yard.bundle(&yard.phones[0], "1.yard").unwrap();
    yard.take_in(&file).unwrap();
    let old_card = yard.office.notebook().signed_card().unwrap();
    let before: PathBuf = yard.file("before");
    copy_folder(yard.office.folder(), &before).unwrap();
    let thief = stolen(&before);
    change_keys(&mut yard, None, 1);
    yard.reply(&yard.phones[0]).unwrap();
    let phone = &yard.phones[0];

    let device = phone.device();
    let office = yard.office.card().office();
    let (newest, prev) = yard.office.notebook().authority().unwrap().newest();
    let forged = Statement { seq: newest + 1, prev, body: Body::Revoke { device, tips: vec![] } };
    let (signed, _) = forged.sign(&thief, &office);
    for notebook in [phone, yard.office.notebook()] {
        let refused = notebook.take_statements(std::slice::from_ref(&signed)).unwrap_err();
        assert_eq!(refused.code(), Some(Code::BadSignature));
    }
    // The whole folder of before, in somebody's hands: its reply is refused, its card changes nothing.
    let elsewhere = Office::open(&before, Env::seeded(2, &yard.clock)).unwrap();
    let reply = yard.file("forged.yard");
    for _ in 0..3 {
        elsewhere.make_reply(device, &reply, &Job::silent()).unwrap();
    }
    assert_eq!(phone.take_reply(&reply, &Job::silent()).unwrap_err().code(), Some(Code::BadSignature));
    phone.follow_card(&old_card).unwrap();
    assert_eq!(&phone.card().unwrap(), yard.office.card());
}

#[test]
fn an_old_sealing_key_opens_for_24_months_and_not_for_ever() {
    let mut yard = Yard::new(52, 1).unwrap();
    yard.office.put_away(&yard.file("drawer")).unwrap();
    plant(&yard.phones[0], "oak");
    let old = yard.bundle(&yard.phones[0], "old.yard").unwrap();
    let drawer = yard.file("drawer");
    change_keys(&mut yard, Some(&drawer), 1);
    yard.clock.set(MAY_1 + 730 * DAY_MS);
    assert_eq!(take(&yard, &old), taken_in());
    yard.clock.set(MAY_1 + 732 * DAY_MS);
    assert_eq!(take(&yard, &old), (Outcome::Refused, Some("NOT_FOR_US".into())));
    let key = drawer.join("recovery.key");
    let recovered = yard.office.recover(&key, &old, &Job::silent()).unwrap();
    assert_eq!(recovered.outcome, Outcome::TakenIn, "the recovery key opens it still");
    // The next change of keys throws the old one away.
    change_keys(&mut yard, Some(&drawer), 2);
    let file = fs::read_to_string(yard.office.folder().join("office.key")).unwrap();
    let file: serde_json::Value = serde_json::from_str(&file).unwrap();
    assert_eq!(file["former_seals"].as_array().unwrap().len(), 1);
}

#[test]
fn lost_keys_are_told_plainly_and_root_and_recovery_key_together_lose_nothing() {
    let mut yard = Yard::new(53, 1).unwrap();
    let drawer = yard.file("drawer");
    yard.office.put_away(&drawer).unwrap();
    let left = fs::read_to_string(yard.office.folder().join("office.key")).unwrap();
    for name in ["root.key", "recovery.key"] {
        let secret = fs::read_to_string(drawer.join(name)).unwrap();
        assert!(!secret.trim().is_empty() && !left.contains(secret.trim()), "{name} is still in the office's folder");
    }
    assert!(yard.office.put_away(&drawer).is_err(), "they are gone from here");
    plant(&yard.phones[0], "oak");
    let on_its_way = yard.bundle(&yard.phones[0], "way.yard").unwrap();

    let folder = yard.office.folder().to_owned();
    fs::remove_file(folder.join("office.key")).unwrap();
    let env = || Env::seeded(7, &yard.clock);
    let lost = Office::open(&folder, env()).err().unwrap();
    assert_eq!(lost.code(), Some(Code::KeyLost));
    assert!(lost.to_string().contains("recovery key"), "{lost}");
    let rootless = Office::change_keys(&folder, None, env()).err().unwrap();
    assert_eq!(rootless.code(), Some(Code::KeyLost));
    let foreign = Yard::new(54, 0).unwrap();
    foreign.office.put_away(&foreign.file("drawer")).unwrap();
    let other = Office::change_keys(&folder, Some(&foreign.file("drawer")), env()).err().unwrap();
    assert_eq!(other.code(), Some(Code::NotForUs));

    change_keys(&mut yard, Some(&drawer), 8);
    assert_eq!(take(&yard, &on_its_way), (Outcome::Refused, Some("NOT_FOR_US".into())));
    let key = |drawer: &Path| drawer.join("recovery.key");
    let theirs = yard.office.recover(&key(&foreign.file("drawer")), &on_its_way, &Job::silent());
    assert_eq!(theirs.err().and_then(|e| e.code()), Some(Code::NotForUs));
    let recovered = yard.office.recover(&key(&drawer), &on_its_way, &Job::silent()).unwrap();
    assert_eq!((recovered.outcome, recovered.report.new), (Outcome::TakenIn, 1));
    assert_eq!(yard.reply(&yard.phones[0]).unwrap().received, 1);
}

#[test]
fn a_program_with_the_keys_of_before_stops_saying_things_and_says_why() {
    let mut yard = Yard::new(55, 1).unwrap();
    let stale = Office::open(yard.office.folder(), Env::seeded(3, &yard.clock)).unwrap();
    let device = yard.phones[0].device();
    change_keys(&mut yard, None, 1);
    assert_eq!(stale.revoke(device).unwrap_err().code(), Some(Code::KeysChanged));
    let reply = stale.make_reply(device, &yard.file("r.yard"), &Job::silent());
    assert_eq!(reply.unwrap_err().code(), Some(Code::KeysChanged));
    assert!(!yard.file("r.yard").exists());
    yard.office.revoke(device).unwrap();
    let reopened = Office::open(yard.office.folder(), Env::seeded(4, &yard.clock)).unwrap();
    assert_eq!(reopened.notebook().statements().unwrap().len(), 3);
}

#[test]
fn a_change_of_keys_that_was_stopped_half_way_is_finished_or_forgotten() {
    let mut yard = Yard::new(56, 1).unwrap();
    let (before, old_key) = (yard.file("before"), yard.office.card().key);
    copy_folder(yard.office.folder(), &before).unwrap();
    change_keys(&mut yard, None, 1);
    yard.office.notebook().pause().unwrap();
    let (folder, new_key) = (yard.office.folder().to_owned(), yard.office.card().key);
    // Stopped before the new card was in force: the next keys lie there, the notebook knows nothing of them.
    fs::copy(folder.join("office.key"), before.join("office.key.next")).unwrap();
    let forgotten = Office::open(&before, Env::seeded(2, &yard.clock)).unwrap();
    assert_eq!(forgotten.card().key, old_key);
    assert!(!before.join("office.key.next").exists());
    forgotten.revoke(yard.phones[0].device()).unwrap();
    // Stopped after it: the notebook has the new card, the old keys are still in place.
    let after = yard.file("after");
    copy_folder(&folder, &after).unwrap();
    fs::rename(after.join("office.key"), after.join("office.key.next")).unwrap();
    fs::copy(before.join("office.key"), after.join("office.key")).unwrap();
    let finished = Office::open(&after, Env::seeded(3, &yard.clock)).unwrap();
    assert_eq!(finished.card().key, new_key);
    assert!(!after.join("office.key.next").exists());
    finished.revoke(yard.phones[0].device()).unwrap();
    // The old keys alone, under the new card, are no keys of this office.
    fs::copy(before.join("office.key"), after.join("office.key")).unwrap();
    assert_eq!(Office::open(&after, Env::seeded(4, &yard.clock)).err().unwrap().code(), Some(Code::KeyLost));
}

#[test]
fn an_invitation_of_before_is_answered_with_the_new_card() {
    let mut yard = Yard::new(57, 0).unwrap();
    let invitation = yard.office.invite(Role::Scout, "Scout 3", DAY_MS).unwrap();
    change_keys(&mut yard, None, 1);
    let phone = Notebook::create(&yard.folder(3), Env::seeded(3, &yard.clock)).unwrap();
    phone.join(&invitation).unwrap();
    let asked = yard.office.hear(&phone.ask().unwrap().unwrap()).unwrap();
    assert_eq!(asked.words, phone.check_words().unwrap());
    let admitted = yard.office.admit_phone(&asked, false, &Job::silent()).unwrap();
    phone.take_answer(&admitted.answer).unwrap();
    assert_eq!(&phone.card().unwrap(), yard.office.card());
    plant(&phone, "oak");
    assert_eq!(take(&yard, &yard.bundle(&phone, "1.yard").unwrap()), taken_in());
}
