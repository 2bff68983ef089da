//! Tests of the key as a whole.

mod behaviour;
mod brute;
mod cases;
mod content;

use super::{Observation, Observations, Pack, Status};

const PACK: &str = include_str!("../../../../fixtures/packs/landscape/pack.yaml");
const CHARACTERS: &str = include_str!("../../../../fixtures/packs/landscape/characters.yaml");
const DISORDERS: &str = include_str!("../../../../fixtures/packs/landscape/disorders.yaml");

fn landscape() -> Pack {
    Pack::from_yaml(PACK, CHARACTERS, DISORDERS).unwrap()
}

/// Findings on a maple in June, each as (character, state, status).
fn maple(findings: &[(&str, &str, Status)]) -> Observations {
    let findings = findings.iter().map(|(c, s, status)| Observation::new(*c, *s, *status)).collect();
    Observations { host: "maple".into(), date: (6, 20), findings }
}
