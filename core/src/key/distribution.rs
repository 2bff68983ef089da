//! The exact distribution over all sets of up to three causes, and what follows from it.

use super::sets::{Row, Set, Weights};

/// Sets that weigh less than this beside the weightiest one are left out, all of them together: less than half of what
/// the last digit of a number can hold.
const NEGLIGIBLE: f64 = 5e-17;

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
    pub top: Vec<(Set, f64)>,
    /// Natural log of the weight of all sets together.
    total: f64,
    /// For each row the highest log weight of its sets.
    rows: Vec<f64>,
    sizes: Sizes,
}

/// Natural logs of the weights of sets of 0, 1, 2, 3 causes.
#[derive(Clone, Copy, Debug)]
struct Sizes([f64; 4]);

impl Sizes {
    fn pair(self, row: &Row<'_>) -> f64 {
        self.0[2] + row.pair()
    }

    fn triples<'r>(self, row: &'r Row<'_>) -> impl Iterator<Item = f64> + 'r {
        row.triples().map(move |log| self.0[3] + log)
    }
}

/// Probability of each cause when nothing says anything of two of them together, from the logs of the single ones: with
/// e1 and e2 the sum of the others' weights and of their products two by two, a cause weighs `w (s1 + s2 e1 + s3 e2)`.
pub(super) fn marginals(single: &[f64], size_weights: &[f64; 4]) -> Vec<f64> {
    let [none, one, two, three] = *size_weights;
    let highest = single.iter().copied().fold(0.0, f64::max);
    // All weights are taken `highest` lower for each member of the set.
    let scaled = |size: f64, members: f64| size * (-highest * (3.0 - members)).exp();
    let (none, one, two) = (scaled(none, 0.0), scaled(one, 1.0), scaled(two, 2.0));
    let weights: Vec<f64> = single.iter().map(|log| (log - highest).exp()).collect();
    // Sums over all but one, without taking anything away: from the front and from the back.
    let mut before = vec![(0.0, 0.0); weights.len() + 1];
    let mut after = before.clone();
    for (i, w) in weights.iter().enumerate() {
        let (e1, e2) = before[i];
        before[i + 1] = (e1 + w, e2 + e1 * w);
    }
    let mut triples = 0.0;
    for (i, w) in weights.iter().enumerate().rev() {
        let (e1, e2) = after[i + 1];
        after[i] = (e1 + w, e2 + e1 * w);
        triples += e2 * w;
    }
    let (e1, e2) = after[0];
    let total = none + one * e1 + two * e2 + three * triples;
    let marginal = weights.iter().enumerate().map(|(i, w)| {
        let ((b1, b2), (a1, a2)) = (before[i], after[i + 1]);
        w * (one + two * (b1 + a1) + three * (b2 + a2 + b1 * a1)) / total
    });
    marginal.collect()
}

impl Distribution {
    /// The distribution. `main` says how much each cause counts as the main one of a set, `group` (below `groups`)
    /// which group it belongs to; `top` sets are listed.
    pub fn new(
        weights: &Weights,
        size_weights: &[f64; 4],
        (main, group): (&[f64], &[usize]),
        groups: usize,
        top: usize,
    ) -> Self {
        let sizes = Sizes(size_weights.map(f64::ln));
        let higher = |a: f64, b: f64| if b > a { b } else { a };
        let rows: Vec<f64> = weights.rows().map(|row| sizes.triples(&row).fold(sizes.pair(&row), higher)).collect();
        let singles = weights.single.iter().map(|log| sizes.0[1] + log);
        let highest = rows.iter().copied().chain(singles.clone()).fold(sizes.0[0], higher);
        let count: usize = 1 + main.len() + weights.rows().map(|row| 1 + row.b).sum::<usize>();
        let floor = highest + (NEGLIGIBLE / count as f64).ln();

        let zeros = vec![0.0; main.len()];
        let mut found = Self {
            marginal: zeros.clone(),
            share: zeros,
            group: vec![0.0; groups],
            none: (sizes.0[0] - highest).exp(),
            top: Vec::new(),
            total: 0.0,
            rows,
            sizes,
        };
        let mut best = Best { top, sets: Vec::new() };
        best.offer(found.none, || Set::EMPTY);
        let mut total = found.none;
        for (i, log) in singles.enumerate() {
            let w = (log - highest).exp();
            total += w;
            found.marginal[i] += w;
            found.share[i] += w;
            found.group[group[i]] += w;
            best.offer(w, || Set::of([i]));
        }
        for (row, row_highest) in weights.rows().zip(&found.rows) {
            if *row_highest < floor {
                continue;
            }
            let (b, c) = (row.b, row.c);
            let mains = main[b] + main[c];
            // Of all sets with b and c together: their weight, and their weight by what counts as main in them.
            let mut with_both = (sizes.pair(&row) - highest).exp();
            let mut parts = with_both / mains;
            best.offer(with_both, || Set::of([b, c]));
            for (a, log) in sizes.triples(&row).enumerate() {
                if log < floor {
                    continue;
                }
                let w = (log - highest).exp();
                let part = w / (mains + main[a]);
                with_both += w;
                parts += part;
                found.marginal[a] += w;
                found.share[a] += part * main[a];
                if group[a] != group[b] && group[a] != group[c] {
                    found.group[group[a]] += w;
                }
                best.offer(w, || Set::of([a, b, c]));
            }
            total += with_both;
            for i in [b, c] {
                found.marginal[i] += with_both;
                found.share[i] += parts * main[i];
            }
            found.group[group[b]] += with_both;
            if group[c] != group[b] {
                found.group[group[c]] += with_both;
            }
        }
        found.scale(total);
        found.total = highest + total.ln();
        found.top = best.sets.into_iter().map(|(set, w)| (set, w / total)).collect();
        found
    }

    fn scale(&mut self, total: f64) {
        self.none /= total;
        for list in [&mut self.marginal, &mut self.share, &mut self.group] {
            list.iter_mut().for_each(|w| *w /= total);
        }
    }

    /// The most probable sets with their probabilities, as many as it takes until what is left weighs no more than `rest`;
    /// in no order that means anything.
    pub fn weightiest(&self, weights: &Weights, rest: f64) -> Vec<(Set, f64)> {
        let count: usize = 1 + self.marginal.len() + weights.rows().map(|row| 1 + row.b).sum::<usize>();
        // What lies below this floor weighs less than half of `rest`, all of it together.
        let floor = (0.5 * rest / count as f64).ln() + self.total;
        let mut sets = Vec::new();
        let mut keep = |log: f64, set: Set| sets.push((set, (log - self.total).exp()));
        let enough = |log: &f64| *log >= floor;
        if enough(&self.sizes.0[0]) {
            keep(self.sizes.0[0], Set::EMPTY);
        }
        let singles = weights.single.iter().map(|log| self.sizes.0[1] + log);
        singles.enumerate().filter(|(_, log)| enough(log)).for_each(|(i, log)| keep(log, Set::of([i])));
        for (row, _) in weights.rows().zip(&self.rows).filter(|(_, highest)| enough(highest)) {
            let (b, c, pair) = (row.b, row.c, self.sizes.pair(&row));
            if enough(&pair) {
                keep(pair, Set::of([b, c]));
            }
            let triples = self.sizes.triples(&row).enumerate();
            triples.filter(|(_, log)| enough(log)).for_each(|(a, log)| keep(log, Set::of([a, b, c])));
        }
        let mut every: Vec<f64> = sets.iter().map(|(_, p)| *p).collect();
        every.sort_unstable_by(|a, b| b.total_cmp(a));
        let mut kept = 0.0;
        let least = every.iter().find(|p| {
            kept += **p;
            kept >= 1.0 - rest
        });
        if let Some(least) = least {
            sets.retain(|(_, p)| p >= least);
        }
        sets
    }
}

/// The weightiest sets so far, best first.
struct Best {
    top: usize,
    sets: Vec<(Set, f64)>,
}

impl Best {
    #[inline]
    fn offer(&mut self, w: f64, set: impl FnOnce() -> Set) {
        if self.sets.len() < self.top || self.sets.last().is_some_and(|last| w > last.1) {
            let at = self.sets.partition_point(|(_, other)| *other >= w);
            self.sets.insert(at, (set(), w));
            self.sets.truncate(self.top);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZES: [f64; 4] = [0.2, 1.0, 0.4, 0.15];

    #[test]
    fn the_short_way_to_single_marginals_is_that_over_all_sets() {
        for single in [vec![-1.0, 0.5, -3.0, 2.0, -0.2, 0.0], vec![-40.0, -2.0, 250.0], vec![0.3], vec![]] {
            let n = single.len();
            let weights = Weights::of_singles(single.clone());
            let whole = Distribution::new(&weights, &SIZES, (&vec![1.0; n], &vec![0; n]), 1, 0);
            for (short, long) in marginals(&single, &SIZES).iter().zip(&whole.marginal) {
                assert!((short - long).abs() < 1e-13, "{short} {long}");
            }
        }
    }

    #[test]
    fn the_weightiest_sets_are_those_that_the_distribution_lists() {
        let weights = Weights::of_singles(vec![1.0, -1.0, 0.4, -6.0, 0.1]);
        let found = Distribution::new(&weights, &SIZES, (&[1.0; 5], &[0, 1, 1, 2, 0]), 3, 100);
        assert_eq!(found.top.len(), 1 + 5 + 10 + 10);
        assert!((found.top.iter().map(|(_, p)| p).sum::<f64>() - 1.0).abs() < 1e-14);
        let mut every = found.weightiest(&weights, 0.0);
        every.sort_by(|a, b| b.1.total_cmp(&a.1));
        assert_eq!(every.len(), found.top.len());
        for ((set, p), (listed, q)) in every.iter().zip(&found.top) {
            assert!(set == listed && (p - q).abs() < 1e-15, "{set:?} {listed:?}");
        }
        let most = found.weightiest(&weights, 0.3);
        let kept: f64 = most.iter().map(|(_, p)| p).sum();
        let least = most.iter().map(|(_, p)| *p).fold(1.0, f64::min);
        assert!(kept >= 0.7 && kept - least < 0.7, "{kept}");
    }
}
