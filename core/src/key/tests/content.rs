//! The starter pack and how packs are read.

use super::{files, landscape, pack_of};
use crate::key::{Language, PackProblem, PackProblems};

/// The problems of the starter pack with these replacements (file, old, new), as texts.
fn with(changes: &[(&str, &str, &str)]) -> Vec<String> {
    let mut files = files();
    for (file, old, new) in changes {
        let text = files.get_mut(*file).unwrap();
        assert!(text.contains(old), "{file} does not hold {old}");
        *text = text.replacen(old, new, 1);
    }
    match pack_of(&files) {
        Ok(_) => Vec::new(),
        Err(PackProblems(problems)) => problems.iter().map(ToString::to_string).collect(),
    }
}

#[test]
fn the_starter_pack_is_read_whole_in_both_languages() {
    let pack = landscape();
    assert!(pack.characters.len() >= 145 && pack.causes.len() >= 130 && pack.hosts.len() >= 32);
    let blight = pack.cause("fire_blight").unwrap();
    assert!(blight.key[0].chance > 0.5);
    assert_eq!(pack.host("maple").unwrap().scientific, "Acer");
    assert!(pack.cause("maple").is_none());
    for text in pack.causes.iter().flat_map(|c| [&c.name, &c.confirm, &c.steps, &c.cautions]) {
        assert!(!text.es.is_empty() && text.es != text.en, "{}", text.en);
    }
    let asked = pack.characters.iter().flat_map(|c| [&c.label, &c.ask, &c.how]);
    for text in asked.chain(pack.characters.iter().flat_map(|c| &c.states).map(|s| &s.text)) {
        assert!(!text.es.is_empty(), "{}", text.en);
    }
}

#[test]
fn every_cause_can_be_answered() {
    let pack = landscape();
    for cause in &pack.causes {
        let effects =
            cause.key.iter().filter(|l| pack.characters[l.character].nature != crate::key::Nature::Circumstance);
        assert!(effects.count() >= 3 && !cause.confusers.is_empty(), "{}", cause.id);
    }
    for group in &pack.guidance.groups {
        assert!(!group.blocks.is_empty() && !group.name.es.is_empty(), "{}", group.id);
    }
}

#[test]
fn the_first_content_is_said_to_be_unreviewed() {
    let pack = landscape();
    assert!(!pack.is_reviewed());
    assert!(pack.notice(Language::En).unwrap().starts_with("Unreviewed starter content"));
    let version = pack.content_version();
    assert!(
        version.starts_with("landscape 2 (2026-11-26) ") && version.len() == "landscape 2 (2026-11-26) ".len() + 12
    );
    let mut signed = files();
    let text = signed["pack.yaml"].replace("unreviewed_starter", "reviewed");
    signed.insert("pack.yaml".into(), text);
    let signed = pack_of(&signed).unwrap();
    assert_eq!(signed.notice(Language::Es), None);
    assert_ne!(signed.hash, pack.hash);
}

#[test]
fn every_reference_that_leads_nowhere_is_listed_at_once() {
    let said = with(&[
        ("causes/site_and_weather.yaml", "flare.pole_like: usually", "flair.pole_like: usually"),
        ("causes/site_and_weather.yaml", "first_root_depth.over_three: usually", "first_root_depth.over_nine: usually"),
        ("causes/site_and_weather.yaml", "confusers: [girdling_roots", "confusers: [strangling_roots"),
        ("characters/branch.yaml", "near_wire: [utility_line]", "near_wire: [utility_pole]"),
        ("characters/whole_plant.yaml", "not_known: [unknown_onset]", "not_known: [unknown]"),
        ("pack.yaml", "ask_first: {flare:", "ask_first: {flair:"),
    ]);
    for expected in [
        "planted_too_deep key: no character flair.pole_like",
        "planted_too_deep key: no state first_root_depth.over_nine",
        "planted_too_deep confusers: no cause strangling_roots",
        "hanger: no stop utility_pole",
        "onset: no state unknown",
        "pack ask_first: no character flair",
    ] {
        assert!(said.iter().any(|s| s == expected), "{expected} is missing in {said:#?}");
    }
    assert_eq!(said.len(), 6, "{said:#?}");
}

#[test]
fn what_a_pack_may_not_say_is_refused() {
    let one = |change| with(&[change]).first().cloned().unwrap_or_default();
    let place = "causes/site_and_weather.yaml";
    assert_eq!(
        one((place, "key: {flare.pole_like: usually", "key: {flare.flare_seen: usually")),
        "planted_too_deep key: names a normal state: a cause does not produce it"
    );
    assert_eq!(one((place, "- id: iron_chlorosis\n", "- id: girdling_roots\n")), "cause girdling_roots is there twice");
    assert_eq!(
        one(("pack.yaml", "nearly_always: 0.95", "nearly_always: 1.0")),
        "frequency nearly_always: a chance lies above 0 and below 1"
    );
    assert!(one(("pack.yaml", "core: [1, 1]", "core: [2, 3]")).contains("a newer one is needed"));
    let mut misspelt = files();
    let text = misspelt[place].replacen("  against:", "  agianst:", 1);
    misspelt.insert(place.into(), text);
    let PackProblems(problems) = pack_of(&misspelt).unwrap_err();
    assert!(
        matches!(&problems[..], [PackProblem::Unreadable { file, message }] if file == place && message.contains("agianst"))
    );
    assert_eq!(crate::Error::from(PackProblems(problems)).code(), Some(crate::Code::Schema));
}

#[test]
fn a_pack_can_word_a_stop_and_not_weaken_it() {
    let own = |entry: &str| {
        let mut files = files();
        files.insert("stops.yaml".into(), format!("questions: []\nstops:\n- {entry}\n"));
        pack_of(&files)
    };
    let floor = landscape().stop("tree_failure").unwrap().clone();
    let words = "title: {en: A tree may fall}, text: {en: Call the county arborist line.}";
    let blocks = serde_json::to_string(&floor.blocks).unwrap();
    let local = own(&format!("{{id: tree_failure, kind: stop, blocks: {blocks}, {words}}}")).unwrap();
    assert_eq!(local.stop("tree_failure").unwrap().text.en(), "Call the county arborist line.");
    assert_eq!(local.stops.len(), landscape().stops.len());
    let weaker = own(&format!("{{id: tree_failure, kind: note, blocks: {blocks}, {words}}}")).unwrap_err();
    assert!(weaker.to_string().contains("stops cannot be switched off"), "{weaker}");
}
