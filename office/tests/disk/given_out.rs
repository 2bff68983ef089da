//! What a phone gave out and took away again after an erasure does not come back with a power cut: nothing would take it away then.

use std::{env, fs, path::PathBuf, process::Command};

use dooryard_core::{clock::Env, notebook::Notebook, record::Kind};
use dooryard_tests::{Yard, copy_folder, save};
use serde_json::json;

use super::{
    calls,
    tasks::WORD,
    unsynced::{Disk, Kept},
};

/// Names the folder in which this test, run once more in a program of its own, is a phone that takes away.
const FOLDER: &str = "DOORYARD_TEST_TAKES_AWAY";

#[test]
fn what_was_taken_away_a_power_cut_does_not_bring_back() {
    if let Some(folder) = env::var_os(FOLDER).map(PathBuf::from) {
        let phone = Notebook::open(&folder.join("phone"), Env::system()).unwrap();
        assert!(phone.heed_given_out(&folder.join("shared")).unwrap());
        return;
    }
    let yard = Yard::new(72, 1).unwrap();
    let phone = &yard.phones[0];
    let contact = save(phone, Kind::Contact, json!({"note": WORD})).unwrap();
    yard.take_in(&yard.bundle(phone, "1.yard").unwrap()).unwrap();
    yard.office.erase(contact).unwrap();
    yard.reply(phone).unwrap();
    phone.pause().unwrap();
    let folder = yard.file("work");
    copy_folder(&yard.folder(1), &folder.join("phone")).unwrap();
    fs::create_dir_all(folder.join("shared/letters")).unwrap();
    for letter in ["shared/one.txt", "shared/letters/another.txt"] {
        fs::write(folder.join(letter), WORD).unwrap();
    }
    let mut disk = Disk::of(&folder);
    let with = |disk: &Disk, kept: Kept| {
        let files = disk.after_a_cut(kept).0.into_values();
        files.filter(|bytes| memchr::memmem::find(bytes, WORD.as_bytes()).is_some()).count()
    };
    assert_eq!(with(&disk, Kept::Nothing), 2, "the test would see them");
    let mut takes_away = Command::new("env");
    takes_away.arg(format!("{FOLDER}={}", folder.display())).arg(env::current_exe().unwrap());
    takes_away.args(["--exact", "given_out::what_was_taken_away_a_power_cut_does_not_bring_back"]);
    for call in calls::of(&takes_away, &yard.file("calls.log")) {
        disk.apply(&call);
    }
    for kept in [Kept::Nothing, Kept::Names, Kept::All].into_iter().chain((0..20).map(Kept::Some)) {
        assert_eq!(with(&disk, kept), 0, "{kept:?} kept");
    }
}
