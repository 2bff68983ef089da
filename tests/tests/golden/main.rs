//! The golden files of `fixtures/bundles`: each still has the outcome that is written down for it, at the office and on the phone;
//! and from the same seeds the same files come. The Kotlin and Swift tests read the same ones.
#![allow(clippy::unwrap_used, reason = "a test")]

mod cast;
mod drift;
mod expected;
mod files;

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

use dooryard_core::{Code, Error, error::Retry, job::Job, notebook::Notebook};
use dooryard_office::desk::Office;
use serde_json::{Value as Json, json};

/// Where the golden files stand.
pub fn place(name: &str) -> PathBuf {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../fixtures/bundles")).join(name)
}

fn word(retry: Retry) -> &'static str {
    match retry {
        Retry::Never => "never",
        Retry::Later => "later",
        Retry::AfterUpgrade => "after_upgrade",
        Retry::AfterPerson => "after_person",
    }
}

/// Takes the files of a case in at a copy of the office; says what became of the last.
fn at_the_office(case: &Json) -> Json {
    let dir = tempfile::tempdir().unwrap();
    dooryard_tests::copy_folder(&place("office"), dir.path()).unwrap();
    let office = Office::open(dir.path(), cast::env(8)).unwrap();
    let take = |name: &Json| office.take_in(&place("to-office").join(name.as_str().unwrap()), &Job::silent()).unwrap();
    for earlier in case["after"].as_array().unwrap() {
        take(earlier);
    }
    let before = office.notebook().digest().unwrap();
    let taken = take(&case["file"]);
    let report = &taken.report;
    assert_eq!(
        report.new > 0,
        office.notebook().digest().unwrap() != before,
        "what was new, and only that, changed something"
    );
    let gaps = office.notebook().gaps().unwrap();
    let places = |lost| gaps.iter().filter(|g| g.lost == lost).map(|g| [g.from, g.to]).collect::<Vec<_>>();
    json!({
        "file": case["file"], "after": case["after"], "outcome": taken.outcome, "code": taken.code,
        "retry": taken.code.as_deref().map(|name| word(Code::from_name(name).unwrap().retry())),
        "new": report.new, "repeated": report.repeated, "waiting": report.waiting, "forks": report.forks,
        "segments_refused": report.segments_refused, "photos": report.photos, "photos_missing": report.photos_missing,
        "parts_damaged": report.parts_damaged, "cut": report.cut,
        "gaps": places(false), "lost": places(true),
    })
}

/// Takes the files of a case on a copy of the phone; says what became of the last.
fn on_the_phone(case: &Json, folder: &str) -> Json {
    let dir = tempfile::tempdir().unwrap();
    dooryard_tests::copy_folder(&place("phone"), dir.path()).unwrap();
    let phone = Notebook::open(dir.path(), cast::env(9)).unwrap();
    let take = |name: &Json| phone.take_reply(&place(folder).join(name.as_str().unwrap()), &Job::silent());
    for earlier in case["after"].as_array().unwrap() {
        take(earlier).unwrap();
    }
    let before = phone.digest().unwrap();
    let (taken, refused) = match take(&case["file"]) {
        Ok(taken) => (taken, None),
        Err(Error::Refused { code, .. }) => (dooryard_core::bundle::ReplyTaken::default(), Some(code)),
        Err(other) => panic!("{other}"),
    };
    assert!(refused.is_none() || phone.digest().unwrap() == before, "what is refused changes nothing");
    json!({
        "file": case["file"], "after": case["after"], "code": refused.map(Code::name),
        "retry": refused.map(|code| word(code.retry())), "sentence": refused.map(Code::sentence),
        "number": taken.number, "records": taken.records, "received": taken.received,
        "photos_received": taken.photos_received,
        "waiting": taken.waiting.iter().map(|(_, code)| code).collect::<Vec<_>>(), "restored": taken.restored,
    })
}

/// Runs every case of one side; all that differ are told at once. Every file beside them belongs to a case.
fn check(side: &str, folder: &str, run: impl Fn(&Json) -> Json) {
    let expected: Json = serde_json::from_str(&fs::read_to_string(place("expected.json")).unwrap()).unwrap();
    let cases = expected[side].as_array().unwrap();
    let differing: Vec<String> = cases
        .iter()
        .map(|case| (case, run(case)))
        .filter(|(case, got)| *case != got)
        .map(|(case, got)| format!("expected {case}\n     got {got}"))
        .collect();
    assert!(differing.is_empty(), "{} of {} files:\n{}", differing.len(), cases.len(), differing.join("\n"));
    let named: BTreeSet<_> = cases.iter().map(|case| case["file"].as_str().unwrap().to_owned()).collect();
    let there: BTreeSet<_> =
        fs::read_dir(place(folder)).unwrap().map(|f| f.unwrap().file_name().into_string().unwrap()).collect();
    assert_eq!(named, there);
    assert!(cases.len() > 20);
}

#[test]
fn every_file_has_its_expected_outcome_at_the_office() {
    check("to_office", "to-office", at_the_office);
}

#[test]
fn every_reply_has_its_expected_outcome_on_the_phone() {
    check("to_phone", "to-phone", |case| on_the_phone(case, "to-phone"));
}

#[test]
fn every_file_for_the_office_has_its_expected_outcome_on_a_phone_that_is_handed_it_by_mistake() {
    check("astray", "to-office", |case| on_the_phone(case, "to-office"));
}
