//! The differential on described yard cases, where they are at hand.

use super::landscape;
use crate::key::Case;
use std::{fs, path::Path};

fn cases() -> Option<Vec<Case>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../shared/reference/cases/yard_cases.yaml");
    let Ok(text) = fs::read_to_string(&path) else {
        eprintln!("not measured: the described cases are not at hand");
        return None;
    };
    Some(Case::read(&text).unwrap())
}

#[test]
fn described_cases_find_their_cause() {
    let Some(cases) = cases() else { return };
    let pack = landscape();
    let (mut first, mut three, mut harm, mut said_thin) = (0, 0, 0, 0);
    let thin = cases.iter().filter(|c| c.is_thin()).count();
    for case in &cases {
        let found = pack.differential(&case.observations().unwrap()).unwrap();
        let right: Vec<bool> = found.ranked.iter().map(|r| case.is_primary(&r.cause)).collect();
        first += usize::from(right[0]);
        three += usize::from(right[..3].contains(&true));
        harm += usize::from(found.named.iter().any(|n| case.must_not.contains(n)));
        said_thin += usize::from(case.is_thin() && found.look_again);
        if !right[0] {
            let best: Vec<_> = found.ranked[..3].iter().map(|r| (&r.cause, r.share, r.probability)).collect();
            eprintln!("{}: {best:.2?}", case.id);
        }
    }
    let share = |n: usize| n as f64 / cases.len() as f64;
    eprintln!("{} cases: first {:.3} three {:.3} harmful {harm}", cases.len(), share(first), share(three));
    assert!(share(first) >= 0.85, "first choice right in {:.3}", share(first));
    assert!(share(three) >= 0.93, "among the first three in {:.3}", share(three));
    assert_eq!(harm, 0, "a case names something harmful");
    assert_eq!(said_thin, thin, "an unsettled case was not said to be unsettled");
}

/// Puts the looks that a case records, best first, until the leader's chance passes .8; nothing if it never does.
fn walk(pack: &crate::key::Pack, case: &Case) -> Option<(usize, bool)> {
    let whole = case.observations().unwrap();
    let mut given = crate::key::Observations { findings: Vec::new(), ..whole.clone() };
    for looks in 1..=case.findings.len() {
        let next = pack.next_looks(&given).unwrap();
        let asked = next.looks.iter().find(|l| case.findings.contains_key(&l.character))?;
        given.findings.extend(whole.findings.iter().filter(|f| f.character == asked.character).cloned());
        let found = pack.differential(&given).unwrap();
        let leader = &found.ranked[0];
        if leader.probability > 0.8 {
            return Some((looks, case.truth.iter().any(|t| t.id == leader.cause)));
        }
    }
    None
}

#[test]
fn the_next_look_finds_the_cause_in_few_looks() {
    let Some(cases) = cases() else { return };
    let pack = landscape();
    let reached: Vec<(usize, bool)> = cases.iter().filter_map(|case| walk(&pack, case)).collect();
    let looks: usize = reached.iter().map(|(looks, _)| looks).sum();
    let wrong = reached.iter().filter(|(_, right)| !right).count();
    let mean = looks as f64 / reached.len() as f64;
    eprintln!("{} of {} pass .8, after {mean:.2} looks; {wrong} wrong", reached.len(), cases.len());
    assert!(2 * reached.len() >= cases.len() && mean <= 3.5, "{mean:.2} looks");
    assert!(20 * wrong <= cases.len(), "{wrong} wrong when it stopped");
}
