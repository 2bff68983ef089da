//! A change that its phone can no longer read: it stands as its hash, holds nothing back, is told as lost, and comes back whole when
//! somebody still has it.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{fs, path::Path};

use dooryard_core::{
    clock::Env,
    ids::{Hash32, RecordId},
    job::Job,
    log::{Authority, Memory, Segment, apply_segment, apply_statement, digest},
    notebook::{Notebook, Way},
    record::Kind,
};
use dooryard_tests::{Yard, copy_folder, edit, save};
use serde_json::json;

/// A phone with so many plants, each with words of its own.
fn planted(seed: u64, plants: usize) -> (Yard, Vec<RecordId>) {
    let yard = Yard::new(seed, 1).unwrap();
    let plant =
        |n| save(&yard.phones[0], Kind::Plant, json!({"host": "oak", "cultivar": format!("number {n} of all")}));
    let ids = (1..=plants).map(|n| plant(n).unwrap()).collect();
    (yard, ids)
}

/// Changes one letter of these plants' words where they stand in the phone's closed database.
fn rot(yard: &mut Yard, plants: &[usize]) {
    yard.phones[0].pause().unwrap();
    yard.phones.clear();
    let path = yard.folder(1).join("notebook.db");
    let mut bytes = fs::read(&path).unwrap();
    for n in plants {
        // The value in the log, behind its CBOR length; what is shown and found by words is another copy.
        let words = format!("\x6fnumber {n} of all").into_bytes();
        let places: Vec<usize> = (0..bytes.len() - words.len()).filter(|at| bytes[*at..].starts_with(&words)).collect();
        assert!(!places.is_empty());
        places.into_iter().for_each(|at| bytes[at + 1] = b'r');
    }
    fs::write(&path, bytes).unwrap();
    yard.phones.push(Notebook::open(&yard.folder(1), Env::seeded(9, &yard.clock)).unwrap());
}

fn gaps(notebook: &Notebook) -> Vec<(u64, u64, bool)> {
    notebook.gaps().unwrap().iter().map(|gap| (gap.from, gap.to, gap.lost)).collect()
}

/// All that a notebook holds, in a new memory, from the last to the first.
fn in_memory(yard: &Yard, files: &[&Path]) -> (Memory, Authority) {
    let card = yard.office.card();
    let (mut memory, mut authority) = (Memory::default(), Authority::new(card.office(), card.key));
    for signed in yard.office.notebook().statements().unwrap() {
        apply_statement(&mut memory, &mut authority, &signed).unwrap();
    }
    let key = fs::read_to_string(yard.office.folder().join("office.key")).unwrap();
    let key: serde_json::Value = serde_json::from_str(&key).unwrap();
    let key = key["seal"].as_str().unwrap().parse().unwrap();
    for file in files {
        let outer = dooryard_tests::wire::Outer::read(&fs::read(file).unwrap()).unwrap();
        for (_, bytes) in outer.text(&key).unwrap().frames().unwrap().iter().filter(|(kind, _)| *kind == 2) {
            apply_segment(&mut memory, &authority, Segment::from_cbor(bytes, &card.office()).unwrap()).unwrap();
        }
    }
    (memory, authority)
}

#[test]
fn changes_that_rotted_on_the_phone_are_reported_lost_and_the_rest_goes_on() {
    let (mut yard, ids) = planted(71, 8);
    let before = yard.bundle(&yard.phones[0], "before.yard").unwrap();
    rot(&mut yard, &[3, 4, 6, 8]);
    let office = yard.office.notebook();
    let made = yard.phones[0].make_bundle(&yard.file("rotten.yard"), &Job::silent()).unwrap();
    assert_eq!(made.changes, 4, "what can be read");
    let taken = yard.take_in(&yard.file("rotten.yard")).unwrap().report;
    assert_eq!((taken.new, taken.lost, taken.segments_refused.len()), (4, 3, 0), "{taken:?}");
    // Nothing stands behind the eighth yet, so its loss is not told: it has not come.
    assert_eq!(gaps(office), [(3, 4, true), (6, 6, true), (8, 8, false)]);
    assert!(office.show(ids[6]).is_ok() && office.show(ids[2]).is_err());
    let runs = office.runs_of(&yard.phones[0].device()).unwrap();
    let held: Vec<_> = runs.iter().map(|(_, run)| (run.from, run.to)).collect();
    assert_eq!(held, [(1, 2), (5, 5), (7, 7)], "a receipt names nothing that is not here");

    let digest_with_losses = office.digest().unwrap();
    let (mut memory, authority) = in_memory(&yard, &[&yard.file("rotten.yard")]);
    assert_eq!(digest(&mut memory, &authority).unwrap(), digest_with_losses);
    let again = yard.take_in(&yard.file("rotten.yard")).unwrap().report;
    assert_eq!((again.new, again.repeated, office.digest().unwrap()), (0, 4, digest_with_losses));

    let back = yard.reply(&yard.phones[0]).unwrap();
    assert_eq!((back.received, back.restored), (4, false), "only what the office holds counts as received");
    assert_eq!(yard.phones[0].way(ids[6]).unwrap(), Way::OfficeHasIt);
    assert_eq!(yard.phones[0].own_logs().unwrap()[0].received_to, 7, "and nothing of it is offered again");
    edit(&yard.phones[0], Kind::Plant, ids[0], json!({"present": 2})).unwrap();
    let taken = yard.take_in(&yard.bundle(&yard.phones[0], "after.yard").unwrap()).unwrap().report;
    assert_eq!((taken.new, taken.lost), (1, 1));
    assert_eq!(gaps(office), [(3, 4, true), (6, 6, true), (8, 8, true)]);
    let with_all_losses = office.digest().unwrap();

    // An older bundle still has them.
    let taken = yard.take_in(&before).unwrap().report;
    assert_eq!((taken.new, taken.repeated, taken.forks), (4, 4, 0));
    assert_eq!(gaps(office), []);
    assert_eq!(office.show(ids[3]).unwrap().text("cultivar"), Some("number 4 of all"));
    let runs = office.runs_of(&yard.phones[0].device()).unwrap();
    assert_eq!(runs.iter().map(|(_, run)| (run.from, run.to)).collect::<Vec<_>>(), [(1, 9)]);
    assert_ne!(office.digest().unwrap(), with_all_losses);
    // In any order the same, in memory and on SQLite.
    let (after, rotten) = (yard.file("after.yard"), yard.file("rotten.yard"));
    for files in [[&*before, &after, &rotten], [&rotten, &after, &before], [&after, &before, &rotten]] {
        let (mut memory, authority) = in_memory(&yard, &files);
        assert_eq!(digest(&mut memory, &authority).unwrap(), office.digest().unwrap());
    }
    let (mut memory, authority) = in_memory(&yard, &[&after, &rotten]);
    assert_eq!(digest(&mut memory, &authority).unwrap(), with_all_losses);
    assert_eq!(yard.reply(&yard.phones[0]).unwrap().received, 2);
}

#[test]
fn a_change_that_the_office_holds_already_is_not_lost_and_its_receipt_holds() {
    let (mut yard, ids) = planted(72, 4);
    yard.take_in(&yard.bundle(&yard.phones[0], "before.yard").unwrap()).unwrap();
    let digest = yard.office.notebook().digest().unwrap();
    rot(&mut yard, &[2, 3]);
    let taken = yard.take_in(&yard.bundle(&yard.phones[0], "rotten.yard").unwrap()).unwrap().report;
    assert_eq!((taken.new, taken.repeated, taken.lost), (0, 2, 2));
    assert_eq!(yard.office.notebook().digest().unwrap(), digest);
    assert_eq!(gaps(yard.office.notebook()), []);
    let back = yard.reply(&yard.phones[0]).unwrap();
    assert_eq!((back.received, back.restored), (4, false));
    assert_eq!(yard.phones[0].show(ids[1]).unwrap().text("cultivar"), Some("number 2 of all"), "and it comes back");
}

#[test]
fn what_was_got_back_of_a_damaged_notebook_tells_its_losses_and_offers_again_what_is_got_back_later() {
    let (mut yard, _) = planted(73, 6);
    yard.phones[0].pause().unwrap();
    let sound = yard.file("sound");
    copy_folder(&yard.folder(1), &sound).unwrap();
    rot(&mut yard, &[2, 5]);
    yard.phones[0].pause().unwrap();
    let damaged = yard.file("damaged.db");
    fs::copy(yard.folder(1).join("notebook.db"), &damaged).unwrap();
    yard.phones.clear();
    for ending in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(yard.folder(1).join(format!("notebook.db{ending}")));
    }
    let phone = Notebook::open(&yard.folder(1), Env::seeded(10, &yard.clock)).unwrap();
    let got = phone.recover(&damaged).unwrap();
    assert_eq!((got.changes, got.here, got.unreadable), (4, 0, 2));
    assert_eq!(gaps(&phone), [(2, 2, true), (5, 5, true)]);
    let taken = yard.take_in(&yard.bundle(&phone, "recovered.yard").unwrap()).unwrap().report;
    assert_eq!((taken.new, taken.lost), (4, 2), "{taken:?}");
    assert_eq!(gaps(yard.office.notebook()), [(2, 2, true), (5, 5, true)]);
    assert_eq!(yard.reply(&phone).unwrap().received, 4);
    assert_eq!(phone.make_bundle(&yard.file("nothing.yard"), &Job::silent()).unwrap().changes, 0);

    let got = phone.recover(&sound.join("notebook.db")).unwrap();
    assert_eq!((got.changes, got.here, got.unreadable), (2, 4, 0));
    assert_eq!(gaps(&phone), []);
    let taken = yard.take_in(&yard.bundle(&phone, "whole.yard").unwrap()).unwrap().report;
    assert_eq!((taken.new, taken.lost), (2, 0), "{taken:?}");
    assert_eq!(gaps(yard.office.notebook()), []);
    assert_eq!(phone.digest().unwrap(), {
        let (mut memory, authority) = in_memory(&yard, &[&yard.file("whole.yard"), &yard.file("recovered.yard")]);
        digest(&mut memory, &authority).unwrap()
    });
}

#[test]
fn no_signature_is_good_for_anything_before_a_lost_change() {
    let (yard, _) = planted(74, 5);
    let (phone, office) = (&yard.phones[0], yard.office.card().office());
    let whole = phone.segment_after(&phone.own_log(), 0).unwrap().unwrap();
    let behind = |prev| Segment {
        signature: whole.signature.clone(),
        ..Segment::after_lost(&office, whole.log, prev, vec![whole.hashes[2]], whole.changes[3..].to_vec())
    };
    // The first two changes, other ones than the phone wrote, and the phone's own signature over the last.
    let mut forged = whole.changes[..2].to_vec();
    forged[1].slots[1] = dooryard_core::log::Slot::Body { salt: [1; 16], value: vec![0x63, b'e', b'l', b'm'] };
    let forged = Segment::new(&office, whole.log, Hash32::ZERO, forged);
    let key = dooryard_core::notebook::DeviceKeys::read(
        &yard.folder(1).join("local/device.key"),
        &dooryard_core::notebook::OwnerOnlyFile,
    )
    .unwrap()
    .signing;
    let hand = dooryard_tests::hand::Hand::of(phone, yard.office.card());
    assert_eq!(hand.key.public(), key.public());
    let take = |segments: &[&Segment]| {
        let mut frames = vec![hand.manifest(1, 5)];
        frames.extend(segments.iter().map(|segment| (2, segment.to_cbor())));
        fs::write(yard.file("forged.yard"), hand.file(&frames)).unwrap();
        yard.take_in(&yard.file("forged.yard")).unwrap().report
    };
    let report = take(&[&forged, &behind(forged.tip())]);
    assert_eq!((report.new, report.lost), (0, 0), "{report:?}");
    assert_eq!(report.segments_refused.get("BAD_SIGNATURE"), Some(&1), "{report:?}");
    // Nor through a third one that closes both.
    let last = Segment {
        signature: whole.signature.clone(),
        ..Segment::new(&office, whole.log, whole.hashes[3], whole.changes[4..].to_vec())
    };
    let mut middle = behind(forged.tip());
    middle = Segment::after_lost(&office, whole.log, forged.tip(), middle.lost, whole.changes[3..4].to_vec());
    let report = take(&[&forged, &middle, &last]);
    assert_eq!((report.new, report.lost), (0, 0), "{report:?}");
    // Alone it is what the phone signed.
    let report = take(&[&behind(Hash32::ZERO)]);
    assert_eq!((report.new, report.lost, report.segments_refused.len()), (2, 1, 0), "{report:?}");
}

#[test]
fn a_merged_backup_brings_what_is_reported_lost() {
    let (mut yard, _) = planted(74, 5);
    rot(&mut yard, &[2, 3]);
    yard.office.notebook().pause().unwrap();
    let older = yard.dir.path().join("older");
    copy_folder(yard.office.folder(), &older).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "rotten.yard").unwrap()).unwrap();
    let (backup, key) = (yard.file("office.backup"), yard.file("recovery.key"));
    yard.office.back_up(&backup, false, &Job::silent()).unwrap();
    fs::write(&key, yard.office.recovery_key().unwrap()).unwrap();
    let key = dooryard_office::desk::recovery_key(&key).unwrap();
    let (env, beside) = (|seed| Env::seeded(seed, &yard.clock), dooryard_office::desk::LedgerChoice::Beside);
    dooryard_office::desk::Office::restore(&backup, &older, &key, &beside, None, env(75), &Job::silent()).unwrap();
    let merged = dooryard_office::desk::Office::open(&older, env(76)).unwrap();
    assert_eq!(gaps(merged.notebook()), [(2, 3, true)]);
    assert_eq!(merged.notebook().digest().unwrap(), yard.office.notebook().digest().unwrap());
}
