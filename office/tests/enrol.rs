//! Enrolment as people type it: at one table, on paper, and what goes wrong.

#![expect(clippy::unwrap_used, reason = "a test")]

use std::{
    fs,
    io::Write,
    path::Path,
    process::{Command, Stdio},
};

use serde_json::Value as Json;

/// Runs it with words piped in, holds the exit code against what is expected, gives its words.
fn piped(dir: &Path, code: i32, input: &str, arguments: &[&str]) -> String {
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

fn said(dir: &Path, code: i32, arguments: &[&str]) -> String {
    piped(dir, code, "", arguments)
}

/// The value under a key in the first object that has it.
fn value(dir: &Path, key: &str, arguments: &[&str]) -> Json {
    let all: Vec<&str> = ["--json"].iter().chain(arguments).copied().collect();
    let words = said(dir, 0, &all);
    let objects = words.lines().filter_map(|line| serde_json::from_str::<Json>(line).ok());
    objects.filter_map(|object| object.get(key).cloned()).next().unwrap_or_else(|| panic!("no {key} in {words}"))
}

fn text(dir: &Path, key: &str, arguments: &[&str]) -> String {
    value(dir, key, arguments).as_str().unwrap().to_owned()
}

/// Code of the refusal.
fn refusal(dir: &Path, arguments: &[&str]) -> String {
    let all: Vec<&str> = ["--json"].iter().chain(arguments).copied().collect();
    let words = said(dir, 1, &all);
    let object =
        words.lines().filter_map(|line| serde_json::from_str::<Json>(line).ok()).find(|o| o.get("refused").is_some());
    object.unwrap_or_else(|| panic!("no refusal in {words}"))["code"].as_str().unwrap_or_default().to_owned()
}

fn county() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    said(folder.path(), 0, &["office", "new", "county", "--name", "Larkspur"]);
    folder
}

fn invite(dir: &Path, label: &str) -> String {
    text(dir, "invitation", &["office", "invite", "county", "--role", "scout", "--label", label])
}

/// A notebook that took an invitation; returns its ask.
fn joined(dir: &Path, phone: &str, invitation: &str) -> String {
    said(dir, 0, &["notebook", "new", phone]);
    text(dir, "ask", &["notebook", "join", phone, invitation])
}

fn words_of(dir: &Path, phone: &str, invitation: &str) -> String {
    text(dir, "words", &["notebook", "join", phone, invitation])
}

fn save(dir: &Path, phone: &str, township: &str) {
    let step = format!(r#"[{{"kind": "site", "fields": {{"township": "{township}"}}}}]"#);
    fs::write(dir.join("visit.json"), step).unwrap();
    said(dir, 0, &["notebook", "save", phone, "visit.json"]);
}

fn bundle(dir: &Path, phone: &str, out: &str) {
    said(dir, 0, &["bundle", "make", phone, "--out", out]);
}

/// What became of a file at the office: its code, none when it was taken in.
fn take_in(dir: &Path, file: &str) -> Option<String> {
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

fn records(dir: &Path, notebook: &str) -> usize {
    said(dir, 0, &["--json", "notebook", "list", notebook]).lines().count()
}

#[test]
fn at_one_table_three_pictures_take_a_phone_on() {
    let folder = county();
    let dir = folder.path();
    let invited = ["office", "invite", "county", "--role", "scout", "--label", "Scout 3", "--png", "scout3.png"];
    let words = said(dir, 0, &invited);
    assert!(words.contains("Scout 3 is invited as scout") && words.contains("DY1:"), "{words}");
    said(dir, 0, &["notebook", "new", "phone"]);
    let on_phone = said(dir, 0, &["notebook", "join", "phone", "scout3.png", "--png", "asks.png"]);
    assert!(on_phone.contains("Larkspur invites this notebook as Scout 3"), "{on_phone}");
    assert!(!on_phone.contains("time is over"), "{on_phone}");

    let six = text(dir, "words", &["notebook", "join", "phone", "scout3.png"]);
    let no = piped(dir, 1, "no\n", &["office", "admit", "county", "asks.png"]);
    assert!(no.contains(&six) && no.contains("were not confirmed"), "{no}");
    assert_eq!(said(dir, 0, &["office", "devices", "county"]).lines().count(), 1, "a no admits nobody");
    let yes = piped(dir, 0, "yes\n", &["office", "admit", "county", "asks.png", "--png", "answer.png"]);
    assert!(yes.contains(&six) && yes.contains("Scout 3 is taken on as scout"), "{yes}");
    let done = said(dir, 0, &["notebook", "join", "phone", "answer.png", "--answer"]);
    assert!(done.contains("This notebook is Scout 3 now"), "{done}");

    save(dir, "phone", "Sedge");
    bundle(dir, "phone", "s3.yard");
    assert_eq!(take_in(dir, "s3.yard"), None);
    assert_eq!(records(dir, "county/notebook"), 1);
    said(dir, 0, &["bundle", "reply", "--office", "county", "--device", "Scout 3", "--out", "r3.yard"]);
    assert!(said(dir, 0, &["bundle", "take-reply", "phone", "r3.yard"]).contains("Office has it: 1 change"));
    // Admitting the same phone again renews.
    said(dir, 0, &["office", "admit", "county", "asks.png", "--yes"]);
}

#[test]
fn on_paper_the_first_bundle_waits_sealed_and_counts_for_nothing_until_its_words_are_read() {
    let folder = county();
    let dir = folder.path();
    let invitation = invite(dir, "Scout 3");
    joined(dir, "phone", &invitation);
    save(dir, "phone", "Sedge");
    assert!(said(dir, 0, &["notebook", "list", "phone"]).contains("Sedge"), "the phone shows what it wrote");
    bundle(dir, "phone", "first.yard");
    save(dir, "phone", "Rushford");
    bundle(dir, "phone", "second.yard");

    assert_eq!(take_in(dir, "first.yard").as_deref(), Some("UNKNOWN_DEVICE"));
    assert_eq!(take_in(dir, "second.yard").as_deref(), Some("UNKNOWN_DEVICE"));
    assert_eq!(take_in(dir, "first.yard").as_deref(), Some("UNKNOWN_DEVICE"), "again changes nothing");
    assert_eq!(records(dir, "county/notebook"), 0, "nothing of it counts");
    assert_eq!(fs::read_dir(dir.join("county/quarantine")).unwrap().count(), 0);
    let kept = dooryard_tests::files_with(&dir.join("county"), b"Sedge").unwrap();
    assert!(kept.is_empty(), "its words stand unsealed in {kept:?}");
    let reply = ["bundle", "reply", "--office", "county", "--device", "Scout 3", "--out", "r.yard"];
    assert_eq!(refusal(dir, &reply), "NOT_FOUND");

    let six = words_of(dir, "phone", &invitation);
    let waits = said(dir, 0, &["office", "waiting", "county"]);
    assert!(waits.contains(&six) && waits.contains("Scout 3 as scout: 2 sealed bundles"), "{waits}");
    let other =
        if six.contains("apple") { "moon moon moon moon moon moon" } else { "apple apple apple apple apple apple" };
    assert_eq!(refusal(dir, &["office", "admit", "county", other, "--yes"]), "NOT_FOUND");
    let admitted = said(dir, 0, &["office", "admit", "county", &six, "--yes"]);
    assert!(admitted.contains("2 bundles that waited taken in, 2 new changes"), "{admitted}");
    assert_eq!(records(dir, "county/notebook"), 2);
    assert!(said(dir, 0, &["office", "waiting", "county"]).contains("No phone waits"));
    assert_eq!(fs::read_dir(dir.join("county/waiting")).unwrap().count(), 0);

    // The reply brings the certificate; what the phone writes then goes the ordinary way.
    said(dir, 0, &["bundle", "reply", "--office", "county", "--device", "Scout 3", "--out", "r.yard"]);
    assert!(said(dir, 0, &["bundle", "take-reply", "phone", "r.yard"]).contains("Office has it: 2 changes"));
    save(dir, "phone", "Alder");
    bundle(dir, "phone", "third.yard");
    assert_eq!(take_in(dir, "third.yard"), None);
    assert_eq!(take_in(dir, "first.yard"), None, "the paper's bundle is one like any other now");
    assert_eq!(records(dir, "county/notebook"), 3);
}

#[test]
fn a_phone_that_is_turned_away_leaves_nothing_and_keeps_everything() {
    let folder = county();
    let dir = folder.path();
    let invitation = invite(dir, "Scout 3");
    joined(dir, "phone", &invitation);
    save(dir, "phone", "Sedge");
    bundle(dir, "phone", "first.yard");
    take_in(dir, "first.yard");
    let six = words_of(dir, "phone", &invitation);
    said(dir, 0, &["office", "turn-away", "county", &six]);
    assert_eq!(fs::read_dir(dir.join("county/waiting")).unwrap().count(), 0);
    assert_eq!(take_in(dir, "first.yard").as_deref(), Some("REFUSED"));
    assert_eq!(refusal(dir, &["office", "turn-away", "county", &six]), "NOT_FOUND");
    assert_eq!(records(dir, "phone"), 1);
}

#[test]
fn another_offices_invitation_and_one_whose_time_is_over_admit_nobody() {
    let folder = county();
    let dir = folder.path();
    said(dir, 0, &["office", "new", "elsewhere", "--name", "Elsewhere"]);
    let theirs = text(dir, "invitation", &["office", "invite", "elsewhere", "--role", "scout", "--label", "Scout 1"]);
    let ask = joined(dir, "stranger", &theirs);
    assert_eq!(refusal(dir, &["office", "admit", "county", &ask, "--yes"]), "WRONG_CODE");

    let invitation = invite(dir, "Scout 3");
    let ask = joined(dir, "phone", &invitation);
    save(dir, "phone", "Sedge");
    bundle(dir, "phone", "late.yard");
    // The office's note is what decides.
    for entry in fs::read_dir(dir.join("county/invitations")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "json") {
            let mut note: Json = serde_json::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
            note["expires_ms"] = Json::from(1_000);
            fs::write(&path, note.to_string()).unwrap();
        }
    }
    assert_eq!(refusal(dir, &["office", "admit", "county", &ask, "--yes"]), "EXPIRED");
    assert_eq!(take_in(dir, "late.yard").as_deref(), Some("EXPIRED"));
    assert_eq!(said(dir, 0, &["office", "devices", "county"]).lines().count(), 1);
    // A new invitation for the same label, and nothing is lost: what was kept is taken in after it.
    let again = invite(dir, "Scout 3");
    let ask = text(dir, "ask", &["notebook", "join", "phone", &again]);
    said(dir, 0, &["office", "admit", "county", &ask, "--yes"]);
    said(dir, 0, &["bundle", "take-in", "--office", "county", "--set-aside"]);
    assert_eq!(records(dir, "county/notebook"), 1);
}

#[test]
fn a_phone_whose_clock_is_past_the_invitation_warns_and_is_not_locked() {
    use dooryard_core::{
        clock::{Env, SetClock},
        record::Role,
    };
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let clock = SetClock::at(1_000_000_000_000);
    let office =
        dooryard_office::desk::Office::create(&dir.join("county"), "Larkspur", Env::seeded(1, &clock)).unwrap();
    let text = office.invite(Role::Scout, "Scout 3", 86_400_000).unwrap().to_text().unwrap();
    said(dir, 0, &["notebook", "new", "phone"]);
    let words = said(dir, 0, &["notebook", "join", "phone", &text]);
    assert!(words.contains("time is over") && words.contains("Nothing is lost"), "{words}");
    save(dir, "phone", "Sedge");
    let ask = dooryard_core::enrol::Ask::from_text(
        value(dir, "ask", &["notebook", "join", "phone", &text]).as_str().unwrap(),
    )
    .unwrap();
    office.hear(&ask).unwrap();
    let later = SetClock::at(1_000_000_000_000 + 86_400_001);
    let other = dooryard_core::notebook::Notebook::create(&dir.join("other"), Env::seeded(5, &later)).unwrap();
    other.join(&dooryard_core::enrol::Invitation::from_text(&text).unwrap()).unwrap();
    clock.set(later.now_ms());
    let late = office.hear(&other.ask().unwrap().unwrap()).unwrap_err();
    assert_eq!(late.code().map(dooryard_core::Code::name), Some("EXPIRED"));
    assert!(
        !office.hear(&ask).unwrap().frozen,
        "one that came in time may be admitted later, and a late one freezes nothing"
    );
}

#[test]
fn a_second_phone_with_one_code_freezes_both_until_a_person_says_which() {
    let folder = county();
    let dir = folder.path();
    let invitation = invite(dir, "Scout 3");
    let right = joined(dir, "right", &invitation);
    said(dir, 0, &["office", "admit", "county", &right, "--yes"]);
    save(dir, "right", "Sedge");
    bundle(dir, "right", "right1.yard");
    assert_eq!(take_in(dir, "right1.yard"), None);

    let wrong = joined(dir, "wrong", &invitation);
    save(dir, "wrong", "Nowhere");
    bundle(dir, "wrong", "wrong.yard");
    assert_eq!(take_in(dir, "wrong.yard").as_deref(), Some("CODE_USED"));
    assert_eq!(refusal(dir, &["office", "admit", "county", &wrong, "--yes"]), "CODE_USED");
    // The one that was admitted waits as well, and gets nothing.
    save(dir, "right", "Rushford");
    bundle(dir, "right", "right2.yard");
    assert_eq!(take_in(dir, "right2.yard").as_deref(), Some("CODE_USED"));
    let reply = ["bundle", "reply", "--office", "county", "--device", "Scout 3", "--out", "r.yard"];
    assert_eq!(refusal(dir, &reply), "CODE_USED");
    assert_eq!(records(dir, "county/notebook"), 1);
    let waits = said(dir, 0, &["office", "waiting", "county"]);
    assert_eq!(waits.matches("TWO PHONES CAME WITH THIS CODE").count(), 2, "{waits}");

    let six = words_of(dir, "right", &invitation);
    let chosen = said(dir, 0, &["office", "admit", "county", &six, "--yes", "--this-one"]);
    assert!(chosen.contains("1 bundle that waited taken in"), "{chosen}");
    assert_eq!(records(dir, "county/notebook"), 2);
    assert_eq!(take_in(dir, "wrong.yard").as_deref(), Some("REFUSED"));
    assert_eq!(refusal(dir, &["office", "admit", "county", &wrong, "--yes"]), "REFUSED");
    said(dir, 0, &reply);
}

#[test]
fn the_second_phone_may_be_the_right_one_and_the_first_is_cut_off() {
    let folder = county();
    let dir = folder.path();
    let invitation = invite(dir, "Scout 3");
    let thief = joined(dir, "thief", &invitation);
    said(dir, 0, &["office", "admit", "county", &thief, "--yes"]);
    let right = joined(dir, "right", &invitation);
    assert_eq!(refusal(dir, &["office", "admit", "county", &right, "--yes"]), "CODE_USED");
    said(dir, 0, &["office", "admit", "county", &right, "--yes", "--this-one"]);
    save(dir, "thief", "Nowhere");
    bundle(dir, "thief", "thief.yard");
    assert_eq!(take_in(dir, "thief.yard"), None, "it is kept");
    assert_eq!(records(dir, "county/notebook"), 0, "and does not count");
    assert!(said(dir, 0, &["office", "devices", "county"]).contains("cut off"));
    save(dir, "right", "Sedge");
    bundle(dir, "right", "right.yard");
    assert_eq!(take_in(dir, "right.yard"), None);
    let reply = ["bundle", "reply", "--office", "county", "--device", "Scout 3", "--out", "r.yard"];
    said(dir, 0, &reply);
    said(dir, 0, &["bundle", "take-reply", "right", "r.yard"]);
}

#[test]
fn a_wrong_letter_in_any_of_the_three_texts_is_refused_and_changes_nothing() {
    let folder = county();
    let dir = folder.path();
    let invitation = invite(dir, "Scout 3");
    said(dir, 0, &["notebook", "new", "phone"]);
    // Some letters of each text here; every letter in the core's own tests.
    let flipped = |text: &str| -> Vec<String> {
        (4..text.len())
            .step_by(37)
            .map(|at| {
                let mut letters: Vec<char> = text.chars().collect();
                letters[at] = if letters[at] == 'A' { 'B' } else { 'A' };
                letters.into_iter().collect()
            })
            .collect()
    };
    for wrong in flipped(&invitation) {
        assert_eq!(refusal(dir, &["notebook", "join", "phone", &wrong]), "SCHEMA", "{wrong}");
    }
    assert_eq!(refusal(dir, &["bundle", "make", "phone", "--out", "s.yard"]), "NOT_ENROLLED");
    let ask = text(dir, "ask", &["notebook", "join", "phone", &invitation]);
    for wrong in flipped(&ask) {
        assert_eq!(refusal(dir, &["office", "admit", "county", &wrong, "--yes"]), "SCHEMA", "{wrong}");
    }
    assert_eq!(said(dir, 0, &["office", "devices", "county"]).lines().count(), 1);
    let answer = text(dir, "answer", &["office", "admit", "county", &ask, "--yes"]);
    for wrong in flipped(&answer) {
        assert_eq!(refusal(dir, &["notebook", "join", "phone", &wrong, "--answer"]), "SCHEMA", "{wrong}");
    }
    said(dir, 0, &["notebook", "join", "phone", &answer, "--answer"]);
    assert_eq!(refusal(dir, &["notebook", "join", "phone", &answer]), "SCHEMA", "an answer is no invitation");
}

#[test]
fn no_more_than_64_mib_wait_and_what_is_refused_for_that_is_taken_in_later() {
    let folder = county();
    let dir = folder.path();
    let invitation = invite(dir, "Scout 3");
    joined(dir, "phone", &invitation);
    save(dir, "phone", "Sedge");
    bundle(dir, "phone", "first.yard");
    // The note of a bundle that fills the folder up to one byte less than this one needs.
    let (id, size) = ("0".repeat(64), fs::metadata(dir.join("first.yard")).unwrap().len());
    let note = |bytes: u64| {
        serde_json::json!({ "id": id, "device": "00", "label": "Scout 9", "code": "UNKNOWN_DEVICE", "bytes": bytes, "at_ms": 1 })
            .to_string()
    };
    let waiting = dir.join("county/waiting");
    fs::create_dir_all(&waiting).unwrap();
    fs::write(waiting.join(format!("{id}.json")), note((64 << 20) - size + 1)).unwrap();
    assert_eq!(take_in(dir, "first.yard").as_deref(), Some("WAITING_FULL"));
    assert_eq!(fs::read_dir(&waiting).unwrap().count(), 1, "nothing of it was kept");
    assert_eq!(fs::read_dir(dir.join("county/quarantine")).unwrap().count(), 0, "nor elsewhere");
    fs::write(waiting.join(format!("{id}.json")), note((64 << 20) - size)).unwrap();
    assert_eq!(take_in(dir, "first.yard").as_deref(), Some("UNKNOWN_DEVICE"), "to the last byte");
    assert_eq!(fs::read_dir(&waiting).unwrap().count(), 3);
}

#[test]
fn a_person_at_the_office_admits_and_refuses_saves_and_assigns_records() {
    let folder = county();
    let dir = folder.path();
    let ask = joined(dir, "phone", &invite(dir, "Scout 3"));
    let answer = text(dir, "answer", &["office", "admit", "county", &ask, "--yes"]);
    said(dir, 0, &["notebook", "join", "phone", &answer, "--answer"]);
    fs::write(dir.join("visit.json"), r#"[{"kind": "inquiry", "fields": {"question": "thin"}}]"#).unwrap();
    let id = text(dir, "id", &["notebook", "save", "phone", "visit.json"]);
    bundle(dir, "phone", "s.yard");
    assert_eq!(take_in(dir, "s.yard"), None);
    let change = text(dir, "change", &["notebook", "history", "county/notebook", &id]);
    said(dir, 0, &["office", "refuse-change", "county", &id, &change]);
    let history = said(dir, 0, &["notebook", "history", "county/notebook", &id]);
    assert!(history.contains("does not count: REFUSED"), "{history}");
    said(dir, 0, &["office", "admit-change", "county", &id, &change]);
    assert!(!said(dir, 0, &["notebook", "history", "county/notebook", &id]).contains("does not count"));
    assert_eq!(refusal(dir, &["office", "admit-change", "county", &id, &"0".repeat(64)]), "NOT_FOUND");

    said(dir, 0, &["office", "assign", "county", &id, "--device", "Scout 3"]);
    assert_eq!(refusal(dir, &["office", "assign", "county", &id, "--device", "Scout 9"]), "NOT_FOUND");
    for command in ["invite", "admit", "admit-change", "refuse-change", "assign"] {
        assert!(said(dir, 0, &["office", command, "--help"]).contains("Example"), "{command}");
    }
}
