//! Phones come in at one table and on paper, are turned away, and the office decides about saves.

use std::fs;

use super::steps::{bundle, county, invite, joined, piped, records, refusal, said, save, take_in, text, words_of};

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
    let status = said(dir, 0, &["office", "status", "county"]);
    assert!(status.contains("1 phone waits to be admitted, with 2 sealed bundles"), "{status}");
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
