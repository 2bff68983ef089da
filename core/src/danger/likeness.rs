//! The likeness of a text to messages that raise a stop: a linear model over what a passage holds, trained on messages.
//!
//! Beside a score for each stop there is one for danger of any kind. A part of it is added to every stop: what by itself is
//! too little is enough in a text that speaks of danger, and the same words in a harmless one raise nothing.
//!
//! The weights are one byte each, in `likeness.bin`: for each stop, and for danger of any kind, a scale, a bias and a threshold
//! as little-endian f32, then the things that are known, in order, as little-endian u32, then for each thing the weights, at
//! the end a fingerprint of what it was made from. `tests/train.rs` makes that file from `fixtures/messages`.

use std::{ops::Range, sync::OnceLock};

use super::{
    Found, STOPS,
    held::{Holding, values},
    passage::{Passage, Said},
};

/// Bytes of one known thing.
pub const THING: usize = 4;
/// Bytes of the fingerprint.
pub const PRINT: usize = 32;
/// Bytes of what is particular to a stop.
pub const HEAD: usize = 12;
/// Scores of a text: those of the stops, then danger of any kind.
pub const SCORES: usize = STOPS.len() + 1;
/// The part of danger of any kind in the score of a stop, and its largest amount before that.
const ANY_PART: f32 = 0.3;
const ANY_MOST: f32 = 2.0;
/// Most tokens that are shown as the words most like other messages.
const SHOWN: usize = 5;
/// Tokens on each side of what is said that are weighed with it.
const AROUND: usize = 5;

const WEIGHTS: &[u8] = include_bytes!("likeness.bin");

/// The model.
pub struct Likeness {
    heads: Vec<Head>,
    known: Vec<u32>,
    weights: &'static [u8],
}

/// What is particular to a stop.
#[derive(Clone, Copy, Debug, Default)]
pub struct Head {
    /// What a weight of 1 is worth.
    pub scale: f32,
    /// What is added to every score.
    pub bias: f32,
    /// The score from which the stop is raised.
    pub raised: f32,
}

impl Likeness {
    /// The model, read at first use.
    pub fn get() -> &'static Self {
        static LIKENESS: OnceLock<Likeness> = OnceLock::new();
        LIKENESS.get_or_init(|| Self::from_bytes(WEIGHTS))
    }

    /// Reads the file. What is missing counts as nothing: such a model raises no stop, and a test sees that it is whole.
    pub fn from_bytes(bytes: &'static [u8]) -> Self {
        let (head, rest) = bytes.split_at_checked(SCORES * HEAD).unwrap_or_default();
        let count = rest.len().saturating_sub(PRINT) / (THING + SCORES);
        let (known, weights) = rest.split_at_checked(count * THING).unwrap_or_default();
        let known = known.chunks_exact(THING).map(|k| k.try_into().map_or(0, u32::from_le_bytes)).collect();
        let number = |b: &[u8]| b.try_into().map_or(0.0, f32::from_le_bytes);
        let heads = head.chunks_exact(HEAD).map(|h| {
            let mut numbers = h.chunks_exact(4).map(number);
            let mut next = || numbers.next().unwrap_or_default();
            Head { scale: next(), bias: next(), raised: next() }
        });
        Self { heads: heads.collect(), known, weights }
    }

    /// For each stop, the words that raise it: those said, or those most like messages that raise it.
    pub fn judge(&self, passage: &Passage, said: &Said) -> Vec<Option<(Range<usize>, Found)>> {
        let held = super::held::held(passage, said);
        let scores = self.scores(&held);
        let any = any_part(scores[STOPS.len()]);
        let judged = STOPS.iter().zip(said).enumerate().map(|(stop, (_, said))| {
            let raised = |score: f32| self.heads.get(stop).is_some_and(|head| score + any >= head.raised);
            match said.first().map(|(_, at)| at) {
                Some(at) if raised(scores[stop]) || raised(self.scores(&around(&held, at))[stop]) => {
                    Some((at.clone(), Found::Said))
                }
                None if raised(scores[stop]) => Some((self.strongest(stop, &held, passage.tokens.len()), Found::Alike)),
                _ => None,
            }
        });
        judged.collect()
    }

    fn place(&self, thing: u32) -> Option<usize> {
        self.known.binary_search(&thing).ok()
    }

    /// The score of each stop, and of danger of any kind.
    pub fn scores(&self, held: &[Holding]) -> [f32; SCORES] {
        let mut sums = [0.0f32; SCORES];
        for (place, value) in values(held, |t| self.place(t)) {
            let weights = self.weights.get(place * SCORES..).unwrap_or_default();
            for (sum, weight) in sums.iter_mut().zip(weights) {
                *sum += value * f32::from(weight.cast_signed());
            }
        }
        for (sum, head) in sums.iter_mut().zip(&self.heads) {
            *sum = head.bias + head.scale * *sum;
        }
        sums
    }

    /// The few words with most weight for a stop.
    fn strongest(&self, stop: usize, held: &[Holding], tokens: usize) -> Range<usize> {
        let mut by_token = vec![0i32; tokens];
        for holding in held {
            let weight = self.place(holding.thing).and_then(|place| self.weights.get(place * SCORES + stop));
            let weight = weight.map_or(0, |w| i32::from(w.cast_signed()));
            if let Some(sum) = by_token.get_mut(holding.token) {
                *sum += weight;
            }
        }
        let length = tokens.clamp(1, SHOWN);
        let best =
            by_token.windows(length).enumerate().max_by_key(|(_, w)| w.iter().sum::<i32>()).map_or(0, |(i, _)| i);
        best..(best + length).min(tokens)
    }
}

/// What the score for danger of any kind adds to the score of each stop.
pub fn any_part(score: f32) -> f32 {
    ANY_PART * score.clamp(-ANY_MOST, ANY_MOST)
}

/// What is held around some tokens. What is said is weighed with the words around it too: in a message about several things
/// it would be lost.
pub fn around(held: &[Holding], at: &Range<usize>) -> Vec<Holding> {
    let around = at.start.saturating_sub(AROUND)..at.end + AROUND;
    held.iter().filter(|h| around.contains(&h.token)).copied().collect()
}
