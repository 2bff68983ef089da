//! Patterns: concepts that together say something.

use std::ops::Range;

use super::{
    concepts::{Concept, Hit},
    passage::Passage,
};

/// Tokens before a pattern in which a "no" takes it back.
const NO_REACHES: usize = 5;

/// A pattern, ready to be looked for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Pattern {
    /// Concepts that have to be there.
    pub items: Vec<Concept>,
    /// Whether in this order.
    pub ordered: bool,
    /// Most tokens from the first to the last.
    pub span: usize,
    /// Concepts that must not be there, within some tokens or anywhere.
    pub not: Vec<(Concept, Option<usize>)>,
    /// Whether a "no" before it takes it back.
    pub no_counts: bool,
}

impl Pattern {
    /// The first place where it stands, if any; hidden tokens do not count.
    pub fn find(&self, passage: &Passage, hidden: &[bool], no: Concept) -> Option<Range<usize>> {
        self.places(passage, hidden).find(|at| self.holds(passage, hidden, at, no))
    }

    /// Every place where its items stand, whatever else there is.
    pub fn places<'a>(&'a self, passage: &'a Passage, hidden: &'a [bool]) -> impl Iterator<Item = Range<usize>> + 'a {
        let shown = self.items.iter().all(|item| !passage.hits(*item).is_empty());
        let anchor = if self.ordered {
            0
        } else {
            (0..self.items.len()).min_by_key(|i| self.items.get(*i).map_or(0, |c| passage.hits(*c).len())).unwrap_or(0)
        };
        let hits = self.items.get(anchor).filter(|_| shown).map_or(&[][..], |c| passage.hits(*c));
        let free = |hit: &&Hit| hit_free(**hit, hidden);
        hits.iter().filter(free).filter_map(move |hit| self.around(passage, hidden, anchor, *hit))
    }

    /// The tokens that the pattern covers where one of its items stands here.
    fn around(&self, passage: &Passage, hidden: &[bool], anchor: usize, at: Hit) -> Option<Range<usize>> {
        let sides: &[Side] = if self.ordered { &[Side::After] } else { &[Side::Both, Side::Before, Side::After] };
        sides.iter().find_map(|side| {
            let mut taken = vec![at];
            for (i, item) in self.items.iter().enumerate() {
                if i != anchor {
                    let from = if self.ordered { *taken.last()? } else { at };
                    taken.push(nearest(passage, hidden, *item, from, *side, &taken)?);
                }
            }
            let from = taken.iter().map(|h| h.from).min()?;
            let to = taken.iter().map(|h| h.to).max()?;
            (passage.distance(from, to.saturating_sub(1)) <= self.span).then_some(from..to)
        })
    }

    fn holds(&self, passage: &Passage, hidden: &[bool], at: &Range<usize>, no: Concept) -> bool {
        let spoiled = self.not.iter().any(|(concept, near)| {
            passage.hits(*concept).iter().filter(|h| hit_free(**h, hidden)).any(|h| {
                near.is_none_or(|near| {
                    let (first, last) = (h.from.min(at.start), h.to.max(at.end).saturating_sub(1));
                    let inside = h.from >= at.start && h.to <= at.end;
                    inside
                        || passage.distance(first, last) <= near + passage.distance(at.start, at.end.saturating_sub(1))
                })
            })
        });
        let denied = self.no_counts
            && passage.hits(no).iter().any(|h| {
                h.from < at.end
                    && passage.same_sentence(h.from, at.start)
                    && passage.distance(h.from, at.start) <= NO_REACHES
            });
        !spoiled && !denied
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Both,
    Before,
    After,
}

fn hit_free(hit: Hit, hidden: &[bool]) -> bool {
    hidden.get(hit.from..hit.to).is_none_or(|h| !h.contains(&true))
}

/// The nearest place of a concept, on one side or on both, that takes none of the tokens taken.
fn nearest(passage: &Passage, hidden: &[bool], item: Concept, at: Hit, side: Side, taken: &[Hit]) -> Option<Hit> {
    let hits = passage.hits(item);
    let usable = |h: &&Hit| hit_free(**h, hidden) && taken.iter().all(|t| h.to <= t.from || h.from >= t.to);
    let (before, after) = hits.split_at(hits.partition_point(|h| h.from < at.from));
    // Few steps are enough: farther ones are out of reach of any pattern.
    let before = before.iter().rev().take(8).find(usable).filter(|_| side != Side::After);
    let after = after.iter().take(8).find(usable).filter(|_| side != Side::Before);
    match (before, after) {
        (Some(b), Some(a)) => {
            let closer = passage.distance(b.to.saturating_sub(1), at.from) <= passage.distance(at.from, a.from);
            Some(if closer { *b } else { *a })
        }
        (one, other) => one.or(other).copied(),
    }
}
