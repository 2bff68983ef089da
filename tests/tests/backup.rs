//! Backups of a notebook: with photos, into an empty folder, merged into one that has data; bad ones change nothing.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{collections::BTreeMap, fs, path::Path};

use dooryard_core::{
    Code,
    clock::Env,
    job::Job,
    notebook::{Merged, Notebook},
    record::Kind,
};
use dooryard_tests::{Yard, add_photo, copy_folder, edit, files_with, save};
use serde_json::json;

fn quiet() -> Job {
    Job::silent()
}

fn lose_database(yard: &mut Yard, n: usize) {
    yard.phones.remove(n - 1);
    for ending in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(yard.folder(n).join(format!("notebook.db{ending}")));
    }
}

/// Every file of a folder with its bytes, but for the locks that SQLite keeps beside an open database.
fn whole(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.path().is_dir() {
            found.extend(whole(&entry.path()).into_iter().map(|(inner, bytes)| (format!("{name}/{inner}"), bytes)));
        } else if !name.ends_with("-shm") {
            found.insert(name, fs::read(entry.path()).unwrap());
        }
    }
    found
}

#[test]
fn a_lost_database_comes_back_with_its_photos_and_drafts_under_a_log_of_its_own() {
    let mut yard = Yard::new(61, 1).unwrap();
    let backup = yard.file("backup");
    let plant = save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    let image = add_photo(&yard, &yard.phones[0]).unwrap();
    yard.phones[0].keep_draft("new inquiry", Some("half a sentence")).unwrap();
    let (digest, log) = (yard.phones[0].digest().unwrap(), yard.phones[0].own_log());
    let bytes = fs::read(yard.phones[0].blob_path(&image)).unwrap();
    let made = yard.phones[0].back_up(&backup, &quiet()).unwrap();
    assert_eq!(made.photos, 2);
    lose_database(&mut yard, 1);
    fs::remove_dir_all(yard.folder(1).join("photos")).unwrap();

    let env = Env::seeded(62, &yard.clock);
    let restored = Notebook::restore_backup(&yard.folder(1), &backup, env.clone(), &quiet()).unwrap();
    assert_eq!(restored.digest().unwrap(), digest);
    assert_eq!(fs::read(restored.blob_path(&image)).unwrap(), bytes);
    assert_eq!(restored.draft("new inquiry").unwrap().as_deref(), Some("half a sentence"));
    assert_eq!(restored.search("oak").unwrap().total, 1, "lists and search are there");
    assert_ne!(restored.own_log(), log);
    assert_eq!(restored.show(plant).unwrap().text("host"), Some("oak"));
    let again = Notebook::restore_backup(&yard.folder(1), &backup, env, &quiet()).err().unwrap();
    assert_eq!(again.code(), Some(Code::Schema), "a folder that has one is left alone");
    let left: Vec<_> = whole(&yard.folder(1)).into_keys().filter(|name| name.contains("scratch")).collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_backup_merges_into_a_notebook_that_has_data_and_nothing_of_either_is_lost() {
    let mut yard = Yard::new(63, 1).unwrap();
    let backup = yard.file("backup");
    let old = save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    let image = add_photo(&yard, &yard.phones[0]).unwrap();
    yard.phones[0].keep_draft("new inquiry", Some("the old words")).unwrap();
    yard.phones[0].keep_draft("only there", Some("words")).unwrap();
    yard.phones[0].back_up(&backup, &quiet()).unwrap();
    // The database is lost and the phone goes on with an empty one.
    lose_database(&mut yard, 1);
    fs::remove_dir_all(yard.folder(1).join("photos")).unwrap();
    let phone = Notebook::open(&yard.folder(1), Env::seeded(64, &yard.clock)).unwrap();
    yard.enrol(&phone, dooryard_core::record::Role::Scout, "Scout 1").unwrap();
    let new = save(&phone, Kind::Plant, json!({"host": "elm"})).unwrap();
    edit(&phone, Kind::Plant, old, json!({"host": "ash"})).unwrap();
    phone.keep_draft("new inquiry", Some("the new words")).unwrap();

    let merged = phone.merge_backup(&backup, &quiet()).unwrap();
    assert_eq!((merged.changes, merged.here, merged.photos, merged.drafts_aside), (2, 0, 2, 1));
    assert!(!merged.new_log, "nothing of the log in use came from the backup");
    assert_eq!(phone.show(new).unwrap().text("host"), Some("elm"));
    assert_eq!(phone.conflicts().unwrap().len(), 1, "both hosts are kept: neither had seen the other");
    assert!(phone.blob_path(&image).exists());
    assert_eq!(phone.draft("new inquiry").unwrap().as_deref(), Some("the new words"));
    assert_eq!(phone.draft("new inquiry (from a backup)").unwrap().as_deref(), Some("the old words"));
    assert_eq!(phone.draft("only there").unwrap().as_deref(), Some("words"));
    let digest = phone.digest().unwrap();
    let again = phone.merge_backup(&backup, &quiet()).unwrap();
    assert_eq!((again.changes, again.here, again.photos), (0, 2, 0));
    assert_eq!(phone.digest().unwrap(), digest);
    phone.rebuild().unwrap();
    assert_eq!(phone.digest().unwrap(), digest);
    // All of it reaches the office, the log before the loss too.
    let taken = yard.take_in(&yard.bundle(&phone, "all.yard").unwrap()).unwrap();
    assert_eq!((taken.report.new, taken.report.photos), (4, 2));
    assert_eq!(yard.office.notebook().gaps().unwrap(), []);
}

#[test]
fn a_backup_that_is_further_in_this_log_than_the_notebook_makes_it_begin_another() {
    let yard = Yard::new(65, 1).unwrap();
    save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.phones[0].pause().unwrap();
    let copy = yard.dir.path().join("copy");
    copy_folder(&yard.folder(1), &copy).unwrap();
    save(&yard.phones[0], Kind::Plant, json!({"host": "elm"})).unwrap();
    let backup = yard.file("backup");
    yard.phones[0].back_up(&backup, &quiet()).unwrap();
    let older = Notebook::open(&copy, Env::seeded(66, &yard.clock)).unwrap();
    let log = older.own_log();
    let merged = older.merge_backup(&backup, &quiet()).unwrap();
    assert_eq!(merged, Merged { changes: 1, here: 1, new_log: true, ..Merged::default() });
    assert_ne!(older.own_log(), log);
    save(&older, Kind::Plant, json!({"host": "ash"})).unwrap();
    yard.take_in(&yard.bundle(&older, "1.yard").unwrap()).unwrap();
    save(&yard.phones[0], Kind::Plant, json!({"host": "fir"})).unwrap();
    let taken = yard.take_in(&yard.bundle(&yard.phones[0], "2.yard").unwrap()).unwrap();
    assert_eq!(taken.report.forks, 0, "and so no place of a log is written twice");
}

#[test]
fn what_is_erased_stays_erased_when_an_older_backup_is_merged() {
    const WORDS: &str = "ring at the cobalt gate";
    let yard = Yard::new(67, 1).unwrap();
    let phone = &yard.phones[0];
    let contact = save(phone, Kind::Contact, json!({"note": WORDS})).unwrap();
    let image = add_photo(&yard, phone).unwrap();
    let photo = phone.list(&Default::default()).unwrap().rows.iter().find(|r| r.kind == Kind::Photo).unwrap().id;
    yard.take_in(&yard.bundle(phone, "1.yard").unwrap()).unwrap();
    yard.reply(phone).unwrap();
    phone.keep_draft(&format!("contact {contact}"), Some(WORDS)).unwrap();
    let backup = yard.file("backup");
    phone.back_up(&backup, &quiet()).unwrap();
    assert!(files_with(yard.dir.path(), WORDS.as_bytes()).unwrap().len() > 1, "the test would see them");
    yard.office.erase(contact).unwrap();
    yard.office.erase(photo).unwrap();
    yard.reply(phone).unwrap();
    phone.keep_draft(&format!("contact {contact}"), Some("typed after it")).unwrap();
    let digest = phone.digest().unwrap();

    let merged = phone.merge_backup(&backup, &quiet()).unwrap();
    assert_eq!((merged.changes, merged.photos, merged.drafts_aside), (0, 0, 0));
    assert_eq!(phone.digest().unwrap(), digest);
    phone.pause().unwrap();
    assert_eq!(files_with(yard.dir.path(), WORDS.as_bytes()).unwrap(), Vec::<std::path::PathBuf>::new());
    assert!(!phone.blob_path(&image).exists());
    assert_eq!(phone.draft(&format!("contact {contact}")).unwrap().as_deref(), Some("typed after it"));
    yard.reply(phone).unwrap();
    assert_eq!(phone.draft(&format!("contact {contact}")).unwrap().as_deref(), Some("typed after it"), "and stays");
}

#[test]
fn a_bad_backup_is_refused_and_changes_nothing() {
    let yard = Yard::new(68, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    save(one, Kind::Plant, json!({"host": "oak"})).unwrap();
    add_photo(&yard, one).unwrap();
    let backup = yard.file("backup");
    one.back_up(&backup, &quiet()).unwrap();
    let good = fs::read(&backup).unwrap();
    save(one, Kind::Plant, json!({"host": "elm"})).unwrap();
    for phone in [one, two] {
        phone.pause().unwrap();
    }
    let before = [whole(&yard.folder(1)), whole(&yard.folder(2))];
    let code = |phone: &Notebook| phone.merge_backup(&backup, &quiet()).err().and_then(|e| e.code());
    assert_eq!(code(two), Some(Code::NotForUs), "another phone's");
    for at in [good.len() - 1, good.len() / 2, 60_000, 300] {
        fs::write(&backup, &good[..at]).unwrap();
        assert!(code(one).is_some(), "cut at {at}");
        let mut flipped = good.clone();
        flipped[at] ^= 1;
        fs::write(&backup, &flipped).unwrap();
        assert!(code(one).is_some(), "flipped at {at}");
    }
    fs::write(&backup, b"no backup at all").unwrap();
    assert_eq!(code(one), Some(Code::Schema));
    for (phone, before) in [one, two].into_iter().zip(&before) {
        phone.pause().unwrap();
        assert!(whole(phone.folder()) == *before, "a file of {} is another", phone.folder().display());
    }
}

#[test]
fn a_backup_of_another_maker_signed_by_nobody_here_is_refused() {
    // Anyone can seal to a phone's key; only the phone can sign.
    let yard = Yard::new(69, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    save(one, Kind::Plant, json!({"host": "oak"})).unwrap();
    let request = dooryard_core::notebook::Request::read(&two.enrolment_request()).unwrap();
    let forged = yard.file("forged");
    let stranger = dooryard_core::sign::Signing::from_seed(&[9; 32]);
    let office = yard.office.card().office();
    let mut writer = dooryard_core::archive::Writer::create(&forged, &[&request.seal]).unwrap();
    let sort = dooryard_core::notebook::BackupSort::Notebook;
    dooryard_core::notebook::BackupHead { sort, office, key: request.key, made_ms: 0 }.write(&mut writer).unwrap();
    one.pause().unwrap();
    writer.small(2, b"", &fs::read(yard.folder(1).join("notebook.db")).unwrap()).unwrap();
    writer.finish(&stranger, &office).unwrap().place().unwrap();
    let digest = two.digest().unwrap();
    assert_eq!(two.merge_backup(&forged, &quiet()).err().unwrap().code(), Some(Code::BadSignature));
    assert_eq!(two.digest().unwrap(), digest);
}
