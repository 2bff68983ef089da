//! The weightiest sets of causes, ready to be walked for one character after the other.

use crate::key::{sets::Set, solve::Solved};

/// One set.
pub(super) struct One {
    pub set: Set,
    /// Its probability.
    pub p: f64,
    /// The share of each member as the main cause, times `p`.
    pub shares: [f64; 3],
}

/// The sets, and where each candidate is.
pub(super) struct Weighed {
    pub sets: Vec<One>,
    /// By candidate, places of the sets that hold it.
    holding: Vec<Vec<u32>>,
    /// Probability of all of them together.
    pub total: f64,
    /// Share of each candidate as the main cause in all of them.
    pub shares: Vec<f64>,
}

impl Weighed {
    pub fn new(solved: &Solved<'_>, weightiest: &[(Set, f64)]) -> Self {
        let n = solved.candidates.len();
        let mut weighed = Self { sets: Vec::new(), holding: vec![Vec::new(); n], total: 0.0, shares: vec![0.0; n] };
        weighed.sets.reserve_exact(weightiest.len());
        for (place, (set, p)) in (0..).zip(weightiest) {
            let all: f64 = set.members().iter().map(|i| solved.main[*i]).sum();
            let mut one = One { set: *set, p: *p, shares: [0.0; 3] };
            for (i, share) in set.members().iter().zip(&mut one.shares) {
                *share = p * solved.main[*i] / all;
                weighed.shares[*i] += *share;
                weighed.holding[*i].push(place);
            }
            weighed.total += p;
            weighed.sets.push(one);
        }
        weighed
    }

    /// Calls `visit` with each set that holds at least one of the tied candidates, and with its place.
    pub fn each_holding(&self, tied: &[bool], mut visit: impl FnMut(u32, &One)) {
        for (candidate, places) in self.holding.iter().enumerate().filter(|(c, _)| tied[*c]) {
            for place in places {
                let one = &self.sets[*place as usize];
                // A set with several of them comes with the first.
                if one.set.members().iter().find(|i| tied[**i]) == Some(&candidate) {
                    visit(*place, one);
                }
            }
        }
    }
}
