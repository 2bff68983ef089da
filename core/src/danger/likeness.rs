//! The likeness of a text to messages that raise a stop: a linear model over what a passage holds, trained on messages.
//!
//! The weights are one byte each, in `likeness.bin`: for each stop a scale, a bias and two thresholds as little-endian f32,
//! then for each bucket the weight of each stop, at the end a fingerprint of what it was made from. `tests/train.rs` makes that
//! file from `fixtures/messages`.

use std::{ops::Range, sync::OnceLock};

use super::{
    Found, STOPS,
    lexicon::Lexicon,
    passage::{Passage, Said},
};

/// Buckets into which what a passage holds is hashed.
pub const BUCKETS: usize = 14_336;
/// Bytes of what is particular to a stop.
pub const HEAD: usize = 16;
/// Most tokens that are shown as the words most like other messages.
const SHOWN: usize = 5;
/// Tokens on each side of what is said that are weighed with it.
const AROUND: usize = 15;
/// As many things a short text holds.
const FEW: usize = 100;
/// Tokens within which two things named are a pair.
const PAIR: usize = 8;

const WEIGHTS: &[u8] = include_bytes!("likeness.bin");

/// The model.
pub struct Likeness {
    heads: Vec<Head>,
    weights: &'static [u8],
}

/// What is particular to a stop.
#[derive(Clone, Copy, Debug, Default)]
pub struct Head {
    /// What a weight of 1 is worth.
    pub scale: f32,
    /// What is added to every score.
    pub bias: f32,
    /// The score from which the stop is raised where a pattern says it.
    pub said: f32,
    /// The score from which it is raised where none does.
    pub alike: f32,
}

impl Likeness {
    /// The model, read at first use.
    pub fn get() -> &'static Self {
        static LIKENESS: OnceLock<Likeness> = OnceLock::new();
        LIKENESS.get_or_init(|| Self::from_bytes(WEIGHTS))
    }

    /// Reads the file. What is missing counts as nothing: such a model raises no stop, and a test sees that it is whole.
    pub fn from_bytes(bytes: &'static [u8]) -> Self {
        let (head, weights) = bytes.split_at_checked(STOPS.len() * HEAD).unwrap_or_default();
        let number = |b: &[u8]| b.try_into().map_or(0.0, f32::from_le_bytes);
        let heads = head.chunks_exact(HEAD).map(|h| {
            let mut numbers = h.chunks_exact(4).map(number);
            let mut next = || numbers.next().unwrap_or_default();
            Head { scale: next(), bias: next(), said: next(), alike: next() }
        });
        Self { heads: heads.collect(), weights }
    }

    /// For each stop, the words that raise it: those said, or those most like messages that raise it.
    pub fn judge(&self, passage: &Passage, said: &Said) -> Vec<Option<(Range<usize>, Found)>> {
        let held = held(passage, said);
        let scores = self.scores(held.iter().map(|h| h.bucket));
        // What is said is weighed with the words around it too: in a message about several things it would be lost.
        let near = |at: &Range<usize>, stop: usize| {
            let around = at.start.saturating_sub(AROUND)..at.end + AROUND;
            let scores = self.scores(held.iter().filter(|h| around.contains(&h.token)).map(|h| h.bucket));
            scores.get(stop).copied().unwrap_or_default()
        };
        let judged =
            self.heads.iter().zip(scores).zip(said).enumerate().map(|(stop, ((head, score), said))| match said {
                Some(at) if score >= head.said || near(at, stop) >= head.said => Some((at.clone(), Found::Said)),
                None if score >= head.alike => Some((self.strongest(stop, &held, passage.tokens.len()), Found::Alike)),
                _ => None,
            });
        judged.collect()
    }

    /// The score of each stop.
    pub fn scores(&self, buckets: impl Iterator<Item = usize>) -> Vec<f32> {
        let buckets = distinct(buckets);
        let mut sums = [0i32; STOPS.len()];
        for bucket in &buckets {
            let weights = self.weights.get(bucket * STOPS.len()..).unwrap_or_default();
            for (sum, weight) in sums.iter_mut().zip(weights) {
                *sum += i32::from(weight.cast_signed());
            }
        }
        let share = share(buckets.len());
        self.heads.iter().zip(sums).map(|(head, sum)| head.bias + head.scale * share * sum as f32).collect()
    }

    /// The few words with most weight for a stop.
    fn strongest(&self, stop: usize, held: &[Holding], tokens: usize) -> Range<usize> {
        let mut by_token = vec![0i32; tokens];
        for holding in held {
            let weight =
                self.weights.get(holding.bucket * STOPS.len() + stop).map_or(0, |w| i32::from(w.cast_signed()));
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

/// What a token holds.
pub struct Holding {
    token: usize,
    /// Its bucket.
    pub bucket: usize,
}

/// Everything that a passage holds: its words, pairs of words, their beginnings, what they name, and what is said.
pub fn held(passage: &Passage, said: &Said) -> Vec<Holding> {
    let mut held = Vec::with_capacity(passage.tokens.len() * 8);
    let mut add = |token: usize, parts: &[&[u8]]| held.push(Holding { token, bucket: bucket(parts) });
    for (i, token) in passage.tokens.iter().enumerate() {
        let word = token.word.as_bytes();
        add(i, &[b"w", word]);
        if let Some(next) = passage.tokens.get(i + 1).filter(|t| t.sentence == token.sentence) {
            add(i, &[b"p", word, b" ", next.word.as_bytes()]);
        }
        if word.len() >= 5 {
            add(i, &[b"b", word.get(..4).unwrap_or_default()]);
        }
    }
    let named = passage.named(Lexicon::get());
    for (name, hit) in &named {
        // Twice, as two things: what a word means says more than the word.
        add(hit.from, &[b"m", name.as_bytes()]);
        add(hit.from, &[b"n", name.as_bytes()]);
    }
    let file = |name: &str| name.find('.');
    for (i, (name, hit)) in named.iter().enumerate() {
        for (other, after) in named.iter().skip(i + 1).take_while(|(_, after)| after.from <= hit.from + PAIR) {
            if after.from > hit.from && name.get(..file(name).unwrap_or(0)) == other.get(..file(other).unwrap_or(0)) {
                add(hit.from, &[b"q", name.as_bytes(), b" ", other.as_bytes()]);
            }
        }
    }
    for (stop, at) in said.iter().enumerate() {
        if let Some(at) = at {
            (0..4u8).for_each(|n| add(at.start, &[b"s", &stop.to_le_bytes(), &[n]]));
        }
    }
    held
}

/// Buckets, each once.
pub fn distinct(buckets: impl Iterator<Item = usize>) -> Vec<usize> {
    let mut buckets: Vec<usize> = buckets.collect();
    buckets.sort_unstable();
    buckets.dedup();
    buckets
}

/// The share of one bucket among so many: their squares sum up to one, and to less in a text of a few words, of which
/// each would say too much.
pub fn share(count: usize) -> f32 {
    1.0 / (count.max(FEW) as f32).sqrt()
}

/// FNV-1a over some parts, folded into a bucket.
fn bucket(parts: &[&[u8]]) -> usize {
    let hash =
        parts.iter().copied().flatten().fold(0x811c_9dc5u32, |h, b| (h ^ u32::from(*b)).wrapping_mul(0x0100_0193));
    ((hash ^ (hash >> 15)) as usize) % BUCKETS
}
