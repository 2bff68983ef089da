//! The differential against a plain enumeration of all sets, written down anew from the equations for one small pack.

use super::{pack_of, small_files};
use crate::key::{Observation, Observations, Status};
use std::collections::HashMap;

const CHARACTERS: &str = "
- {id: salt, part: site, cost: glance, nature: circumstance, label: l, ask: a, how: h, normal: no_salt, states: {no_salt: a, salted: b}, leak: {salted: sometimes}}
- {id: weather, part: site, cost: glance, nature: circumstance, multi: true, label: l, ask: a, how: h, normal: plain, states: {plain: a, dry: b, wet: c}}
- {id: edge, part: leaf, cost: glance, label: l, ask: a, how: h, normal: clean, states: {clean: a, brown: b, yellow: c}, leak: {brown: occasionally}}
- {id: holes, part: trunk, cost: touch, nature: sign, label: l, ask: a, how: h, normal: no_holes, states: {no_holes: a, round: b, flat: c}}
- {id: pests, part: leaf, cost: glance, mobile: true, multi: true, label: l, ask: a, how: h, normal: none_seen, states: {none_seen: a, aphids: b, beetles: c, mites: d}}
- {id: age, part: leaf, cost: glance, not_known: [unclear], label: l, ask: a, how: h, normal: unclear, states: {unclear: a, oldest: b, newest: c}}
";

const CAUSES: &str = "
- {id: salt_burn, name: n, cause: c, type: abiotic, hosts: [any], prior: often, key: {salt.salted: usually, edge.brown: often}, against: {age.newest: rarely}, confirm: c, window: [02-01, 05-31], weather: w, do: d, dont: d, group: a, role: environment, escalate: none}
- {id: drought, name: n, cause: c, type: abiotic, hosts: [tree], prior: sometimes, key: {weather.dry: usually, edge.brown: usually, age.oldest: often}, against: {weather.wet: almost_never}, confirm: c, window: [06-10, 09-30], weather: w, do: d, dont: d, group: a, role: environment, escalate: none}
- {id: borer, name: n, cause: c, type: insect, hosts: [tree], prior: occasionally, key: {holes.round: usually, edge.yellow: sometimes, pests.beetles: sometimes}, against: {holes.flat: almost_never}, confirm: c, window: [11-01, 06-30], weather: w, do: d, dont: d, group: a, role: stress_triggered, escalate: educator}
- {id: sap_pests, name: n, cause: c, type: insect, hosts: [tree], prior: sometimes, key: {pests.aphids: nearly_always, pests.mites: sometimes, edge.yellow: often, age.newest: usually}, against: {edge.brown: rarely}, confirm: c, window: [05-01, 08-31], weather: w, do: d, dont: d, group: a, role: primary, escalate: none}
- {id: ants, name: n, cause: c, type: insect, hosts: [any], prior: often, key: {pests.aphids: often}, fits: {salt.no_salt: often}, confirm: c, window: [01-01, 12-31], weather: w, do: d, dont: d, group: a, role: secondary, escalate: none}
";

/// The prior odds on 20 June: only salt (20 days late) is out of its season.
const ODDS: [(f64, f64); 5] = [(0.6, 0.3 * 0.1), (0.35, 1.0), (0.15, 1.0), (0.35, 1.0), (0.6, 0.3)];
const MAIN: [f64; 5] = [0.5, 1.0, 1.0, 1.0, 0.3];
const IDS: [&str; 5] = ["salt_burn", "drought", "borer", "sap_pests", "ants"];

/// Chance that none of the ways to get a state works: its leak and the chances of the causes in the set.
fn spared(leak: f64, chances: [f64; 5], set: u32) -> f64 {
    (0..5).filter(|j| set >> j & 1 == 1).fold(1.0 - leak, |p, j| p * (1.0 - chances[j]))
}

/// Chances of normal, first and second abnormal state of a single choice.
fn choice(leaks: [f64; 2], chances: [[f64; 5]; 2], set: u32) -> [f64; 3] {
    let hazard = [0, 1].map(|s| -spared(leaks[s], chances[s], set).ln());
    let all = hazard[0] + hazard[1];
    let none = (-all).exp();
    [none, (1.0 - none) * hazard[0] / all, (1.0 - none) * hazard[1] / all]
}

/// Log factor of a statement with chance `p(set)`, and `noise` when mistaken, held above `floor`.
fn gain(p: impl Fn(u32) -> f64, noise: f64, floor: f64, set: u32) -> f64 {
    let with_mistakes = |set| (0.96 * p(set) + 0.04 * noise).ln();
    (with_mistakes(set) - with_mistakes(0)).max(f64::ln(floor))
}

const BROWN: [f64; 5] = [0.6, 0.8, 0.035, 0.06, 0.0];
const YELLOW: [f64; 5] = [0.06, 0.08, 0.35, 0.6, 0.0];
const ROUND: [f64; 5] = [0.0, 0.0, 0.8, 0.0, 0.0];
const OLDEST: [f64; 5] = [0.0, 0.6, 0.0, 0.08, 0.0];
const NEWEST: [f64; 5] = [0.0, 0.06, 0.0, 0.8, 0.0];
const APHIDS: [f64; 5] = [0.0, 0.0, 0.0, 0.95, 0.6];
const BEETLES: [f64; 5] = [0.0, 0.0, 0.35, 0.0, 0.0];
const MITES: [f64; 5] = [0.0, 0.0, 0.0, 0.35, 0.0];

fn edge(state: usize, set: u32) -> f64 {
    gain(|s| choice([0.15, 0.04], [BROWN, YELLOW], s)[state], 1.0 / 3.0, 0.2, set)
}
fn holes(state: usize, set: u32) -> f64 {
    gain(|s| choice([0.01, 0.01], [ROUND, [0.0; 5]], s)[state], 1.0 / 3.0, 0.2, set)
}
fn age(state: usize, set: u32) -> f64 {
    gain(|s| choice([0.04, 0.04], [OLDEST, NEWEST], s)[state], 1.0 / 3.0, 0.2, set)
}
fn one_of_many(chances: [f64; 5], there: bool, set: u32) -> f64 {
    let p = |s| if there { 1.0 - spared(0.04, chances, s) } else { spared(0.04, chances, s) };
    gain(p, if there { 0.1 } else { 0.5 }, 0.2, set)
}

/// Marginals, shares and the share of none, by walking all 32 sets.
fn enumerate(shift: [f64; 5], effects: impl Fn(u32) -> f64, against: [f64; 5]) -> ([f64; 5], [f64; 5], f64) {
    let raw = ODDS.map(|(p, factor)| (p / (1.0 - p)).powf(0.3) * factor);
    // The scale for which the five probabilities add up to 1, by plain search.
    let sum = |k: f64| raw.iter().map(|o| k * o / (1.0 + k * o)).sum::<f64>();
    let (mut low, mut high) = (0.0, 100.0);
    while high - low > 1e-13 {
        let k = (low + high) / 2.0;
        if sum(k) < 1.0 { low = k } else { high = k }
    }
    let mut weights = HashMap::new();
    for set in 0..32_u32 {
        let members: Vec<usize> = (0..5).filter(|j| set >> j & 1 == 1).collect();
        let Some(size) = [0.2, 1.0, 0.4, 0.15].get(members.len()) else { continue };
        let odds: f64 = members.iter().map(|j| low * raw[*j] * shift[*j]).product();
        let said = effects(set) + members.iter().map(|j| against[*j]).sum::<f64>();
        weights.insert(set, size * odds * (0.85 * said).exp());
    }
    let total: f64 = weights.values().sum();
    let (mut marginal, mut share) = ([0.0; 5], [0.0; 5]);
    for (set, weight) in &weights {
        let members: Vec<usize> = (0..5).filter(|j| set >> j & 1 == 1).collect();
        let parts: f64 = members.iter().map(|j| MAIN[*j]).sum();
        for j in members {
            marginal[j] += weight / total;
            share[j] += weight / total * MAIN[j] / parts;
        }
    }
    (marginal, share, weights[&0] / total)
}

fn check(findings: &[(&str, &str, Status)], expected: ([f64; 5], [f64; 5], f64)) {
    let pack = pack_of(&small_files(CHARACTERS, CAUSES)).unwrap();
    let findings = findings.iter().map(|(c, s, status)| Observation::new(*c, *s, *status)).collect();
    let found = pack.differential(&Observations { host: "tree".into(), date: (6, 20), findings }).unwrap();
    for (j, id) in IDS.iter().enumerate() {
        let one = found.ranked.iter().find(|r| r.cause == *id).unwrap();
        assert!((one.probability - expected.0[j]).abs() < 1e-9, "{id}: {} not {}", one.probability, expected.0[j]);
        assert!((one.share - expected.1[j]).abs() < 1e-9, "{id}: share {} not {}", one.share, expected.1[j]);
    }
    assert!((found.none_share - expected.2).abs() < 1e-9);
    let whole = found.none_share + found.ranked.iter().map(|r| r.share).sum::<f64>();
    assert!((whole - 1.0).abs() < 1e-12, "shares add up to {whole}");
}

use Status::{Absent, Seen, Unsure};

#[test]
fn before_any_finding() {
    check(&[], enumerate([1.0; 5], |_| 0.0, [0.0; 5]));
}

#[test]
fn single_choices_signs_and_what_speaks_against() {
    // Brown speaks against sap pests: .05 against a base of P(brown | none) = .15 or so, so the factor is a third. The term
    // takes less than that from them alone (their yellow competes), so the rest is taken as against.
    let base = choice([0.15, 0.04], [BROWN, YELLOW], 0)[1];
    let against_sap = (0.05 / base).ln() - edge(1, 0b01000).min(0.0);
    // Flat holes hardly fit the borer: .01 against a base floored at .05. Its round holes already take nearly as much.
    let against_borer = (0.2_f64.ln() - holes(2, 0b00100).min(0.0)).min(0.0);
    assert!(against_sap < 0.0);
    let findings = [("edge", "brown", Seen), ("holes", "flat", Seen)];
    let effects = |set| edge(1, set) + holes(2, set);
    check(&findings, enumerate([1.0; 5], effects, [0.0, 0.0, against_borer, against_sap, 0.0]));
}

#[test]
fn absent_in_a_single_choice_is_the_rest_of_it() {
    let not_brown = |set| {
        let p = |s| 1.0 - choice([0.15, 0.04], [BROWN, YELLOW], s)[1];
        gain(p, 2.0 / 3.0, 0.2, set)
    };
    check(&[("edge", "brown", Absent)], enumerate([1.0; 5], not_brown, [0.0; 5]));
    let picked = [("edge", "yellow", Seen), ("edge", "brown", Absent)];
    check(&picked, enumerate([1.0; 5], |set| edge(2, set), [0.0; 5]));
}

#[test]
fn several_states_at_once_with_absent_and_unpicked() {
    let findings = [("pests", "aphids", Seen), ("pests", "beetles", Absent)];
    let effects =
        |set| one_of_many(APHIDS, true, set) + one_of_many(BEETLES, false, set) + 0.3 * one_of_many(MITES, false, set);
    check(&findings, enumerate([1.0; 5], effects, [0.0; 5]));
    let unsure = [findings[0], findings[1], ("pests", "mites", Unsure)];
    let effects = |set| one_of_many(APHIDS, true, set) + one_of_many(BEETLES, false, set);
    check(&unsure, enumerate([1.0; 5], effects, [0.0; 5]));
}

#[test]
fn finding_no_living_thing_speaks_half_as_loud() {
    let none = |set| {
        let p = |s| spared(0.04, APHIDS, s) * spared(0.04, BEETLES, s) * spared(0.04, MITES, s);
        gain(p, 0.5, 0.5, set)
    };
    assert_eq!(none(0b01000), 0.5_f64.ln());
    check(&[("pests", "none_seen", Seen)], enumerate([1.0; 5], none, [0.0; 5]));
}

#[test]
fn circumstances_move_odds_within_their_limits() {
    // Salt: P(salted | salt burn) / P(salted) = (1 - .65 * .2) / .35. Dry: (1 - .85 * .2) / .15 = 5.5, held to 5.
    let salted = (1.0 - 0.65 * 0.2) / 0.35;
    let findings = [("salt", "salted", Seen), ("weather", "dry", Seen)];
    check(&findings, enumerate([salted, 5.0, 1.0, 1.0, 1.0], |_| 0.0, [0.0; 5]));
    // No salt: .2 for salt burn; it fits ants, .6 against a base of .65. Wet: .01 / .15 for drought, held to .2.
    let findings = [("salt", "no_salt", Seen), ("weather", "wet", Seen)];
    check(&findings, enumerate([0.2, 0.2, 1.0, 1.0, 0.6 / 0.65], |_| 0.0, [0.0; 5]));
    // Nothing special: .2 for drought. Dry looked for and not there: the same.
    check(&[("weather", "plain", Seen)], enumerate([1.0, 0.2, 1.0, 1.0, 1.0], |_| 0.0, [0.0; 5]));
    check(&[("weather", "dry", Absent)], enumerate([1.0, 0.2, 1.0, 1.0, 1.0], |_| 0.0, [0.0; 5]));
}

#[test]
fn all_kinds_together() {
    let salted = (1.0 - 0.65 * 0.2) / 0.35;
    let findings = [
        ("salt", "salted", Seen),
        ("edge", "yellow", Seen),
        ("holes", "round", Seen),
        ("pests", "mites", Seen),
        ("pests", "aphids", Seen),
        ("age", "newest", Seen),
    ];
    let effects = |set| {
        edge(2, set)
            + holes(1, set)
            + one_of_many(MITES, true, set)
            + one_of_many(APHIDS, true, set)
            + 0.3 * one_of_many(BEETLES, false, set)
            + age(2, set)
    };
    // Newest speaks against salt burn: .05 against a base floored at .05 is no factor at all.
    check(&findings, enumerate([salted, 1.0, 1.0, 1.0, 1.0], effects, [0.0; 5]));
    let not_known = [("age", "unclear", Seen)];
    check(&not_known, enumerate([1.0; 5], |_| 0.0, [0.0; 5]));
}
