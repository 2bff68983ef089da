//! The exact distribution over all sets of up to three causes.
//!
//! What the findings say about a set is kept as the sum over its members, its pairs and its triples. A pair or triple has
//! a share of its own only where its members push the same finding, so few of them are ever worked out, and the sum is
//! still exact.

use super::evidence::{Push, Term};

/// Natural logs of what speaks for single causes, pairs and triples, to be added up over a set.
#[derive(Debug)]
pub(super) struct Weights {
    pub single: Vec<f64>,
    pair: Vec<f64>,
    triple: Vec<f64>,
}

/// Place of the pair a < b among all pairs.
pub(super) fn pair_at(a: usize, b: usize) -> usize {
    b * (b.max(1) - 1) / 2 + a
}

/// Place of the triple a < b < c among all triples, in the order in which [`Weights::distribution`] walks.
pub(super) fn triple_at(a: usize, b: usize, c: usize) -> usize {
    c * c.saturating_sub(1) * c.saturating_sub(2) / 6 + pair_at(a, b)
}

/// How probable every set of causes is, and what follows from it.
#[derive(Debug)]
pub(super) struct Distribution {
    /// Probability that the cause is there, alone or with others, by position among the candidates.
    pub marginal: Vec<f64>,
    /// Probability that it is the main cause.
    pub share: Vec<f64>,
    /// Probability that any cause of the group is there, by index of the group.
    pub group: Vec<f64>,
    /// Probability of no listed cause.
    pub none: f64,
    /// The most probable sets, best first, with their probabilities. The empty set is one of them.
    pub top: Vec<(Vec<usize>, f64)>,
}

impl Weights {
    /// Weights that hold nothing but those of single causes.
    pub fn of_singles(single: Vec<f64>) -> Self {
        let n = single.len();
        Self { single, pair: vec![0.0; pair_at(0, n)], triple: vec![0.0; triple_at(0, 1, n.max(1))] }
    }

    /// Adds what a finding says, raised to the power `tempering`.
    pub fn add(&mut self, term: &Term, tempering: f64) {
        let gain = |present: &[&Push]| tempering * term.gain(present);
        let pushes = &term.pushes;
        let alone: Vec<f64> = pushes.iter().map(|p| gain(&[p])).collect();
        let n = pushes.len();
        let mut both = vec![0.0; pair_at(0, n)];
        for (j, b) in pushes.iter().enumerate() {
            self.single[b.candidate] += alone[j];
            for (i, a) in pushes[..j].iter().enumerate() {
                let own = gain(&[a, b]) - alone[i] - alone[j];
                both[pair_at(i, j)] = own;
                self.pair[pair_at(a.candidate, b.candidate)] += own;
            }
        }
        for (k, c) in pushes.iter().enumerate() {
            for (j, b) in pushes[..k].iter().enumerate() {
                for (i, a) in pushes[..j].iter().enumerate() {
                    let pairs = both[pair_at(i, j)] + both[pair_at(i, k)] + both[pair_at(j, k)];
                    let own = gain(&[a, b, c]) - alone[i] - alone[j] - alone[k] - pairs;
                    self.triple[triple_at(a.candidate, b.candidate, c.candidate)] += own;
                }
            }
        }
    }

    /// Calls `visit` with every set of up to three causes (ascending, padded with nothing) and its log weight.
    fn each(&self, size_weights: &[f64; 4], mut visit: impl FnMut(&[usize], f64)) {
        let [none, one, two, three] = size_weights.map(f64::ln);
        visit(&[], none);
        let mut triples = self.triple.iter();
        for c in 0..self.single.len() {
            visit(&[c], one + self.single[c]);
            for b in 0..c {
                let bc = self.single[b] + self.single[c] + self.pair[pair_at(b, c)];
                visit(&[b, c], two + bc);
                let (ab, ac) = (pair_at(0, b), pair_at(0, c));
                for (a, own) in (0..b).zip(triples.by_ref()) {
                    visit(&[a, b, c], three + bc + self.single[a] + self.pair[ab + a] + self.pair[ac + a] + own);
                }
            }
        }
    }

    /// Every set (ascending) with its probability, most probable first, until what is left weighs less than `rest`.
    pub fn weightiest(&self, size_weights: &[f64; 4], rest: f64) -> Vec<(Vec<usize>, f64)> {
        let (mut logs, mut highest) = (Vec::new(), f64::NEG_INFINITY);
        self.each(size_weights, |_, log| {
            highest = highest.max(log);
            logs.push(log);
        });
        let total: f64 = logs.iter().map(|log| (log - highest).exp()).sum();
        // What lies below this floor weighs less than half of `rest`, all of it together.
        let floor = 0.5 * rest / logs.len() as f64;
        let (mut sets, mut weights) = (Vec::new(), logs.iter());
        self.each(size_weights, |set, _| {
            let p = weights.next().map_or(0.0, |log| (log - highest).exp() / total);
            if p >= floor {
                sets.push((set.to_vec(), p));
            }
        });
        sets.sort_by(|a, b| b.1.total_cmp(&a.1));
        let mut kept = 0.0;
        let enough = sets.iter().position(|(_, p)| {
            kept += p;
            kept >= 1.0 - rest
        });
        sets.truncate(enough.map_or(sets.len(), |at| at + 1));
        sets
    }

    /// The distribution. `main` says how much each cause counts as the main one of a set, `group` (below `groups`)
    /// which group it belongs to; `top` sets are listed.
    pub fn distribution(
        &self,
        size_weights: &[f64; 4],
        (main, group): (&[f64], &[usize]),
        groups: usize,
        top: usize,
    ) -> Distribution {
        let n = self.single.len();
        let mut logs = Vec::with_capacity(1 + n + self.pair.len() + self.triple.len());
        self.each(size_weights, |_, log| logs.push(log));
        let highest = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut total = 0.0;
        for log in &mut logs {
            *log = (*log - highest).exp();
            total += *log;
        }
        let (marginal, share) = (vec![0.0; n], vec![0.0; n]);
        let mut found = Distribution { marginal, share, group: vec![0.0; groups], none: 0.0, top: Vec::new() };
        let mut weights = logs.into_iter();
        self.each(size_weights, |set, _| {
            let p = weights.next().unwrap_or(0.0) / total;
            if set.is_empty() {
                found.none = p;
            }
            let shares: f64 = set.iter().map(|i| main[*i]).sum();
            for (at, i) in set.iter().enumerate() {
                if !set[..at].iter().any(|j| group[*j] == group[*i]) {
                    found.group[group[*i]] += p;
                }
                found.marginal[*i] += p;
                found.share[*i] += p * main[*i] / shares;
            }
            let better = |(_, q): &(Vec<usize>, f64)| *q >= p;
            if found.top.len() < top || found.top.last().is_some_and(|last| !better(last)) {
                let at = found.top.partition_point(better);
                found.top.insert(at, (set.to_vec(), p));
                found.top.truncate(top);
            }
        });
        found
    }
}
