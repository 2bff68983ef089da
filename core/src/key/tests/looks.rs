//! What the next look has to do.

use super::{landscape, maple, pack_of, small_files};
use crate::key::{Cost, Observation, Observations, Pack, Status};
use Status::{Seen, Unsure};

/// Three causes: two with advice `a`, which only `split` tells apart, and one with advice `b`, which `act` tells from them.
fn three(split_cost: &str, act_cost: &str) -> Pack {
    let character = |id: &str, cost: &str| {
        format!(
            "- {{id: {id}, part: leaf, cost: {cost}, label: l, ask: a, how: h, normal: ok, states: {{ok: a, bad: b}}}}\n"
        )
    };
    let cause = |id: &str, group: &str, key: &str| {
        format!(
            "- {{id: {id}, name: n, cause: c, type: insect, hosts: [tree], prior: sometimes, key: {{{key}}}, confirm: c, \
             window: [01-01, 12-31], weather: w, do: d, dont: d, group: {group}, role: primary, escalate: none}}\n"
        )
    };
    let characters =
        [character("split", split_cost), character("act", act_cost), character("shared", "glance")].concat();
    let causes = [
        cause("one", "a", "split.bad: usually, shared.bad: usually"),
        cause("two", "a", "shared.bad: usually"),
        cause("other", "b", "act.bad: usually, shared.bad: usually"),
    ];
    pack_of(&small_files(&characters, &causes.concat())).unwrap()
}

fn tree(findings: &[(&str, &str, Status)]) -> Observations {
    let findings = findings.iter().map(|(c, s, status)| Observation::new(*c, *s, *status)).collect();
    Observations { host: "tree".into(), date: (6, 20), findings }
}

#[test]
fn what_changes_the_advice_is_asked_before_what_only_names_the_cause() {
    let next = three("glance", "glance").next_looks(&tree(&[("shared", "bad", Seen)])).unwrap();
    let order: Vec<&str> = next.looks.iter().map(|l| l.character.as_str()).collect();
    assert_eq!(order, ["act", "split"]);
    let (act, split) = (&next.looks[0], &next.looks[1]);
    assert!(act.advice_gain > 3.0 * split.advice_gain && split.cause_gain > split.advice_gain);
}

#[test]
fn never_a_knife_where_a_glance_would_do() {
    for harmful in ["knife", "dig", "lab"] {
        let next = three("glance", harmful).next_looks(&tree(&[("shared", "bad", Seen)])).unwrap();
        let act = next.looks.iter().find(|l| l.character == "act").unwrap();
        let glance = three("glance", "glance").next_looks(&tree(&[("shared", "bad", Seen)])).unwrap();
        let same = glance.looks.iter().find(|l| l.character == "act").unwrap();
        assert!((act.gain - same.gain).abs() < 1e-12 && act.score < 0.5 * same.score, "{harmful}");
    }
}

#[test]
fn chances_of_answers_add_up_and_the_expected_shares_are_those_of_now() {
    let pack = landscape();
    let given = maple(&[("dieback_pattern", "one_side", Seen), ("leaf_edge", "brown_edge", Seen)]);
    let next = pack.next_looks(&given).unwrap();
    assert!(next.looks.len() > 20);
    for look in &next.looks {
        let whole: f64 = look.answers.iter().map(|a| a.chance).sum();
        assert!((whole - 1.0).abs() < 1e-9, "{}: {whole}", look.character);
        assert!(look.gain >= 0.0 && (0.0..=1.0 + 1e-9).contains(&look.changes_advice), "{}", look.character);
    }
    assert!(next.looks.is_sorted_by(|a, b| a.score >= b.score));
}

#[test]
fn an_answer_does_what_the_look_said_it_would() {
    let pack = landscape();
    let before = maple(&[("dieback_pattern", "one_side", Seen)]);
    let next = pack.next_looks(&before).unwrap();
    let look = next.looks.iter().find(|l| l.character == "sapwood_stain").unwrap();
    for answer in &look.answers {
        let mut after = before.clone();
        after.findings.push(Observation::new("sapwood_stain", &answer.state, Seen));
        let found = pack.differential(&after).unwrap();
        let moved = &answer.moves[0];
        let share = found.ranked.iter().find(|r| r.cause == moved.cause).unwrap().share;
        // The look leaves out the least probable sets, a hundredth of all.
        assert!((share - moved.to).abs() < 0.02, "{}: {share} not {}", answer.state, moved.to);
    }
}

#[test]
fn what_was_tried_is_not_asked_again_and_first_questions_come_first() {
    let pack = landscape();
    let next = pack.next_looks(&maple(&[])).unwrap();
    assert_eq!(next.first, ["flare", "pattern_hosts"]);
    let best = next.looks[0].character.clone();
    let mut given = maple(&[("flare", "flare_seen", Seen)]);
    given.findings.push(Observation { character: best.clone(), state: None, status: Unsure });
    let next = pack.next_looks(&given).unwrap();
    assert!(next.looks.iter().all(|l| l.character != best));
    assert!(!next.first.contains(&"flare".to_owned()));
    let lawn = Observations { host: "lawn".into(), ..maple(&[]) };
    assert!(!pack.next_looks(&lawn).unwrap().first.contains(&"flare".to_owned()), "a lawn has no flare");
}

#[test]
fn it_says_when_looking_more_would_change_nothing() {
    let pack = three("glance", "glance");
    assert!(!pack.next_looks(&tree(&[("shared", "bad", Seen)])).unwrap().enough);
    // Once the look that parts the advice was taken, naming one of two causes with the same advice changes nothing.
    let settled = pack.next_looks(&tree(&[("shared", "bad", Seen), ("act", "ok", Seen)])).unwrap();
    assert!(settled.enough && settled.looks.iter().any(|l| l.character == "split"), "{settled:?}");
    assert_eq!(settled.looks[0].cost, Cost::Glance);
}
