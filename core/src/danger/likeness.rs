//! The likeness of a text to messages that raise a stop: a linear model over what a passage holds, trained on messages.
//!
//! The weights are one byte each, in `likeness.bin`: for each stop a scale, a bias and a threshold as little-endian f32, then
//! the things that are known, in order, as little-endian u32, then for each the weight of each stop, at the end a fingerprint of what it was made from. `tests/train.rs` makes that
//! file from `fixtures/messages`.

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
        let (head, rest) = bytes.split_at_checked(STOPS.len() * HEAD).unwrap_or_default();
        let count = rest.len().saturating_sub(PRINT) / (THING + STOPS.len());
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
        let near =
            |at: &Range<usize>, stop: usize| self.scores(&around(&held, at)).get(stop).copied().unwrap_or_default();
        let judged = self.heads.iter().zip(scores).zip(said).enumerate().map(|(stop, ((head, score), said))| {
            let first = said.first().map(|(_, at)| at);
            match first {
                Some(at) if score >= head.raised || near(at, stop) >= head.raised => Some((at.clone(), Found::Said)),
                None if score >= head.raised => Some((self.strongest(stop, &held, passage.tokens.len()), Found::Alike)),
                _ => None,
            }
        });
        judged.collect()
    }

    fn place(&self, thing: u32) -> Option<usize> {
        self.known.binary_search(&thing).ok()
    }

    /// The score of each stop.
    pub fn scores(&self, held: &[Holding]) -> Vec<f32> {
        let mut sums = [0.0f32; STOPS.len()];
        for (place, value) in values(held, |t| self.place(t)) {
            let weights = self.weights.get(place * STOPS.len()..).unwrap_or_default();
            for (sum, weight) in sums.iter_mut().zip(weights) {
                *sum += value * f32::from(weight.cast_signed());
            }
        }
        self.heads.iter().zip(sums).map(|(head, sum)| head.bias + head.scale * sum).collect()
    }

    /// The few words with most weight for a stop.
    fn strongest(&self, stop: usize, held: &[Holding], tokens: usize) -> Range<usize> {
        let mut by_token = vec![0i32; tokens];
        for holding in held {
            let weight = self.place(holding.thing).and_then(|place| self.weights.get(place * STOPS.len() + stop));
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

/// What is held around some tokens. What is said is weighed with the words around it too: in a message about several things
/// it would be lost.
pub fn around(held: &[Holding], at: &Range<usize>) -> Vec<Holding> {
    let around = at.start.saturating_sub(AROUND)..at.end + AROUND;
    held.iter().filter(|h| around.contains(&h.token)).copied().collect()
}
