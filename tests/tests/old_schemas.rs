//! Notebooks as every earlier version of the program wrote them are opened, read, handed over and backed up.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{
    fs,
    path::{Path, PathBuf},
};

use dooryard_core::{
    clock::{Env, SetClock},
    job::Job,
    notebook::{Notebook, Query},
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
