//! The weightiest sets of causes, summed up by single causes and by pairs.

use crate::key::{
    sets::{Set, pair_at},
    solve::Solved,
};

/// One set.
#[derive(Clone, Copy)]
pub(super) struct One {
    pub set: Set,
    /// Its probability.
    pub p: f64,
    /// Its probability by what counts as main in it: each member has so much of it, times what it counts as main.
    pub part: f64,
}

/// All sets that hold one cause.
#[derive(Clone)]
pub(super) struct Holding {
    /// Their probability together.
    pub p: f64,
    /// Share of each candidate as the main cause in them.
    pub shares: Vec<f64>,
}

/// The sets, summed up.
pub(super) struct Weighed {
    /// Of all of them.
    pub all: Holding,
    /// By candidate, of those that hold it.
    pub holding: Vec<Holding>,
    sets: Vec<One>,
    /// By pair, places of the sets that hold both.
    pairs: Vec<Vec<u32>>,
}

impl Weighed {
    pub fn new(solved: &Solved<'_>, weightiest: &[(Set, f64)]) -> Self {
        let n = solved.candidates.len();
        let none = Holding { p: 0.0, shares: vec![0.0; n] };
        let mut weighed = Self {
            all: none.clone(),
            holding: vec![none; n],
            sets: Vec::with_capacity(weightiest.len()),
            pairs: vec![Vec::new(); pair_at(0, n)],
        };
        for (place, (set, p)) in (0..).zip(weightiest) {
            let one = One { set: *set, p: *p, part: p / set.members().map(|i| solved.main[i]).sum::<f64>() };
            weighed.all.p += p;
            for (at, b) in set.members().enumerate() {
                let share = one.part * solved.main[b];
                weighed.all.shares[b] += share;
                weighed.holding[b].p += p;
                set.members().for_each(|i| weighed.holding[i].shares[b] += share);
                set.members().take(at).for_each(|a| weighed.pairs[pair_at(a, b)].push(place));
            }
            weighed.sets.push(one);
        }
        weighed
    }

    /// The sets that hold both of a < b.
    pub fn with_both(&self, a: usize, b: usize) -> impl Iterator<Item = &One> {
        self.pairs[pair_at(a, b)].iter().map(|place| &self.sets[*place as usize])
    }
}
