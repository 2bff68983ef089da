//! What is erased or sealed goes from the file of the index; no backup holds it.

use std::path::Path;

use dooryard_core::{clock::Env, job::Job, record::Kind};
use dooryard_tests::{Yard, edit, files_with, save};
use rusqlite::Connection;
use serde_json::json;

use super::{
    super::{Ask, From, Index, store},
    folder, followed, names,
    oracle::agree,
};

/// The words of the tests of erasure, as the text index cuts them too.
const WORDS: [&str; 5] = ["Quillhaven", "quillhaven", "teal gate", "teal", "cobaltine"];

fn with_words(at: &Path) -> Vec<&'static str> {
    WORDS.into_iter().filter(|words| !files_with(at, words.as_bytes()).unwrap().is_empty()).collect()
}

#[test]
fn erased_words_are_in_no_file() {
    let yard = Yard::new(360, 0).unwrap();
    let notebook = yard.office.notebook();
    let at = folder(&yard, "index");
    let contact =
        save(notebook, Kind::Contact, json!({"reach": {"name": "Quillhaven"}, "note": "ring at the teal gate"}))
            .unwrap();
    // So many words that some of them stand above the pages of the text index, to find these by.
    let question = (0..1_200).map(|n| format!("cobaltine{n}")).collect::<Vec<_>>().join(" ");
    let inquiry = save(notebook, Kind::Inquiry, json!({"contact": contact.to_string(), "question": question})).unwrap();
    // Neighbours in the text index, before and after; and an edit, so that the words have been around.
    for n in 0..200 {
        save(notebook, Kind::Inquiry, json!({"question": format!("co{n} quill{n} te{n} ring {n}")})).unwrap();
    }
    let index = followed(&at, notebook);
    edit(notebook, Kind::Contact, contact, json!({"note": "ring twice at the teal gate, Quillhaven"})).unwrap();
    index.follow(notebook).unwrap();
    assert_eq!(with_words(&at), WORDS, "the test would see them");
    let found =
        |words: &str| index.page(&Ask { words: words.into(), ..Ask::default() }, From::Newest, 9).unwrap().total;
    assert_eq!((found("quillh"), found("teal"), found("cobaltine")), (1, 1, 1));
    yard.office.erase(contact).unwrap();
    yard.office.erase_fields(inquiry, &["question"]).unwrap();
    // By the program that erases, which has no pack at hand.
    Index::heed(&at, notebook).unwrap();
    assert_eq!(with_words(&at), Vec::<&str>::new());
    assert_eq!((found("quillh"), found("teal"), found("cobaltine")), (0, 0, 0));
    agree(&index, notebook, &names(), "erased");
}

#[test]
fn an_office_erases_in_its_index_by_itself_and_finishes_what_was_stopped() {
    let yard = Yard::new(364, 0).unwrap();
    let notebook = yard.office.notebook();
    let contact = save(notebook, Kind::Contact, json!({"note": "ring at the teal gate"})).unwrap();
    let inquiry =
        save(notebook, Kind::Inquiry, json!({"contact": contact.to_string(), "question": "cobaltine spots?"})).unwrap();
    let at = yard.office.folder().to_owned();
    drop(followed(&at, notebook));
    assert!(with_words(&at).contains(&"teal"), "the test would see them");
    yard.office.erase(contact).unwrap();
    assert_eq!(with_words(&at), ["cobaltine"]);
    // Stopped right after the notebook erased: the index is as it was before.
    let before = std::fs::read(at.join(store::FILE)).unwrap();
    yard.office.erase_fields(inquiry, &["question"]).unwrap();
    assert_eq!(with_words(&at), Vec::<&str>::new());
    for ending in ["-wal", "-shm"] {
        let _ = std::fs::remove_file(at.join(format!("{}{ending}", store::FILE)));
    }
    std::fs::write(at.join(store::FILE), before).unwrap();
    assert_eq!(with_words(&at), ["cobaltine"]);
    let Yard { dir, clock, office, .. } = yard;
    drop(office);
    let office = crate::desk::Office::open(&at, Env::seeded(365, &clock)).unwrap();
    assert_eq!(with_words(dir.path()), Vec::<&str>::new());
    assert_eq!(followed(&at, office.notebook()).inquiries().unwrap(), 1);
}

#[test]
fn erased_words_go_with_a_later_call_when_somebody_reads() {
    let yard = Yard::new(361, 0).unwrap();
    let notebook = yard.office.notebook();
    let at = folder(&yard, "index");
    let contact = save(notebook, Kind::Contact, json!({"note": "ring at the teal gate"})).unwrap();
    save(notebook, Kind::Inquiry, json!({"contact": contact.to_string()})).unwrap();
    let index = followed(&at, notebook);
    index.lock().busy_timeout(std::time::Duration::from_millis(1)).unwrap();
    let reader = Connection::open(at.join(store::FILE)).unwrap();
    reader.execute_batch("BEGIN; SELECT count(*) FROM member;").unwrap();
    yard.office.erase(contact).unwrap();
    index.follow(notebook).unwrap();
    assert!(with_words(&at).contains(&"teal"), "the log could not be folded in");
    drop(reader);
    index.follow(notebook).unwrap();
    assert_eq!(with_words(&at), Vec::<&str>::new());
}

#[test]
fn of_what_is_sealed_only_the_number_is_told_and_no_word_is_held() {
    let yard = Yard::new(362, 0).unwrap();
    let notebook = yard.office.notebook();
    let at = folder(&yard, "index");
    let inquiry =
        save(notebook, Kind::Inquiry, json!({"question": "cobaltine spots?", "taken_by": "Scout 1"})).unwrap();
    let plant = save(notebook, Kind::Plant, json!({"inquiry": inquiry.to_string(), "host": "boxwood"})).unwrap();
    let index = followed(&at, notebook);
    assert_eq!((index.inquiries().unwrap(), index.sealed_records().unwrap()), (1, 0));
    let alert = save(notebook, Kind::Alert, json!({"inquiry": inquiry.to_string(), "suspect": "teal"})).unwrap();
    let alone = save(notebook, Kind::Alert, json!({"suspect": "teal"})).unwrap();
    index.follow(notebook).unwrap();
    assert_eq!((index.inquiries().unwrap(), index.sealed_records().unwrap()), (0, 2));
    assert!(index.is_sealed(inquiry).unwrap());
    assert!(index.is_under_seal(plant).unwrap() && index.inquiries_of(plant).unwrap().is_empty());
    for table in ["found", "host", "cause", "held", "review"] {
        let n: i64 = index.lock().query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0)).unwrap();
        assert_eq!(n, 0, "{table}");
    }
    let told: i64 = index
        .lock()
        .query_row(
            "SELECT count(*) FROM inquiry WHERE coalesce(township, scout, opened_ms, week) IS NOT NULL",
            [],
            |row| row.get(0),
        )
        .unwrap();
    assert_eq!(told, 0);
    edit(notebook, Kind::Alert, alert, json!({"released": "2026-05-02"})).unwrap();
    index.follow(notebook).unwrap();
    assert_eq!((index.inquiries().unwrap(), index.sealed_records().unwrap()), (1, 1));
    assert!(!index.is_under_seal(plant).unwrap());
    assert_eq!(index.inquiries_of(plant).unwrap(), [inquiry]);
    agree(&index, notebook, &names(), "released");
    edit(notebook, Kind::Alert, alone, json!({"released": "2026-05-02"})).unwrap();
    index.follow(notebook).unwrap();
    assert_eq!((index.inquiries().unwrap(), index.sealed_records().unwrap()), (1, 0));
}

#[test]
fn no_backup_of_an_office_holds_it() {
    let yard = Yard::new(363, 0).unwrap();
    let notebook = yard.office.notebook();
    save(notebook, Kind::Inquiry, json!({"question": "cobaltine spots?"})).unwrap();
    let backup = yard.file("office.backup");
    let size = |_: &Index| {
        yard.office.back_up(&backup, false, &Job::silent()).unwrap();
        std::fs::metadata(&backup).unwrap().len()
    };
    let index = followed(&folder(&yard, "elsewhere"), notebook);
    let without = size(&index);
    let index = followed(yard.office.folder(), notebook);
    // As large as it may get: a backup that held it would be larger.
    index.lock().execute_batch("CREATE TABLE large AS SELECT randomblob(4000000) AS x").unwrap();
    assert!(size(&index) < without + 1_000_000);
}
