//! Erased words in what stands beside the notebooks: files that a phone gave out, and bundles that wait at the
//! office.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{
    fs::{self, File},
    io::Read,
    path::{Path, PathBuf},
};

use dooryard_core::{
    clock::Env,
    ids::RecordId,
    job::Job,
    notebook::Notebook,
    own_data::export,
    record::{Kind, Role},
};
use dooryard_office::desk::{Erased, LedgerChoice, Office, Outcome, recovery_key};
use dooryard_tests::{Yard, edit, files_with, save};
use serde_json::json;

/// Words that stand nowhere else.
const NOTE: &str = "ring twice at the teal gate";

fn quiet() -> Job {
    Job::silent()
}

/// Files of a folder and of those in it, whatever is in them.
fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    entries.flat_map(|path| if path.is_dir() { files(&path) } else { vec![path] }).collect()
}

/// Whether a word stands in a zip file, unpacked.
fn in_zip(file: &Path, word: &str) -> bool {
    let mut zip = zip::ZipArchive::new(File::open(file).unwrap()).unwrap();
    (0..zip.len()).any(|at| {
        let mut bytes = Vec::new();
        zip.by_index(at).unwrap().read_to_end(&mut bytes).unwrap();
        String::from_utf8_lossy(&bytes).contains(word)
    })
}

/// What a phone gives out: its bundle, its own data, a letter in a folder of its own.
fn give_out(yard: &Yard, phone: &Notebook) -> PathBuf {
    let out = yard.dir.path().join("shared");
    fs::create_dir_all(out.join("letters")).unwrap();
    phone.make_bundle(&out.join("hand-over.yard"), &quiet()).unwrap();
    export(phone, &out.join("own.zip"), &quiet()).unwrap();
    fs::write(out.join("letters/letter.txt"), NOTE).unwrap();
    out
}

#[test]
fn what_a_phone_gave_out_goes_with_the_reply_that_erases_and_is_offered_again() {
    let yard = Yard::new(501, 1).unwrap();
    let one = &yard.phones[0];
    let contact = save(one, Kind::Contact, json!({"note": NOTE})).unwrap();
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    // Handed over and never received.
    let plant = save(one, Kind::Plant, json!({"host": "oak"})).unwrap();
    let out = give_out(&yard, one);
    let bytes = fs::read(out.join("hand-over.yard")).unwrap();
    let needle = &bytes[bytes.len() / 2..][..40];
    assert!(in_zip(&out.join("own.zip"), NOTE) && !files_with(&out, NOTE.as_bytes()).unwrap().is_empty());
    assert!(!files_with(&out, needle).unwrap().is_empty(), "the test would see them");

    yard.reply(one).unwrap();
    assert!(!one.heed_given_out(&out).unwrap(), "nothing was erased");
    assert_eq!(files(&out).len(), 3);

    yard.office.erase(contact).unwrap();
    yard.reply(one).unwrap();
    assert!(one.heed_given_out(&out).unwrap());
    assert_eq!(files(&out), Vec::<PathBuf>::new());
    // It goes into the next bundle, which stays until something else is erased.
    let again = out.join("again.yard");
    assert!(one.make_bundle(&again, &quiet()).unwrap().changes > 0);
    assert!(!one.heed_given_out(&out).unwrap());
    yard.take_in(&again).unwrap();
    assert!(yard.office.notebook().show(plant).is_ok());
    yard.office.erase(plant).unwrap();
    yard.reply(one).unwrap();
    assert!(one.heed_given_out(&out).unwrap());
    assert_eq!(files(&out), Vec::<PathBuf>::new());
}

#[test]
fn what_a_phone_gave_out_goes_at_the_next_start_where_it_was_stopped_after_the_reply() {
    let mut yard = Yard::new(502, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": NOTE})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    let out = give_out(&yard, &yard.phones[0]);
    yard.office.erase(contact).unwrap();
    yard.reply(&yard.phones[0]).unwrap();
    // The program ends here: nobody asked.
    yard.phones.clear();
    assert_eq!(files(&out).len(), 3);
    let phone = Notebook::open(&yard.folder(1), Env::seeded(503, &yard.clock)).unwrap();
    assert!(phone.heed_given_out(&out).unwrap());
    assert_eq!(files(&out), Vec::<PathBuf>::new());
    // A folder that is not there holds nothing; what cannot be taken away is asked for again.
    assert!(!phone.heed_given_out(&out.join("none")).unwrap());
    yard.office.erase(contact).unwrap();
    yard.phones.push(phone);
    yard.reply(&yard.phones[0]).unwrap();
    let phone = &yard.phones[0];
    fs::write(yard.file("file"), b"no folder").unwrap();
    assert!(phone.heed_given_out(&yard.file("file")).is_err());
    fs::write(out.join("late.zip"), NOTE).unwrap();
    assert!(phone.heed_given_out(&out).unwrap());
    assert_eq!(files(&out), Vec::<PathBuf>::new());
}

/// An office that knows a contact, and two phones whose bundles wait there: the second one's names the contact.
fn waiting() -> (Yard, RecordId, Vec<u8>) {
    let yard = Yard::new(504, 1).unwrap();
    let contact = save(&yard.phones[0], Kind::Contact, json!({"note": "known"})).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "1.yard").unwrap()).unwrap();
    let mut needle = Vec::new();
    for n in [2, 3] {
        let invitation = yard.office.invite(Role::Scout, &format!("Scout {n}"), 86_400_000).unwrap();
        let phone = Notebook::create(&yard.folder(n), Env::seeded(504 + n as u64, &yard.clock)).unwrap();
        phone.join(&invitation).unwrap();
        save(&phone, Kind::Plant, json!({"host": "oak"})).unwrap();
        if n == 3 {
            edit(&phone, Kind::Contact, contact, json!({"note": NOTE})).unwrap();
        }
        let bundle = yard.bundle(&phone, &format!("waits-{n}.yard")).unwrap();
        let bytes = fs::read(&bundle).unwrap();
        needle = bytes[bytes.len() / 2..][..40].to_vec();
        assert_eq!(yard.take_in(&bundle).unwrap().outcome, Outcome::Kept);
        fs::remove_file(bundle).unwrap();
    }
    (yard, contact, needle)
}

#[test]
fn what_can_be_taken_back_of_an_erased_record_is_forgotten() {
    let yard = Yard::new(505, 1).unwrap();
    let one = &yard.phones[0];
    let [contact, other] = [0, 1].map(|_| save(one, Kind::Contact, json!({"note": NOTE})).unwrap());
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    let office = yard.office.notebook();
    let step = |id: RecordId, before: &str| json!({"Wrote": {"record": id.to_string(), "before": before}}).to_string();
    office.keep_draft("undo/1", Some(&step(contact, "under the copper kettle"))).unwrap();
    office.keep_draft("undo/2", Some(&step(other, "it stays"))).unwrap();
    office.keep_draft("resume", Some(&step(contact, "no words of its own"))).unwrap();
    office.pause().unwrap();
    let holds = || files_with(yard.office.folder(), b"copper kettle").unwrap();
    assert!(!holds().is_empty(), "the test would see it");
    yard.office.erase(contact).unwrap();
    office.pause().unwrap();
    assert_eq!((office.draft("undo/1").unwrap(), holds()), (None, Vec::new()));
    assert!(office.draft("undo/2").unwrap().is_some() && office.draft("resume").unwrap().is_some());
}

fn number_of(office: &Office, label: &str) -> String {
    office.waiting().unwrap().into_iter().find(|waiting| waiting.label == label).unwrap().id
}

fn flags(office: &Office) -> Vec<(String, bool)> {
    let mut flags: Vec<_> = office.waiting().unwrap().into_iter().map(|w| (w.label, w.holds_erased)).collect();
    flags.sort();
    flags
}

#[test]
fn a_bundle_that_waits_and_names_an_erased_record_is_listed_for_a_decision_also_after_a_restore() {
    let (yard, contact, needle) = waiting();
    let marked = |three| [("Scout 2".to_owned(), false), ("Scout 3".to_owned(), three)];
    assert_eq!(flags(&yard.office), marked(false));
    let other = number_of(&yard.office, "Scout 2");
    assert_eq!(yard.office.erase(contact).unwrap(), Erased { views: 0, to_decide: 1 });
    assert_eq!(flags(&yard.office), marked(true), "the other one's work is not touched");
    let backup = yard.file("office.backup");
    yard.office.back_up(&backup, false, &quiet()).unwrap();
    fs::write(yard.file("recovery"), yard.office.recovery_key().unwrap()).unwrap();
    let key = recovery_key(&yard.file("recovery")).unwrap();
    let folder = yard.dir.path().join("restored");
    let env = Env::seeded(509, &yard.clock);
    Office::restore(&backup, &folder, &key, &LedgerChoice::Beside, None, env.clone(), &quiet()).unwrap();
    let restored = Office::open(&folder, env).unwrap();
    assert_eq!(flags(&restored), marked(true));

    for office in [&yard.office, &restored] {
        assert_eq!(files_with(office.folder(), &needle).unwrap().len(), 1, "the test would see it");
        assert!(office.drop_waiting(&other).is_err(), "nothing of it was erased");
        let id = number_of(office, "Scout 3");
        office.drop_waiting(&id).unwrap();
        assert!(office.drop_waiting(&id).is_err());
        assert_eq!(files_with(office.folder(), &needle).unwrap(), Vec::<PathBuf>::new());
        assert_eq!(flags(office), marked(false)[..1]);
        assert_eq!(office.files_to_decide().unwrap(), 0);
    }
}

#[test]
fn a_bundle_that_waits_and_can_no_longer_be_read_is_listed_once_something_is_erased() {
    let (yard, contact, _) = waiting();
    let two = number_of(&yard.office, "Scout 2");
    fs::write(yard.office.folder().join(format!("waiting/{two}.yard")), b"no bundle").unwrap();
    yard.office.erase(contact).unwrap();
    assert!(flags(&yard.office).iter().all(|(_, flagged)| *flagged));
}

#[test]
fn a_bundle_that_waited_brings_its_phones_work_and_none_of_what_was_erased() {
    let (yard, contact, needle) = waiting();
    yard.office.erase(contact).unwrap();
    let asked = yard.office.asking().unwrap().into_iter().find(|asked| asked.label == "Scout 3").unwrap();
    yard.office.admit_phone(&asked, false, &quiet()).unwrap();
    let plants = dooryard_core::notebook::Query { kind: Some(Kind::Plant), ..Default::default() };
    assert_eq!(yard.office.notebook().list(&plants).unwrap().total, 1);
    yard.office.notebook().pause().unwrap();
    for bytes in [NOTE.as_bytes(), &b"teal"[..], &needle[..]] {
        assert_eq!(files_with(yard.office.folder(), bytes).unwrap(), Vec::<PathBuf>::new());
    }
}
