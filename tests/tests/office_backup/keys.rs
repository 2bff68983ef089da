//! Backups and keys that were put away or changed; what a backup holds beside the notebook.

use std::{fs, path::PathBuf};

use dooryard_core::{
    Code, Error,
    clock::Env,
    notebook::Notebook,
    record::{Kind, Role},
};
use dooryard_office::desk::{LedgerChoice, Office, Outcome, recovery_key};
use dooryard_tests::{Yard, files_with, save};
use serde_json::json;

use super::steps::{WORDS, bring_back, key, quiet, restore};

#[test]
fn a_recovery_key_that_was_put_away_opens_the_backups_made_afterwards() {
    let mut yard = Yard::new(95, 2).unwrap();
    save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    let drawer = yard.file("drawer");
    yard.office.put_away(&drawer).unwrap();
    let dir = yard.dir.path().join("office");
    yard.office = Office::open(&dir, Env::seeded(97, &yard.clock)).unwrap();
    assert!(matches!(yard.office.recovery_key(), Err(Error::NotFound(_))));
    let away = recovery_key(&drawer.join("recovery.key")).unwrap();
    // A phone that is lost, by the backup that it left.
    save(&yard.phones[1], Kind::Plant, json!({"host": "elm"})).unwrap();
    let phone = yard.file("phone.backup");
    yard.phones[1].back_up(&phone, &quiet()).unwrap();
    let shut = yard.office.take_backup_of_phone(&phone, None, &quiet()).err().and_then(|e| e.code());
    assert_eq!(shut, Some(Code::NotForUs));
    assert_eq!(yard.office.take_backup_of_phone(&phone, Some(&away), &quiet()).unwrap().changes, 1);
    // And the office itself, whose key file comes back as it was: without the keys in the drawer.
    yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    let digest = yard.office.notebook().digest().unwrap();
    fs::remove_dir_all(&dir).unwrap();
    let new = yard.dir.path().join("new-office");
    restore(&yard, &away, &new, &LedgerChoice::Beside).unwrap();
    let office = Office::open(&new, Env::seeded(96, &yard.clock)).unwrap();
    assert_eq!(office.notebook().digest().unwrap(), digest);
    assert!(office.recovery_key().is_err());
    let file: serde_json::Value = serde_json::from_slice(&fs::read(new.join("office.key")).unwrap()).unwrap();
    assert!(file["recovery"].is_null() && file["root"].is_null());
}

#[test]
fn a_backup_of_before_new_keys_is_merged_and_old_ledgers_are_heeded_still() {
    let mut yard = Yard::new(96, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": WORDS})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    let (key, dir) = (key(&yard), yard.dir.path().join("office"));
    yard.office.erase(contact).unwrap();
    let old = fs::read(dir.join("erasures.ledger")).unwrap();
    yard.office = Office::change_keys(&dir, None, Env::seeded(97, &yard.clock)).unwrap();
    assert_ne!(fs::read(dir.join("erasures.ledger")).unwrap(), old, "signed with the new key");
    fs::write(dir.join("erasures.ledger"), &old).unwrap();
    yard.office = Office::open(&dir, Env::seeded(96, &yard.clock)).unwrap();
    let restored = restore(&yard, &key, &dir, &LedgerChoice::Beside).unwrap();
    assert!(restored.merged.is_some_and(|merged| merged.here > 0));
    yard.office = Office::open(&dir, Env::seeded(95, &yard.clock)).unwrap();
    assert_eq!(yard.office.card().serial, 2);
    assert_eq!(files_with(&dir, WORDS.as_bytes()).unwrap(), Vec::<PathBuf>::new());
    yard.reply(&yard.phones[0]).unwrap();
}

#[test]
fn a_backup_of_before_new_keys_comes_back_into_an_empty_folder_with_newer_keys_still() {
    let mut yard = Yard::new(101, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": WORDS})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    let (key, dir) = (key(&yard), yard.dir.path().join("office"));
    let drawer = yard.file("drawer");
    yard.office.put_away(&drawer).unwrap();
    yard.office = Office::open(&dir, Env::seeded(97, &yard.clock)).unwrap();
    yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    yard.office = Office::change_keys(&dir, Some(&drawer), Env::seeded(98, &yard.clock)).unwrap();
    // The phone follows the new card; the contact is erased with the new key.
    yard.reply(&yard.phones[0]).unwrap();
    yard.office.erase(contact).unwrap();
    let lost = yard.office.card().clone();
    fs::remove_dir_all(&dir).unwrap();

    let new = yard.dir.path().join("new-office");
    let (file, env) = (yard.file("office.backup"), || Env::seeded(99, &yard.clock));
    let beside = LedgerChoice::Beside;
    let without = Office::restore(&file, &new, &key, &beside, None, env(), &quiet()).unwrap_err();
    assert_eq!(without.code(), Some(Code::KeyLost), "{without}");
    assert!(!new.exists(), "nothing was begun");
    let restored = Office::restore(&file, &new, &key, &beside, Some(&drawer), env(), &quiet()).unwrap();
    assert_eq!((restored.new_keys, restored.erased_records, lost.serial), (Some(3), 1, 2));
    yard.office = Office::open(&new, Env::seeded(100, &yard.clock)).unwrap();
    let card = yard.office.card();
    assert_eq!((card.root, card.former.len()), (lost.root, 2));
    assert!(card.key != lost.key && card.former.iter().any(|former| former.key == lost.key));
    assert_eq!(files_with(&new, WORDS.as_bytes()).unwrap(), Vec::<PathBuf>::new());
    // The phone learns the third card, the erasure and the new life with its next reply.
    yard.reply(&yard.phones[0]).unwrap();
    assert_eq!(&yard.phones[0].card().unwrap(), yard.office.card());
    assert_eq!(files_with(&yard.folder(1), WORDS.as_bytes()).unwrap(), Vec::<PathBuf>::new());
    save(&yard.phones[0], Kind::Plant, json!({"host": "elm"})).unwrap();
    assert_eq!(yard.take_in(&yard.bundle(&yard.phones[0], "2.yard").unwrap()).unwrap().code, None);
}

#[test]
fn what_waits_and_invitations_come_back_with_the_office() {
    let mut yard = Yard::new(102, 0).unwrap();
    let invitation = yard.office.invite(Role::Scout, "Scout 9", 86_400_000).unwrap();
    let phone = Notebook::create(&yard.file("phone"), Env::seeded(103, &yard.clock)).unwrap();
    phone.join(&invitation).unwrap();
    save(&phone, Kind::Plant, json!({"host": "oak"})).unwrap();
    let bundle = yard.file("phone.yard");
    phone.make_bundle(&bundle, &quiet()).unwrap();
    assert_eq!(yard.take_in(&bundle).unwrap().outcome, Outcome::Kept);
    yard.office.back_up(&yard.file("office.backup"), false, &quiet()).unwrap();
    let before = (yard.office.waiting().unwrap(), yard.office.asking().unwrap());
    assert_eq!((before.0.len(), before.1.len()), (1, 1));
    bring_back(&mut yard);
    assert_eq!((yard.office.waiting().unwrap(), yard.office.asking().unwrap()), before);
    for file in fs::read_dir(yard.office.folder().join("invitations")).unwrap().flatten() {
        use std::os::unix::fs::PermissionsExt;
        let mode = file.metadata().unwrap().permissions().mode() & 0o777;
        assert!(file.file_name() == "lock" || mode == 0o600, "{:?} is {mode:o}", file.file_name());
    }
    let asked = yard.office.asking().unwrap().remove(0);
    yard.office.admit_phone(&asked, false, &quiet()).unwrap();
    assert_eq!(yard.office.notebook().list(&Default::default()).unwrap().total, 1);
    assert_eq!(yard.office.waiting().unwrap(), []);
}
