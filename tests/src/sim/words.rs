//! Words that stand nowhere else: each value that a history writes holds one, so that it can be looked for byte by byte.

use memchr::memmem;
use rand::Rng;
use rand_chacha::ChaCha8Rng;

/// What every such word ends with. At the end, because a text index writes only the endings of words that begin alike.
const MARK: &[u8] = b"zqx";
/// Letters before the mark by which a word is known.
const KNOWN_BY: usize = 6;

/// A word as it is looked for: its last letters before the mark.
pub type Word = [u8; KNOWN_BY];

/// A new word.
pub fn fresh(random: &mut ChaCha8Rng) -> String {
    // No letter of the mark among them.
    let letters: String = (0..KNOWN_BY + 3).map(|_| char::from(random.random_range(b'a'..=b'p'))).collect();
    letters + "zqx"
}

/// Every such word that stands in these bytes.
pub fn found_in(bytes: &[u8]) -> Vec<Word> {
    memmem::find_iter(bytes, MARK)
        .filter_map(|at| bytes.get(at.checked_sub(KNOWN_BY)?..at)?.try_into().ok())
        .filter(|word: &Word| word.iter().all(|letter| (b'a'..=b'p').contains(letter)))
        .collect()
}
