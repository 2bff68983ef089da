//! The answers that a look can give: how probable each is, and how it would leave the causes.

use super::patterns::Patterns;
use crate::key::{
    Pack, Settings, circumstance,
    circumstance::Shift,
    evidence,
    evidence::{Push, Term},
    hazard::{base_hazards, base_rate},
    observe::Looked,
    solve::{Shares, Solved},
};

/// One answer.
pub(super) struct Answer {
    /// Index of the state in the character.
    pub state: usize,
    /// Chance of the answer.
    pub chance: f64,
    /// How the causes would share then.
    pub shares: Shares,
}

/// A look in the mind. Sets of causes that are alike in the causes the character is tied to are told together: their
/// answers have the same chances.
pub(super) struct Question {
    /// Indices of the states that can be the answer.
    states: Vec<usize>,
    groups: Vec<Alike>,
}

/// Sets of causes that are alike for the character.
struct Alike {
    /// Probability of all of them together.
    weight: f64,
    /// Share of each candidate as main cause in them, by position; adds up to `weight` with none.
    shares: Vec<f64>,
    /// For each answer: its chance, and the factor by which it changes the weight of these sets.
    answers: Vec<(f64, f64)>,
}

/// What one answer says: terms of an effect, or the shift of a circumstance with its base rate.
enum Says {
    Effect(Vec<Term>),
    Circumstance { shift: Option<Shift>, base_ln: f64 },
}

impl Question {
    /// Nothing if the character is tied to none of the host's causes, or cannot be answered in two ways.
    pub fn new(
        pack: &Pack,
        settings: &Settings,
        solved: &Solved<'_>,
        sets: &[(Vec<usize>, f64)],
        character: usize,
    ) -> Option<Self> {
        let states: Vec<usize> = possible(pack, character);
        let says: Vec<Says> = states.iter().map(|s| said(pack, settings, solved, character, *s)).collect();
        let mut tied = vec![false; solved.candidates.len()];
        says.iter().for_each(|s| s.mark(&mut tied));
        if states.len() < 2 || !tied.contains(&true) {
            return None;
        }
        let mut patterns = Patterns::new(&tied);
        let says: Vec<Reach<'_>> = says.iter().map(|s| Reach::new(s, solved.candidates.len())).collect();
        let mut groups: Vec<Alike> = Vec::new();
        for (set, p) in sets {
            let (key, place) = patterns.place(set, groups.len());
            if place == groups.len() {
                let answers = answers(&says, key.members(), settings);
                groups.push(Alike { weight: 0.0, shares: vec![0.0; solved.candidates.len()], answers });
            }
            let alike = &mut groups[place];
            alike.weight += p;
            solved.share_out(set, *p, |i, share| alike.shares[i] += share);
        }
        Some(Self { states, groups })
    }

    /// Every answer with its chance and what it would leave.
    pub fn answers(&self, pack: &Pack, solved: &Solved<'_>) -> Vec<Answer> {
        let total: f64 = self.groups.iter().map(|g| g.weight).sum();
        let answer = |(at, state): (usize, &usize)| {
            let chance = self.groups.iter().map(|g| g.weight * g.answers[at].0).sum::<f64>() / total;
            let left: f64 = self.groups.iter().map(|g| g.weight * g.answers[at].1).sum();
            let mut causes = vec![0.0; solved.candidates.len()];
            for group in &self.groups {
                let factor = group.answers[at].1 / left;
                causes.iter_mut().zip(&group.shares).for_each(|(cause, share)| *cause += share * factor);
            }
            Answer { state: *state, chance, shares: Shares::new(pack, solved, causes) }
        };
        self.states.iter().enumerate().map(answer).collect()
    }
}

fn possible(pack: &Pack, character: usize) -> Vec<usize> {
    let states = &pack.characters[character].states;
    (0..states.len()).filter(|s| !states[*s].not_known).collect()
}

fn said(pack: &Pack, settings: &Settings, solved: &Solved<'_>, character: usize, state: usize) -> Says {
    let looked = Looked::seeing(character, state);
    let known = &pack.characters[character];
    if known.nature == crate::key::Nature::Circumstance {
        let base = base_rate(known, state, &base_hazards(known, settings));
        let shift = circumstance::shift_of(pack, &solved.candidates, &looked, settings);
        Says::Circumstance { shift, base_ln: base.ln() }
    } else {
        Says::Effect(evidence::terms_of(pack, &solved.candidates, &looked, settings))
    }
}

impl Says {
    fn mark(&self, tied: &mut [bool]) {
        match self {
            Self::Effect(terms) => {
                for term in terms {
                    term.pushes.iter().for_each(|p| tied[p.candidate] = true);
                    term.against.iter().for_each(|(i, _)| tied[*i] = true);
                }
            }
            Self::Circumstance { shift, .. } => {
                shift.iter().flat_map(|s| &s.factors).for_each(|(i, _)| tied[*i] = true);
            }
        }
    }
}

/// What an answer says, by position of the candidate.
struct Reach<'a> {
    says: &'a Says,
    /// For each term, the push of each candidate.
    pushes: Vec<Vec<Option<&'a Push>>>,
    /// What speaks against each candidate, or shifts its odds.
    factors: Vec<f64>,
}

impl<'a> Reach<'a> {
    fn new(says: &'a Says, candidates: usize) -> Self {
        let (mut pushes, mut factors) = (Vec::new(), vec![0.0; candidates]);
        match says {
            Says::Effect(terms) => {
                for term in terms {
                    let mut of_term = vec![None; candidates];
                    term.pushes.iter().for_each(|p| of_term[p.candidate] = Some(p));
                    pushes.push(of_term);
                    term.against.iter().for_each(|(i, w)| factors[*i] += w);
                }
            }
            Says::Circumstance { shift, .. } => {
                shift.iter().flat_map(|s| &s.factors).for_each(|(i, w)| factors[*i] += w);
            }
        }
        Self { says, pushes, factors }
    }

    /// Natural logs of the chance of the answer, before it is scaled over all answers, and of the factor on the set.
    fn logs(&self, set: &[usize], settings: &Settings) -> (f64, f64) {
        let factor: f64 = set.iter().map(|i| self.factors[*i]).sum();
        match self.says {
            Says::Effect(terms) => {
                let (mut chance, mut gain) = (0.0, factor);
                let mut present = Vec::with_capacity(set.len());
                for (term, pushes) in terms.iter().zip(&self.pushes) {
                    present.clear();
                    present.extend(set.iter().filter_map(|i| pushes[*i]));
                    chance += term.ln_chance_with(&present);
                    gain += term.gain(&present);
                }
                (chance, settings.tempering * gain)
            }
            Says::Circumstance { base_ln, .. } => (base_ln + factor, factor),
        }
    }
}

/// For each answer its chance under this set (they add up to 1) and the factor on the set's weight.
fn answers(says: &[Reach<'_>], set: &[usize], settings: &Settings) -> Vec<(f64, f64)> {
    let logs: Vec<(f64, f64)> = says.iter().map(|s| s.logs(set, settings)).collect();
    let total: f64 = logs.iter().map(|(chance, _)| chance.exp()).sum();
    logs.into_iter().map(|(chance, gain)| (chance.exp() / total, gain.exp())).collect()
}
