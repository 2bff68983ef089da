//! What speaks for and against each cause.

use super::{Cause, Cost, Nature, Pack, Settings, circumstance::Shift, evidence::Term};
use serde::Serialize;

/// How a statement about states was made.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Said {
    /// They were seen.
    Seen,
    /// They were looked for and were not there.
    Absent,
    /// They were passed over while others of the same character were picked.
    Unpicked,
}

/// One reason for or against a cause.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Reason {
    /// Id of the character.
    pub character: String,
    /// Ids of the states spoken of.
    pub states: Vec<String>,
    /// How.
    pub said: Said,
    /// By how much it moves the cause, were it the only one: natural log of odds, above 0 for, below 0 against.
    pub weight: f64,
    /// Whether it is a circumstance, an effect or a specific sign.
    pub nature: Nature,
}

/// For each candidate all reasons for and all against, the weightiest first.
pub(super) struct Reasons {
    pub for_: Vec<Reason>,
    pub against: Vec<Reason>,
    /// Whether a specific sign or a laboratory result speaks for the cause.
    pub proof: bool,
}

/// The reasons of the candidate at position `i`.
pub(super) fn reasons(pack: &Pack, i: usize, shifts: &[Shift], terms: &[Term], settings: &Settings) -> Reasons {
    let mut found = Reasons { for_: Vec::new(), against: Vec::new(), proof: false };
    let of_candidate = |list: &[(usize, f64)]| list.iter().find(|(c, _)| *c == i).map_or(0.0, |(_, w)| *w);
    for shift in shifts {
        found.add(pack, shift.character, &shift.states, shift.said, of_candidate(&shift.factors), settings);
    }
    for term in terms {
        let alone = term.pushes.iter().find(|p| p.candidate == i).map_or(0.0, |p| term.gain(&[p]));
        let weight = settings.tempering * (alone + of_candidate(&term.against));
        found.add(pack, term.character, &term.states, term.said, weight, settings);
    }
    found.for_.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    found.against.sort_by(|a, b| a.weight.total_cmp(&b.weight));
    found
}

impl Reasons {
    fn add(&mut self, pack: &Pack, at: usize, states: &[usize], said: Said, weight: f64, settings: &Settings) {
        if weight.abs() < settings.smallest_reason {
            return;
        }
        let character = &pack.characters[at];
        self.proof |= weight > 0.0 && (character.nature == Nature::Sign || character.cost == Cost::Lab);
        let list = if weight > 0.0 { &mut self.for_ } else { &mut self.against };
        list.push(Reason {
            character: character.id.clone(),
            states: states.iter().map(|s| character.states[*s].id.clone()).collect(),
            said,
            weight,
            nature: character.nature,
        });
    }
}

/// Ids of the characters that say something about the cause and that nobody looked at, in the order the pack gives them
/// for the cause. `tried` tells by the character's index whether anybody looked.
pub(super) fn unlooked(pack: &Pack, cause: &Cause, tried: &[bool]) -> Vec<String> {
    let mut ids: Vec<String> = Vec::new();
    for link in cause.key.iter().chain(&cause.fits).chain(&cause.against) {
        let id = &pack.characters[link.character].id;
        if !tried[link.character] && !ids.contains(id) {
            ids.push(id.clone());
        }
    }
    ids
}
