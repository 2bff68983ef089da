//! Characters and states that nothing is made of, and circumstances without a base rate.

use super::{Findings, Kind};
use crate::key::{Nature, Pack};

pub(super) fn check(pack: &Pack, findings: &mut Findings) {
    let links = || pack.causes.iter().flat_map(|c| c.key.iter().chain(&c.fits).chain(&c.against));
    let settles = |at: usize, state: Option<usize>| {
        let mut by = pack.guidance.conflicts.iter().flat_map(|c| &c.settled_by);
        by.any(|(c, s, _)| *c == at && state.is_none_or(|state| *s == state))
    };
    for (at, character) in pack.characters.iter().enumerate() {
        for (s, state) in character.states.iter().enumerate() {
            if character.states[..s].iter().any(|other| other.text.en == state.text.en) {
                let place = format!("{}.{}", character.id, state.id);
                findings.warning(Kind::Twice, place, "reads like another state of the same character");
            }
        }
        let stops = character.states.iter().any(|s| !s.stops.is_empty());
        if !stops && !settles(at, None) && !links().any(|l| l.character == at) {
            findings.warning(Kind::UnusedCharacter, &character.id, "no cause, stop or contradiction is tied to it");
            continue;
        }
        for s in character.abnormal() {
            let state = &character.states[s];
            let place = || format!("{}.{}", character.id, state.id);
            let named = links().any(|l| l.character == at && l.state == s);
            if !named && state.stops.is_empty() && !state.not_known && !settles(at, Some(s)) {
                findings.warning(Kind::DeadState, place(), "no cause, stop or contradiction is tied to it");
            }
            let keyed = pack.causes.iter().any(|c| c.chance(at, s).is_some());
            if character.nature == Nature::Circumstance && keyed && state.leak.is_none() {
                findings.warning(
                    Kind::NoBaseRate,
                    place(),
                    "causes name it, and nothing says how often it is so anyway",
                );
            }
        }
    }
}
