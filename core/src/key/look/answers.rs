//! The answers that a look can give: how probable each is, and how it would leave the causes.

use super::{patterns::Patterns, weighed::Weighed};
use crate::key::{
    Pack, Settings, circumstance,
    circumstance::Shift,
    evidence,
    evidence::{Load, Push, Term},
    hazard::{base_hazards, base_rate},
    observe::Looked,
    sets::Set,
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
/// answers have the same chances. Most sets hold none of these causes, and are never walked.
pub(super) struct Question<'w> {
    weighed: &'w Weighed,
    /// Indices of the states that can be the answer.
    states: Vec<usize>,
    /// Sets that are alike; the first ones hold none of the tied causes.
    alike: Vec<Alike>,
    /// The sets that hold a tied cause, with the place of those alike to it.
    holding: Vec<(u32, u32)>,
    /// Share of each candidate as the main cause in the sets that hold none.
    others: Vec<f64>,
}

/// Sets of causes that are alike for the character.
struct Alike {
    /// Probability of all of them together.
    weight: f64,
    /// For each answer: its chance, and the factor by which it changes the weight of these sets.
    answers: Vec<(f64, f64)>,
}

/// What one answer says: terms of an effect, or the shift of a circumstance with its base rate.
enum Says {
    Effect(Vec<Term>),
    Circumstance { shift: Option<Shift>, base_ln: f64 },
}

impl<'w> Question<'w> {
    /// Nothing if the character is tied to none of the host's causes, or cannot be answered in two ways.
    pub fn new(
        pack: &Pack,
        settings: &Settings,
        solved: &Solved<'_>,
        weighed: &'w Weighed,
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
        patterns.place(Set::EMPTY, 0);
        let mut alike = vec![Alike { weight: weighed.total, answers: answers(&says, &[], settings) }];
        let (mut holding, mut others) = (Vec::new(), weighed.shares.clone());
        weighed.each_holding(&tied, |at, one| {
            let (held, place) = patterns.place(one.set, alike.len());
            if place == alike.len() {
                alike.push(Alike { weight: 0.0, answers: answers(&says, held.members(), settings) });
            }
            alike[place].weight += one.p;
            alike[0].weight -= one.p;
            for (i, share) in one.set.members().iter().zip(one.shares) {
                others[*i] -= share;
            }
            holding.push((at, place as u32));
        });
        alike[0].weight = alike[0].weight.max(0.0);
        others.iter_mut().for_each(|share| *share = share.max(0.0));
        Some(Self { weighed, states, alike, holding, others })
    }

    /// Every answer with its chance and what it would leave.
    pub fn answers(&self, pack: &Pack, solved: &Solved<'_>) -> Vec<Answer> {
        let answer = |(at, state): (usize, &usize)| {
            let chance = self.alike.iter().map(|a| a.weight * a.answers[at].0).sum::<f64>() / self.weighed.total;
            let left: f64 = self.alike.iter().map(|a| a.weight * a.answers[at].1).sum();
            let factor = |place: usize| self.alike[place].answers[at].1 / left;
            let factors: Vec<f64> = (0..self.alike.len()).map(factor).collect();
            let mut causes: Vec<f64> = self.others.iter().map(|share| share * factors[0]).collect();
            for (set, place) in &self.holding {
                let one = &self.weighed.sets[*set as usize];
                for (i, share) in one.set.members().iter().zip(one.shares) {
                    causes[*i] += share * factors[*place as usize];
                }
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
                for (term, pushes) in terms.iter().zip(&self.pushes) {
                    let present = set.iter().filter_map(|i| pushes[*i]);
                    let (own_chance, own_gain) = term.chance_and_gain(present.fold(term.load(&[]), Load::with));
                    chance += own_chance;
                    gain += own_gain;
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
