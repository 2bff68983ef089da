//! Words that are spelled nearly as the lexicon spells them: by sound, as Spanish is often written, or with one slip.

use std::collections::{HashMap, HashSet};

/// Shortest word that is compared by sound, and shortest that may hold a slip, in letters.
const BY_SOUND: usize = 5;
const WITH_SLIP: usize = 6;

/// What the lexicon knows, by sound and by slips.
#[derive(Default)]
pub struct Spelling {
    exact: HashSet<String>,
    prefixes: HashSet<String>,
    by_sound: HashMap<String, String>,
    by_slip: HashMap<String, String>,
}

impl Spelling {
    /// Takes a whole word of the lexicon in.
    pub fn add_word(&mut self, word: &str) {
        if word.len() >= BY_SOUND {
            self.by_sound.entry(sound(word)).or_insert_with(|| word.to_owned());
        }
        if word.len() >= WITH_SLIP && word.is_ascii() {
            for short in with_one_less(word) {
                self.by_slip.entry(short).or_insert_with(|| word.to_owned());
            }
        }
        self.exact.insert(word.to_owned());
    }

    /// Takes the beginning of words in.
    pub fn add_prefix(&mut self, prefix: &str) {
        self.prefixes.insert(prefix.to_owned());
    }

    /// Takes in a word that is right as it stands and no slip of another one.
    pub fn add_right(&mut self, word: &str) {
        self.exact.insert(word.to_owned());
    }

    /// The word of the lexicon that is meant, if the word is none of it and one is near.
    pub fn known_as(&self, word: &str) -> Option<String> {
        if word.len() < BY_SOUND || !word.is_ascii() || word.starts_with(|c: char| c.is_ascii_digit()) {
            return None;
        }
        if self.exact.contains(word) || self.begins_known(word) {
            return None;
        }
        if let Some(known) = self.by_sound.get(&sound(word)) {
            return Some(known.clone());
        }
        let single = without_doubles(word);
        if single != word && (self.exact.contains(&single) || self.begins_known(&single)) {
            return Some(single);
        }
        if word.len() < WITH_SLIP {
            return None;
        }
        let near = self.by_slip.get(word).or_else(|| with_one_less(word).find_map(|short| self.by_slip.get(&short)))?;
        one_slip_apart(word, near).then(|| near.clone())
    }

    fn begins_known(&self, word: &str) -> bool {
        (3..=word.len()).any(|n| word.get(..n).is_some_and(|p| self.prefixes.contains(p)))
    }
}

/// A word without one of its letters, the first one always kept: people get that right.
fn with_one_less(word: &str) -> impl Iterator<Item = String> {
    (1..word.len()).map(|gone| {
        let mut short = String::with_capacity(word.len());
        short.extend(word.char_indices().filter(|(i, _)| *i != gone).map(|(_, c)| c));
        short
    })
}

/// One letter too many, too few, another one, or two swapped.
fn one_slip_apart(a: &str, b: &str) -> bool {
    let (a, b) = (a.as_bytes(), b.as_bytes());
    let same_start = a.iter().zip(b).take_while(|(x, y)| x == y).count();
    let (a, b) = (a.get(same_start..).unwrap_or_default(), b.get(same_start..).unwrap_or_default());
    let same_end = a.iter().rev().zip(b.iter().rev()).take_while(|(x, y)| x == y).count();
    let rest = |s: &[u8]| s.get(..s.len() - same_end).unwrap_or_default().to_vec();
    match (rest(a).as_slice(), rest(b).as_slice()) {
        ([], [_]) | ([_], [] | [_]) => true,
        ([a, b], [c, d]) => a == d && b == c,
        _ => false,
    }
}

fn without_doubles(word: &str) -> String {
    let mut single = String::with_capacity(word.len());
    for c in word.chars() {
        if !single.ends_with(c) {
            single.push(c);
        }
    }
    single
}

/// How a word sounds, roughly: Spanish as it is often written, and the double letters that English drops.
pub fn sound(word: &str) -> String {
    let mut heard = String::with_capacity(word.len());
    let mut letters = word.chars().peekable();
    while let Some(c) = letters.next() {
        let next = letters.peek().copied();
        let said = match (c, next) {
            ('h', _) if heard.ends_with('c') => 'h',
            ('h', _) => continue,
            ('p', Some('h')) => 'f',
            ('v', _) => 'b',
            ('z', _) => 's',
            ('c', Some('e' | 'i')) => 's',
            ('c', Some('h')) => 'c',
            ('c' | 'q', _) => 'k',
            ('l', Some('l')) => {
                letters.next();
                'y'
            }
            ('g', Some('e' | 'i')) => 'j',
            ('u', Some('e' | 'i')) if heard.ends_with('k') => continue,
            (c, _) => c,
        };
        if !heard.ends_with(said) {
            heard.push(said);
        }
    }
    heard
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_spelled_by_ear_or_with_one_slip_are_known() {
        let mut spelling = Spelling::default();
        for word in ["benenoso", "mushroom", "abejas", "electric", "champinones", "hongo"] {
            spelling.add_word(word);
        }
        for (written, meant) in [
            ("venenoso", "benenoso"),
            ("mushrom", "mushroom"),
            ("mushroon", "mushroom"),
            ("musrhoom", "mushroom"),
            ("avejas", "abejas"),
            ("eletric", "electric"),
            ("hhongo", "hongo"),
        ] {
            assert_eq!(spelling.known_as(written).as_deref(), Some(meant), "{written}");
        }
        for other in ["tree", "electrician", "bushroom", "mashrooom"] {
            assert_eq!(spelling.known_as(other), None, "{other}");
        }
    }
}
