//! Which attribute hangs on which: the tree that explains the table best.

use super::{Row, Schema};

/// The parent of every attribute, or none: a maximum spanning forest over [`gain`] (Chow and Liu 1968), grown from the
/// first attribute. Only edges that gain more than they cost are in it.
pub(super) fn grow(rows: &[Row], schema: &Schema, price: f64) -> Vec<Option<usize>> {
    let count = schema.attributes.len();
    let mut parents = vec![None; count];
    // Of every attribute that is not in the forest yet: its best edge into it.
    let mut best: Vec<Option<(f64, usize)>> = vec![None; count];
    let mut left: Vec<usize> = (0..count).collect();
    while !left.is_empty() {
        let mut next = 0;
        for at in 1..left.len() {
            let weight = |at: usize| best[left[at]].map_or(0.0, |(gain, _)| gain);
            if weight(at) > weight(next) {
                next = at;
            }
        }
        let joined = left.remove(next);
        parents[joined] = best[joined].map(|(_, parent)| parent);
        for other in &left {
            let gain = gain(rows, schema, (joined, *other), price);
            if gain > best[*other].map_or(0.0, |(gain, _)| gain) {
                best[*other] = Some((gain, joined));
            }
        }
    }
    parents
}

/// What an edge between two attributes gains: the rows that have both, times their mutual information given the class
/// (nats), less `price` for each parameter. Parameters: over the classes, (values seen of the one - 1) times (values seen
/// of the other - 1). Pairs with gaps gain less than whole ones, as they should: they know less.
pub(super) fn gain(rows: &[Row], schema: &Schema, pair: (usize, usize), price: f64) -> f64 {
    let size = |a: usize| schema.attributes[a].values.len();
    let (wide, high) = (size(pair.0), size(pair.1));
    let block = wide * high;
    let mut counts = vec![0_u32; schema.classes.len() * block];
    for row in rows {
        if let (Some(class), Some(x), Some(y)) = (row.class, row.answers[pair.0], row.answers[pair.1]) {
            counts[class * block + x * high + y] += 1;
        }
    }
    let (mut information, mut parameters) = (0.0, 0.0);
    for counts in counts.chunks_exact(block) {
        let (mut across, mut down) = (vec![0_u32; wide], vec![0_u32; high]);
        for (x, line) in counts.chunks_exact(high).enumerate() {
            for (y, n) in line.iter().enumerate() {
                across[x] += n;
                down[y] += n;
            }
        }
        let total = f64::from(across.iter().sum::<u32>());
        for (x, line) in counts.chunks_exact(high).enumerate() {
            for (y, n) in line.iter().enumerate().filter(|(_, n)| **n > 0) {
                let n = f64::from(*n);
                information += n * (n * total / (f64::from(across[x]) * f64::from(down[y]))).ln();
            }
        }
        let free = |seen: &[u32]| (seen.iter().filter(|n| **n > 0).count() as f64 - 1.0).max(0.0);
        parameters += free(&across) * free(&down);
    }
    information - price * parameters
}
