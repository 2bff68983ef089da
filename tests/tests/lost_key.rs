//! A phone whose key is gone for good goes on under a new one: what it wrote before reaches the office as if nothing had happened.

#![expect(clippy::unwrap_used, reason = "a test")]

use std::{collections::BTreeSet, fs, path::Path};

use dooryard_core::{
    Code, Error,
    bundle::BundleSummary,
    clock::Env,
    ids::{DeviceId, Hash32, LogId, RecordId},
    job::Job,
    log::{Body, Run},
    notebook::{LetGo, Notebook, OwnerOnlyFile, Way},
    record::{Kind, Role},
    sign::Signing,
};
use dooryard_office::desk::{LedgerChoice, Office, Outcome, recovery_key};
use dooryard_tests::{Yard, add_photo, copy_folder, edit, save};
use serde_json::json;

fn quiet() -> Job {
    Job::silent()
}

/// The phone of a yard loses its key and goes on under a new one; the office takes it on again.
fn lose_key(yard: &mut Yard, seed: u64) -> (DeviceId, Notebook) {
    let old = yard.phones.remove(0);
    let device = old.device();
    drop(old);
    let folder = yard.folder(1);
    fs::remove_file(folder.join("local/device.key")).unwrap();
    assert!(matches!(Notebook::open(&folder, env(yard, 77)), Err(Error::NotFound(_))));
    (device, Notebook::open_with_new_key(&folder, env(yard, seed), &OwnerOnlyFile).unwrap())
}

fn env(yard: &Yard, seed: u64) -> Env {
    Env::seeded(seed, &yard.clock)
}

fn bundle(yard: &Yard, phone: &Notebook, name: &str) -> (BundleSummary, std::path::PathBuf) {
    let path = yard.file(name);
    (phone.make_bundle(&path, &quiet()).unwrap(), path)
}

/// Takes a file in of which nothing is refused.
fn take(yard: &Yard, file: &Path) -> u64 {
    let taken = yard.take_in(file).unwrap();
    assert_eq!((taken.outcome, taken.report.segments_refused.len()), (Outcome::TakenIn, 0), "{taken:?}");
    taken.report.new
}

/// Every change of a device that the office holds, by its hash.
fn held(yard: &Yard, device: &DeviceId) -> BTreeSet<(LogId, u64, Hash32)> {
    let office = yard.office.notebook();
    let mut found = BTreeSet::new();
    for state in office.logs().unwrap().into_iter().filter(|state| state.log.device == *device) {
        let mut after = 0;
        while let Some(segment) = office.segment_after(&state.log, after).unwrap() {
            found.extend(segment.changes.iter().zip(&segment.hashes).map(|(c, hash)| (state.log, c.head.seq, *hash)));
            after = segment.to();
        }
    }
    found
}

/// A phone that handed a part over and has more: a site, a contact with a name, a photo, an edit.
fn half_handed(seed: u64) -> (Yard, RecordId, RecordId) {
    let yard = Yard::new(seed, 1).unwrap();
    let phone = &yard.phones[0];
    let site = save(phone, Kind::Site, json!({"township": "Sedge"})).unwrap();
    take(&yard, &bundle(&yard, phone, "1.yard").1);
    yard.reply(phone).unwrap();
    let contact = save(phone, Kind::Contact, json!({"note": "ring at the cobalt gate"})).unwrap();
    edit(phone, Kind::Site, site, json!({"address": "1 Teal Lane"})).unwrap();
    add_photo(&yard, phone).unwrap();
    phone.pause().unwrap();
    (yard, site, contact)
}

#[test]
fn what_a_lost_key_wrote_reaches_the_office_as_if_the_old_phone_had_handed_it_over() {
    let (mut yard, site, contact) = half_handed(201);
    // As it would have gone: a copy of the phone, with its key, at a copy of the office.
    let copy = yard.file("copy");
    copy_folder(&yard.folder(1), &copy).unwrap();
    let incarnation = yard.phones[0].own_log().incarnation;
    let (old, phone) = lose_key(&mut yard, 301);
    assert!(phone.device() != old && phone.must_enrol_again().unwrap());
    assert_ne!(phone.own_log().incarnation, incarnation, "its log is another in both its numbers");
    assert_eq!(phone.role().unwrap(), (Role::Scout, "Scout 1".into()), "it writes as what it was");
    assert_eq!(phone.way(contact).unwrap(), Way::OnThisPhone);
    assert_eq!(phone.way(site).unwrap(), Way::OnThisPhone);
    let before = phone.unhanded().unwrap();
    assert_eq!(before.changes, 3);
    edit(&phone, Kind::Site, site, json!({"township": "Bracken"})).unwrap();
    assert!(phone.conflicts().unwrap().is_empty(), "a new key is no second opinion");
    assert_eq!(phone.show(contact).unwrap().text("note"), Some("ring at the cobalt gate"));
    let refused = phone.make_bundle(&yard.file("early.yard"), &quiet()).unwrap_err();
    assert!(matches!(refused, Error::NotEnrolled) && !yard.file("early.yard").exists());

    yard.enrol(&phone, Role::Scout, "Scout 1").unwrap();
    assert!(!phone.must_enrol_again().unwrap());
    let (made, file) = bundle(&yard, &phone, "2.yard");
    assert_eq!((made.changes, made.photos, made.left), (4, 2, 0));
    assert_eq!(phone.way(contact).unwrap(), Way::HandedOver);
    assert_eq!(phone.unhanded().unwrap().changes, 0);
    assert_eq!(take(&yard, &file), 4);

    let twin = Notebook::open(&copy, env(&yard, 5)).unwrap();
    let other = Yard::new(201, 1).unwrap();
    take(&other, &bundle(&other, &twin, "whole.yard").1);
    let of_twin = held(&other, &old);
    assert!(of_twin.len() >= 3 && of_twin.is_subset(&held(&yard, &old)), "byte for byte the same changes");
    assert_eq!(held(&yard, &old).len(), 4);

    let receipt = yard.reply(&phone).unwrap();
    assert_eq!((receipt.received, receipt.photos_received, receipt.restored), (5, 2, false));
    for record in [contact, site] {
        assert_eq!(phone.way(record).unwrap(), Way::OfficeHasIt);
    }
    assert_eq!(phone.show(contact).unwrap().text("note"), Some("ring at the cobalt gate"));
    assert_eq!(phone.show(site).unwrap().text("township"), Some("Bracken"));
    assert_eq!(phone.show(site).unwrap().text("address"), Some("1 Teal Lane"));
    assert!(phone.conflicts().unwrap().is_empty());
    let (again, file) = bundle(&yard, &phone, "3.yard");
    assert_eq!((again.changes, again.photos), (0, 0), "nothing is offered a second time");
    let repeated = yard.take_in(&file).unwrap();
    assert_eq!((repeated.report.new, repeated.report.went_back), (0, false));
}

#[test]
fn a_reply_that_comes_before_the_log_of_the_lost_key_takes_nothing_off_the_screen() {
    let (mut yard, site, contact) = half_handed(202);
    let (_, phone) = lose_key(&mut yard, 302);
    yard.enrol(&phone, Role::Scout, "Scout 1").unwrap();
    let early = yard.reply(&phone).unwrap();
    assert_eq!((early.number, early.received, early.records), (1, 0, 0), "the office does not know yet whose it is");
    for (record, field, words) in
        [(site, "township", "Sedge"), (site, "address", "1 Teal Lane"), (contact, "note", "ring at the cobalt gate")]
    {
        assert_eq!(phone.show(record).unwrap().text(field), Some(words));
    }
    // Then all of the log goes, and the receipt proves all of it.
    let (made, file) = bundle(&yard, &phone, "2.yard");
    assert_eq!(made.changes, 4);
    take(&yard, &file);
    assert_eq!(yard.reply(&phone).unwrap().received, 4);
    assert_eq!(bundle(&yard, &phone, "3.yard").0.changes, 0);
}

#[test]
fn where_the_office_has_all_of_it_the_end_of_the_old_log_says_whose_it_was() {
    let mut yard = Yard::new(203, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": "ring at the cobalt gate"})).unwrap();
    let photo = add_photo(&yard, &yard.phones[0]).unwrap();
    take(&yard, &bundle(&yard, &yard.phones[0], "1.yard").1);
    yard.reply(&yard.phones[0]).unwrap();
    let (_, phone) = lose_key(&mut yard, 303);
    yard.enrol(&phone, Role::Scout, "Scout 1").unwrap();
    let (made, file) = bundle(&yard, &phone, "2.yard");
    assert_eq!((made.changes, made.photos), (1, 0), "its last change alone");
    take(&yard, &file);
    assert_eq!(yard.reply(&phone).unwrap().received, 2);
    assert_eq!(phone.show(contact).unwrap().text("note"), Some("ring at the cobalt gate"));
    assert_eq!(bundle(&yard, &phone, "3.yard").0.changes, 0);
    // By the same rule as ever: only after a verified backup, and then also what the lost key wrote.
    phone.set_letting_go(LetGo::OriginalsAndContacts).unwrap();
    assert_eq!((phone.let_go().unwrap().originals, phone.let_go().unwrap().contact_values), (0, 0));
    yard.office.back_up(&yard.file("office.backup"), true, &quiet()).unwrap();
    yard.reply(&phone).unwrap();
    let gone = phone.let_go().unwrap();
    assert_eq!((gone.originals, gone.contact_values, gone.originals_kept), (1, 1, 0));
    assert!(!phone.blob_path(&photo).exists() && yard.office.notebook().blob_path(&photo).exists());
    assert_eq!(yard.office.notebook().show(contact).unwrap().text("note"), Some("ring at the cobalt gate"));
}

#[test]
fn a_reply_names_nothing_of_a_log_beyond_what_was_brought_of_it_and_nothing_to_anybody_else() {
    let mut yard = Yard::new(204, 2).unwrap();
    let first = save(&yard.phones[0], Kind::Contact, json!({"note": "one"})).unwrap();
    yard.phones[0].pause().unwrap();
    let copy = yard.file("copy");
    copy_folder(&yard.folder(1), &copy).unwrap();
    // The old phone goes on, and another one says that it goes on from its first change.
    let later = save(&yard.phones[0], Kind::Contact, json!({"note": "two"})).unwrap();
    take(&yard, &bundle(&yard, &yard.phones[0], "1.yard").1);
    fs::remove_file(copy.join("local/device.key")).unwrap();
    let phone = Notebook::open_with_new_key(&copy, env(&yard, 9), &OwnerOnlyFile).unwrap();
    yard.enrol(&phone, Role::Scout, "Scout 9").unwrap();
    save(&phone, Kind::Plant, json!({"host": "oak"})).unwrap();
    take(&yard, &bundle(&yard, &phone, "2.yard").1);
    assert_eq!(yard.reply(&phone).unwrap().received, 2);
    assert_eq!(phone.show(first).unwrap().text("note"), Some("one"));
    assert!(matches!(phone.show(later), Err(Error::NotFound(_))), "not the old phone's later ones");
    let other = yard.phones.remove(1);
    save(&other, Kind::Plant, json!({"host": "elm"})).unwrap();
    take(&yard, &bundle(&yard, &other, "3.yard").1);
    yard.reply(&other).unwrap();
    assert!(matches!(other.show(first), Err(Error::NotFound(_))));
    // The old phone is told of all of its own, as ever.
    assert_eq!(yard.reply(&yard.phones[0]).unwrap().received, 2);
}

fn signing(yard: &Yard) -> Signing {
    let file = fs::read_to_string(yard.office.folder().join("office.key")).unwrap();
    let file: serde_json::Value = serde_json::from_str(&file).unwrap();
    let seed: Hash32 = file["signing"].as_str().unwrap().parse().unwrap();
    Signing::from_seed(&seed.0)
}

fn tips(yard: &Yard, device: &DeviceId) -> Vec<Hash32> {
    yard.office.notebook().runs_of(device).unwrap().into_iter().map(|(_, Run { tip, .. })| tip).collect()
}

#[test]
fn turning_the_old_phone_off_with_its_last_change_gives_the_same_before_and_after() {
    let mut digests = Vec::new();
    for before in [true, false] {
        let (mut yard, ..) = half_handed(205);
        let (old, phone) = lose_key(&mut yard, 304);
        yard.enrol(&phone, Role::Scout, "Scout 1").unwrap();
        let (_, file) = bundle(&yard, &phone, "2.yard");
        let last = phone.runs_of(&old).unwrap().into_iter().map(|(_, run)| run.tip).collect::<Vec<_>>();
        let revoke = || {
            let tips = last.clone();
            yard.office.notebook().say(&signing(&yard), |_| Body::Revoke { device: old, tips }).unwrap();
        };
        if before {
            revoke();
        }
        take(&yard, &file);
        if !before {
            revoke();
        }
        assert_eq!(tips(&yard, &old), last);
        assert_eq!(yard.office.notebook().waiting().unwrap(), 0);
        assert_eq!(yard.reply(&phone).unwrap().received, 4);
        digests.push(yard.office.notebook().digest().unwrap());
    }
    assert_eq!(digests[0], digests[1]);
}

#[test]
fn what_was_cut_off_waits_stays_on_the_screen_and_counts_once_somebody_says_so() {
    let (mut yard, site, contact) = half_handed(206);
    let (old, phone) = lose_key(&mut yard, 305);
    yard.enrol(&phone, Role::Scout, "Scout 1").unwrap();
    // By what the office holds of it: the first change alone.
    yard.office.revoke(old).unwrap();
    let (made, file) = bundle(&yard, &phone, "2.yard");
    let taken = yard.take_in(&file).unwrap();
    assert_eq!(taken.report.waiting.get("REVOKED"), Some(&3), "{taken:?}");
    assert_eq!(yard.reply(&phone).unwrap().received, 1);
    assert_eq!(phone.show(contact).unwrap().text("note"), Some("ring at the cobalt gate"));
    assert_eq!(phone.show(site).unwrap().text("address"), Some("1 Teal Lane"));
    assert_eq!(bundle(&yard, &phone, "3.yard").0.changes, made.changes, "it is kept, and offered");
    // Turned off again by what is here now, it all counts.
    yard.office.revoke(old).unwrap();
    assert_eq!(yard.office.notebook().waiting().unwrap(), 0);
    assert_eq!(yard.reply(&phone).unwrap().received, 3);
    assert_eq!(bundle(&yard, &phone, "4.yard").0.changes, 0);
}

#[test]
fn a_log_of_a_phone_that_the_office_does_not_know_waits_in_quarantine() {
    let (mut yard, ..) = half_handed(207);
    // The same office without that phone's certificate.
    let early = yard.file("early");
    let elsewhere = {
        let fresh = Yard::new(207, 0).unwrap();
        copy_folder(fresh.office.folder(), &early).unwrap();
        Office::open(&early, env(&yard, 3)).unwrap()
    };
    let (old, phone) = lose_key(&mut yard, 306);
    yard.enrol(&phone, Role::Scout, "Scout 1").unwrap();
    // It knows the new key by the certificate that the bundle names, and not the old one.
    elsewhere.notebook().take_statements(&yard.office.notebook().statements().unwrap()[2..]).unwrap();
    save(&phone, Kind::Plant, json!({"host": "oak"})).unwrap();
    let (_, file) = bundle(&yard, &phone, "2.yard");
    let taken = elsewhere.take_in(&file, &quiet()).unwrap();
    assert_eq!((taken.outcome, taken.report.new), (Outcome::TakenIn, 1), "{taken:?}");
    assert_eq!(taken.report.segments_refused.get("UNKNOWN_DEVICE"), Some(&1), "{taken:?}");
    let kept = elsewhere.quarantined().unwrap();
    assert_eq!((kept.len(), kept[0].code.as_str()), (1, "UNKNOWN_DEVICE"));
    elsewhere.retry_quarantined(&quiet()).unwrap();
    assert_eq!(elsewhere.quarantined().unwrap().len(), 1, "as long as nobody knows it");
    elsewhere.notebook().take_statements(&yard.office.notebook().statements().unwrap()[1..2]).unwrap();
    assert_eq!(elsewhere.retry_quarantined(&quiet()).unwrap()[0].report.new, 3);
    assert!(elsewhere.quarantined().unwrap().is_empty());
    assert_eq!(elsewhere.notebook().count_of(&old).unwrap(), (3, 0));
}

#[test]
fn a_second_lost_key_brings_the_logs_of_both() {
    let (mut yard, site, contact) = half_handed(208);
    let (first, phone) = lose_key(&mut yard, 307);
    yard.enrol(&phone, Role::Scout, "Scout 1").unwrap();
    edit(&phone, Kind::Site, site, json!({"township": "Bracken"})).unwrap();
    phone.pause().unwrap();
    yard.phones.push(phone);
    let (second, phone) = lose_key(&mut yard, 308);
    yard.enrol(&phone, Role::Scout, "Scout 1").unwrap();
    edit(&phone, Kind::Site, site, json!({"township": "Alder"})).unwrap();
    take(&yard, &bundle(&yard, &phone, "2.yard").1);
    assert_eq!((held(&yard, &first).len(), held(&yard, &second).len()), (4, 1));
    assert_eq!(yard.reply(&phone).unwrap().received, 6);
    assert_eq!(phone.show(site).unwrap().text("township"), Some("Alder"));
    assert_eq!(phone.show(contact).unwrap().text("note"), Some("ring at the cobalt gate"));
    assert!(phone.conflicts().unwrap().is_empty());
    assert_eq!(bundle(&yard, &phone, "3.yard").0.changes, 0);
}

#[test]
fn before_any_office_knew_it_all_is_written_anew_in_the_words_of_the_new_key() {
    let mut yard = Yard::new(209, 0).unwrap();
    let phone = Notebook::create(&yard.folder(1), env(&yard, 4)).unwrap();
    let contact = save(&phone, Kind::Contact, json!({"note": "ring at the cobalt gate"})).unwrap();
    edit(&phone, Kind::Contact, contact, json!({"note": "ring twice"})).unwrap();
    add_photo(&yard, &phone).unwrap();
    phone.pause().unwrap();
    yard.phones.push(phone);
    let (old, phone) = lose_key(&mut yard, 309);
    assert!(!phone.must_enrol_again().unwrap(), "it belonged to no office");
    assert_eq!(phone.show(contact).unwrap().text("note"), Some("ring twice"));
    assert!(phone.conflicts().unwrap().is_empty());
    yard.enrol(&phone, Role::Scout, "Scout 1").unwrap();
    take(&yard, &bundle(&yard, &phone, "1.yard").1);
    assert_eq!(yard.office.notebook().count_of(&old).unwrap(), (0, 0));
    assert_eq!(yard.office.notebook().count_of(&phone.device()).unwrap(), (3, 0));
    assert_eq!(yard.office.notebook().show(contact).unwrap().text("note"), Some("ring twice"));
    let receipt = yard.reply(&phone).unwrap();
    assert_eq!((receipt.received, receipt.photos_received), (3, 2));
}

#[test]
fn a_new_life_of_the_office_is_offered_the_old_log_again() {
    let (mut yard, site, contact) = half_handed(210);
    let (old, phone) = lose_key(&mut yard, 310);
    yard.enrol(&phone, Role::Scout, "Scout 1").unwrap();
    let backup = yard.file("office.backup");
    yard.office.back_up(&backup, true, &quiet()).unwrap();
    take(&yard, &bundle(&yard, &phone, "2.yard").1);
    yard.reply(&phone).unwrap();
    let key = yard.file("recovery.key");
    fs::write(&key, yard.office.recovery_key().unwrap()).unwrap();
    let (key, folder) = (recovery_key(&key).unwrap(), yard.file("restored"));
    let beside = LedgerChoice::Beside;
    Office::restore(&backup, &folder, &key, &beside, None, env(&yard, 6), &quiet()).unwrap();
    yard.office = Office::open(&folder, env(&yard, 7)).unwrap();
    assert_eq!(yard.reply(&phone).unwrap().received, 0);
    assert_eq!(phone.show(contact).unwrap().text("note"), Some("ring at the cobalt gate"));
    assert_eq!(phone.show(site).unwrap().text("address"), Some("1 Teal Lane"));
    let (made, file) = bundle(&yard, &phone, "3.yard");
    assert_eq!(made.changes, 4);
    take(&yard, &file);
    assert_eq!(held(&yard, &old).len(), 4);
    assert_eq!(yard.reply(&phone).unwrap().received, 4);
}

#[test]
fn a_key_that_can_be_read_is_never_thrown_away() {
    let (mut yard, ..) = half_handed(211);
    yard.phones.clear();
    let folder = yard.folder(1);
    let key = fs::read(folder.join("local/device.key")).unwrap();
    let files = || fs::read_dir(folder.join("local")).unwrap().count();
    let before = files();
    let refused = Notebook::open_with_new_key(&folder, env(&yard, 7), &OwnerOnlyFile).err().unwrap();
    assert_eq!(refused.code(), Some(Code::Schema));
    assert_eq!(fs::read(folder.join("local/device.key")).unwrap(), key);
    assert_eq!(files(), before, "nothing is left beside it");
    let phone = Notebook::open(&folder, env(&yard, 8)).unwrap();
    assert_eq!(phone.make_bundle(&yard.file("2.yard"), &quiet()).unwrap().changes, 3);
    let empty = yard.file("nothing-here");
    assert!(matches!(Notebook::open_with_new_key(&empty, env(&yard, 9), &OwnerOnlyFile), Err(Error::NotFound(_))));
    assert!(!empty.exists());
}
