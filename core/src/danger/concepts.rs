//! Concepts: the words and phrases that mean the same thing, and where a passage names them.

use std::collections::HashMap;

use super::words::Token;

/// Number of a concept.
pub type Concept = usize;

/// A place where a concept is named: tokens from one to another, the last one not counted.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Hit {
    /// First token.
    pub from: usize,
    /// The token after the last.
    pub to: usize,
}

/// One word of a phrase.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Unit {
    /// This word.
    Word(String),
    /// Any word that begins so.
    Begin(String),
    /// A number between two others, both counted.
    Number(u32, u32),
}

/// A word or phrase that means a concept.
#[derive(Clone, PartialEq, Eq, Debug)]
struct Phrase {
    concept: Concept,
    units: Vec<Unit>,
    only: Option<Only>,
}

/// The one language a word is meant in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Only {
    /// English.
    English,
    /// Spanish.
    Spanish,
}

/// All concepts.
#[derive(Default)]
pub struct Concepts {
    /// Those that a concept is one of.
    parents: Vec<Vec<Concept>>,
    names: Vec<Option<String>>,
    phrases: Vec<Phrase>,
    by_word: HashMap<String, Vec<usize>>,
    by_begin: HashMap<String, Vec<usize>>,
    by_number: Vec<usize>,
    longest_begin: usize,
}

impl Concepts {
    /// A new concept, with its name if it has one.
    pub fn add(&mut self, name: Option<String>) -> Concept {
        self.parents.push(Vec::new());
        self.names.push(name);
        self.parents.len() - 1
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.parents.len()
    }

    /// Its name, with the file it is of.
    pub fn name(&self, concept: Concept) -> Option<&str> {
        self.names.get(concept)?.as_deref()
    }

    /// Says that whatever names one concept names the other too.
    pub fn is_one_of(&mut self, concept: Concept, parent: Concept) {
        if let Some(parents) = self.parents.get_mut(concept) {
            parents.push(parent);
        }
    }

    /// Says that a phrase means a concept.
    pub fn means(&mut self, concept: Concept, units: Vec<Unit>, only: Option<Only>) {
        let number = self.phrases.len();
        match units.first() {
            Some(Unit::Word(word)) => self.by_word.entry(word.clone()).or_default().push(number),
            Some(Unit::Begin(begin)) => {
                self.longest_begin = self.longest_begin.max(begin.len());
                self.by_begin.entry(begin.clone()).or_default().push(number);
            }
            Some(Unit::Number(..)) => self.by_number.push(number),
            None => return,
        }
        self.phrases.push(Phrase { concept, units, only });
    }

    /// Where each concept is named, in the order of the tokens.
    pub fn hits(&self, tokens: &[Token]) -> Vec<Vec<Hit>> {
        let mut hits = vec![Vec::new(); self.count()];
        for (from, token) in tokens.iter().enumerate() {
            let word = token.word.as_str();
            let begins = (1..=word.len().min(self.longest_begin)).filter_map(|n| self.by_begin.get(word.get(..n)?));
            let numbers = word.starts_with(|c: char| c.is_ascii_digit()).then_some(&self.by_number);
            for number in self.by_word.get(word).into_iter().chain(begins).chain(numbers).flatten() {
                let Some(phrase) = self.phrases.get(*number) else { continue };
                let to = from + phrase.units.len();
                if phrase.is_at(tokens.get(from..to).unwrap_or_default()) {
                    self.record(phrase.concept, Hit { from, to }, &mut hits);
                }
            }
        }
        hits
    }

    fn record(&self, concept: Concept, hit: Hit, hits: &mut [Vec<Hit>]) {
        if let Some(own) = hits.get_mut(concept)
            && !own.iter().rev().take_while(|h| h.from == hit.from).any(|h| *h == hit)
        {
            own.push(hit);
            for parent in self.parents.get(concept).into_iter().flatten() {
                self.record(*parent, hit, hits);
            }
        }
    }
}

impl Phrase {
    fn is_at(&self, tokens: &[Token]) -> bool {
        tokens.len() == self.units.len()
            && self.units.iter().zip(tokens).all(|(unit, token)| unit.is(&token.word))
            && tokens.first().is_some_and(|t| match self.only {
                None => true,
                Some(Only::English) => t.may_be.english,
                Some(Only::Spanish) => t.may_be.spanish,
            })
    }
}

impl Unit {
    fn is(&self, word: &str) -> bool {
        match self {
            Self::Word(own) => own == word,
            Self::Begin(begin) => word.starts_with(begin.as_str()),
            Self::Number(least, most) => word.parse().is_ok_and(|n: u32| (*least..=*most).contains(&n)),
        }
    }
}
