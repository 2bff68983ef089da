//! What goes wrong with codes: another office, the time over, a second phone, a wrong letter, too much waiting.

use serde_json::Value as Json;
use std::fs;

use super::steps::{bundle, county, invite, joined, records, refusal, said, save, take_in, text, value, words_of};

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
