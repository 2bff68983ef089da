//! Six words that both sides see when they hold the same keys, in English and in Spanish.
//!
//! A word is one of 256: six of them are 48 bits. They are taken from a hash of the office's root key and the phone's two keys
//! that is hashed again 16,384 times, so that somebody in the middle who looks for keys with the same words needs about 2^62
//! hashes, and needs them while two people stand at one table. Words on one line of `words.txt` mean the same.

use std::fmt;

use unicode_normalization::{UnicodeNormalization, char::is_combining_mark};

use crate::{
    error::Result,
    notebook::{Request, recipient_bytes},
};

/// Words that are compared.
pub const WORDS: usize = 6;
/// How often the hash is hashed again.
const ROUNDS: u32 = 1 << 14;
/// 256 lines: an English word, a Spanish one.
const LIST: &str = include_str!("words.txt");

/// Six places in the list of words.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct CheckWords([u8; WORDS]);

impl CheckWords {
    /// The words of an office's root key and a phone's two keys.
    ///
    /// # Errors
    /// `SCHEMA` when the phone's recipient is none.
    pub fn of(root: &[u8; 32], request: &Request) -> Result<Self> {
        let mut hash = blake3::Hasher::new_derive_key("dooryard enrol words v1")
            .update(root)
            .update(&request.key)
            .update(&recipient_bytes(&request.seal)?)
            .finalize();
        for _ in 0..ROUNDS {
            hash = blake3::hash(hash.as_bytes());
        }
        let mut places = [0; WORDS];
        places.copy_from_slice(&hash.as_bytes()[..WORDS]);
        Ok(Self(places))
    }

    /// The words in English.
    pub fn english(&self) -> String {
        self.words(|(english, _)| english)
    }

    /// The same words in Spanish.
    pub fn spanish(&self) -> String {
        self.words(|(_, spanish)| spanish)
    }

    fn words(&self, side: impl Fn((&'static str, &'static str)) -> &'static str) -> String {
        let lines: Vec<_> = list().collect();
        let words: Vec<&str> =
            self.0.iter().filter_map(|place| lines.get(usize::from(*place)).copied().map(&side)).collect();
        words.join(" ")
    }

    /// Reads six words as somebody typed them, in either language, with or without accents. `None` when they are not six
    /// words of the list.
    pub fn read(typed: &str) -> Option<Self> {
        let typed: Vec<String> = typed
            .split(|c: char| !c.is_alphabetic() && !is_combining_mark(c))
            .filter(|w| !w.is_empty())
            .map(plain)
            .collect();
        let place = |word: &String| list().position(|(english, spanish)| *word == english || *word == plain(spanish));
        let places: Vec<u8> = typed.iter().map(|word| u8::try_from(place(word)?).ok()).collect::<Option<_>>()?;
        places.try_into().ok().map(Self)
    }
}

impl fmt::Display for CheckWords {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.english())
    }
}

fn list() -> impl Iterator<Item = (&'static str, &'static str)> {
    LIST.lines().filter_map(|line| line.split_once(' '))
}

/// Without accents, in small letters.
fn plain(word: &str) -> String {
    word.nfd().filter(|c| !is_combining_mark(*c)).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{clock::Env, clock::SetClock, notebook::DeviceKeys};

    /// Letters that have to be changed, added or left out to make one word of the other.
    fn distance(a: &str, b: &str) -> usize {
        let b: Vec<char> = b.chars().collect();
        let mut row: Vec<usize> = (0..=b.len()).collect();
        for (i, x) in a.chars().enumerate() {
            let mut next = vec![i + 1];
            for (j, y) in b.iter().enumerate() {
                next.push((row[j + 1] + 1).min(next[j] + 1).min(row[j] + usize::from(x != *y)));
            }
            row = next;
        }
        row[b.len()]
    }

    #[test]
    fn the_list_has_256_short_words_of_each_language_and_no_two_are_one_letter_apart() {
        let words: Vec<(String, String)> = list().map(|(e, s)| (e.to_owned(), plain(s))).collect();
        assert_eq!(words.len(), 256);
        for (at, (english, spanish)) in words.iter().enumerate() {
            assert!((2..=8).contains(&english.len()) && (3..=10).contains(&spanish.len()), "{english} {spanish}");
            assert!(english.chars().chain(spanish.chars()).all(|c| c.is_ascii_lowercase()), "{english} {spanish}");
            for (e, s) in &words[..at] {
                assert!(distance(e, english) > 1 && distance(s, spanish) > 1, "{e} {english}, {s} {spanish}");
            }
        }
        // A word of both languages has one place, so that typed words mean one thing.
        for (at, (english, _)) in words.iter().enumerate() {
            assert!(words.iter().position(|(_, s)| s == english).is_none_or(|other| other == at), "{english}");
        }
    }

    #[test]
    fn changing_any_key_changes_the_words_and_typed_words_are_read_in_both_languages() {
        let keys = |seed| DeviceKeys::new(&Env::seeded(seed, &SetClock::at(0))).unwrap();
        let read = |keys: &DeviceKeys| Request::read(&keys.request()).unwrap();
        let (a, b) = (read(&keys(1)), read(&keys(2)));
        let words = CheckWords::of(&[7; 32], &a).unwrap();
        assert_eq!(words, CheckWords::of(&[7; 32], &a).unwrap());
        for other in [
            CheckWords::of(&[8; 32], &a).unwrap(),
            CheckWords::of(&[7; 32], &Request { key: b.key, ..a.clone() }).unwrap(),
            CheckWords::of(&[7; 32], &Request { seal: b.seal.clone(), ..a.clone() }).unwrap(),
        ] {
            assert_ne!(other, words);
        }
        assert_eq!(words.english().split(' ').count(), WORDS);
        assert_eq!(CheckWords::read(&words.english().to_uppercase()), Some(words));
        assert_eq!(CheckWords::read(&words.spanish().replace(' ', ", ")), Some(words));
        assert_eq!(CheckWords::read(&plain(&words.spanish())), Some(words));
        assert_eq!(CheckWords::read("five words are not six"), None);
    }

    #[test]
    fn the_words_of_known_keys_stay_what_they_are() {
        let request = Request { key: [1; 32], seal: crate::notebook::recipient_text(&[9; 32]) };
        let words = CheckWords::of(&[2; 32], &request).unwrap();
        assert_eq!(words.english(), "moon beetle tomato spring shirt paint");
    }
}
