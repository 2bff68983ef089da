//! Outcomes that are wrong: everything wrong is said, with its line.

use crate::learn::tests::outcome;
use crate::learn::{Model, Outcome, Proposal, rank};

const GOOD: &str =
    r#"{"id":"a","host":"maple","date":"2026-06-02","causes":[{"cause":"tar_spot","basis":"laboratory"}]}"#;

#[test]
fn every_wrong_line_is_named_and_nothing_is_used() {
    let change = |from: &str, to: &str| GOOD.replace(from, to).replace("\"a\"", "\"b\"");
    let doubled = r#"[{"cause":"x","basis":"reviewed"},{"cause":"x","basis":"reviewed"}],"stated":[{"cause":"x","probability":1.5}]}"#;
    let lines = [
        GOOD.to_owned(),
        String::new(),
        GOOD.to_owned(),
        change("2026-06-02", "2026-06-31"),
        change("laboratory", "guessed"),
        change("\"host\"", "\"plant\""),
        "{".into(),
        GOOD.replace("\"a\"", "\"c\"").replace(r#"[{"cause":"tar_spot","basis":"laboratory"}]}"#, doubled),
    ];
    let problems = Outcome::read_lines(&lines.join("\n")).unwrap_err();
    let found: Vec<usize> = problems.0.iter().map(|p| p.line).collect();
    assert_eq!(found, [3, 4, 5, 6, 7, 8, 8]);
    assert!(problems.to_string().contains("line 3: case a is there twice"));
    assert!(Outcome::read_lines("").unwrap().is_empty());
}

#[test]
fn no_outcomes_and_unknown_names_propose_nothing() {
    let pack = crate::key::tests::landscape();
    let none = Proposal::for_pack(&pack, &[], &super::super::LearnSettings::default());
    assert!(none.changes.is_empty() && none.effect.is_none());
    assert!(none.to_string().contains("no change"));
    let mut strange = outcome("a", "2026-06-02", &["moss.thick", "wilt.sideways"], &["curse"]);
    strange.host = "moon_tree".into();
    assert!(rank(&pack, &strange).is_empty());
    let mut cases = vec![strange.clone(); 30];
    cases.iter_mut().enumerate().for_each(|(at, case)| case.id = at.to_string());
    let found = Proposal::for_pack(&pack, &cases, &super::super::LearnSettings::default());
    for name in ["cause curse", "character moss", "state wilt.sideways", "host moon_tree"] {
        assert!(found.unknown.iter().any(|u| u == name), "{name} in {:?}", found.unknown);
    }
}

#[test]
fn a_model_without_words_still_learns() {
    let mut model = super::model();
    model.words.clear();
    let cases: Vec<Outcome> =
        (0..20).map(|i| outcome(&i.to_string(), "2026-06-02", &["-spots.round"], &["blight"])).collect();
    let propose = |model: &Model| {
        Proposal::new("a 1".into(), model, &cases, &super::super::LearnSettings::default(), |_| (), |(), _| Vec::new())
    };
    let found = propose(&model);
    assert_eq!(found.changes[0].new_word, None);
    assert!((found.changes[0].new - 8.0 / 30.0).abs() < 1e-9);
    assert!(found.changes[0].to_string().starts_with("blight: spots.round  0.80 -> 0.27"));
}
