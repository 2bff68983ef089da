//! The hash chain of one log: unbroken runs, missing ranges, ancestors.

use std::collections::{HashMap, HashSet};

use crate::{
    fault::{self, Fault},
    ids::Hash32,
};

/// One change's place in the chain.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Link {
    /// Place in the log.
    pub seq: u64,
    /// Its hash.
    pub hash: Hash32,
    /// Hash of the one before it.
    pub prev: Hash32,
}

/// An unbroken run of a log.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Run {
    /// First place.
    pub from: u64,
    /// Last place.
    pub to: u64,
    /// Hash of the last change.
    pub tip: Hash32,
}

/// The unbroken runs, one for each change that no other follows: two runs over the same places are a fork.
pub fn runs(links: &[Link]) -> Vec<Run> {
    let followed: HashSet<Hash32> = links.iter().map(|l| l.prev).collect();
    runs_to(links, |end| !followed.contains(&end.hash))
}

/// The unbroken runs that end at the picked changes, each along the change's own branch.
pub fn runs_to(links: &[Link], is_end: impl Fn(&Link) -> bool) -> Vec<Run> {
    let by_hash: HashMap<Hash32, &Link> = links.iter().map(|l| (l.hash, l)).collect();
    let mut found: Vec<Run> = links
        .iter()
        .filter(|l| is_end(l))
        .map(|end| {
            let mut first = end;
            while let Some(before) = by_hash.get(&first.prev).filter(|b| b.seq + 1 == first.seq) {
                first = before;
            }
            Run { from: first.seq, to: end.seq, tip: end.hash }
        })
        .collect();
    found.sort_unstable();
    found
}

/// The ranges (from, to) of places up to `end` at which no change stands.
pub fn missing(links: &[Link], end: u64) -> Vec<(u64, u64)> {
    let mut held: Vec<u64> = links.iter().map(|l| l.seq).collect();
    held.sort_unstable();
    held.push(end + 1);
    let (mut next, mut gaps) = (1, Vec::new());
    for seq in held {
        if seq > next {
            gaps.push((next, (seq - 1).min(end)));
        }
        next = next.max(seq + 1);
    }
    gaps.retain(|(from, to)| from <= to && !(fault::is(Fault::GapsBelowUntold) && links.iter().any(|l| l.seq > *to)));
    gaps
}

/// The changes from which an unbroken chain leads to one of `tips`, with the tips themselves.
pub(super) fn ancestors(links: &[Link], tips: &[Hash32]) -> HashSet<Hash32> {
    let by_hash: HashMap<Hash32, &Link> = links.iter().map(|l| (l.hash, l)).collect();
    let mut kept = HashSet::new();
    if fault::is(Fault::RevokedByNumber)
        && let Some(to) = tips.iter().filter_map(|t| by_hash.get(t)).map(|l| l.seq).max()
    {
        return links.iter().filter(|l| l.seq <= to).map(|l| l.hash).collect();
    }
    for tip in tips {
        let mut at = by_hash.get(tip);
        while let Some(link) = at {
            if !kept.insert(link.hash) {
                break;
            }
            at = by_hash.get(&link.prev);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    fn link(seq: u64, hash: u8, prev: u8) -> Link {
        Link { seq, hash: Hash32([hash; 32]), prev: Hash32([prev; 32]) }
    }

    #[test]
    fn runs_end_at_gaps_and_forks() {
        let links = [link(1, 1, 0), link(2, 2, 1), link(4, 4, 3), link(5, 5, 4), link(5, 6, 4)];
        let tips: Vec<_> = runs(&links).iter().map(|r| (r.from, r.to, r.tip.0[0])).collect();
        assert_eq!(tips, [(1, 2, 2), (4, 5, 5), (4, 5, 6)]);
        // On the way of one branch, though another one reaches further back.
        let links = [link(1, 1, 0), link(2, 2, 1), link(3, 3, 2), link(2, 7, 9)];
        let to = |hash: u8| runs_to(&links, |end| end.hash == Hash32([hash; 32]));
        assert_eq!(to(2), [Run { from: 1, to: 2, tip: Hash32([2; 32]) }]);
        assert_eq!(to(7), [Run { from: 2, to: 2, tip: Hash32([7; 32]) }]);
        assert_eq!(to(8), []);
        let links = [link(1, 1, 0), link(2, 2, 1), link(4, 4, 3), link(5, 5, 4), link(5, 6, 4)];
        assert_eq!(missing(&links, 7), [(3, 3), (6, 7)]);
        assert_eq!(missing(&[], 2), [(1, 2)]);
        assert_eq!(missing(&links[..2], 2), []);
    }

    #[test]
    fn ancestors_stop_at_a_gap() {
        let links = [link(1, 1, 0), link(3, 3, 2), link(4, 4, 3), link(4, 5, 3)];
        let mut kept: Vec<_> = ancestors(&links, &[Hash32([4; 32])]).into_iter().map(|h| h.0[0]).collect();
        kept.sort_unstable();
        assert_eq!(kept, [3, 4]);
    }
}
