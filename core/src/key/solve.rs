//! The findings of one plant, worked through: what they say about every set of causes.

use super::{
    Cause, Host, Observations, Pack, Role, Settings, circumstance,
    circumstance::Shift,
    distribution::{Distribution, marginals},
    evidence,
    evidence::Term,
    observe,
    observe::Looked,
    prior, season,
    sets::Weights,
};
use crate::{
    Error, Result,
    error::{FieldCode, FieldProblem},
};

/// Candidates, evidence and how probable the causes are before and after it.
pub(super) struct Solved<'a> {
    pub host: &'a Host,
    /// The causes that the host can have, in the order of the pack.
    pub candidates: Vec<&'a Cause>,
    /// How much each candidate counts as the main cause of a set.
    pub main: Vec<f64>,
    pub looked: Vec<Looked>,
    pub shifts: Vec<Shift>,
    pub terms: Vec<Term>,
    pub weights: Weights,
    /// Probability of each candidate before any finding.
    pub before: Vec<f64>,
    pub after: Distribution,
}

impl<'a> Solved<'a> {
    /// # Errors
    /// As [`super::Differential::new`].
    pub fn new(pack: &'a Pack, settings: &Settings, observations: &Observations) -> Result<Self> {
        let host = *pack.index.hosts.get(&observations.host).ok_or_else(|| {
            let field = format!("host {}", observations.host);
            Error::Invalid(vec![FieldProblem { field, code: FieldCode::UnknownWord }])
        })?;
        let (month, day) = observations.date;
        let day = season::day_of_year(month, day)
            .ok_or_else(|| Error::Invalid(vec![FieldProblem { field: "date".into(), code: FieldCode::BadForm }]))?;
        let looked = observe::gather(pack, &observations.findings)?;
        let candidates: Vec<&Cause> = pack.index.candidates[host].iter().map(|c| &pack.causes[*c]).collect();

        let main: Vec<f64> = candidates.iter().map(|c| main_share(c, settings)).collect();
        let mut weights = Weights::of_singles(prior::log_odds(&candidates, day, settings));
        let group: Vec<usize> = candidates.iter().map(|c| c.group).collect();
        let (of, groups) = ((main.as_slice(), group.as_slice()), pack.guidance.groups.len());
        let before = marginals(&weights.single, &settings.size_weights);
        let shifts = circumstance::shifts(pack, &candidates, &looked, settings);
        for (i, factor) in shifts.iter().flat_map(|s| &s.factors) {
            weights.single[*i] += factor;
        }
        let terms = evidence::terms(pack, &candidates, &looked, settings);
        for term in &terms {
            weights.add(term, settings.tempering);
            for (i, against) in &term.against {
                weights.single[*i] += settings.tempering * against;
            }
        }
        let after = Distribution::new(&weights, &settings.size_weights, of, groups, settings.top_sets);
        Ok(Self { host: &pack.hosts[host], candidates, main, looked, shifts, terms, weights, before, after })
    }
}

/// How the main cause is spread: over the candidates, over the advice groups, and "no listed cause".
pub(super) struct Shares {
    /// By position among the candidates.
    pub causes: Vec<f64>,
    /// By index of the advice group in the pack.
    pub advice: Vec<f64>,
    pub none: f64,
}

impl Shares {
    /// From the shares of the candidates.
    pub fn new(pack: &Pack, solved: &Solved<'_>, causes: Vec<f64>) -> Self {
        let mut advice = vec![0.0; pack.guidance.groups.len()];
        for (share, cause) in causes.iter().zip(&solved.candidates) {
            advice[cause.group] += share;
        }
        let none = (1.0 - causes.iter().sum::<f64>()).max(0.0);
        Self { causes, advice, none }
    }

    /// Entropy over the causes and "none" (nats).
    pub fn cause_entropy(&self) -> f64 {
        entropy(self.causes.iter().chain([&self.none]))
    }

    /// Entropy over the advice groups and "none" (nats).
    pub fn advice_entropy(&self) -> f64 {
        entropy(self.advice.iter().chain([&self.none]))
    }

    /// Position of the candidate with the largest share, if "none" has no larger one.
    pub fn cause_leader(&self) -> Option<usize> {
        leader(&self.causes, self.none)
    }

    /// Index of the advice group with the largest share, if "none" has no larger one.
    pub fn advice_leader(&self) -> Option<usize> {
        leader(&self.advice, self.none)
    }
}

fn entropy<'a>(shares: impl Iterator<Item = &'a f64>) -> f64 {
    shares.filter(|p| **p > 0.0).map(|p| -p * p.ln()).sum()
}

fn leader(shares: &[f64], none: f64) -> Option<usize> {
    let best = (0..shares.len()).max_by(|a, b| shares[*a].total_cmp(&shares[*b]))?;
    (shares[best] > none).then_some(best)
}

/// How much a cause counts as the main one of a set.
fn main_share(cause: &Cause, settings: &Settings) -> f64 {
    match cause.role {
        Role::Secondary => settings.secondary_share,
        Role::Harmless => settings.harmless_share,
        Role::Environment if cause.any_host => settings.everywhere_share,
        Role::Environment | Role::Primary | Role::StressTriggered => 1.0,
    }
}
