//! What advice has to do whatever the content says.

mod told;
mod whole_pack;

use super::{Advice, Situation};
use crate::key::{
    Observation, Observations, Pack,
    Status::{self, Seen},
    authored::BlockKind,
};

fn given(host: &str, date: (u8, u8), findings: &[(&str, &str, Status)]) -> Observations {
    let findings = findings.iter().map(|(c, s, status)| Observation::new(*c, *s, *status)).collect();
    Observations { host: host.into(), date, findings }
}

fn advise(pack: &Pack, given: &Observations) -> Advice {
    Advice::new(pack, given, &Situation::new([], [])).unwrap()
}

/// Everything that a cause keys, seen (one state of each single choice).
fn all_seen(pack: &Pack, cause: &str, host: &str, date: (u8, u8)) -> Observations {
    let mut findings: Vec<Observation> = Vec::new();
    for link in &pack.cause(cause).unwrap().key {
        let character = &pack.characters[link.character];
        let taken = findings.iter().any(|f| f.character == character.id);
        if character.multi || !taken {
            findings.push(Observation::new(&character.id, &character.states[link.state].id, Seen));
        }
    }
    Observations { host: host.into(), date, findings }
}

fn kinds(advice: &Advice) -> Vec<BlockKind> {
    advice.steps.iter().map(|s| s.kind).collect()
}
