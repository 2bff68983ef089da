//! What a passage holds, as the likeness weighs it: words as they sound, words side by side, pieces of words, what they
//! name, what is named close together, and which patterns hold.

use super::{
    lexicon::Lexicon,
    passage::{Passage, Said},
};

/// Kinds of things that a passage holds.
const WORD: usize = 0;
const BESIDE: usize = 1;
const PIECE: usize = 2;
const NAMED: usize = 3;
const TOGETHER: usize = 4;
const SAID: usize = 5;
/// For each kind, what all of it together weighs, and how many there are at least in a text that says as much: of a few
/// words each would say too much.
const KINDS: [(f32, f32); 6] = [(1.0, 12.0), (1.0, 8.0), (1.0, 30.0), (1.0, 20.0), (0.7, 20.0), (0.4, 3.0)];
/// Letters of a piece of a word, its edges counted.
const PIECE_LETTERS: usize = 4;
/// Tokens within which two things named are together.
const CLOSE: usize = 12;

/// What a token holds.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Holding {
    /// What it is, as a number.
    pub thing: u32,
    kind: usize,
    /// The token.
    pub token: usize,
}

/// Everything that a passage holds.
pub fn held(passage: &Passage, said: &Said) -> Vec<Holding> {
    let mut held = Vec::with_capacity(passage.tokens.len() * 32);
    let mut add = |kind: usize, token: usize, a: &[u8], b: &[u8]| {
        held.push(Holding { thing: thing(kind, a, b), kind, token });
    };
    let mut edged = Vec::new();
    for (i, token) in passage.tokens.iter().enumerate() {
        let word = token.heard.as_bytes();
        add(WORD, i, word, b"");
        if let Some(next) = passage.tokens.get(i + 1).filter(|t| t.sentence == token.sentence) {
            add(BESIDE, i, word, next.heard.as_bytes());
        }
        edged.clear();
        edged.push(b'<');
        edged.extend(word);
        edged.push(b'>');
        for piece in edged.windows(PIECE_LETTERS) {
            add(PIECE, i, piece, b"");
        }
    }
    let named = passage.named(Lexicon::get());
    let file = |name: &'static str| name.split_once('.').map_or(name, |(file, _)| file);
    for (i, (name, hit)) in named.iter().enumerate() {
        add(NAMED, hit.from, name.as_bytes(), b"");
        for (other, after) in named.iter().skip(i + 1).take_while(|(_, after)| after.from <= hit.from + CLOSE) {
            let (one, two) = (file(name), file(other));
            if after.from >= hit.to && (one == two || one == "shared" || two == "shared") {
                add(TOGETHER, hit.from, name.as_bytes(), other.as_bytes());
            }
        }
    }
    for (stop, patterns) in said.iter().enumerate() {
        for (pattern, at) in patterns {
            add(SAID, at.start, &stop.to_le_bytes(), &pattern.to_le_bytes());
        }
    }
    held
}

/// Each known thing once, by its place among those known, with its value: of a kind the squares sum up to a constant, to
/// less where there is little of it.
pub fn values(held: &[Holding], known: impl Fn(u32) -> Option<usize>) -> Vec<(usize, f32)> {
    let mut things: Vec<(u32, usize)> = held.iter().map(|h| (h.thing, h.kind)).collect();
    things.sort_unstable();
    things.dedup();
    let places: Vec<(usize, usize)> = things.iter().filter_map(|(t, kind)| Some((known(*t)?, *kind))).collect();
    let mut counts = [0.0f32; KINDS.len()];
    for (_, kind) in &places {
        if let Some(count) = counts.get_mut(*kind) {
            *count += 1.0;
        }
    }
    let mut worth = [0.0f32; KINDS.len()];
    for ((worth, count), (weight, least)) in worth.iter_mut().zip(counts).zip(KINDS) {
        *worth = weight / count.max(least).sqrt();
    }
    places.iter().map(|(place, kind)| (*place, worth.get(*kind).copied().unwrap_or_default())).collect()
}

/// FNV-1a over a kind and two parts.
fn thing(kind: usize, a: &[u8], b: &[u8]) -> u32 {
    let parts = [kind.to_le_bytes().as_slice(), a, b" ", b].concat();
    parts.iter().fold(0x811c_9dc5u32, |h, b| (h ^ u32::from(*b)).wrapping_mul(0x0100_0193))
}
