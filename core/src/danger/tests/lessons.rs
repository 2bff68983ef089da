//! Messages with their stops, as the likeness learns from them.

use std::collections::{BTreeMap, BTreeSet};

use super::super::{
    STOPS,
    held::{Holding, held, values},
    lexicon::Lexicon,
    likeness::{SCORES, around},
    passage::{Passage, Said},
    words::Words,
};

/// Known things, by their places, with their values.
pub type Values = Vec<(usize, f32)>;

/// A message that trains.
pub struct Lesson {
    /// Its table.
    pub table: String,
    held: Vec<Holding>,
    said: Said,
    /// What it holds of what is known.
    pub whole: Values,
    /// For each stop, what it holds around what is said, if anything is.
    pub near: Vec<Option<Values>>,
    /// Its stops, and danger of any kind: raised, not raised, or nothing to learn.
    pub raises: [Option<bool>; SCORES],
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
        Lesson {
            table: name.to_owned(),
            whole: Values::new(),
            near: Vec::new(),
            said,
            held,
            raises: std::array::from_fn(|at| match STOPS.get(at) {
                Some(s) => {
                    if must.contains(s) {
                        Some(true)
                    } else {
                        (!may.contains(s)).then_some(false)
                    }
                }
                None => {
                    if must.is_empty() {
                        may.is_empty().then_some(false)
                    } else {
                        Some(true)
                    }
                }
            }),
            sounds_like: STOPS.map(|s| not.contains(s)),
        }
    };
    reader.records().map(Result::unwrap).map(lesson).collect()
}

/// Fewest messages in which something is met that is worth knowing.
const WORTH: usize = 4;

/// The things that are known from some lessons, in order. What they hold of these is set in them.
pub fn know(lessons: &mut [Lesson]) -> Vec<u32> {
    let mut met: BTreeMap<u32, usize> = BTreeMap::new();
    for lesson in lessons.iter() {
        let things: BTreeSet<u32> = lesson.held.iter().map(|h| h.thing).collect();
        things.into_iter().for_each(|thing| *met.entry(thing).or_default() += 1);
    }
    let worth = WORTH.min(lessons.len().div_ceil(4));
    let known: Vec<u32> = met.into_iter().filter(|(_, n)| *n >= worth).map(|(thing, _)| thing).collect();
    let place = |thing: u32| known.binary_search(&thing).ok();
    for lesson in lessons.iter_mut() {
        lesson.whole = values(&lesson.held, place);
        let near = |said: &Vec<(usize, _)>| said.first().map(|(_, at)| values(&around(&lesson.held, at), place));
        lesson.near = lesson.said.iter().map(near).collect();
    }
    known
}

/// What a text holds and says; of a long one, its first passage.
pub fn held_by(text: &str) -> (Vec<Holding>, Said) {
    let lexicon = Lexicon::get();
    let words = Words::of(text, lexicon);
    let passage = Passage::of(words.passages().next().unwrap(), lexicon);
    let said = passage.said(lexicon);
    (held(&passage, &said), said)
}
