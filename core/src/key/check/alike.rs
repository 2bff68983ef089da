//! Causes that no finding tells apart.

use super::{Findings, Kind};
use crate::key::{
    Cause, Character, Pack, Settings,
    hazard::{added_hazards, base_hazards, base_rate},
};

/// Causes of one host whose [`separability`] is below this cannot be told apart: all that can be looked at together says
/// less than a single look that always answers otherwise.
pub const ALIKE_BELOW: f64 = 1.0;

/// How far findings can tell two causes apart: the total variation between what each alone would show, summed over all
/// characters. 0 is not at all; each character adds at most 1, or 1 for each state where several can be there.
///
/// The chances are those of the differential (causes and leaks as competing hazards); a state that speaks against a cause
/// is no likelier under it than its word says.
pub fn separability(pack: &Pack, a: &Cause, b: &Cause) -> f64 {
    let speaks = |cause: &Cause, at: usize| cause.key.iter().chain(&cause.against).any(|l| l.character == at);
    let characters = pack.characters.iter().enumerate().filter(|(at, _)| speaks(a, *at) || speaks(b, *at));
    characters
        .map(|at| {
            let (p, q) = (chances(a, at, &pack.settings), chances(b, at, &pack.settings));
            let apart: f64 = p.iter().zip(&q).map(|(p, q)| (p - q).abs()).sum();
            if at.1.multi { apart } else { 0.5 * apart }
        })
        .sum()
}

/// Chance of every state under one cause alone; of the normal one only where a single state holds.
fn chances(cause: &Cause, (at, character): (usize, &Character), settings: &Settings) -> Vec<f64> {
    let mut hazards = base_hazards(character, settings);
    for (hazard, added) in hazards.iter_mut().zip(added_hazards(cause, (at, character), settings).into_iter().flatten())
    {
        *hazard += added;
    }
    let chance = |state: usize| {
        if state == character.normal && character.multi {
            return 0.0;
        }
        let chance = base_rate(character, state, &hazards);
        let against = cause.against.iter().find(|l| l.character == at && l.state == state);
        against.map_or(chance, |l| chance.min(l.chance))
    };
    (0..character.states.len()).map(chance).collect()
}

pub(super) fn check(pack: &Pack, findings: &mut Findings) {
    for (at, a) in pack.causes.iter().enumerate() {
        for b in &pack.causes[at + 1..] {
            if !(0..pack.hosts.len()).any(|h| a.fits_host(h) && b.fits_host(h)) {
                continue;
            }
            let apart = separability(pack, a, b);
            if apart >= ALIKE_BELOW {
                continue;
            }
            let place = format!("{} and {}", a.id, b.id);
            if a.group == b.group {
                findings.note(Kind::Alike, place, format!("apart by {apart:.2}; the advice is the same"));
            } else {
                let [x, y] = [a, b].map(|c| &pack.guidance.groups[c.group].id);
                findings.warning(Kind::Alike, place, format!("apart by {apart:.2}, and the advice differs: {x}, {y}"));
            }
        }
    }
}
