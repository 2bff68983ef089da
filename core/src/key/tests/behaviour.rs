//! What the differential has to do whatever the numbers are.

use super::{landscape, maple};
use crate::key::{
    Band, Differential, Language, Observation, Observations, Pack, ProbabilityWord, Role, Settings, Status,
};
use crate::{
    Error,
    error::{FieldCode, FieldProblem},
};
use Status::{Absent, NotLooked, Seen, Unsure};

const SICK: [(&str, &str, Status); 6] = [
    ("dieback_pattern", "one_side", Seen),
    ("sapwood_stain", "streaks_ring", Seen),
    ("onset", "days", Seen),
    ("pests_seen", "aphids", Seen),
    ("pests_seen", "ants", Absent),
    ("leaf_edge", "brown_edge", Seen),
];

fn probability(found: &Differential, cause: &str) -> f64 {
    found.ranked.iter().find(|r| r.cause == cause).unwrap().probability
}

#[test]
fn the_order_of_findings_does_not_matter() {
    let pack = landscape();
    let straight = pack.differential(&maple(&SICK)).unwrap();
    for turn in 1..SICK.len() {
        let mut findings = SICK;
        findings.rotate_left(turn);
        assert_eq!(pack.differential(&maple(&findings)).unwrap(), straight);
        findings.reverse();
        assert_eq!(pack.differential(&maple(&findings)).unwrap(), straight);
    }
    let mut twice = SICK.to_vec();
    twice.push(SICK[0]);
    assert_eq!(pack.differential(&maple(&twice)).unwrap(), straight);
}

#[test]
fn not_looked_is_as_if_it_were_not_given() {
    let pack = landscape();
    let mut findings = SICK.to_vec();
    let without = pack.differential(&maple(&findings)).unwrap();
    findings.push(("exit_holes", "d_shape_eighth", NotLooked));
    findings.push(("wilt", "one_stem", NotLooked));
    assert_eq!(pack.differential(&maple(&findings)).unwrap(), without);
}

#[test]
fn not_looked_unsure_and_absent_are_three_things() {
    let pack = landscape();
    let with = |status| {
        let found = pack.differential(&maple(&[SICK[0], ("sapwood_stain", "streaks_ring", status)])).unwrap();
        let wilt = found.ranked.into_iter().find(|r| r.cause == "verticillium_wilt").unwrap();
        (wilt.probability, wilt.unlooked.contains(&"sapwood_stain".to_string()))
    };
    let (not_looked, unsure, absent, seen) = (with(NotLooked), with(Unsure), with(Absent), with(Seen));
    assert!(not_looked.1 && !unsure.1 && !absent.1 && !seen.1);
    assert_eq!(not_looked.0, unsure.0);
    assert!(absent.0 < unsure.0 && unsure.0 < seen.0, "{absent:?} {unsure:?} {seen:?}");
}

#[test]
fn unsure_of_a_whole_character_needs_no_state() {
    let pack = landscape();
    let mut seen = maple(&SICK);
    let before = pack.differential(&seen).unwrap();
    seen.findings.push(Observation { character: "exit_holes".into(), state: None, status: Unsure });
    let after = pack.differential(&seen).unwrap();
    for (a, b) in after.ranked.iter().zip(&before.ranked) {
        assert_eq!((&a.cause, a.probability, &a.for_, &a.against), (&b.cause, b.probability, &b.for_, &b.against));
        assert!(!a.unlooked.contains(&"exit_holes".into()));
    }
    assert!(before.ranked.iter().any(|r| r.unlooked.contains(&"exit_holes".into())));
}

#[test]
fn looks_that_could_not_be_told_leave_it_unsettled() {
    let pack = landscape();
    let settled = pack.differential(&maple(&SICK)).unwrap();
    assert!(!settled.look_again && !settled.named.is_empty());
    let mut seen = maple(&SICK);
    for character in ["exit_holes", "flare"] {
        assert!(!pack.differential(&seen).unwrap().look_again, "one open look of many leaves it settled");
        seen.findings.push(Observation { character: character.into(), state: None, status: Unsure });
    }
    let open = pack.differential(&seen).unwrap();
    assert!(open.look_again && open.named == settled.named);
}

#[test]
fn reasons_say_what_moved_a_cause_weightiest_first() {
    let pack = landscape();
    let findings = [SICK[1], SICK[0], ("exit_holes", "no_holes", Seen)];
    let found = pack.differential(&maple(&findings)).unwrap();
    let wilt = &found.ranked[0];
    assert_eq!(wilt.cause, "verticillium_wilt");
    let names: Vec<_> = wilt.for_.iter().map(|r| (r.character.as_str(), r.states[0].as_str())).collect();
    assert_eq!(names[..2], [("sapwood_stain", "streaks_ring"), ("dieback_pattern", "one_side")]);
    let borer = found.ranked.iter().find(|r| r.cause == "asian_longhorned_beetle").unwrap();
    let against = &borer.against[0];
    assert_eq!((against.character.as_str(), against.states[0].as_str()), ("exit_holes", "no_holes"));
    for cause in &found.ranked {
        assert!(cause.for_.is_sorted_by(|a, b| a.weight >= b.weight) && cause.for_.iter().all(|r| r.weight > 0.0));
        assert!(cause.against.is_sorted_by(|a, b| a.weight <= b.weight));
        assert!(cause.against.iter().all(|r| r.weight < 0.0));
    }
}

#[test]
fn a_reason_alone_is_the_whole_change_of_odds() {
    // With at most one cause in a set, a single finding changes the odds of a cause against none by just its weight.
    let pack = landscape();
    let settings = Settings { size_weights: [0.5, 0.5, 0.0, 0.0], smallest_reason: 0.0, ..Settings::default() };
    let odds = |found: &Differential| (probability(found, "verticillium_wilt") / found.none_share).ln();
    let before = Differential::new(&pack, &settings, &maple(&[])).unwrap();
    for finding in [SICK[1], ("onset", "days", Seen), ("sapwood_stain", "streaks_ring", Absent)] {
        let after = Differential::new(&pack, &settings, &maple(&[finding])).unwrap();
        let wilt = after.ranked.iter().find(|r| r.cause == "verticillium_wilt").unwrap();
        let said: f64 = wilt.for_.iter().chain(&wilt.against).map(|r| r.weight).sum();
        assert!((odds(&after) - odds(&before) - said).abs() < 1e-9, "{finding:?}");
    }
}

#[test]
fn without_findings_nothing_is_raised_or_named() {
    let found = landscape().differential(&maple(&[])).unwrap();
    assert!(found.look_again && found.named.is_empty() && found.stops.is_empty());
    assert!(found.ranked.iter().all(|r| r.band == Band::Idle && (r.lift - 1.0).abs() < 1e-12));
    assert!(found.ranked.iter().all(|r| r.for_.is_empty() && r.against.is_empty() && !r.unlooked.is_empty()));
}

#[test]
fn season_is_an_alibi() {
    let pack = landscape();
    let on = |date| {
        let found = pack.differential(&Observations { date, ..maple(&[("leaf_spot", "along_veins", Seen)]) }).unwrap();
        probability(&found, "anthracnose")
    };
    assert!(on((6, 1)) > 2.0 * on((12, 20)), "{} {}", on((6, 1)), on((12, 20)));
}

#[test]
fn a_secondary_cause_is_never_named_alone() {
    let pack = landscape();
    // A very low bar names many causes: the secondary ones may be among them, and may not be all of them.
    let settings = Settings { named_above: 0.05, ..Settings::default() };
    let role = |id: &String| pack.cause(id).unwrap().role;
    let mut among_others = false;
    for host in &pack.hosts {
        let secondary = pack.causes.iter().filter(|c| c.role == Role::Secondary);
        for cause in secondary.filter(|c| c.fits_host(pack.index.hosts[&host.id])) {
            let findings = cause.key.iter().map(|link| {
                let character = &pack.characters[link.character];
                Observation::new(&character.id, &character.states[link.state].id, Seen)
            });
            let seen = Observations { host: host.id.clone(), date: (6, 20), findings: findings.collect() };
            let usual = pack.differential(&seen).unwrap();
            assert!(!usual.named.contains(&cause.id) || usual.named.iter().any(|n| role(n) != Role::Secondary));
            assert_eq!(usual.look_again, usual.named.is_empty());
            let low = Differential::new(&pack, &settings, &seen).unwrap();
            among_others |= low.named.contains(&cause.id) && low.named.iter().any(|n| role(n) != Role::Secondary);
        }
    }
    assert!(among_others, "the bar was too high to tell anything");
}

#[test]
fn unknown_names_are_refused_with_their_names() {
    let pack = landscape();
    let problems = |seen: &Observations| match pack.differential(seen).unwrap_err() {
        Error::Invalid(problems) => problems,
        other => panic!("{other}"),
    };
    let seen = maple(&[("wilt", "purple", Seen), ("no_such_look", "x", Absent), SICK[0]]);
    let expected = [("wilt.purple", FieldCode::UnknownWord), ("no_such_look", FieldCode::UnknownField)];
    let expected = expected.map(|(field, code)| FieldProblem { field: field.into(), code });
    assert_eq!(problems(&seen), expected);
    assert!(Error::Invalid(expected.into()).to_string().contains("wilt.purple"));
    let stateless = Observation { character: "wilt".into(), state: None, status: Seen };
    assert_eq!(problems(&Observations { findings: vec![stateless], ..maple(&[]) })[0].code, FieldCode::Missing);
    assert_eq!(problems(&Observations { host: "palm".into(), ..maple(&[]) })[0].field, "host palm");
    assert_eq!(problems(&Observations { date: (2, 30), ..maple(&[]) })[0].field, "date");
    assert!(pack.differential(&Observations { date: (2, 29), ..maple(&[]) }).is_ok());
}

#[test]
fn words_go_with_numbers_and_certainty_needs_proof() {
    let word = |p| ProbabilityWord::of(p, true).text(Language::En);
    let scale = [0.01, 0.05, 0.2, 0.45, 0.55, 0.8, 0.95].map(word);
    assert_eq!(
        scale,
        ["almost no chance", "very unlikely", "unlikely", "about even", "likely", "very likely", "nearly certain"]
    );
    assert_eq!(ProbabilityWord::of(0.99, false), ProbabilityWord::VeryLikely);
}

#[test]
fn stops_come_from_seen_states_only_under_the_ids_used_everywhere() {
    let pack = landscape();
    let ids = |pack: &Pack, findings: &[(&str, &str, Status)]| {
        let raised = pack.raise_stops(&maple(findings).findings);
        raised.into_iter().map(|s| s.id).collect::<Vec<_>>()
    };
    assert_eq!(ids(&pack, &[("hanger", "near_wire", Seen)]), ["utility_line"]);
    for status in [Absent, Unsure, NotLooked] {
        assert!(ids(&pack, &[("hanger", "near_wire", status)]).is_empty());
    }
    assert_eq!(ids(&pack, &[("base_fungus", "cluster_honey", Seen)]), ["tree_failure", "wild_mushroom"]);
    assert!(ids(&pack, &[("base_fungus", "no_fungus", Seen)]).is_empty());
    assert_eq!(ids(&pack, &[("slime_insects", "wasps_flies_at_ooze", Seen)]), ["insects_bites"]);
    let drift = [("spray_nearby", "growth_regulator_possible", Seen)];
    assert_eq!(ids(&pack, &drift), ["food_contaminated", "no_blame"]);
    assert!(pack.stop("no_blame").unwrap().text.en().contains("never name who"));
    assert!(pack.stop("food_contaminated").unwrap().text.en().contains("Do not eat"));
    // The differential carries what was raised, with its reason.
    let found = pack.differential(&maple(&[("lean", "new_lean_lifting_soil", Seen), SICK[0]])).unwrap();
    assert_eq!(found.stops[0].because, ["lean.new_lean_lifting_soil"]);
    // A finding from a newer pack must not hide a stop.
    assert_eq!(ids(&pack, &[("not_in_this_pack", "x", Seen), ("hanger", "hanger", Seen)]), ["tree_failure"]);
}

#[test]
fn a_differential_serialises_with_notice_and_words() {
    let pack = landscape();
    let json = serde_json::to_value(pack.differential(&maple(&SICK)).unwrap()).unwrap();
    assert!(json["notice"].as_str().unwrap().starts_with("Unreviewed starter content"));
    assert_eq!(json["content_version"], pack.content_version());
    assert!(json["ranked"][0]["for"][0]["weight"].as_f64().unwrap() > 0.0);
    assert!(json["ranked"][0]["word"].is_string());
    assert_eq!(serde_json::to_value(Unsure).unwrap(), "could_not_tell");
}
