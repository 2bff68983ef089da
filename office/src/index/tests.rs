//! The index equals a recount of the whole notebook, whatever happened; what is erased or sealed is not in it.

mod erased;
mod oracle;
mod pages;
mod play;

use std::path::{Path, PathBuf};

use dooryard_core::{
    clock::{Env, SetClock},
    job::Job,
    notebook::Notebook,
    record::Kind,
};
use dooryard_tests::{MAY_1, Yard, edit, save};
use oracle::{agree, dump};
use play::Play;
use rusqlite::Connection;
use serde_json::json;

use super::{Ask, From, Index, store};
use crate::page::Names;

fn names() -> Names {
    let mut names = Names::of(&crate::pack::starter().unwrap());
    // A finding that seals, whatever the pack has.
    names.suspect.push(("made_up".into(), "suspect".into()));
    names.regulated.insert("made_up_regulated".into());
    names.mild.insert("made_up_mild".into());
    names
}

/// A folder for an index, apart from the office's.
fn folder(yard: &Yard, name: &str) -> PathBuf {
    let folder = yard.dir.path().join(name);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn followed(folder: &Path, notebook: &Notebook) -> Index {
    let index = Index::open(folder, &names()).unwrap();
    index.follow(notebook).unwrap();
    index
}

#[test]
fn it_equals_a_recount_after_random_edits_deletions_erasures_seals_and_merges() {
    for seed in 0..2 {
        let mut play = Play::new(300 + seed);
        let index = followed(&folder(&play.yard, "index"), play.yard.office.notebook());
        for round in 0..8 {
            for _ in 0..25 {
                play.step();
            }
            index.follow(play.yard.office.notebook()).unwrap();
            agree(&index, play.yard.office.notebook(), &names(), &format!("seed {seed}, round {round}"));
        }
        let fresh = followed(&folder(&play.yard, "fresh"), play.yard.office.notebook());
        assert_eq!(dump(&index), dump(&fresh), "seed {seed}: followed, and made at once");
        assert!(play.was_all_tried(), "seed {seed}");
    }
}

#[test]
fn only_what_a_change_touches_is_worked_out_and_nothing_twice() {
    let mut play = Play::new(320);
    for _ in 0..200 {
        play.step();
    }
    let notebook = play.yard.office.notebook();
    let index = Index::open(&folder(&play.yard, "index"), &names()).unwrap();
    let all = index.follow(notebook).unwrap();
    assert!(all > 5);
    assert_eq!(index.follow(notebook).unwrap(), 0);
    let inquiry = save(notebook, Kind::Inquiry, json!({"summary": "one more"})).unwrap();
    assert_eq!(index.follow(notebook).unwrap(), 1);
    edit(notebook, Kind::Inquiry, inquiry, json!({"summary": "one more, edited"})).unwrap();
    save(notebook, Kind::Plant, json!({"inquiry": inquiry.to_string(), "host": "oak"})).unwrap();
    assert_eq!(index.follow(notebook).unwrap(), 1);
    save(notebook, Kind::Hours, json!({"person": "Scout 1"})).unwrap();
    assert_eq!(index.follow(notebook).unwrap(), 0, "an hour of work belongs to none");
}

#[test]
fn a_record_that_goes_over_with_another_leaves_its_old_inquiry() {
    let yard = Yard::new(325, 0).unwrap();
    let notebook = yard.office.notebook();
    let make = |kind, fields| save(notebook, kind, fields).unwrap();
    let (one, two) = (make(Kind::Inquiry, json!({"summary": "s"})), make(Kind::Inquiry, json!({"summary": "s"})));
    let plant = make(Kind::Plant, json!({"inquiry": one.to_string(), "host": "oak"}));
    let visit = make(Kind::Visit, json!({"inquiry": two.to_string()}));
    let between = json!({"plant": plant.to_string(), "visit": visit.to_string(), "note": "heron"});
    make(Kind::Finding, between.clone());
    let mut sample = between;
    sample["plant_part"] = json!("crane");
    sample.as_object_mut().unwrap().remove("note");
    make(Kind::Sample, sample);
    let index = followed(&folder(&yard, "index"), notebook);
    let found = |words: &str| {
        index.follow(notebook).unwrap();
        agree(&index, notebook, &names(), words);
        let page = index.page(&Ask { words: words.into(), ..Ask::default() }, From::Newest, 9).unwrap();
        page.rows.iter().map(|row| row.key.id).collect::<Vec<_>>()
    };
    assert_eq!((found("heron"), found("crane")), (vec![one], vec![one]), "the plant comes before the visit");
    notebook.delete(plant).unwrap();
    assert_eq!((found("heron"), found("crane")), (vec![two], vec![two]));
    notebook.restore(plant).unwrap();
    assert_eq!((found("heron"), found("crane")), (vec![one], vec![one]));
    // The other one worked out alone: what only refers to its visit is still not its own.
    edit(notebook, Kind::Inquiry, two, json!({"summary": "edited"})).unwrap();
    assert_eq!((found("heron"), found("crane")), (vec![one], vec![one]));
    edit(notebook, Kind::Plant, plant, json!({"inquiry": two.to_string()})).unwrap();
    assert_eq!((found("heron"), found("crane")), (vec![two], vec![two]));
}

#[test]
fn a_stop_between_notebook_and_index_loses_nothing() {
    let mut play = Play::new(330);
    let at = folder(&play.yard, "index");
    for round in 0..6 {
        for _ in 0..30 {
            play.step();
        }
        let notebook = play.yard.office.notebook();
        // Stopped while it follows, at one table or another; the first time also while everything is made.
        let index = Index::open(&at, &names()).unwrap();
        let before = dump(&index);
        let table = ["member", "inquiry", "found_content"][round % 3];
        let beside = Connection::open(at.join(store::FILE)).unwrap();
        beside
            .execute_batch(&format!(
                "CREATE TRIGGER halt BEFORE INSERT ON {table} BEGIN SELECT RAISE(ABORT, 'stopped'); END"
            ))
            .unwrap();
        let stopped = index.follow(notebook);
        beside.execute_batch("DROP TRIGGER IF EXISTS halt").unwrap();
        if round > 0 {
            assert!(stopped.is_err(), "round {round}");
            assert_eq!(dump(&index), before, "round {round}: whole, as it was");
        }
        drop((index, beside));
        agree(&followed(&at, notebook), notebook, &names(), &format!("round {round}"));
    }
    // Its marks say that not everything was worked out yet: it is begun again.
    let index = Index::open(&at, &names()).unwrap();
    index.lock().execute_batch("DELETE FROM mark WHERE key = 'whole'; DELETE FROM host; DELETE FROM member").unwrap();
    index.follow(play.yard.office.notebook()).unwrap();
    agree(&index, play.yard.office.notebook(), &names(), "begun again");
}

#[test]
fn another_database_or_one_that_went_back_is_noticed() {
    let (mut one, mut two) = (Play::new(340), Play::new(341));
    for _ in 0..80 {
        one.step();
        two.step();
    }
    let index = followed(&folder(&one.yard, "index"), one.yard.office.notebook());
    index.follow(two.yard.office.notebook()).unwrap();
    agree(&index, two.yard.office.notebook(), &names(), "another database");
    // As if the notebook had lost its newest turns.
    let turn: i64 = store::mark(&index.lock(), "turn").unwrap().unwrap();
    store::set_mark(&index.lock(), "turn", turn + 5).unwrap();
    assert!(index.follow(two.yard.office.notebook()).unwrap() > 5);
    // With the names of another pack all is worked out anew.
    let other = Names { suspect: Vec::new(), ..names() };
    let index = Index::open(&folder(&one.yard, "index"), &other).unwrap();
    assert!(index.follow(two.yard.office.notebook()).unwrap() > 5);
    agree(&index, two.yard.office.notebook(), &other, "another pack");
}

#[test]
fn a_restored_notebook_is_followed_from_its_beginning() {
    let mut yard = Yard::new(345, 1).unwrap();
    let at = folder(&yard, "index");
    let phone = &yard.phones[0];
    save(phone, Kind::Inquiry, json!({"summary": "before the backup"})).unwrap();
    let backup = yard.file("backup");
    phone.back_up(&backup, &Job::silent()).unwrap();
    save(phone, Kind::Inquiry, json!({"summary": "after the backup"})).unwrap();
    assert_eq!(followed(&at, phone).inquiries().unwrap(), 2);
    drop(yard.phones.remove(0));
    for ending in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(yard.folder(1).join(format!("notebook.db{ending}")));
    }
    let env = Env::seeded(346, &SetClock::at(MAY_1));
    let restored = Notebook::restore_backup(&yard.folder(1), &backup, env, &Job::silent()).unwrap();
    let index = followed(&at, &restored);
    assert_eq!(index.inquiries().unwrap(), 1);
    agree(&index, &restored, &names(), "restored");
}

#[test]
fn a_damaged_or_foreign_file_is_made_anew() {
    let mut play = Play::new(350);
    for _ in 0..60 {
        play.step();
    }
    let at = folder(&play.yard, "index");
    std::fs::write(at.join(store::FILE), b"no database at all ".repeat(400)).unwrap();
    agree(&followed(&at, play.yard.office.notebook()), play.yard.office.notebook(), &names(), "damaged");
    Connection::open(at.join(store::FILE)).unwrap().pragma_update(None, "user_version", 99).unwrap();
    agree(&followed(&at, play.yard.office.notebook()), play.yard.office.notebook(), &names(), "of another version");
}

#[cfg(unix)]
#[test]
fn only_its_owner_can_read_it() {
    use std::os::unix::fs::PermissionsExt;
    let yard = Yard::new(355, 0).unwrap();
    let at = folder(&yard, "index");
    let _index = followed(&at, yard.office.notebook());
    for ending in ["", "-wal"] {
        let mode = std::fs::metadata(at.join(format!("{}{ending}", store::FILE))).unwrap().permissions().mode();
        assert_eq!(mode & 0o077, 0, "{ending}");
    }
}
