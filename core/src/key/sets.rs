//! What the findings say about every set of up to three causes.
//!
//! It is kept as the sum over a set's members, its pairs and its triples. A pair or triple has a share of its own only where
//! its members push the same finding, so few of them are ever worked out, and the sum is still exact.

use super::evidence::Term;

/// Natural logs of what speaks for single causes, pairs and triples, to be added up over a set.
#[derive(Debug)]
pub(super) struct Weights {
    pub single: Vec<f64>,
    pub pair: Vec<f64>,
    triple: Vec<f64>,
}

/// Place of the pair a < b among all pairs.
pub(super) fn pair_at(a: usize, b: usize) -> usize {
    b * (b.max(1) - 1) / 2 + a
}

/// Place of the triple a < b < c among all triples, in the order of [`Weights::rows`].
pub(super) fn triple_at(a: usize, b: usize, c: usize) -> usize {
    c * c.saturating_sub(1) * c.saturating_sub(2) / 6 + pair_at(a, b)
}

/// A set of at most three causes, as ascending positions among the candidates.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Set {
    members: [u32; 3],
    count: u32,
}

impl Set {
    pub const EMPTY: Self = Self { members: [0; 3], count: 0 };

    /// The set of these.
    pub fn of<const N: usize>(members: [usize; N]) -> Self {
        members.into_iter().fold(Self::EMPTY, Self::with)
    }

    /// With one more, after the others.
    pub fn with(mut self, member: usize) -> Self {
        self.members[self.count as usize] = member as u32;
        self.count += 1;
        self
    }

    pub fn members(&self) -> impl ExactSizeIterator<Item = usize> + Clone {
        self.members[..self.count as usize].iter().map(|i| *i as usize)
    }
}

/// The pair b < c with every third cause before them.
pub(super) struct Row<'w> {
    pub b: usize,
    pub c: usize,
    /// What the pair adds to each of the triples.
    both: f64,
    single: &'w [f64],
    with_b: &'w [f64],
    with_c: &'w [f64],
    own: &'w [f64],
}

impl Row<'_> {
    /// Log weight of the pair.
    pub fn pair(&self) -> f64 {
        self.both
    }

    /// Log weight of the triples {a, b, c}, for a from 0 on.
    pub fn triples(&self) -> impl Iterator<Item = f64> {
        let pairs = self.with_b.iter().zip(self.with_c);
        self.single.iter().zip(pairs).zip(self.own).map(|((s, (ab, ac)), own)| self.both + s + ab + ac + own)
    }
}

impl Weights {
    /// Weights that hold nothing but those of single causes.
    pub fn of_singles(single: Vec<f64>) -> Self {
        let n = single.len();
        Self { single, pair: vec![0.0; pair_at(0, n)], triple: vec![0.0; triple_at(0, 1, n.max(1))] }
    }

    /// Adds what a finding says, raised to the power `tempering`.
    pub fn add(&mut self, term: &Term, tempering: f64) {
        let pushes = &term.pushes;
        let none = term.load(&[]);
        let alone: Vec<f64> = pushes.iter().map(|p| tempering * term.gain_under(none.with(p))).collect();
        let mut both = vec![0.0; pair_at(0, pushes.len())];
        for (k, c) in pushes.iter().enumerate() {
            self.single[c.candidate] += alone[k];
            for (j, b) in pushes[..k].iter().enumerate() {
                let load = none.with(c).with(b);
                let own = tempering * term.gain_under(load) - alone[j] - alone[k];
                both[pair_at(j, k)] = own;
                self.pair[pair_at(b.candidate, c.candidate)] += own;
                let without_a = own + alone[j] + alone[k];
                let row = triple_at(0, b.candidate, c.candidate);
                for (i, a) in pushes[..j].iter().enumerate() {
                    let pairs = both[pair_at(i, j)] + both[pair_at(i, k)];
                    let gain = tempering * term.gain_under(load.with(a));
                    self.triple[row + a.candidate] += gain - alone[i] - pairs - without_a;
                }
            }
        }
    }

    /// Every pair with its triples: by c, then by b.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        let pairs = (0..self.single.len()).flat_map(|c| (0..c).map(move |b| (b, c)));
        pairs.map(|(b, c)| Row {
            b,
            c,
            both: self.single[b] + self.single[c] + self.pair[pair_at(b, c)],
            single: &self.single[..b],
            with_b: &self.pair[pair_at(0, b)..][..b],
            with_c: &self.pair[pair_at(0, c)..][..b],
            own: &self.triple[triple_at(0, b, c)..][..b],
        })
    }
}
