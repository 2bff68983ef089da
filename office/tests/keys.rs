//! The office's keys by command: into the drawer, a new year, a lost folder.

#![expect(clippy::unwrap_used, reason = "a test")]

use std::{fs, path::Path, process::Command};

/// Runs it, holds the exit code against what is expected, gives its words.
fn said(dir: &Path, code: i32, line: &str) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_dooryard")).current_dir(dir).args(line.split(' ')).output().unwrap();
    let words = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert_eq!(output.status.code(), Some(code), "dooryard {line}\n{words}");
    words
}

fn county() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    assert!(said(dir, 0, "office new county --name Larkspur").contains("put-away"));
    said(dir, 0, "notebook new phone");
    said(dir, 0, "notebook request phone --out phone.request");
    said(dir, 0, "office add-device county --request phone.request --role scout --label Scout-3 --out phone.answer");
    said(dir, 0, "notebook enrol phone phone.answer");
    folder
}

fn bundle(dir: &Path, township: &str, out: &str) {
    fs::write(dir.join("v.json"), format!(r#"[{{"kind": "site", "fields": {{"township": "{township}"}}}}]"#)).unwrap();
    said(dir, 0, "notebook save phone v.json");
    said(dir, 0, &format!("bundle make phone --out {out}"));
}

fn records(dir: &Path) -> usize {
    said(dir, 0, "--json notebook list county/notebook").lines().count()
}

#[test]
fn a_new_year_changes_the_keys_and_phones_follow_with_their_reply() {
    let folder = county();
    let dir = folder.path();
    said(dir, 0, "office put-away county --to stick");
    bundle(dir, "Sedge", "old.yard");
    let without = said(dir, 1, "--json office rotate county");
    assert!(without.contains("KEY_LOST"), "{without}");
    assert!(said(dir, 0, "office rotate county --drawer stick").contains("its card is number 2"));
    said(dir, 0, "bundle take-in --office county old.yard");
    assert_eq!(records(dir), 1);
    said(dir, 0, "bundle reply --office county --device Scout-3 --out r.yard");
    assert!(said(dir, 0, "bundle take-reply phone r.yard").contains("Office has it: 1 change"));
    // The phone seals to the new key now: the old one alone opens it no more.
    bundle(dir, "Rushford", "new.yard");
    said(dir, 0, "bundle take-in --office county new.yard");
    assert_eq!(records(dir), 2);
}

#[test]
fn a_lost_key_is_told_and_the_drawer_brings_everything_back() {
    let folder = county();
    let dir = folder.path();
    said(dir, 0, "office put-away county --to stick");
    bundle(dir, "Sedge", "way.yard");
    fs::remove_file(dir.join("county/office.key")).unwrap();
    for command in [
        "office status county",
        "bundle take-in --office county way.yard",
        "office recover county --key stick/recovery.key way.yard",
    ] {
        let words = said(dir, 1, command);
        assert!(words.contains("The office's keys are gone") && words.contains("give the office new keys"), "{words}");
    }
    said(dir, 0, "office rotate county --drawer stick");
    assert!(said(dir, 1, "--json bundle take-in --office county way.yard").contains("NOT_FOR_US"));
    assert_eq!(records(dir), 0);
    let recovered = said(dir, 0, "office recover county --key stick/recovery.key way.yard");
    assert!(recovered.contains("1 new"), "{recovered}");
    assert_eq!(records(dir), 1);
    assert!(said(dir, 1, "office recover county --key stick/root.key way.yard").contains("key file"));
    assert!(said(dir, 0, "office rotate --help").contains("Example"));
}
