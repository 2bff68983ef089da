//! The differential on described yard cases, where they are at hand.

use super::landscape;
use crate::key::{Observation, Observations, Pack, Status};
use serde::Deserialize;
use std::{collections::BTreeMap, fs, path::Path};

#[derive(Deserialize)]
struct Case {
    id: String,
    host: String,
    date: String,
    findings: BTreeMap<String, Looks>,
    truth: Vec<Truth>,
    truth_confidence: String,
    must_not: Vec<String>,
}

#[derive(Deserialize)]
struct Looks {
    #[serde(default)]
    seen: Vec<String>,
    #[serde(default)]
    absent: Vec<String>,
    #[serde(default)]
    unsure: bool,
}

#[derive(Deserialize)]
struct Truth {
    id: String,
    role: String,
}

fn cases() -> Option<Vec<Case>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../shared/reference/cases/yard_cases.yaml");
    let Ok(text) = fs::read_to_string(&path) else {
        eprintln!("not measured: the described cases are not at hand");
        return None;
    };
    Some(serde_saphyr::from_str(&text).unwrap())
}

fn observations(case: &Case) -> Observations {
    let mut findings = Vec::new();
    for (character, looks) in &case.findings {
        findings.extend(looks.seen.iter().map(|s| Observation::new(character, s, Status::Seen)));
        findings.extend(looks.absent.iter().map(|s| Observation::new(character, s, Status::Absent)));
        if looks.unsure {
            findings.push(Observation { character: character.clone(), state: None, status: Status::Unsure });
        }
    }
    let (month, day) = case.date.split_once('-').unwrap();
    Observations { host: case.host.clone(), date: (month.parse().unwrap(), day.parse().unwrap()), findings }
}

#[test]
fn described_cases_find_their_cause() {
    let Some(cases) = cases() else { return };
    let pack: Pack = landscape();
    let (mut first, mut three, mut harm, mut said_thin) = (0, 0, 0, 0);
    let thin = cases.iter().filter(|c| c.truth_confidence == "thin").count();
    for case in &cases {
        let found = pack.differential(&observations(case)).unwrap();
        let primary = |id: &String| case.truth.iter().any(|t| t.role == "primary" && t.id == *id);
        let right: Vec<bool> = found.ranked.iter().map(|r| primary(&r.cause)).collect();
        first += usize::from(right[0]);
        three += usize::from(right[..3].contains(&true));
        harm += usize::from(found.named.iter().any(|n| case.must_not.contains(n)));
        said_thin += usize::from(case.truth_confidence == "thin" && found.look_again);
        if !right[0] {
            let best: Vec<_> = found.ranked[..3].iter().map(|r| (&r.cause, r.share, r.probability)).collect();
            eprintln!("{}: {best:.2?}", case.id);
        }
    }
    let share = |n: usize| n as f64 / cases.len() as f64;
    eprintln!("{} cases: first {:.3} three {:.3} harmful {harm}", cases.len(), share(first), share(three));
    assert!(share(first) >= 0.85, "first choice right in {:.3}", share(first));
    assert!(share(three) >= 0.93, "among the first three in {:.3}", share(three));
    assert!(harm <= 1, "{harm} cases name something harmful");
    assert_eq!(said_thin, thin, "an unsettled case was not said to be unsettled");
}
