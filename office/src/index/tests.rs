//! The index equals a recount of the whole notebook, whatever happened; what is erased or sealed is not in it.

mod oracle;
mod play;

use std::path::{Path, PathBuf};

use dooryard_core::{
    clock::{Env, SetClock},
    job::Job,
    notebook::{Notebook, Query},
    record::Kind,
};
use dooryard_tests::{MAY_1, Yard, edit, files_with, save};
use oracle::{agree, dump};
use play::Play;
use rusqlite::{Connection, StatementStatus, params};
use serde_json::json;

use super::{Ask, From, Index, Key, page, store};
use crate::page::Names;

fn names() -> Names {
    let mut names = Names::of(&crate::pack::starter().unwrap());
    // A finding that seals, whatever the pack has.
    names.suspect.push(("made_up".into(), "suspect".into()));
    names.regulated.insert("made_up_regulated".into());
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
    save(notebook, Kind::Plant, json!({"inquiry": inquiry.to_string(), "host": "boxwood"})).unwrap();
    let index = followed(&at, notebook);
    assert_eq!((index.inquiries().unwrap(), index.sealed_records().unwrap()), (1, 0));
    let alert = save(notebook, Kind::Alert, json!({"inquiry": inquiry.to_string(), "suspect": "teal"})).unwrap();
    let alone = save(notebook, Kind::Alert, json!({"suspect": "teal"})).unwrap();
    index.follow(notebook).unwrap();
    assert_eq!((index.inquiries().unwrap(), index.sealed_records().unwrap()), (0, 2));
    assert!(index.is_sealed(inquiry).unwrap());
    for table in ["found", "host", "cause", "held", "review"] {
        let n: i64 = index.lock().query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0)).unwrap();
        assert_eq!(n, 0, "{table}");
    }
    let told: i64 = index
        .lock()
        .query_row(
            "SELECT count(*) FROM inquiry WHERE coalesce(township, scout, opened_ms, day) IS NOT NULL",
            [],
            |row| row.get(0),
        )
        .unwrap();
    assert_eq!(told, 0);
    edit(notebook, Kind::Alert, alert, json!({"released": "2026-05-02"})).unwrap();
    index.follow(notebook).unwrap();
    assert_eq!((index.inquiries().unwrap(), index.sealed_records().unwrap()), (1, 1));
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

/// An index of this many inquiries, without a notebook.
fn filled(at: &Path, inquiries: i64) -> Index {
    let index = Index::open(at, &names()).unwrap();
    {
        let mut conn = index.lock();
        let tx = conn.transaction().unwrap();
        for no in 1..=inquiries {
            let status = ["open", "waiting", "answered", "closed"][(no % 4) as usize];
            let id: [u8; 16] = (no as u128).wrapping_mul(0x9e37_79b9_7f4a_7c15_f39c_c060_5ced_c835).to_be_bytes();
            let row =
                params![no, id, no * 60_000, status, format!("Township {}", no % 12), format!("Scout {}", no % 20)];
            tx.execute(
                "INSERT INTO inquiry(no, id, sealed, listed, opened_ms, status, township, scout, changed_ms, counted)
                 VALUES(?1, ?2, 0, 1, ?3, ?4, ?5, ?6, ?3, 1)",
                row,
            )
            .unwrap();
            let host = format!("host_{}", no % 30);
            tx.execute("INSERT INTO host VALUES(?1, ?2, 1, 2, 1)", params![host, no]).unwrap();
        }
        tx.commit().unwrap();
    }
    index
}

/// Steps of SQLite's machine for the rows of a page.
fn steps(index: &Index, ask: &Ask, from: From) -> i32 {
    let conn = index.lock();
    let (sql, values) = page::statement(&ask.conditions(&conn).unwrap(), from, 40);
    let mut query = conn.prepare(&sql).unwrap();
    let found = query.query_map(rusqlite::params_from_iter(values), |_| Ok(())).unwrap().count();
    assert_eq!(found, 40);
    query.get_status(StatementStatus::VmStep)
}

#[test]
fn a_page_of_a_hundred_times_as_many_inquiries_costs_no_more() {
    let dir = tempfile::tempdir().unwrap();
    let (few_at, many_at) = (dir.path().join("few"), dir.path().join("many"));
    std::fs::create_dir_all(&few_at).unwrap();
    std::fs::create_dir_all(&many_at).unwrap();
    let (few, many) = (filled(&few_at, 2_000), filled(&many_at, 50_000));
    for ask in [
        Ask::default(),
        Ask { status: "open".into(), ..Ask::default() },
        Ask { township: "Township 3".into(), ..Ask::default() },
        Ask { scout: "Scout 3".into(), ..Ask::default() },
        Ask { host: "host_3".into(), ..Ask::default() },
    ] {
        let middle = |index: &Index, n: i64| {
            let id = index.lock().query_row("SELECT id FROM inquiry WHERE no = ?1", [n], |row| row.get(0)).unwrap();
            Key { opened_ms: n * 60_000, id: dooryard_core::ids::RecordId(id) }
        };
        let cost = |index: &Index, n: i64| {
            let key = middle(index, n * 3 / 4);
            [From::Newest, From::After(key)].map(|from| steps(index, &ask, from))
        };
        for (of_few, of_many) in cost(&few, 2_000).into_iter().zip(cost(&many, 50_000)) {
            assert!(of_many <= 3 * of_few, "{ask:?}: {of_few} steps, and {of_many} of many");
        }
    }
    // The numbers of all, without counting.
    let page = many.page(&Ask::default(), From::Newest, 40).unwrap();
    assert_eq!((page.total, page.open), (50_000, 37_500));
    let page = many.page(&Ask { status: "closed".into(), ..Ask::default() }, From::Newest, 40).unwrap();
    assert_eq!((page.total, page.open), (12_500, 0));
}

#[test]
fn pages_by_key_go_on_where_they_were_whatever_comes_in_between() {
    let yard = Yard::new(370, 0).unwrap();
    let notebook = yard.office.notebook();
    let opened = |n: u32| format!("2026-05-{n:02}T09:00:00-05:00[America/Chicago]");
    let make = |n| save(notebook, Kind::Inquiry, json!({"opened": opened(n), "summary": "s"})).unwrap();
    let made: Vec<_> = (1..=9).map(make).collect();
    let index = followed(&folder(&yard, "index"), notebook);
    let ids = |page: &super::Listed| page.rows.iter().map(|row| row.key.id).collect::<Vec<_>>();
    let first = index.page(&Ask::default(), From::Newest, 4).unwrap();
    assert_eq!(ids(&first), [made[8], made[7], made[6], made[5]]);
    assert_eq!((first.total, first.newer), (9, None));
    make(20);
    index.follow(notebook).unwrap();
    let second = index.page(&Ask::default(), first.older.unwrap(), 4).unwrap();
    assert_eq!(ids(&second), [made[4], made[3], made[2], made[1]]);
    let third = index.page(&Ask::default(), second.older.unwrap(), 4).unwrap();
    assert_eq!((ids(&third), third.older), (vec![made[0]], None));
    assert_eq!(ids(&index.page(&Ask::default(), third.newer.unwrap(), 4).unwrap()), ids(&second));
    let day = "2026-05-03".parse().unwrap();
    let ask = Ask { from: Some(day), to: Some(day), ..Ask::default() };
    assert_eq!(ids(&index.page(&ask, From::Newest, 4).unwrap()), [made[2]]);
    assert_eq!(notebook.list(&Query { kind: Some(Kind::Inquiry), ..Query::default() }).unwrap().total, 10);
}
