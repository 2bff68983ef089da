//! The command as a county office types it: a phone from its first day to its reply, refusals, wrong use.

#![expect(clippy::unwrap_used, reason = "a test")]

use std::{
    path::Path,
    process::{Command, Output},
};

use serde_json::Value as Json;

fn dooryard(dir: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_dooryard")).current_dir(dir).args(arguments).output().unwrap()
}

/// Runs it, holds the exit code against what is expected, gives its words.
fn said(dir: &Path, code: i32, line: &str) -> String {
    let arguments: Vec<&str> = line.split(' ').collect();
    let output = dooryard(dir, &arguments);
    let words = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert_eq!(output.status.code(), Some(code), "dooryard {line}\n{words}");
    words
}

fn objects(dir: &Path, line: &str) -> Vec<Json> {
    said(dir, 0, line).lines().map(|l| serde_json::from_str(l).unwrap()).collect()
}

fn county() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    said(dir, 0, "office new county --name Larkspur");
    said(dir, 0, "notebook new phone");
    said(dir, 0, "notebook request phone --out phone.request");
    said(dir, 0, "office add-device county --request phone.request --role scout --label Scout-3 --out phone.answer");
    let words = said(dir, 0, "notebook enrol phone phone.answer");
    assert!(words.contains("Scout-3"), "{words}");
    folder
}

#[cfg(unix)]
#[test]
fn what_guards_a_new_notebooks_key_is_said_and_is_so() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let words = said(folder.path(), 0, "notebook new phone");
    assert!(words.contains("a file there that only you can read (mode 0600), and nothing else guards it"), "{words}");
    let key = folder.path().join("phone/local/device.key");
    assert_eq!(key.metadata().unwrap().permissions().mode() & 0o777, 0o600);
}

const VISIT: &str = r#"[
  {"label": "home", "kind": "site", "fields": {"township": "Sedge"}},
  {"label": "q", "kind": "inquiry", "fields": {"site": "@home", "taken_by": "Scout 3", "question": "@home is thin"}},
  {"label": "p", "kind": "plant", "fields": {"inquiry": "@q", "host": "maple", "affected": 2, "present": 6}},
  {"kind": "finding", "fields": {"plant": "@p", "character": "flare", "state": "pole_like", "status": "seen"}}
]"#;

#[test]
fn a_phones_work_comes_to_the_office_and_a_reply_goes_back() {
    let folder = county();
    let dir = folder.path();
    std::fs::write(dir.join("visit.json"), VISIT).unwrap();
    let saved = objects(dir, "--json notebook save phone visit.json");
    assert_eq!(saved.len(), 4);
    assert_eq!(saved[1]["label"], "q");
    let inquiry = saved[1]["id"].as_str().unwrap();
    let shown = &objects(dir, &format!("--json notebook show phone {inquiry}"))[0];
    let field = |name: &str| {
        let fields = shown["fields"].as_array().unwrap().iter();
        fields.filter(|f| f["name"] == name).map(|f| f["shown"]["value"].clone()).next().unwrap()
    };
    assert_eq!(field("site"), saved[0]["id"], "a label in a reference stands for the record");
    assert_eq!(field("question"), "@home is thin", "a label in somebody's words stays as it is");

    assert!(said(dir, 0, "bundle make phone --out s3.yard").contains("4 changes"));
    let first = said(dir, 0, "bundle take-in --office county s3.yard");
    for fact in [
        "4 changes in it = 4 new + 0 already here + 0 set aside.",
        "Maple: 1 of 1 inquiries; 2 of 6 plants show it; 0 of 1 answered",
        "Unreviewed starter content",
    ] {
        assert!(first.contains(fact), "{fact} is missing in:\n{first}");
    }
    let again = objects(dir, "--json bundle take-in --office county s3.yard");
    assert_eq!((&again[0]["report"]["new"], &again[0]["report"]["repeated"]), (&Json::from(0), &Json::from(4)));
    assert!(again.iter().any(|o| o["host"] == "maple" && o["inquiries"] == 1 && o["of"] == 1));

    said(dir, 0, "bundle reply --office county --device Scout-3 --out r3.yard");
    assert!(said(dir, 0, "bundle take-reply phone r3.yard").contains("Office has it: 4 changes"));
    assert!(said(dir, 0, "office devices county").contains("4 changes"));
    assert!(said(dir, 0, "notebook search phone thin").contains(inquiry));
    let first = said(dir, 0, &format!("key first county/notebook {inquiry}"));
    assert!(first.contains("Planted too deep") && first.contains(" in 100"), "{first}");
}

#[test]
fn a_refusal_names_the_file_and_the_next_step_and_exits_with_1() {
    let folder = county();
    let dir = folder.path();
    std::fs::write(dir.join("letter.yard"), "no bundle").unwrap();
    let words = said(dir, 1, "bundle take-in --office county letter.yard");
    assert!(words.contains("letter.yard") && words.contains("It is not a bundle."), "{words}");
    let words = said(dir, 1, "bundle look-inside nothing.yard");
    assert!(words.contains("nothing.yard") && words.contains("What to do"), "{words}");
    let words = said(dir, 1, "notebook list nowhere");
    assert!(words.contains("nowhere"), "{words}");
    std::fs::write(dir.join("bad.json"), r#"[{"kind": "site"}, {"kind": "inquiry", "fields": {"channel": "pigeon"}}]"#)
        .unwrap();
    let words = said(dir, 1, "notebook save phone bad.json");
    assert!(words.contains("bad.json") && words.contains("step 2") && words.contains("channel is none of"), "{words}");
    assert!(said(dir, 0, "notebook list phone").contains("0 of 0 records"), "nothing of a bad file is saved");
    let refused: Json = serde_json::from_str(&said(dir, 1, "--json bundle look-inside letter.yard")).unwrap();
    assert_eq!(refused["code"], "BAD_MAGIC");
}

#[test]
fn erasing_asks_first() {
    let folder = county();
    let dir = folder.path();
    std::fs::write(dir.join("visit.json"), VISIT).unwrap();
    let site = objects(dir, "--json notebook save phone visit.json")[0]["id"].as_str().unwrap().to_owned();
    said(dir, 0, "bundle make phone --out s3.yard");
    said(dir, 0, "bundle take-in --office county s3.yard");
    assert!(said(dir, 1, &format!("office erase county {site}")).contains("--yes"));
    assert!(said(dir, 0, &format!("notebook show county/notebook {site}")).contains("Sedge"));
    said(dir, 0, &format!("office erase county {site} --yes"));
    assert!(!said(dir, 0, &format!("notebook show county/notebook {site}")).contains("Sedge"));
}

#[test]
fn wrong_use_exits_with_2_and_help_with_0() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    for line in ["pigeon", "office", "office new", "bundle take-in --office county", "office serve x --port pigeon"] {
        said(dir, 2, line);
    }
    assert!(said(dir, 0, "--help").contains("Examples"));
    assert!(said(dir, 0, "bundle take-in --help").contains("Taking a file in again changes nothing"));
}
