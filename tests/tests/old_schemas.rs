//! Notebooks as every earlier version of the program wrote them are opened, read, handed over and backed up.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{
    fs,
    path::{Path, PathBuf},
};

use dooryard_core::{
    archive::Writer,
    clock::{Env, SetClock},
    ids::LogId,
    job::Job,
    notebook::{BackupHead, BackupSort, Card, DeviceKeys, Notebook, OwnerOnlyFile, Query, Summary},
    record::Kind,
};
use dooryard_tests::{DRAFT, MAY_1, copy_folder, edit, files_with, small_notebook};
use rusqlite::{Connection, types::Value};
use serde_json::json;

fn kept() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/db")
}

fn folder(version: i64) -> PathBuf {
    kept().join(format!("schema-{version}"))
}

fn version_of(folder: &Path) -> i64 {
    let conn = Connection::open(folder.join("notebook.db")).unwrap();
    conn.query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap()
}

/// Every table, index and trigger of a notebook, as it was said to SQLite.
fn shape(folder: &Path) -> Vec<(String, Option<String>)> {
    let conn = Connection::open(folder.join("notebook.db")).unwrap();
    let mut query = conn.prepare("SELECT name, sql FROM sqlite_master ORDER BY name").unwrap();
    query.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap().collect::<Result<_, _>>().unwrap()
}

/// Every row of every table that holds what was written, in order; what is derived is left out.
fn truth(folder: &Path) -> Vec<(String, Vec<Value>)> {
    let conn = Connection::open(folder.join("notebook.db")).unwrap();
    let mut found = Vec::new();
    for table in
        ["meta", "log", "change", "fact", "statement", "snapshot", "blob", "lost", "erased_blob", "draft", "record"]
    {
        let mut query = conn
            .prepare(&format!("SELECT * FROM {table} ORDER BY 1, 2, 3"))
            .or_else(|_| conn.prepare(&format!("SELECT * FROM {table} ORDER BY 1")))
            .unwrap();
        let columns = query.column_count();
        let rows = query.query_map([], |row| (0..columns).map(|at| row.get(at)).collect()).unwrap();
        found.extend(rows.map(|row| (table.to_owned(), row.unwrap())));
    }
    found
}

#[test]
fn a_notebook_of_every_schema_is_opened_listed_handed_over_and_backed_up() {
    let dir = tempfile::tempdir().unwrap();
    let fresh = dir.path().join("fresh");
    let fresh_notebook = small_notebook(&fresh).unwrap();
    let newest = version_of(&fresh);
    for version in 1..=newest {
        let copy = dir.path().join(format!("copy-{version}"));
        copy_folder(&folder(version), &copy).unwrap();
        assert_eq!(version_of(&copy), version, "the file that is kept is of that schema");
        let env = Env::seeded(9, &SetClock::at(MAY_1));
        let notebook = Notebook::open(&copy, env.clone()).unwrap();
        assert_eq!(version_of(&copy), newest, "schema {version} was brought to the newest");
        assert_eq!(notebook.digest().unwrap(), fresh_notebook.digest().unwrap(), "schema {version}");
        assert_eq!(notebook.own_log(), fresh_notebook.own_log());
        notebook.rebuild().unwrap();
        let rows = |n: &Notebook| n.list(&Query { with_hidden: true, ..Query::default() }).unwrap().rows;
        assert_eq!(rows(&notebook), rows(&fresh_notebook), "schema {version}");
        let inquiry = notebook.search("spotted").unwrap().rows[0].id;
        assert_eq!(notebook.history(inquiry).unwrap().len(), 2);
        assert_eq!(notebook.draft("new inquiry").unwrap().as_deref(), Some(DRAFT));
        let photo = notebook.list(&Query { kind: Some(Kind::Photo), ..Query::default() }).unwrap().rows.remove(0);
        assert!(notebook.blob_path(&photo.text("image").unwrap().parse().unwrap()).exists());
        edit(&notebook, Kind::Inquiry, inquiry, json!({"question": "answered"})).unwrap();
        let bundle = notebook.make_bundle(&dir.path().join("b.yard"), &Job::silent()).unwrap();
        assert_eq!((bundle.changes, bundle.photos, bundle.left), (9, 2, 0));
        let backup = dir.path().join("backup");
        notebook.back_up(&backup, &Job::silent()).unwrap();
        assert_eq!(notebook.merge_backup(&backup, &Job::silent()).unwrap().here, 9);
        assert_eq!(files_with(&copy, b"cobalt").unwrap(), Vec::<PathBuf>::new(), "what was erased is in none");
    }
    assert!(!folder(newest + 1).exists(), "a newer one than this program knows");
}

/// What stands in a backup behind its head: a copy of the database, and photos.
const IMAGE: u8 = 2;
const BLOB: u8 = 3;

/// A backup as the program of that time made it, sealed to the device's key and signed with it: its database is of that schema
/// still, since today's program opens none without bringing it to the newest.
fn backup_of_its_time(folder: &Path, work: &Path) -> PathBuf {
    let (image, to) = (work.join("image.db"), work.join("old.backup"));
    let kept = work.join("kept");
    copy_folder(folder, &kept).unwrap();
    let conn = Connection::open(kept.join("notebook.db")).unwrap();
    conn.execute("VACUUM INTO ?1", [image.to_str().unwrap()]).unwrap();
    let card: Vec<u8> = conn.query_row("SELECT value FROM meta WHERE key = 'card'", [], |row| row.get(0)).unwrap();
    let card = Card::read(&card).unwrap();
    let copy = Connection::open(&image).unwrap();
    copy.execute_batch(
        "DELETE FROM shown; DELETE FROM link; DELETE FROM words; UPDATE record SET stale = 1;
         DELETE FROM meta WHERE key = 'incarnation'; VACUUM;",
    )
    .unwrap();
    copy.close().unwrap();
    let keys = DeviceKeys::read(&kept.join("local/device.key"), &OwnerOnlyFile).unwrap();
    let mut writer = Writer::create(&to, &[&keys.seal.to_public().to_string(), &card.recovery]).unwrap();
    let head =
        BackupHead { sort: BackupSort::Notebook, office: card.office(), key: keys.signing.public(), made_ms: MAY_1 };
    head.write(&mut writer).unwrap();
    writer.small(IMAGE, b"", &fs::read(&image).unwrap()).unwrap();
    let photos: Vec<[u8; 33]> = conn
        .prepare("SELECT id FROM blob WHERE held = 1")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    assert_eq!(photos.len(), 2, "the photo and its thumbnail");
    for id in photos {
        let name = hex::encode(id);
        writer.small(BLOB, &id, &fs::read(kept.join("photos").join(&name[2..4]).join(name)).unwrap()).unwrap();
    }
    writer.finish(&keys.signing, &card.office()).unwrap().place().unwrap();
    to
}

/// Every log of a notebook with its end.
fn logs(notebook: &Notebook) -> Vec<(LogId, u64)> {
    notebook.logs().unwrap().into_iter().map(|state| (state.log, state.tip)).collect()
}

#[test]
fn a_backup_of_every_schema_is_restored_into_an_empty_folder_and_merged_into_a_notebook_of_today() {
    let dir = tempfile::tempdir().unwrap();
    let fresh_notebook = small_notebook(&dir.path().join("fresh")).unwrap();
    let rows =
        |n: &Notebook| -> Vec<Summary> { n.list(&Query { with_hidden: true, ..Query::default() }).unwrap().rows };
    let photos = |n: &Notebook| -> Vec<Vec<u8>> {
        let all = n.list(&Query { kind: Some(Kind::Photo), ..Query::default() }).unwrap().rows;
        let ids =
            all.iter().flat_map(|row| ["image", "thumbnail"].map(|name| row.text(name).unwrap().parse().unwrap()));
        ids.map(|id| fs::read(n.blob_path(&id)).unwrap()).collect()
    };
    let same = |notebook: &Notebook, what: &str| {
        assert_eq!(notebook.digest().unwrap(), fresh_notebook.digest().unwrap(), "{what}");
        assert_eq!(rows(notebook), rows(&fresh_notebook), "{what}");
        assert_eq!(photos(notebook), photos(&fresh_notebook), "{what}");
        assert_eq!(logs(notebook), logs(&fresh_notebook), "{what}");
        assert_eq!(notebook.draft("new inquiry").unwrap().as_deref(), Some(DRAFT), "{what}");
        let inquiry = notebook.search("spotted").unwrap().rows[0].id;
        let history = |notebook: &Notebook| format!("{:?}", notebook.history(inquiry).unwrap());
        assert_eq!(history(notebook), history(&fresh_notebook), "{what}");
        assert_eq!(files_with(notebook.folder(), b"cobalt").unwrap(), Vec::<PathBuf>::new(), "{what}: what was erased");
    };
    let with_key_only = |name: String| {
        let folder = dir.path().join(name);
        fs::create_dir_all(folder.join("local")).unwrap();
        fs::copy(dir.path().join("fresh/local/device.key"), folder.join("local/device.key")).unwrap();
        folder
    };
    let env = || Env::seeded(9, &SetClock::at(MAY_1));
    let newest = version_of(&dir.path().join("fresh"));
    for version in 1..=newest {
        let work = dir.path().join(format!("work-{version}"));
        fs::create_dir(&work).unwrap();
        let backup = backup_of_its_time(&folder(version), &work);
        let conn = Connection::open(work.join("image.db")).unwrap();
        let of_then: i64 = conn.query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
        assert_eq!(of_then, version, "the database in the backup is of that schema");

        let empty = with_key_only(format!("empty-{version}"));
        let restored = Notebook::restore_backup(&empty, &backup, env(), &Job::silent()).unwrap();
        assert_eq!(version_of(&empty), newest, "schema {version} was brought to the newest");
        assert_eq!(shape(&empty), shape(&dir.path().join("fresh")), "schema {version}");
        same(&restored, &format!("schema {version}, restored"));
        assert_ne!(restored.own_log(), fresh_notebook.own_log(), "it goes on under a log of its own");

        // A notebook of today that knows its key and nothing else, and one that knows all of it and more.
        let new = Notebook::open(&with_key_only(format!("new-{version}")), env()).unwrap();
        let merged = new.merge_backup(&backup, &Job::silent()).unwrap();
        assert_eq!((merged.changes, merged.here, merged.photos), (8, 0, 2), "schema {version}");
        same(&new, &format!("schema {version}, merged into a new one"));
        let older = dir.path().join(format!("older-{version}"));
        fresh_notebook.pause().unwrap();
        copy_folder(&dir.path().join("fresh"), &older).unwrap();
        let older = Notebook::open(&older, env()).unwrap();
        let inquiry = older.search("spotted").unwrap().rows[0].id;
        edit(&older, Kind::Inquiry, inquiry, json!({"question": "answered"})).unwrap();
        let before = (older.digest().unwrap(), rows(&older));
        let merged = older.merge_backup(&backup, &Job::silent()).unwrap();
        assert_eq!((merged.changes, merged.here, merged.photos, merged.new_log), (0, 8, 0, false), "schema {version}");
        assert_eq!((older.digest().unwrap(), rows(&older)), before, "schema {version}, merged into a newer one");
    }
}

#[test]
fn the_notebook_kept_of_the_newest_schema_has_not_drifted() {
    let dir = tempfile::tempdir().unwrap();
    drop(small_notebook(dir.path()).unwrap());
    let kept = folder(version_of(dir.path()));
    if std::env::var_os("UPDATE").is_some() {
        let _ = fs::remove_dir_all(&kept);
        copy_folder(dir.path(), &kept).unwrap();
        // That it was closed whole is said of one file at one time.
        fs::remove_file(kept.join("local/sound")).unwrap();
    }
    // A copy: looking at a database may write beside it.
    let copy = tempfile::tempdir().unwrap();
    copy_folder(&kept, copy.path()).unwrap();
    assert!(truth(copy.path()) == truth(dir.path()), "run cargo xtask fixtures, or add a migration");
}
