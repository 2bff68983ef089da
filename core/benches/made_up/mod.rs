//! A made-up pack of any size, shaped as the starter pack: about a quarter of the causes can be on each host, each cause
//! keys a dozen states, some characters are keyed by many causes and most by few.

use std::collections::BTreeMap;

use dooryard_core::key::{Source, guidance::Guidance};
use rand::{Rng, SeedableRng, rngs::StdRng, seq::IndexedRandom};
use serde_json::{Value, json};

const HOSTS: usize = 32;
/// Hosts of a cause that is not of any host: with one cause in eight on any host, a quarter of the causes are on each.
const HOSTS_OF_A_CAUSE: usize = 5;
const KEYED: usize = 12;
const GROUPS: usize = 60;
const WORDS: [(&str, f64); 7] = [
    ("almost_never", 0.01),
    ("rarely", 0.05),
    ("occasionally", 0.15),
    ("sometimes", 0.35),
    ("often", 0.6),
    ("usually", 0.8),
    ("nearly_always", 0.95),
];

/// The pack with this many causes and characters; always the same.
pub fn source(causes: usize, characters: usize) -> Source {
    let mut random = StdRng::seed_from_u64(7);
    let states: Vec<usize> = (0..characters).map(|_| random.random_range(3..=6)).collect();
    let causes: Vec<Value> = (0..causes).map(|at| cause(at, &states, &mut random)).collect();
    let characters: Vec<Value> = states.iter().enumerate().map(|(at, states)| character(at, *states)).collect();
    let source = json!({
        "pack": {
            "id": "made_up", "version": 1, "date": "2026-01-01", "not_after": "2027-01-01",
            "status": "unreviewed_starter", "title": {"en": "made up"}, "core": [1, 1], "ask_first": {},
            "frequency": BTreeMap::from(WORDS),
        },
        "characters": characters,
        "hosts": (0..HOSTS).map(|at| json!({"id": format!("host_{at}"), "name": "h", "sci": "h", "group": "tree"})).collect::<Vec<_>>(),
        "causes": causes,
        "stops": {"questions": [], "stops": []},
        "advice": {"groups": (0..GROUPS).map(|at| json!({"id": group(at), "name": {"en": "g"}, "harm": 2, "blocks": []})).collect::<Vec<_>>()},
        "es": {"characters": {}, "causes": {}, "hosts": {}},
    });
    serde_json::from_value(source).expect("in the form of a pack")
}

fn group(at: usize) -> String {
    if at.is_multiple_of(GROUPS) { Guidance::GENERAL.into() } else { format!("group_{}", at % GROUPS) }
}

fn character(at: usize, states: usize) -> Value {
    let nature = match at % 8 {
        0 => "circumstance",
        1 | 2 => "sign",
        _ => "effect",
    };
    let states: BTreeMap<String, &str> = (0..states).map(|s| (format!("s{s}"), "a state")).collect();
    json!({
        "id": format!("character_{at}"), "part": "leaf", "cost": "glance", "nature": nature, "multi": at % 8 == 5,
        "label": "l", "ask": "a", "how": "h", "normal": "s0", "states": states,
    })
}

fn cause(at: usize, states: &[usize], random: &mut StdRng) -> Value {
    let every: Vec<String> = (0..HOSTS).map(|h| format!("host_{h}")).collect();
    let hosts = if at.is_multiple_of(8) {
        vec!["any".to_owned()]
    } else {
        every.choose_multiple(random, HOSTS_OF_A_CAUSE).cloned().collect()
    };
    let mut keyed = BTreeMap::new();
    while keyed.len() < KEYED {
        // The cube puts half of all links on an eighth of the characters.
        let place = (random.random::<f64>().powi(3) * states.len() as f64) as usize;
        let state = random.random_range(1..states[place]);
        keyed.insert(format!("character_{place}.s{state}"), WORDS[random.random_range(2..WORDS.len())].0);
    }
    let roles = ["primary", "primary", "environment", "stress_triggered", "secondary"];
    json!({
        "id": format!("cause_{at}"), "name": "n", "cause": "c", "type": "fungus", "hosts": hosts,
        "prior": WORDS[random.random_range(1..6)].0, "key": keyed, "confirm": "c", "window": ["01-01", "12-31"],
        "weather": "w", "do": "d", "dont": "d", "group": group(at), "role": roles.choose(random), "escalate": "none",
    })
}
