//! Messages with their stops, as the likeness learns from them.

use std::collections::BTreeSet;

use super::super::{
    STOPS,
    held::{Holding, held, values},
    lexicon::Lexicon,
    likeness::around,
    passage::{Passage, Said},
    words::Words,
};

/// Buckets with their values.
pub type Values = Vec<(usize, f32)>;

/// A message that trains.
pub struct Lesson {
    /// Its table.
    pub table: String,
    /// What it holds.
    pub whole: Values,
    /// For each stop, what it holds around what is said, if anything is.
    pub near: Vec<Option<Values>>,
    /// Its stops: raised, not raised, or nothing to learn.
    pub raises: [Option<bool>; STOPS.len()],
    /// Stops that it only sounds like.
    pub sounds_like: [bool; STOPS.len()],
}

impl Lesson {
    /// Whether it is one of the letters, as long as people write them.
    pub fn is_letter(&self) -> bool {
        !self.table.starts_with("own")
    }
}

/// Ids that labels may name and words do not raise.
const OTHERS: [&str; 3] = ["firewood", "label_is_law", "bees_water"];

/// The messages of a table.
pub fn lessons(name: &str, table: &str) -> Vec<Lesson> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let head = reader.headers().unwrap().clone();
    let column = |name: &str| head.iter().position(|h| h == name).unwrap_or_else(|| panic!("no column {name}"));
    let (text, must, may, not) = (column("text"), column("must"), column("may"), column("must_not"));
    let lesson = |row: csv::StringRecord| {
        let ids = |at: usize| row[at].split(';').map(str::trim).filter(|s| !s.is_empty()).collect::<BTreeSet<_>>();
        let (must, may, not) = (ids(must), ids(may), ids(not));
        for id in must.iter().chain(&may).chain(&not) {
            assert!(STOPS.contains(id) || OTHERS.contains(id), "{id}: no such stop, in {:?}", &row[text]);
        }
        let (held, said) = held_by(&row[text]);
        let near = said.iter().map(|said| said.first().map(|(_, at)| values(&around(&held, at))));
        Lesson {
            table: name.to_owned(),
            whole: values(&held),
            near: near.collect(),
            raises: STOPS.map(|s| if must.contains(s) { Some(true) } else { (!may.contains(s)).then_some(false) }),
            sounds_like: STOPS.map(|s| not.contains(s)),
        }
    };
    reader.records().map(Result::unwrap).map(lesson).collect()
}

/// What a text holds and says; of a long one, its first passage.
pub fn held_by(text: &str) -> (Vec<Holding>, Said) {
    let lexicon = Lexicon::get();
    let words = Words::of(text, lexicon);
    let passage = Passage::of(words.passages().next().unwrap(), lexicon);
    let said = passage.said(lexicon);
    (held(&passage, &said), said)
}
