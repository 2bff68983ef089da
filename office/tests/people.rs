//! Accounts by the command, and the link that a new office page prints.

#![expect(clippy::unwrap_used, reason = "a test")]

use std::{
    io::{BufRead, BufReader, Write},
    path::Path,
    process::{Child, Command, Output, Stdio},
};

fn dooryard(dir: &Path, line: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dooryard"));
    command.current_dir(dir).args(line.split(' '));
    command
}

fn typed(dir: &Path, line: &str, input: &str) -> Output {
    let mut child =
        dooryard(dir, line).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    child.wait_with_output().unwrap()
}

/// Runs it with these lines typed, holds the exit code against what is expected, gives its words.
fn said(dir: &Path, code: i32, line: &str, input: &str) -> String {
    let output = typed(dir, line, input);
    let words = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert_eq!(output.status.code(), Some(code), "dooryard {line}\n{words}");
    words
}

fn county() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    said(folder.path(), 0, "office new county --name Larkspur", "");
    folder
}

/// The page, ended with the test.
struct Page(Child);

impl Drop for Page {
    fn drop(&mut self) {
        self.0.kill().unwrap();
        self.0.wait().unwrap();
    }
}

/// Serves the page and reads what it says up to its last line.
fn serve(dir: &Path) -> (Page, Vec<String>) {
    let mut child = dooryard(dir, "office serve county --port 0").stdout(Stdio::piped()).spawn().unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let page = Page(child);
    let mut said = Vec::new();
    while !said.last().is_some_and(|line: &String| line.contains("Ctrl-C")) {
        said.push(lines.next().unwrap().unwrap());
    }
    (page, said)
}

#[test]
fn an_account_is_made_with_a_password_typed_twice() {
    let folder = county();
    let dir = folder.path();
    let new = |name: &str| format!("office account new county --role scout-lead --name {name}");
    assert!(said(dir, 0, &new("Wren"), "beans and squash\nbeans and squash\n").contains("as scout lead"));
    let short = said(dir, 1, &new("Finch"), "short\nshort\n");
    assert!(short.contains("12 characters or more"), "{short}");
    assert!(said(dir, 1, &new("Finch"), "beans and squash\nbeans and squish\n").contains("not the same"));
    assert!(said(dir, 1, &new("Finch"), "").contains("12 characters"));
    assert!(said(dir, 1, &new("wren"), "beans and squash\nbeans and squash\n").contains("already"));
    said(dir, 2, "office account new county --role king --name Finch", "");
    let list = said(dir, 0, "office account list county", "");
    assert!(list.contains("Wren") && list.contains("can sign in") && !list.contains("Finch"), "{list}");
    assert!(said(dir, 1, "office account list nowhere", "").contains("no office in this folder"));
    assert!(!dir.join("nowhere").exists());
}

#[test]
fn a_link_takes_the_place_of_a_password() {
    let folder = county();
    let dir = folder.path();
    let line = said(dir, 0, "--json office account new county --role reviewer --name Lark --link", "");
    let told: serde_json::Value = serde_json::from_str(&line).unwrap();
    let first = told["link"].as_str().unwrap();
    assert!(first.starts_with("/welcome/") && first.len() == "/welcome/".len() + 64);
    let second = said(dir, 0, "office account link county --name lark", "");
    assert!(second.contains("/welcome/") && !second.contains(first));
    assert!(said(dir, 1, "office account link county --name Nobody", "").contains("no open account"));
    assert!(said(dir, 0, "office account list county", "").contains("has no password yet"));
}

#[test]
fn a_page_without_accounts_prints_a_link_and_one_with_accounts_does_not() {
    let folder = county();
    let dir = folder.path();
    let (page, lines) = serve(dir);
    let base = lines[0].split_once("http://").unwrap().1.trim_end_matches('/').to_owned();
    let link = lines.iter().find(|line| line.contains("/welcome/")).unwrap();
    assert!(link.starts_with(&format!("http://{base}/welcome/")), "{lines:?}");
    drop(page);
    said(dir, 0, "office account new county --role admin --name Wren", "beans and squash\nbeans and squash\n");
    let (_page, lines) = serve(dir);
    assert!(!lines.iter().any(|line| line.contains("/welcome/")), "{lines:?}");
}
