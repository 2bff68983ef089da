//! From a pack as written to one in which every reference holds, or the list of all that do not.

mod advice;
mod causes;
mod characters;
mod stops;

use super::authored::{HostEntry, HostWords, Ordered, Source};
use super::pack::{Index, Pack};
use super::{Character, Frequency, Host, Link, PackProblem, PackProblems, Text};
use std::collections::{BTreeMap, HashMap};

/// Follows every reference.
pub(super) fn resolve(source: Source) -> Result<Pack, PackProblems> {
    let mut r = Resolver::default();
    let hash = hash(&source);
    let Source { pack, characters, hosts, causes, stops, advice, es } = source;
    r.read_scale(&pack.frequency);
    r.index.characters = r.index_of("character", characters.iter().map(|c| &c.id));
    r.index.hosts = r.index_of("host", hosts.iter().map(|h| &h.id));
    r.index.causes = r.index_of("cause", causes.iter().map(|c| &c.id));
    r.index.groups = r.index_of("advice group", advice.groups.iter().map(|g| &g.id));
    let (stops, questions) = r.stops(stops);
    let characters = r.characters(characters, es.characters, &stops);
    let hosts: Vec<Host> = hosts.into_iter().map(|h| host(h, &es.hosts)).collect();
    let guidance = r.guidance(advice, &hosts, &characters);
    let causes: Vec<_> = causes.into_iter().filter_map(|c| r.cause(c, &es.causes, &hosts, &characters)).collect();
    let mut ask_first = Vec::new();
    for (id, groups) in pack.ask_first.0 {
        for group in groups.iter().filter(|g| !hosts.iter().any(|h| h.group == **g)) {
            r.unknown("pack ask_first", "host group", group);
        }
        match r.index.characters.get(&id) {
            Some(character) => ask_first.push((*character, groups)),
            None => r.unknown("pack ask_first", "character", &id),
        }
    }
    let mut day = |name: &str, text: &str| text.parse().map_err(|_| r.bad(format!("pack {name}"), "not a date")).ok();
    let (date, not_after) = (day("date", &pack.date), day("not_after", &pack.not_after));
    if !(pack.core.0..=pack.core.1).contains(&Pack::FORM) {
        r.bad("pack core".into(), "this program cannot read content of this form: a newer one is needed");
    }
    let (Some(date), Some(not_after), true) = (date, not_after, r.problems.is_empty()) else {
        return Err(PackProblems(r.problems));
    };
    let candidates =
        (0..hosts.len()).map(|h| (0..causes.len()).filter(|c| causes[*c].fits_host(h)).collect()).collect();
    Ok(Pack {
        id: pack.id,
        version: pack.version,
        date,
        not_after,
        status: pack.status,
        title: pack.title,
        hash,
        settings: pack.settings,
        characters,
        hosts,
        causes,
        stops,
        questions,
        guidance,
        ask_first,
        index: Index { candidates, ..r.index },
    })
}

/// BLAKE3 of the content in its JSON form: equal for equal content, however it is kept.
fn hash(source: &Source) -> String {
    let json = serde_json::to_vec(source).unwrap_or_default();
    blake3::hash(&json).to_hex().to_string()
}

fn host(h: HostEntry, es: &BTreeMap<String, HostWords>) -> Host {
    let es = es.get(&h.id).cloned().unwrap_or_default();
    Host {
        name: Text::new(h.name, es.name),
        scientific: h.sci,
        group: h.group,
        edible: h.edible,
        note: h.note.map(|note| Text::new(note, es.note)),
        id: h.id,
    }
}

#[derive(Default)]
struct Resolver {
    scale: HashMap<Frequency, f64>,
    index: Index,
    problems: Vec<PackProblem>,
}

impl Resolver {
    fn unknown(&mut self, place: &str, what: &'static str, name: &str) {
        self.problems.push(PackProblem::Unknown { place: place.into(), what, name: name.into() });
    }

    fn bad(&mut self, place: String, why: &str) {
        self.problems.push(PackProblem::Bad { place, why: why.into() });
    }

    fn read_scale(&mut self, words: &BTreeMap<String, f64>) {
        for (name, chance) in words {
            match Frequency::from_name(name) {
                Some(word) if *chance > 0.0 && *chance < 1.0 => drop(self.scale.insert(word, *chance)),
                Some(_) => self.bad(format!("frequency {name}"), "a chance lies above 0 and below 1"),
                None => self.unknown("frequency", "frequency word", name),
            }
        }
        for word in Frequency::ALL {
            if !words.contains_key(word.name()) {
                self.bad(format!("frequency {}", word.name()), "the scale has no number for it");
            }
        }
    }

    /// The word and its chance; a word the scale lacks was reported with the scale.
    fn word(&mut self, place: &str, name: &str) -> Option<(Frequency, f64)> {
        let word = Frequency::from_name(name);
        if word.is_none() {
            self.unknown(place, "frequency word", name);
        }
        word.and_then(|w| Some((w, *self.scale.get(&w)?)))
    }

    fn index_of<'a>(&mut self, what: &'static str, ids: impl Iterator<Item = &'a String>) -> HashMap<String, usize> {
        let mut index = HashMap::new();
        for (i, id) in ids.enumerate() {
            if index.insert(id.clone(), i).is_some() {
                self.problems.push(PackProblem::Twice { what, id: id.clone() });
            }
        }
        index
    }

    /// Where these ids stand in `index`; those that do not are reported.
    fn places(
        &mut self,
        place: &str,
        what: &'static str,
        ids: &[String],
        index: &HashMap<String, usize>,
    ) -> Vec<usize> {
        let mut places = Vec::with_capacity(ids.len());
        for id in ids {
            match index.get(id) {
                Some(at) => places.push(*at),
                None => self.unknown(place, what, id),
            }
        }
        places
    }

    /// Index of the character and of the state that `character.state` names.
    fn find_state(&mut self, place: &str, text: &str, characters: &[Character]) -> Option<(usize, usize)> {
        let (character, state) = text.split_once('.').unwrap_or((text, ""));
        let Some(&c) = self.index.characters.get(character) else {
            self.unknown(place, "character", text);
            return None;
        };
        let found = characters[c].state_index(state);
        if found.is_none() {
            self.unknown(place, "state", text);
        }
        found.map(|s| (c, s))
    }

    fn links(&mut self, place: &str, words: &Ordered<String>, characters: &[Character]) -> Vec<Link> {
        let mut links = Vec::with_capacity(words.0.len());
        for (text, word) in &words.0 {
            let at = self.find_state(place, text, characters);
            let word = self.word(place, word);
            if let (Some((character, state)), Some((word, chance))) = (at, word) {
                links.push(Link { character, state, word, chance });
            }
        }
        links
    }
}
