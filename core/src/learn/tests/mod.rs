//! Tests of learning.

mod calibration;
mod counts;
mod hostile;
mod proposals;

use super::{LearnCause, LearnCharacter, LearnLink, LearnState, Model, Outcome, Word};

fn character(id: &str, several: bool, states: &[(&str, f64)]) -> LearnCharacter {
    let states = states.iter().enumerate().map(|(at, (id, leak))| LearnState {
        id: (*id).into(),
        normal: at == 0,
        not_known: *id == "unclear",
        leak: *leak,
    });
    LearnCharacter { id: id.into(), circumstance: id == "rain", several, states: states.collect() }
}

fn cause(id: &str, hosts: &[&str], prior: f64, links: &[(usize, usize, f64)]) -> LearnCause {
    let links = links.iter().map(|(character, state, chance)| LearnLink {
        character: *character,
        state: *state,
        chance: *chance,
    });
    LearnCause { id: id.into(), hosts: hosts.iter().map(|h| (*h).into()).collect(), prior, links: links.collect() }
}

/// Two causes that share a state, and a third.
fn model() -> Model {
    let words = [("rarely", 0.05), ("sometimes", 0.35), ("often", 0.6), ("usually", 0.8)];
    Model {
        hosts: vec!["maple".into(), "oak".into()],
        words: words.map(|(name, chance)| Word { name: name.into(), chance }).into(),
        characters: vec![
            character("spots", true, &[("none", 0.5), ("round", 0.1), ("angular", 0.1)]),
            character("wilt", false, &[("none", 0.5), ("tips", 0.1), ("whole", 0.1), ("unclear", 0.1)]),
            character("rain", false, &[("little", 0.5), ("much", 0.2)]),
        ],
        causes: vec![
            cause("blight", &["maple"], 0.6, &[(0, 1, 0.8), (1, 1, 0.5), (2, 1, 0.6)]),
            cause("scorch", &[], 0.3, &[(0, 1, 0.4), (1, 2, 0.5)]),
        ],
    }
}

/// An outcome from short texts: `spots.round` was seen, `-spots.round` was looked for and not there, `?spots.round` could
/// not be told.
fn outcome(id: &str, date: &str, findings: &[&str], causes: &[&str]) -> Outcome {
    let findings: Vec<_> = findings
        .iter()
        .map(|text| {
            let (status, rest) = match text.split_at(1) {
                ("-", rest) => ("absent", rest),
                ("?", rest) => ("could_not_tell", rest),
                _ => ("seen", *text),
            };
            let (character, state) = rest.split_once('.').unwrap();
            serde_json::json!({ "character": character, "state": state, "status": status })
        })
        .collect();
    let causes: Vec<_> = causes.iter().map(|c| serde_json::json!({ "cause": c, "basis": "reviewed" })).collect();
    let object = serde_json::json!({ "id": id, "host": "maple", "date": date, "findings": findings, "causes": causes });
    Outcome::read_lines(&object.to_string()).unwrap().remove(0)
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-4, "{a} is not {b}");
}
