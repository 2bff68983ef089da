//! The command with words piped in, and the steps of enrolment that every test takes.

use std::{
    fs,
    io::Write,
    path::Path,
    process::{Command, Stdio},
};

use serde_json::Value as Json;

/// Runs it with words piped in, holds the exit code against what is expected, gives its words.
pub fn piped(dir: &Path, code: i32, input: &str, arguments: &[&str]) -> String {
    let mut child = Command::new(env!("CARGO_BIN_EXE_dooryard"))
        .current_dir(dir)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A command that reads nothing may be gone before it is written to.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    let output = child.wait_with_output().unwrap();
    let words = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert_eq!(output.status.code(), Some(code), "dooryard {arguments:?}\n{words}");
    words
}

pub fn said(dir: &Path, code: i32, arguments: &[&str]) -> String {
    piped(dir, code, "", arguments)
}

/// The value under a key in the first object that has it.
pub fn value(dir: &Path, key: &str, arguments: &[&str]) -> Json {
    let all: Vec<&str> = ["--json"].iter().chain(arguments).copied().collect();
    let words = said(dir, 0, &all);
    let objects = words.lines().filter_map(|line| serde_json::from_str::<Json>(line).ok());
    objects.filter_map(|object| object.get(key).cloned()).next().unwrap_or_else(|| panic!("no {key} in {words}"))
}

pub fn text(dir: &Path, key: &str, arguments: &[&str]) -> String {
    value(dir, key, arguments).as_str().unwrap().to_owned()
}

/// Code of the refusal.
pub fn refusal(dir: &Path, arguments: &[&str]) -> String {
    let all: Vec<&str> = ["--json"].iter().chain(arguments).copied().collect();
    let words = said(dir, 1, &all);
    let object =
        words.lines().filter_map(|line| serde_json::from_str::<Json>(line).ok()).find(|o| o.get("refused").is_some());
    object.unwrap_or_else(|| panic!("no refusal in {words}"))["code"].as_str().unwrap_or_default().to_owned()
}

pub fn county() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    said(folder.path(), 0, &["office", "new", "county", "--name", "Larkspur"]);
    folder
}

pub fn invite(dir: &Path, label: &str) -> String {
    text(dir, "invitation", &["office", "invite", "county", "--role", "scout", "--label", label])
}

/// A notebook that took an invitation; returns its ask.
pub fn joined(dir: &Path, phone: &str, invitation: &str) -> String {
    said(dir, 0, &["notebook", "new", phone]);
    text(dir, "ask", &["notebook", "join", phone, invitation])
}

pub fn words_of(dir: &Path, phone: &str, invitation: &str) -> String {
    text(dir, "words", &["notebook", "join", phone, invitation])
}

pub fn save(dir: &Path, phone: &str, township: &str) {
    let step = format!(r#"[{{"kind": "site", "fields": {{"township": "{township}"}}}}]"#);
    fs::write(dir.join("visit.json"), step).unwrap();
    said(dir, 0, &["notebook", "save", phone, "visit.json"]);
}

pub fn bundle(dir: &Path, phone: &str, out: &str) {
    said(dir, 0, &["bundle", "make", phone, "--out", out]);
}

/// What became of a file at the office: its code, none when it was taken in.
pub fn take_in(dir: &Path, file: &str) -> Option<String> {
    let output = Command::new(env!("CARGO_BIN_EXE_dooryard"))
        .current_dir(dir)
        .args(["--json", "bundle", "take-in", "--office", "county", file])
        .output()
        .unwrap();
    let words = String::from_utf8_lossy(&output.stdout).into_owned();
    let first: Json = serde_json::from_str(words.lines().next().unwrap()).unwrap();
    let code = first["code"].as_str().map(str::to_owned);
    assert_eq!(output.status.code(), Some(i32::from(code.is_some())), "{words}");
    code
}

pub fn records(dir: &Path, notebook: &str) -> usize {
    said(dir, 0, &["--json", "notebook", "list", notebook]).lines().count()
}
