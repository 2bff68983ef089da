//! The starter pack and how packs are checked.

use super::{CHARACTERS, DISORDERS, PACK, landscape};
use crate::key::{Nature, Pack, PackProblem, PackProblems};

#[test]
fn the_starter_pack_is_read_whole() {
    let pack = landscape();
    assert_eq!((pack.characters.len(), pack.causes.len(), pack.hosts.len()), (121, 100, 32));
    let of = |nature| pack.characters.iter().filter(|c| c.nature == nature).count();
    assert_eq!((of(Nature::Circumstance), of(Nature::Sign), of(Nature::Effect)), (18, 30, 73));
    assert_eq!(pack.causes.iter().filter(|c| c.any_host).count(), 17);
    assert_eq!(pack.characters.iter().filter(|c| c.multi).count(), 14);
    let blight = pack.cause("fire_blight").unwrap();
    let twig = pack.character(&pack.characters[blight.key[0].character].id).unwrap();
    assert!(!twig.ask.is_empty() && blight.key[0].chance > 0.5);
    assert_eq!(pack.host("maple").unwrap().scientific, "Acer");
    assert!(pack.cause("maple").is_none());
}

#[test]
fn the_first_content_is_said_to_be_unreviewed() {
    let pack = landscape();
    assert!(!pack.is_reviewed());
    assert!(pack.notice().unwrap().starts_with("Unreviewed starter content"));
    assert_eq!(pack.content_version(), "landscape 1 (2026-11-25)");
    let signed = PACK.replace("unreviewed_starter", "reviewed");
    assert_eq!(Pack::from_yaml(&signed, CHARACTERS, DISORDERS).unwrap().notice(), None);
}

#[test]
fn every_reference_that_leads_nowhere_is_listed_at_once() {
    let disorders = DISORDERS
        .replacen("flare.pole_like: usually", "flair.pole_like: usually", 1)
        .replacen("first_root_depth.over_three: usually", "first_root_depth.over_nine: usually", 1)
        .replacen("mulch.against_trunk: often", "mulch.against_trunk: mostly", 1)
        .replacen("confusers: [girdling_roots", "confusers: [strangling_roots", 1)
        .replacen("hosts: [maple, pear_ornamental", "hosts: [mapel, pear_ornamental", 1)
        .replacen("window: [03-15, 11-15]", "window: [02-30, 11-15]", 1);
    let characters = CHARACTERS.replacen("near_wire: utility_line", "near_wire: utility_pole", 1);
    let pack = PACK.replacen("onset.unknown_onset", "onset.unknown", 1);
    let PackProblems(problems) = Pack::from_yaml(&pack, &characters, &disorders).unwrap_err();
    let said: Vec<String> = problems.iter().map(ToString::to_string).collect();
    for expected in [
        "planted_too_deep key: no character flair.pole_like",
        "planted_too_deep key: no state first_root_depth.over_nine",
        "planted_too_deep key: no frequency word mostly",
        "planted_too_deep confusers: no cause strangling_roots",
        "girdling_roots hosts: no host mapel",
        "transplant_stress window: not two dates in the form 03-15",
        "hanger: no stop utility_pole",
        "not_known: no state onset.unknown",
    ] {
        assert!(said.iter().any(|s| s == expected), "{expected} is missing in {said:#?}");
    }
    assert_eq!(said.len(), 8, "{said:#?}");
}

#[test]
fn what_a_pack_may_not_say_is_refused() {
    let normal_keyed = DISORDERS.replacen("key: {flare.pole_like: usually", "key: {flare.flare_seen: usually", 1);
    let twice = DISORDERS.replacen("- id: girdling_tie\n", "- id: girdling_roots\n", 1);
    let certain = DISORDERS.replacen("nearly_always: 0.95", "nearly_always: 1.0", 1);
    let first = |disorders: &str| Pack::from_yaml(PACK, CHARACTERS, disorders).unwrap_err().0[0].to_string();
    assert_eq!(first(&normal_keyed), "planted_too_deep key: names a normal state: a cause does not produce it");
    assert_eq!(first(&twice), "cause girdling_roots is there twice");
    assert_eq!(first(&certain), "frequency nearly_always: a chance lies above 0 and below 1");
    let misspelt = DISORDERS.replacen("  against:", "  agianst:", 1);
    let problems = Pack::from_yaml(PACK, CHARACTERS, &misspelt).unwrap_err().0;
    assert!(
        matches!(&problems[..], [PackProblem::Unreadable { file: "disorders", message }] if message.contains("agianst"))
    );
    let error = crate::Error::from(PackProblems(problems));
    assert_eq!(error.code(), Some(crate::Code::Schema));
}

#[test]
fn a_stop_that_no_id_shows_is_refused() {
    let dropped = PACK.replacen("  - {id: insects_bites, from: stinging_insects}\n", "", 1);
    let said = Pack::from_yaml(&dropped, CHARACTERS, DISORDERS).unwrap_err().to_string();
    assert!(said.contains("stop stinging_insects: the pack does not say under which id it is shown"), "{said}");
}
