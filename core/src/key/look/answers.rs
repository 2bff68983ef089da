//! The answers that a look can give: how probable each is, and how it would leave the causes.
//!
//! What an answer does to a set of causes depends on its members that the character is tied to. It is parted into what each
//! of them does alone, what each two do beyond that, and all three: so it takes sums over all sets for single causes, and a
//! walk over those sets only that hold two of the tied causes.

use super::{
    sayings::Sayings,
    weighed::{One, Weighed},
};
use crate::key::{
    Pack, Settings,
    sets::{Set, pair_at},
    solve::{Shares, Solved},
};

/// One answer.
pub(super) struct Answer {
    /// Index of the state in the character.
    pub state: usize,
    /// Chance of the answer.
    pub chance: f64,
    /// How the causes would share then.
    pub shares: Shares,
}

/// Every answer of a look in the mind; nothing if the character is tied to none of the host's causes, or cannot be answered
/// in two ways.
pub(super) fn answers(
    pack: &Pack,
    settings: &Settings,
    solved: &Solved<'_>,
    weighed: &Weighed,
    character: usize,
) -> Option<Vec<Answer>> {
    let states: Vec<usize> = possible(pack, character);
    let mut says = Sayings::new(pack, settings, solved, character, &states);
    let tied = says.tied();
    if states.len() < 2 || tied.is_empty() {
        return None;
    }
    let mut sums = Sums::new(solved, weighed, says.answers(Set::EMPTY, settings));
    let mut worth = |set: Set| says.answers(set, settings);
    let alone: Vec<Effects> = tied.iter().map(|a| sums.beyond_none(worth(Set::of([*a])))).collect();
    for (a, effects) in tied.iter().zip(&alone) {
        sums.add_single(*a, effects);
    }
    // Of each pair of tied causes what it does beyond both alone; nothing where no set holds both.
    let mut both: Vec<Option<Effects>> = vec![None; pair_at(0, tied.len())];
    for (j, b) in tied.iter().enumerate() {
        for (i, a) in tied[..j].iter().enumerate() {
            if weighed.with_both(*a, *b).next().is_none() {
                continue;
            }
            let own = sums.beyond_none(worth(Set::of([*a, *b]))).less([&alone[i], &alone[j]]);
            weighed.with_both(*a, *b).for_each(|one| sums.add_set(one, &own));
            both[pair_at(i, j)] = Some(own);
        }
    }
    let number = |c: usize| tied.binary_search(&c).ok();
    for (j, b) in tied.iter().enumerate() {
        for (i, a) in tied[..j].iter().enumerate() {
            for one in weighed.with_both(*a, *b) {
                let third = one.set.members().nth(2).filter(|c| c > b).and_then(number);
                let Some(k) = third else { continue };
                let pairs = [&both[pair_at(i, j)], &both[pair_at(i, k)], &both[pair_at(j, k)]];
                let own = sums.beyond_none(worth(one.set)).less([&alone[i], &alone[j], &alone[k]]);
                let own = pairs.into_iter().flatten().fold(own, |own, pair| own.less([pair]));
                sums.add_set(one, &own);
            }
        }
    }
    Some(sums.answers(pack, &states))
}

fn possible(pack: &Pack, character: usize) -> Vec<usize> {
    let states = &pack.characters[character].states;
    (0..states.len()).filter(|s| !states[*s].not_known).collect()
}

/// For each answer a change of its chance, and of the factor on the weight of sets.
#[derive(Clone)]
struct Effects(Vec<(f64, f64)>);

impl Effects {
    fn less<const N: usize>(mut self, parts: [&Self; N]) -> Self {
        for part in parts {
            for ((chance, factor), (c, f)) in self.0.iter_mut().zip(&part.0) {
                *chance -= c;
                *factor -= f;
            }
        }
        self
    }
}

/// Sums over all sets, by answer.
struct Sums<'a> {
    solved: &'a Solved<'a>,
    weighed: &'a Weighed,
    /// What the answers do to no cause at all.
    none: Effects,
    /// Chance of the answer, and weight that it leaves.
    left: Vec<(f64, f64)>,
    /// By answer, share of each candidate that it leaves.
    shares: Vec<Vec<f64>>,
}

impl<'a> Sums<'a> {
    /// As if every set answered as no cause does.
    fn new(solved: &'a Solved<'a>, weighed: &'a Weighed, none: Vec<(f64, f64)>) -> Self {
        let all = &weighed.all;
        let left = none.iter().map(|(chance, factor)| (chance * all.p, factor * all.p)).collect();
        let shares = none.iter().map(|(_, factor)| all.shares.iter().map(|share| share * factor).collect());
        Self { shares: shares.collect(), none: Effects(none), left, solved, weighed }
    }

    fn beyond_none(&self, worth: Vec<(f64, f64)>) -> Effects {
        Effects(worth).less([&self.none])
    }

    /// Adds the effects to all sets that hold the candidate.
    fn add_single(&mut self, candidate: usize, effects: &Effects) {
        let holding = &self.weighed.holding[candidate];
        self.add_weight(holding.p, effects);
        for (shares, (_, factor)) in self.shares.iter_mut().zip(&effects.0) {
            shares.iter_mut().zip(&holding.shares).for_each(|(sum, share)| *sum += share * factor);
        }
    }

    /// Adds the effects to one set.
    fn add_set(&mut self, one: &One, effects: &Effects) {
        self.add_weight(one.p, effects);
        for i in one.set.members() {
            let share = one.part * self.solved.main[i];
            self.shares.iter_mut().zip(&effects.0).for_each(|(shares, (_, factor))| shares[i] += share * factor);
        }
    }

    fn add_weight(&mut self, p: f64, effects: &Effects) {
        for ((chance, left), (c, f)) in self.left.iter_mut().zip(&effects.0) {
            *chance += p * c;
            *left += p * f;
        }
    }

    fn answers(self, pack: &Pack, states: &[usize]) -> Vec<Answer> {
        let all = self.weighed.all.p;
        let answers = states.iter().zip(self.left).zip(self.shares);
        let answers = answers.map(|((state, (chance, left)), shares)| {
            let causes = shares.into_iter().map(|share| share.max(0.0) / left).collect();
            Answer { state: *state, chance: chance.max(0.0) / all, shares: Shares::new(pack, self.solved, causes) }
        });
        answers.collect()
    }
}
