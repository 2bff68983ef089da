//! What each answer of a look would say of a set of causes.

use crate::key::{
    Nature, Pack, Settings, circumstance, evidence,
    evidence::{Load, Push, Term},
    hazard::{base_hazards, base_rate},
    observe::Looked,
    sets::Set,
    solve::Solved,
};

/// What the answers of one character say. Answers share terms: what was passed over while another state was picked.
pub(super) struct Sayings {
    /// The terms of all answers, each once, with the push of each candidate.
    terms: Vec<(Term, Vec<Option<Push>>)>,
    answers: Vec<Says>,
    /// What each term is worth under the set that is looked at: natural logs of its chance and of its gain.
    worth: Vec<(f64, f64)>,
}

/// What one answer says.
struct Says {
    /// Places of its terms; none for a circumstance.
    terms: Vec<usize>,
    /// Natural log of the base rate of a circumstance.
    base_ln: Option<f64>,
    /// What speaks against each candidate, or shifts its odds; natural logs, by position.
    factors: Vec<f64>,
}

impl Sayings {
    pub fn new(pack: &Pack, settings: &Settings, solved: &Solved<'_>, character: usize, states: &[usize]) -> Self {
        let mut all = Self { terms: Vec::new(), answers: Vec::new(), worth: Vec::new() };
        let known = &pack.characters[character];
        for state in states {
            let looked = Looked::seeing(character, *state);
            let mut says = Says { terms: Vec::new(), base_ln: None, factors: vec![0.0; solved.candidates.len()] };
            if known.nature == Nature::Circumstance {
                says.base_ln = Some(base_rate(known, *state, &base_hazards(known, settings)).ln());
                let shift = circumstance::shift_of(pack, &solved.candidates, &looked, settings);
                shift.iter().flat_map(|s| &s.factors).for_each(|(i, w)| says.factors[*i] += w);
            } else {
                for term in evidence::terms_of(pack, &solved.candidates, &looked, settings) {
                    term.against.iter().for_each(|(i, w)| says.factors[*i] += w);
                    says.terms.push(all.place(term, solved.candidates.len()));
                }
            }
            all.answers.push(says);
        }
        all
    }

    fn place(&mut self, term: Term, candidates: usize) -> usize {
        let known = self.terms.iter().position(|(t, _)| t.said == term.said && t.states == term.states);
        known.unwrap_or_else(|| {
            let mut pushes = vec![None; candidates];
            term.pushes.iter().for_each(|p| pushes[p.candidate] = Some(*p));
            self.terms.push((term, pushes));
            self.terms.len() - 1
        })
    }

    /// The candidates that the character is tied to, ascending.
    pub fn tied(&self) -> Vec<usize> {
        let pushed = self.terms.iter().flat_map(|(term, _)| &term.pushes).map(|p| p.candidate);
        let factors = self.answers.iter().flat_map(|says| says.factors.iter().enumerate());
        let mut tied: Vec<usize> = pushed.chain(factors.filter(|(_, w)| **w != 0.0).map(|(i, _)| i)).collect();
        tied.sort_unstable();
        tied.dedup();
        tied
    }

    /// For each answer its chance under this set (they add up to 1) and the factor on the set's weight.
    pub fn answers(&mut self, set: Set, settings: &Settings) -> Vec<(f64, f64)> {
        self.worth.clear();
        for (term, pushes) in &self.terms {
            let present = set.members().filter_map(|i| pushes[i].as_ref());
            self.worth.push(term.chance_and_gain(present.fold(term.load(&[]), Load::with)));
        }
        let mut answers: Vec<(f64, f64)> = self.answers.iter().map(|s| s.worth(set, &self.worth, settings)).collect();
        let total: f64 = answers.iter().map(|(chance, _)| chance).sum();
        answers.iter_mut().for_each(|(chance, _)| *chance /= total);
        answers
    }
}

impl Says {
    /// The chance of the answer, before it is scaled over all answers, and the factor on the set.
    fn worth(&self, set: Set, terms: &[(f64, f64)], settings: &Settings) -> (f64, f64) {
        let factor: f64 = set.members().map(|i| self.factors[i]).sum();
        if let Some(base) = self.base_ln {
            return ((base + factor).exp(), factor.exp());
        }
        let own = self.terms.iter().map(|t| terms[*t]);
        let (chance, gain) = own.fold((0.0, factor), |(chance, gain), (c, g)| (chance + c, gain + g));
        (chance.exp(), (settings.tempering * gain).exp())
    }
}
