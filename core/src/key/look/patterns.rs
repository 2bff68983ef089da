//! Which of the causes that a character is tied to a set holds: sets with the same ones answer alike.

use crate::key::sets::{Set, pair_at, triple_at};

/// A table of the patterns met so far.
pub(super) struct Patterns {
    /// Number of each tied candidate among the tied ones.
    number: Vec<Option<usize>>,
    tied: usize,
    /// Where each pattern was put, by its place among all patterns.
    places: Vec<u32>,
}

const NOWHERE: u32 = u32::MAX;

impl Patterns {
    /// For candidates of which some are tied to the character.
    pub fn new(tied: &[bool]) -> Self {
        let mut count = 0;
        let number = tied.iter().map(|tied| {
            count += usize::from(*tied);
            tied.then(|| count - 1)
        });
        let number = number.collect();
        let all = 1 + count + pair_at(0, count) + triple_at(0, 1, count.max(1));
        Self { number, tied: count, places: vec![NOWHERE; all] }
    }

    /// The tied members of a set, and where their pattern was put; `next` if it is new.
    pub fn place(&mut self, set: Set, next: usize) -> (Set, usize) {
        let (mut held, mut numbers) = (Set::EMPTY, [0; 3]);
        for i in set.members() {
            if let Some(number) = self.number[*i] {
                numbers[held.members().len()] = number;
                held.push(*i);
            }
        }
        let [a, b, c] = numbers;
        let at = match held.members().len() {
            0 => 0,
            1 => 1 + a,
            2 => 1 + self.tied + pair_at(a, b),
            _ => 1 + self.tied + pair_at(0, self.tied) + triple_at(a, b, c),
        };
        if self.places[at] == NOWHERE {
            self.places[at] = u32::try_from(next).unwrap_or(NOWHERE);
        }
        (held, self.places[at] as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_pattern_has_a_place_of_its_own() {
        let mut patterns = Patterns::new(&[true, false, true, true, true]);
        let sets: [&[usize]; 15] = [
            &[],
            &[0],
            &[2],
            &[3],
            &[4],
            &[0, 2],
            &[0, 3],
            &[2, 3],
            &[0, 4],
            &[2, 4],
            &[3, 4],
            &[0, 2, 3],
            &[0, 2, 4],
            &[0, 3, 4],
            &[2, 3, 4],
        ];
        let set_of = |members: &[usize]| {
            let mut set = Set::EMPTY;
            members.iter().for_each(|m| set.push(*m));
            set
        };
        for (next, set) in sets.iter().enumerate() {
            let (held, place) = patterns.place(set_of(set), next);
            assert_eq!((held.members(), place), (*set, next));
        }
        // The untied candidate 1 changes nothing.
        assert_eq!(patterns.place(set_of(&[0, 1, 4]), 99).1, 8);
        assert_eq!(patterns.place(set_of(&[1]), 99).1, 0);
        assert_eq!(patterns.places.len(), sets.len());
    }
}
