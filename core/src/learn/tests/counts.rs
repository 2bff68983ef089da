//! Beta posteriors, responsibilities and what findings count, by hand.

use super::{model, near, outcome};
use crate::learn::{LearnSettings, Tally, posterior, shares, tally::Tallies};

fn tallies(findings: &[&str], causes: &[&str]) -> Tallies {
    let outcomes = [outcome("a", "2026-06-02", findings, causes)];
    Tallies::of(&model(), &outcomes, &LearnSettings::default())
}

#[test]
fn a_beta_posterior_is_the_old_chance_and_the_cases_in_proportion() {
    // Sometimes, .35, is worth ten cases; sixteen more in which it was seen 12.6 times: 16.1 of 26.
    let found = posterior(0.35, 10.0, Tally { cases: 16, trials: 16.0, hits: 12.6 }, 0.9);
    near(found.chance, 16.1 / 26.0);
    // Beta(1, 1) is even, Beta(2, 1) has the distribution function x * x.
    let even = posterior(0.5, 2.0, Tally::default(), 0.9);
    near(even.interval[0], 0.05);
    near(even.interval[1], 0.95);
    let rising = posterior(0.5, 2.0, Tally { cases: 1, trials: 1.0, hits: 1.0 }, 0.9);
    near(rising.interval[0], 0.05_f64.sqrt());
    near(rising.interval[1], 0.95_f64.sqrt());
}

#[test]
fn a_seen_state_is_shared_among_the_causes_that_are_there() {
    // 1 - .9 * .2 * .6 = .892.
    let found = shares(&[0.8, 0.4], 0.1);
    near(found.causes[0], 0.8 / 0.892);
    near(found.causes[1], 0.4 / 0.892);
    near(found.leak, 0.1 / 0.892);
    near(shares(&[], 0.1).leak, 1.0);

    let both = tallies(&["spots.round"], &["blight", "scorch"]);
    near(both.links[0][0].hits, 0.8 / 0.892);
    near(both.links[1][0].hits, 0.4 / 0.892);
    near(both.leaks[0][1].hits, 0.1 / 0.892);
    let alone = tallies(&["spots.round"], &["blight"]);
    near(alone.links[0][0].hits, 0.8 / 0.82);
    assert_eq!(alone.links[1][0], Tally::default(), "scorch was not confirmed");
    near(tallies(&["spots.round"], &[]).leaks[0][1].hits, 1.0);
}

#[test]
fn only_what_was_looked_at_counts() {
    let link = |findings: &[&str]| tallies(findings, &["blight"]).links[0][0];
    assert_eq!(link(&["-spots.round"]), Tally { cases: 1, trials: 1.0, hits: 0.0 });
    assert_eq!(link(&["spots.none"]), Tally { cases: 1, trials: 1.0, hits: 0.0 });
    assert_eq!(link(&["spots.angular"]), Tally { cases: 1, trials: 1.0, hits: 0.0 });
    for silent in [&["?spots.round"][..], &["wilt.tips"], &["-spots.angular"], &["spots.round", "-spots.round"], &[]] {
        assert_eq!(link(silent), Tally::default(), "{silent:?}");
    }
    assert_eq!(link(&["spots.angular", "?spots.round"]), Tally::default());
}

#[test]
fn in_a_single_choice_the_picked_state_hides_the_rest() {
    let both = tallies(&["wilt.whole"], &["blight", "scorch"]);
    assert_eq!(both.links[0][1], Tally { cases: 1, trials: 0.4, hits: 0.0 }, "whole wilt hides wilted tips");
    near(both.links[1][1].hits, 0.5 / 0.55);
    assert_eq!(tallies(&["wilt.none"], &["blight"]).links[0][1].trials, 1.0);
    assert_eq!(tallies(&["wilt.tips", "wilt.whole"], &["blight"]).links[0][1], Tally::default(), "one of two");
    assert_eq!(tallies(&["wilt.unclear"], &["blight"]).links[0][1], Tally::default(), "nobody knows");
}

#[test]
fn a_circumstance_is_produced_by_no_cause() {
    let with = tallies(&["rain.much"], &["blight"]);
    near(with.links[0][2].hits, 0.6 / (1.0 - 0.4 * 0.8));
    assert_eq!(with.leaks[2][1], Tally::default());
    assert_eq!(tallies(&["rain.much"], &["scorch"]).leaks[2][1], Tally { cases: 1, trials: 1.0, hits: 1.0 });
    assert_eq!(tallies(&["rain.little"], &["scorch"]).leaks[2][1], Tally { cases: 1, trials: 1.0, hits: 0.0 });
}

#[test]
fn what_the_model_does_not_have_is_named() {
    let found = tallies(&["spots.square", "moss.thick"], &["curse"]);
    let unknown: Vec<&str> = found.unknown.iter().map(String::as_str).collect();
    assert_eq!(unknown, ["cause curse", "character moss", "state spots.square"]);
}
