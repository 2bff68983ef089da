//! The lexicon: the files of `lexicon/`, one for each stop and some that all stops share.

use std::{
    collections::{HashMap, HashSet},
    sync::OnceLock,
};

use super::{
    concepts::{Concept, Concepts, Unit},
    grammar::{self, Line, Meaning, Written},
    patterns::Pattern,
    spelling::Spelling,
};

macro_rules! files {
    ($($name:literal),*) => { [$(($name, include_str!(concat!("lexicon/", $name, ".txt")))),*] };
}

/// What all stops share: languages, words used by many, figures of speech.
const SHARED: [(&str, &str); 3] = files!["languages", "shared", "figures"];
/// What one stop needs, by its id, in the order in which stops are shown: what can kill goes first.
const BY_STOP: [(&str, &str); 20] = files![
    "utility_line",
    "tree_failure",
    "wild_mushroom",
    "toxic_plant",
    "insects_bites",
    "heat_storm",
    "site_hazard",
    "poison_ivy",
    "bleach",
    "alcohol",
    "food_contaminated",
    "dig_first",
    "regulated_suspect",
    "no_home_brew",
    "no_off_label",
    "restricted_use",
    "permission",
    "minors",
    "no_blame",
    "not_a_doctor"
];
/// The stops that words can raise, in the order in which they are shown.
pub const STOPS: [&str; BY_STOP.len()] = {
    let mut ids = [""; BY_STOP.len()];
    let mut at = 0;
    while at < ids.len() {
        ids[at] = BY_STOP[at].0;
        at += 1;
    }
    ids
};
/// Words that are spelled right and are no slip of a word of the lexicon.
const RIGHT: &str = include_str!("lexicon/right.txt");

/// All texts of the lexicon, in a fixed order.
#[cfg(test)]
pub fn texts() -> impl Iterator<Item = &'static str> {
    SHARED.iter().chain(&BY_STOP).map(|(_, text)| *text).chain([RIGHT])
}

/// What raises a stop, and what only looks so.
#[derive(Default)]
pub struct Rules {
    /// Any of these speaks for it.
    pub raises: Vec<Pattern>,
    /// Tokens of these do not count.
    pub hides: Vec<Pattern>,
}

/// Everything that is known of words.
pub struct Lexicon {
    /// What words mean.
    pub concepts: Concepts,
    /// How words are spelled.
    pub spelling: Spelling,
    /// Figures of speech: their tokens count for no stop.
    pub figures: Vec<Pattern>,
    /// For each of [`STOPS`].
    pub rules: Vec<Rules>,
    /// The concept of a "no".
    pub no: Concept,
    /// The concept of a "no" that only says that somebody does not know.
    pub unsure: Concept,
    /// Small words of English alone.
    pub english: HashSet<String>,
    /// Small words of Spanish alone.
    pub spanish: HashSet<String>,
    /// Lines that could not be read. They are left out; a test sees to it that there are none.
    #[cfg(test)]
    pub problems: Vec<String>,
}

impl Lexicon {
    /// The lexicon, read at first use.
    pub fn get() -> &'static Self {
        static LEXICON: OnceLock<Lexicon> = OnceLock::new();
        LEXICON.get_or_init(Self::read)
    }

    fn read() -> Self {
        let mut reader = Reader::default();
        let figures =
            SHARED.map(|(name, text)| reader.file(name, text, true)).into_iter().flat_map(|r| r.hides).collect();
        let rules = BY_STOP.iter().map(|(name, text)| reader.file(name, text, false)).collect();
        RIGHT.split_whitespace().for_each(|word| reader.spelling.add_right(word));
        let (no, unsure) = (reader.concept("shared", "no"), reader.concept("shared", "unsure"));
        let (english, spanish) = (reader.plain_words("english"), reader.plain_words("spanish"));
        for word in english.iter().chain(&spanish) {
            reader.spelling.add_right(word);
        }
        Self {
            concepts: reader.concepts,
            spelling: reader.spelling,
            figures,
            rules,
            no,
            unsure,
            english,
            spanish,
            #[cfg(test)]
            problems: reader.problems,
        }
    }
}

/// Reads the files one after the other.
#[derive(Default)]
struct Reader {
    concepts: Concepts,
    spelling: Spelling,
    names: HashMap<(String, String), Concept>,
    shared: HashMap<String, Concept>,
    written: HashMap<String, Vec<Meaning>>,
    problems: Vec<String>,
}

impl Reader {
    /// Reads a file: first its concepts, whose names may be used before they are explained, then its patterns.
    fn file(&mut self, file: &str, text: &str, shared: bool) -> Rules {
        let mut lines = Vec::new();
        for (number, line) in text.lines().enumerate() {
            match grammar::line(line) {
                Ok(line) => lines.extend(line),
                Err(e) => self.problems.push(format!("{file}.txt, line {}: {e}", number + 1)),
            }
        }
        for line in &lines {
            if let Line::Concept(name, _) = line {
                self.define(file, name, shared);
            }
        }
        let mut rules = Rules::default();
        for line in lines {
            match line {
                Line::Concept(name, meanings) => {
                    let concept = self.concept(file, &name);
                    meanings.iter().for_each(|m| self.mean(file, concept, m));
                    self.written.entry(name).or_default().extend(meanings);
                }
                Line::Raises(written) => rules.raises.push(self.pattern(file, &written)),
                Line::Hides(written) => rules.hides.push(self.pattern(file, &written)),
            }
        }
        rules
    }

    fn define(&mut self, file: &str, name: &str, shared: bool) -> Concept {
        let concepts = &mut self.concepts;
        let add = || concepts.add(Some(format!("{file}.{name}")));
        if shared {
            return *self.shared.entry(name.to_owned()).or_insert_with(add);
        }
        *self.names.entry((file.to_owned(), name.to_owned())).or_insert_with(add)
    }

    /// A concept of the file itself, or one that all share.
    fn concept(&mut self, file: &str, name: &str) -> Concept {
        let own = self.names.get(&(file.to_owned(), name.to_owned())).or_else(|| self.shared.get(name));
        if let Some(own) = own {
            return *own;
        }
        self.problems.push(format!("{file}.txt: no concept @{name}"));
        self.concepts.add(None)
    }

    fn mean(&mut self, file: &str, concept: Concept, meaning: &Meaning) {
        match meaning {
            Meaning::Concept(name) => {
                let member = self.concept(file, name);
                self.concepts.is_one_of(member, concept);
            }
            Meaning::Phrase(units, only) => {
                for unit in units {
                    match unit {
                        Unit::Word(word) => self.spelling.add_word(word),
                        Unit::Begin(begin) => self.spelling.add_prefix(begin),
                        Unit::Number(..) => {}
                    }
                }
                self.concepts.means(concept, units.clone(), *only);
            }
        }
    }

    fn pattern(&mut self, file: &str, written: &Written) -> Pattern {
        let items = written.items.iter().map(|item| self.one_of(file, item)).collect();
        let not = written.not.iter().map(|(item, near)| (self.one_of(file, item), *near)).collect();
        Pattern { items, ordered: written.ordered, span: written.span, not, no_counts: written.no_counts }
    }

    fn one_of(&mut self, file: &str, meanings: &[Meaning]) -> Concept {
        if let [Meaning::Concept(name)] = meanings {
            return self.concept(file, name);
        }
        let concept = self.concepts.add(None);
        meanings.iter().for_each(|m| self.mean(file, concept, m));
        concept
    }

    /// The words of a shared concept.
    fn plain_words(&self, name: &str) -> HashSet<String> {
        let words = self.written.get(name).into_iter().flatten().filter_map(|m| match m {
            Meaning::Phrase(units, _) => match units.as_slice() {
                [Unit::Word(word)] => Some(word.clone()),
                _ => None,
            },
            Meaning::Concept(_) => None,
        });
        words.collect()
    }
}
