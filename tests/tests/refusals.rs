//! Files that cannot be taken in: a code and a sentence each, state unchanged, kept where it may matter.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::fs;

use dooryard_core::{
    clock::Env,
    job::Job,
    notebook::Notebook,
    record::{Kind, Role},
};
use dooryard_office::desk::{Office, Outcome, Taken};
use dooryard_tests::{Yard, save};
use serde_json::json;

fn refused(yard: &Yard, file: &std::path::Path) -> Taken {
    let before = yard.office.notebook().digest().unwrap();
    let taken = yard.take_in(file).unwrap();
    assert_ne!(taken.outcome, Outcome::TakenIn);
    assert_eq!(yard.office.notebook().digest().unwrap(), before);
    let why = taken.report.refused.clone().unwrap();
    assert!(why.ends_with('.') && !why.contains(yard.dir.path().to_str().unwrap()), "{why}");
    taken
}

#[test]
fn files_of_other_kinds_are_told_apart_and_not_kept() {
    let yard = Yard::new(31, 1).unwrap();
    for (name, bytes) in
        [("empty", &b""[..]), ("photo", b"\xff\xd8\xff\xe0"), ("short", b"\x89YRD"), ("text", &[b'a'; 5000])]
    {
        let file = yard.file(name);
        fs::write(&file, bytes).unwrap();
        assert_eq!(refused(&yard, &file).code.as_deref(), Some("BAD_MAGIC"), "{name}");
    }
    assert_eq!(refused(&yard, yard.dir.path()).code.as_deref(), Some("BAD_MAGIC"), "a folder");
    assert!(yard.take_in(&yard.file("missing")).is_err());
    assert_eq!(yard.office.quarantined().unwrap(), []);
    assert_eq!(yard.office.intake_log().unwrap().len(), 5);
}

#[test]
fn a_bundle_of_another_office_is_refused_and_not_kept() {
    let (yard, other) = (Yard::new(32, 1).unwrap(), Yard::new(33, 1).unwrap());
    save(&other.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    let file = other.bundle(&other.phones[0], "other.yard").unwrap();
    assert_eq!(refused(&yard, &file).code.as_deref(), Some("NOT_FOR_US"));
    assert_eq!(yard.office.quarantined().unwrap(), []);
}

#[test]
fn a_phone_that_the_office_does_not_know_waits_sealed_and_goes_through_when_it_is_added() {
    let yard = Yard::new(34, 0).unwrap();
    // The phone was enrolled by an office whose log was since lost: same keys, another life.
    let stranger = Notebook::create(&yard.folder(7), Env::seeded(70, &yard.clock)).unwrap();
    let twin = tempfile::tempdir().unwrap();
    for name in ["office.key", "office.card"] {
        fs::copy(yard.office.folder().join(name), twin.path().join(name)).unwrap();
    }
    dooryard_tests::copy_folder(&yard.office.folder().join("notebook"), &twin.path().join("notebook")).unwrap();
    let elsewhere = Office::open(twin.path(), Env::seeded(1, &yard.clock)).unwrap();
    stranger.enrol(&elsewhere.add_device(&stranger.enrolment_request(), Role::Scout, "Scout 7").unwrap()).unwrap();
    let plant = save(&stranger, Kind::Plant, json!({"host": "oak"})).unwrap();
    let file = yard.bundle(&stranger, "stranger.yard").unwrap();
    let taken = refused(&yard, &file);
    assert_eq!((taken.code.as_deref(), taken.outcome), (Some("UNKNOWN_DEVICE"), Outcome::Kept));
    fs::remove_file(&file).unwrap();
    let kept = yard.office.quarantined().unwrap();
    assert_eq!((kept.len(), kept[0].code.as_str()), (1, "UNKNOWN_DEVICE"));
    assert_eq!(yard.office.retry_quarantined(&Job::silent()).unwrap()[0].outcome, Outcome::Kept);

    let answer = yard.office.add_device(&stranger.enrolment_request(), Role::Scout, "Scout 7").unwrap();
    assert_eq!(yard.office.retry_quarantined(&Job::silent()).unwrap()[0].outcome, Outcome::TakenIn);
    assert_eq!(yard.office.quarantined().unwrap(), []);
    assert_eq!(yard.office.notebook().show(plant).unwrap().text("host"), Some("oak"));
    stranger.enrol(&answer).unwrap();
}

#[test]
fn a_newer_wire_version_is_kept_sealed_for_after_an_upgrade() {
    let yard = Yard::new(35, 1).unwrap();
    save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    let file = yard.bundle(&yard.phones[0], "new.yard").unwrap();
    let mut bytes = fs::read(&file).unwrap();
    bytes[8] = 9;
    fs::write(&file, &bytes).unwrap();
    let taken = refused(&yard, &file);
    assert_eq!((taken.code.as_deref(), taken.outcome), (Some("TOO_NEW"), Outcome::Kept));
    let kept = &yard.office.quarantined().unwrap()[0];
    assert_eq!(fs::read(yard.office.folder().join("quarantine").join(format!("{}.yard", kept.id))).unwrap(), bytes);
    // The version number itself is under the signature: an old file that claims to be new is not one.
    bytes[8] = 0;
    fs::write(&file, &bytes).unwrap();
    assert_eq!(refused(&yard, &file).code.as_deref(), Some("BAD_SIGNATURE"));
}

#[test]
fn a_full_disk_refuses_for_now_loses_nothing_and_goes_through_when_there_is_room() {
    let yard = Yard::new(36, 1).unwrap();
    for n in 0..300 {
        save(&yard.phones[0], Kind::Inquiry, json!({"question": format!("{n} {}", "words ".repeat(400))})).unwrap();
    }
    let file = yard.bundle(&yard.phones[0], "big.yard").unwrap();
    let small = yard.file("small-disk");
    fs::create_dir(&small).unwrap();
    let mount =
        |args: &[&str]| std::process::Command::new("mount").args(args).arg(&small).status().is_ok_and(|s| s.success());
    if !mount(&["-t", "tmpfs", "-o", "size=1m", "tmpfs"]) {
        assert!(std::env::var_os("CI").is_none(), "CI must be able to mount a small disk");
        eprintln!("skipped: a small disk cannot be mounted here (not root)");
        return;
    }
    let _unmount = Unmount(small.clone());
    dooryard_tests::copy_folder(yard.office.folder(), &small).unwrap();
    let office = Office::open(&small, Env::seeded(1, &yard.clock)).unwrap();
    let full = office.take_in(&file, &Job::silent()).unwrap_err();
    assert_eq!(full.code().map(|c| c.name()), Some("NO_SPACE"), "{full}");
    assert!(mount(&["-o", "remount,size=64m"]));
    let taken = office.take_in(&file, &Job::silent()).unwrap();
    assert_eq!(taken.report.new + taken.report.repeated, 300);
    yard.take_in(&file).unwrap();
    assert_eq!(office.notebook().digest().unwrap(), yard.office.notebook().digest().unwrap());
}

struct Unmount(std::path::PathBuf);

impl Drop for Unmount {
    fn drop(&mut self) {
        let _ = std::process::Command::new("umount").arg("-l").arg(&self.0).status();
    }
}

#[test]
fn two_processes_of_one_office_say_things_one_after_the_other() {
    let yard = Yard::new(37, 1).unwrap();
    let other = Office::open(yard.office.folder(), Env::seeded(2, &yard.clock)).unwrap();
    let plant = save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    let device = yard.phones[0].device();
    other.assign(plant, device).unwrap();
    yard.office.revoke(device).unwrap();
    other.erase(plant).unwrap();
    let places: Vec<u64> = yard
        .office
        .notebook()
        .statements()
        .unwrap()
        .iter()
        .map(|s| {
            let card = yard.office.card();
            dooryard_core::log::Statement::verify(s, &card.office(), &card.key).unwrap().seq
        })
        .collect();
    assert_eq!(places, [1, 2, 3, 4, 5]);
    yard.office.notebook().refresh().unwrap();
    assert_eq!(yard.office.notebook().digest().unwrap(), other.notebook().digest().unwrap());
}
