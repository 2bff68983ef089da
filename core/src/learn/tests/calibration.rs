//! Figures of calibration by hand.

use super::{near, outcome};
use crate::learn::{Calibration, Outcome, Score, Stated, brier, kappa, wilson};

fn stating(id: &str, scout: &str, stated: &[(&str, f64)], causes: &[&str]) -> Outcome {
    let mut outcome = outcome(id, "2026-06-02", &[], causes);
    outcome.scout = Some(scout.into());
    outcome.stated = stated.iter().map(|(cause, p)| Stated { cause: (*cause).into(), probability: *p }).collect();
    outcome
}

#[test]
fn kappa_brier_and_wilson_are_those_of_the_worked_examples() {
    // Both yes 40, only the one 10, only the other 5, both no 45.
    let cell = |one, other, n| std::iter::repeat_n((one, other), n);
    let said =
        cell("yes", "yes", 40).chain(cell("yes", "no", 10)).chain(cell("no", "yes", 5)).chain(cell("no", "no", 45));
    near(kappa(&said.collect::<Vec<_>>()).unwrap(), 0.70);
    assert_eq!(kappa(&[]), None);
    assert_eq!(kappa(&[("yes", "yes"); 5]), None, "chance alone makes them agree");
    // (.1^2 + .4^2 + .3^2) / 3.
    near(brier(&[(0.9, true), (0.6, true), (0.3, false)]), 0.0867);
    near(wilson(3, 20)[0], 0.0524);
    near(wilson(3, 20)[1], 0.3604);
    near(wilson(0, 20)[0], 0.0);
    near(wilson(0, 20)[1], 0.1611);
    assert_eq!(wilson(0, 0), [0.0, 1.0]);
}

#[test]
fn bins_causes_and_scouts_hold_what_was_stated() {
    let outcomes = [
        stating("a", "scout3", &[("blight", 0.9), ("scorch", 0.3)], &["blight"]),
        stating("b", "scout3", &[("scorch", 0.6)], &["scorch", "blight"]),
        stating("c", "scout4", &[("blight", 1.0)], &["scorch"]),
        outcome("d", "2026-06-02", &[], &["blight"]),
    ];
    let found = Calibration::of(&outcomes);
    assert_eq!((found.all.cases, found.all.stated, found.all.right), (3, 4, 2));
    near(found.all.brier, (0.01 + 0.09 + 0.16 + 1.0) / 4.0);
    near(found.all.log_loss, -(0.9_f64.ln() + 0.7_f64.ln() + 0.6_f64.ln() + 1e-4_f64.ln()) / 4.0);
    assert_eq!(found.all.first.unwrap().0, 2);
    let bins: Vec<_> = found.all.bins.iter().map(|b| (b.from, b.stated, b.right, b.mean)).collect();
    assert_eq!(bins, [(0.3, 1, 0, 0.3), (0.6, 1, 1, 0.6), (0.9, 2, 1, 0.95)]);
    let names = |groups: &[crate::learn::Group]| groups.iter().map(|g| (g.name.clone(), g.cases)).collect::<Vec<_>>();
    assert_eq!(names(&found.causes), [("blight".into(), 2), ("scorch".into(), 2)]);
    assert_eq!(names(&found.scouts), [("scout3".into(), 2), ("scout4".into(), 1)]);
    let lines = found.to_string();
    assert!(lines.starts_with("Stated before it was confirmed: 4 chances in 3 cases, 2 right, Brier 0.315"), "{lines}");
    assert!(lines.contains("said 0.95, right 1 of 2") && !lines.contains("scout"), "{lines}");
    near(found.scouts[0].kappa.unwrap(), 1.0);
    near(found.scouts[0].brier, (0.01 + 0.09 + 0.16) / 3.0);
}

#[test]
fn nothing_stated_gives_no_figures() {
    let found = Calibration::of(&[outcome("a", "2026-06-02", &[], &["blight"])]);
    assert_eq!((found.all.stated, found.all.brier, found.all.kappa), (0, 0.0, None));
    assert_eq!(found.to_string(), "Stated before it was confirmed: nothing");
    assert!(found.all.bins.is_empty() && found.causes.is_empty() && found.scouts.is_empty());
}

#[test]
fn a_score_counts_causes_that_were_not_ranked() {
    let cases = [
        outcome("a", "2026-06-02", &[], &["blight", "canker"]),
        outcome("b", "2026-06-03", &[], &["scorch"]),
        outcome("c", "2026-06-03", &[], &[]),
    ];
    let ranked = || ["blight", "scorch"].map(|c| Stated { cause: c.into(), probability: 0.75 }).to_vec();
    let score = Score::of(cases.iter().map(|o| (o, ranked())));
    assert_eq!((score.cases, score.first, score.three), (2, 0.5, 1.0));
    near(score.brier, (0.0625 + 0.5625 + 1.0 + 0.5625 + 0.0625) / 2.0);
    near(score.log_loss, -(2.0 * 0.75_f64.ln() + 2.0 * 0.25_f64.ln() + 1e-4_f64.ln()) / 2.0);
}
