//! Phones with wrong clocks, restored phones, copied phones, revoked phones.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::fs;

use dooryard_core::{
    clock::{Env, SetClock},
    notebook::Notebook,
    record::Kind,
};
use dooryard_tests::{MAY_1, Yard, add_photo, edit, fields, save};
use serde_json::json;

fn drop_database(yard: &mut Yard, n: usize) {
    yard.phones.remove(n - 1);
    for ending in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(yard.folder(n).join(format!("notebook.db{ending}")));
    }
}

#[test]
fn a_phone_restored_from_an_older_backup_loses_nothing_and_goes_on_under_a_log_of_its_own() {
    let mut yard = Yard::new(21, 1).unwrap();
    let backup = yard.file("backup");
    let first = save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.phones[0].back_up(&backup, &dooryard_core::job::Job::silent()).unwrap();
    let second = save(&yard.phones[0], Kind::Plant, json!({"host": "elm"})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    drop_database(&mut yard, 1);
    let restored = Notebook::restore_backup(
        &yard.folder(1),
        &backup,
        Env::seeded(77, &yard.clock),
        &dooryard_core::job::Job::silent(),
    )
    .unwrap();
    let third = save(&restored, Kind::Plant, json!({"host": "ash"})).unwrap();
    edit(&restored, Kind::Plant, first, json!({"cultivar": "after the restore"})).unwrap();
    let taken = yard.take_in(&yard.bundle(&restored, "2.yard").unwrap()).unwrap();
    assert_eq!((taken.report.new, taken.report.repeated, taken.report.forks), (2, 1, 0));
    let office = yard.office.notebook();
    for (plant, host) in [(first, "oak"), (second, "elm"), (third, "ash")] {
        assert_eq!(office.show(plant).unwrap().text("host"), Some(host));
    }
    let back = yard.reply(&restored).unwrap();
    assert!(back.restored, "the office knows a change that is not here");
    assert_eq!(restored.show(second).unwrap().text("host"), Some("elm"), "and gives it back");
    let log = restored.own_log();
    assert!(!yard.reply(&restored).unwrap().restored, "which is told once");
    assert_eq!(restored.own_log(), log, "and costs no new log each time");
    save(&restored, Kind::Plant, json!({"host": "pine"})).unwrap();
    yard.take_in(&yard.bundle(&restored, "3.yard").unwrap()).unwrap();
    yard.reply(&restored).unwrap();
    let left = restored.make_bundle(&yard.file("4.yard"), &dooryard_core::job::Job::silent()).unwrap();
    assert_eq!(left.changes, 0, "everything is proven now, the log before the restore too");
    assert_eq!(office.gaps().unwrap(), []);
}

/// Found by the simulator: the phone's database of before the photo comes back, and nothing can tell whose picture it is.
#[test]
fn a_photo_that_nothing_names_goes_with_the_next_erasure_and_no_earlier() {
    for damaged_aside in [false, true] {
        let mut yard = Yard::new(28, 1).unwrap();
        let (backup, silent) = (yard.file("backup"), dooryard_core::job::Job::silent());
        let contact = save(&yard.phones[0], Kind::Contact, json!({"note": "by the gate"})).unwrap();
        yard.phones[0].back_up(&backup, &silent).unwrap();
        let unnamed = add_photo(&yard, &yard.phones[0]).unwrap();
        drop_database(&mut yard, 1);
        let env = Env::seeded(78, &yard.clock);
        let restored = Notebook::restore_backup(&yard.folder(1), &backup, env, &silent).unwrap();
        if damaged_aside {
            fs::write(yard.folder(1).join("notebook.damaged-1"), b"may know it").unwrap();
        }
        let file = yard.file("other.png");
        image::RgbImage::from_pixel(9, 7, image::Rgb([9, 99, 9])).save(&file).unwrap();
        let photo = restored.add_photo(&file, &fields(json!({"part": "whole"}))).unwrap();
        let shown = restored.show(photo).unwrap().text("image").unwrap().parse().unwrap();
        assert_ne!(shown, unnamed);
        yard.take_in(&yard.bundle(&restored, "1.yard").unwrap()).unwrap();
        yard.reply(&restored).unwrap();
        assert!(restored.blob_path(&unnamed).exists());
        yard.office.erase(contact).unwrap();
        yard.reply(&restored).unwrap();
        assert_eq!(restored.blob_path(&unnamed).exists(), damaged_aside);
        assert!(restored.blob_path(&shown).exists() && restored.holds_blob(&shown).unwrap());
    }
}

/// A copy of the first phone's folder, incarnation and all, and an edit of one field on each side.
fn twin(yard: &Yard) -> Notebook {
    let plant = save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.phones[0].pause().unwrap();
    let copy = yard.dir.path().join("copy");
    dooryard_tests::copy_folder(&yard.folder(1), &copy).unwrap();
    let twin = Notebook::open(&copy, Env::seeded(5, &yard.clock)).unwrap();
    edit(&yard.phones[0], Kind::Plant, plant, json!({"cultivar": "here"})).unwrap();
    edit(&twin, Kind::Plant, plant, json!({"cultivar": "there"})).unwrap();
    twin
}

#[test]
fn a_folder_copied_with_its_incarnation_forks_the_log_and_both_sides_are_kept() {
    let mut yard = Yard::new(22, 1).unwrap();
    let twin = twin(&yard);
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    let taken = yard.take_in(&yard.bundle(&twin, "2.yard").unwrap()).unwrap();
    assert_eq!((taken.report.new, taken.report.forks), (1, 1));
    assert_eq!(yard.office.notebook().conflicts().unwrap().len(), 1, "both are live");
    yard.phones.push(twin);
}

#[test]
fn a_clock_in_2099_poisons_nothing_and_the_office_corrects_it() {
    let yard = Yard::new(23, 1).unwrap();
    let far = SetClock::at(4_090_000_000_000);
    let lost = Notebook::create(&yard.folder(9), Env::seeded(9, &far)).unwrap();
    yard.enrol(&lost, dooryard_core::record::Role::Scout, "Scout 9").unwrap();
    let plant = save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    edit(&yard.phones[0], Kind::Plant, plant, json!({"cultivar": "today"})).unwrap();
    yard.clock.set(MAY_1 + 60_000);
    edit(&lost, Kind::Plant, plant, json!({"cultivar": "from 2099"})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    let taken = yard.take_in(&yard.bundle(&lost, "2.yard").unwrap()).unwrap();
    assert!(taken.report.clock_ahead);
    let office = yard.office.notebook();
    assert_eq!(office.show(plant).unwrap().text("cultivar"), Some("from 2099"), "the clock only breaks ties");
    let skew = 4_090_000_000_000_i64 - MAY_1 as i64 + 3_600_000;
    yard.office.correct_clock(lost.own_log(), 1, 1, skew).unwrap();
    let shown = office.show(plant).unwrap();
    assert_eq!(shown.text("cultivar"), Some("today"));
    assert_eq!(office.conflicts().unwrap().len(), 1, "nothing was lost by the tie-break");
    assert!(office.conflicts().unwrap()[0].sentence.contains("1 May 2026"));
}

#[test]
fn after_a_revocation_only_what_was_held_before_counts_until_it_is_admitted_by_name() {
    let yard = Yard::new(24, 1).unwrap();
    let one = &yard.phones[0];
    let plant = save(one, Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    yard.office.revoke(one.device()).unwrap();
    edit(one, Kind::Plant, plant, json!({"host": "elm"})).unwrap();
    let taken = yard.take_in(&yard.bundle(one, "2.yard").unwrap()).unwrap();
    assert_eq!(taken.report.waiting.get("REVOKED"), Some(&1));
    let office = yard.office.notebook();
    assert_eq!(office.show(plant).unwrap().text("host"), Some("oak"));
    let waiting = office.waiting_of(&one.device()).unwrap();
    assert_eq!(waiting.len(), 1);
    yard.office.admit(plant, waiting[0].1).unwrap();
    assert_eq!(office.show(plant).unwrap().text("host"), Some("elm"));
    yard.office.refuse(plant, waiting[0].1).unwrap();
    assert_eq!(office.show(plant).unwrap().text("host"), Some("oak"));
    let digest = office.digest().unwrap();
    office.rebuild().unwrap();
    assert_eq!(office.digest().unwrap(), digest);
}

#[test]
fn a_receipt_for_another_change_at_the_same_place_proves_nothing() {
    let yard = Yard::new(25, 1).unwrap();
    let twin = twin(&yard);
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    // The reply is for the device, and the twin has its key; but the office has never seen the twin's second change.
    let log = twin.own_log();
    let taken = yard.reply(&twin).unwrap();
    assert_eq!((taken.received, taken.restored), (0, true));
    assert_ne!(twin.own_log(), log, "it goes on under a log of its own");
    assert!(!yard.reply(&twin).unwrap().restored, "which is told once");
    let offered = twin.make_bundle(&yard.file("2.yard"), &dooryard_core::job::Job::silent()).unwrap();
    assert_eq!(offered.changes, 2, "all of it is offered still");
    assert_eq!(yard.take_in(&yard.file("2.yard")).unwrap().report.new, 1);
}
