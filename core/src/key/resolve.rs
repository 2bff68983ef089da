//! From the three files as written to a pack in which every reference holds, or the list of all that do not.

use super::authored::{CauseEntry, CharacterEntry, CharactersFile, DisordersFile, Ordered, PackFile, StopEntry};
use super::pack::{Index, Pack};
use super::{Cause, Character, Frequency, Host, Link, Nature, PackProblem, PackProblems, State, Stop, Window};
use std::collections::{BTreeMap, HashMap, HashSet};

/// Follows every reference of the three files.
pub(super) fn resolve(
    pack: PackFile,
    characters: CharactersFile,
    disorders: DisordersFile,
) -> Result<Pack, PackProblems> {
    let mut r = Resolver::default();
    r.read_scale(&disorders.meta.frequency);
    r.index_ids(&characters, &disorders);
    let stops = r.stops(&pack.stops, &characters.meta.stops);
    let characters = r.characters(&pack, characters);
    let hosts: Vec<Host> = disorders
        .hosts
        .into_iter()
        .map(|h| Host { id: h.id, name: h.name, scientific: h.sci, group: h.group, note: h.note })
        .collect();
    let causes: Vec<Cause> = disorders.disorders.into_iter().filter_map(|c| r.cause(c, &characters)).collect();
    let date = pack.date.parse().inspect_err(|_| r.bad("pack date".into(), "not a date"));
    let (Ok(date), true) = (date, r.problems.is_empty()) else {
        return Err(PackProblems(r.problems));
    };
    let candidates =
        (0..hosts.len()).map(|h| (0..causes.len()).filter(|c| causes[*c].fits_host(h)).collect()).collect();
    Ok(Pack {
        id: pack.id,
        version: pack.version,
        date,
        status: pack.status,
        language: pack.language,
        title: pack.title,
        characters,
        hosts,
        causes,
        stops,
        index: Index { candidates, ..r.index },
    })
}

#[derive(Default)]
struct Resolver {
    scale: HashMap<Frequency, f64>,
    index: Index,
    /// Name in `characters.yaml` to the ids of the stops it is read as.
    stop_names: HashMap<String, Vec<String>>,
    problems: Vec<PackProblem>,
}

impl Resolver {
    fn unknown(&mut self, place: &str, what: &'static str, name: &str) {
        self.problems.push(PackProblem::Unknown { place: place.into(), what, name: name.into() });
    }

    fn bad(&mut self, place: String, why: &'static str) {
        self.problems.push(PackProblem::Bad { place, why });
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

    fn index_ids(&mut self, characters: &CharactersFile, disorders: &DisordersFile) {
        self.index.characters = self.index_of("character", characters.characters.iter().map(|c| &c.id));
        self.index.hosts = self.index_of("host", disorders.hosts.iter().map(|h| &h.id));
        self.index.causes = self.index_of("cause", disorders.disorders.iter().map(|c| &c.id));
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

    fn stops(&mut self, entries: &[StopEntry], texts: &BTreeMap<String, String>) -> Vec<Stop> {
        self.index_of("stop", entries.iter().map(|s| &s.id));
        let mut stops = Vec::new();
        for entry in entries {
            let name = entry.from.as_ref().unwrap_or(&entry.id);
            match texts.get(name) {
                Some(text) => {
                    self.stop_names.entry(name.clone()).or_default().push(entry.id.clone());
                    stops.push(Stop { id: entry.id.clone(), text: entry.text.clone().unwrap_or_else(|| text.clone()) });
                }
                None => self.unknown("pack stops", "stop", name),
            }
        }
        for name in texts.keys().filter(|n| !self.stop_names.contains_key(*n)).cloned().collect::<Vec<_>>() {
            self.bad(format!("stop {name}"), "the pack does not say under which id it is shown");
        }
        stops
    }

    /// Ids of the stops that a name in `characters.yaml` is read as.
    fn stop_ids(&mut self, place: &str, name: &str) -> Vec<String> {
        let ids = self.stop_names.get(name).cloned();
        if ids.is_none() {
            self.unknown(place, "stop", name);
        }
        ids.unwrap_or_default()
    }

    fn characters(&mut self, pack: &PackFile, file: CharactersFile) -> Vec<Character> {
        let meta = &file.meta;
        let also = pack.also_stops.keys();
        let named = [("setting", &meta.setting), ("specific_signs", &meta.specific_signs), ("mobile", &pack.mobile)];
        let named = named.into_iter().flat_map(|(place, ids)| ids.iter().map(move |id| (place, id)));
        for (place, id) in named.chain(also.map(|id| ("also_stops", id))) {
            if !self.index.characters.contains_key(id) {
                self.unknown(place, "character", id);
            }
        }
        let set = |ids: &[String]| ids.iter().cloned().collect::<HashSet<_>>();
        let (setting, signs) = (set(&meta.setting), set(&meta.specific_signs));
        let mut characters = Vec::with_capacity(file.characters.len());
        for entry in file.characters {
            let nature = match (setting.contains(&entry.id), signs.contains(&entry.id)) {
                (true, true) => {
                    self.bad(entry.id.clone(), "is both a setting and a specific sign");
                    Nature::Circumstance
                }
                (true, false) => Nature::Circumstance,
                (false, true) => Nature::Sign,
                (false, false) => Nature::Effect,
            };
            characters.push(self.character(entry, nature, pack));
        }
        for text in &pack.not_known {
            if let Some((character, state)) = self.find_state("not_known", text, &characters) {
                characters[character].states[state].not_known = true;
            }
        }
        characters
    }

    fn character(&mut self, entry: CharacterEntry, nature: Nature, pack: &PackFile) -> Character {
        let place = &entry.id;
        let ids: Vec<String> = entry.states.0.iter().map(|(id, _)| id.clone()).collect();
        self.index_of("state", ids.iter());
        for id in entry.leak.keys().chain(entry.stop.keys()) {
            if !ids.contains(id) {
                self.unknown(place, "state", id);
            }
        }
        let normal = ids.iter().position(|s| *s == entry.normal).unwrap_or_else(|| {
            self.unknown(&format!("{place} normal"), "state", &entry.normal);
            0
        });
        if ids.len() < 2 {
            self.bad(place.clone(), "has fewer than two states");
        }
        let also = pack.also_stops.get(place).map(|name| self.stop_ids("also_stops", name)).unwrap_or_default();
        let mut states = Vec::with_capacity(ids.len());
        for (i, (id, text)) in entry.states.0.into_iter().enumerate() {
            let leak = entry.leak.get(&id).and_then(|word| self.word(&format!("{place} leak"), word)).map(|w| w.1);
            let mut stops = entry.stop.get(&id).map(|name| self.stop_ids(place, name)).unwrap_or_default();
            if i != normal {
                stops.extend(also.iter().filter(|a| !stops.contains(a)).cloned().collect::<Vec<_>>());
            }
            states.push(State { id, text, leak, not_known: false, stops });
        }
        Character {
            mobile: pack.mobile.contains(&entry.id),
            part: entry.part,
            cost: entry.cost,
            nature,
            multi: entry.multi,
            ask: entry.ask,
            how: entry.how,
            id: entry.id,
            states,
            normal,
        }
    }

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

    fn cause(&mut self, entry: CauseEntry, characters: &[Character]) -> Option<Cause> {
        let id = &entry.id;
        let key = self.links(&format!("{id} key"), &entry.key, characters);
        let fits = self.links(&format!("{id} fits"), &entry.fits, characters);
        let against = self.links(&format!("{id} against"), &entry.against, characters);
        let normal = |link: &Link| characters[link.character].normal == link.state;
        if key.iter().any(normal) {
            self.bad(format!("{id} key"), "names a normal state: a cause does not produce it");
        }
        if !fits.iter().all(normal) {
            self.bad(format!("{id} fits"), "names a state that is not the normal one");
        }
        let any_host = entry.hosts.iter().any(|h| h == "any");
        if any_host && entry.hosts.len() > 1 {
            self.bad(format!("{id} hosts"), "names hosts beside any");
        }
        let mut hosts = Vec::new();
        for name in entry.hosts.iter().filter(|h| *h != "any") {
            match self.index.hosts.get(name) {
                Some(host) => hosts.push(*host),
                None => self.unknown(&format!("{id} hosts"), "host", name),
            }
        }
        let mut confusers = Vec::new();
        for name in &entry.confusers {
            match self.index.causes.get(name) {
                Some(cause) => confusers.push(*cause),
                None => self.unknown(&format!("{id} confusers"), "cause", name),
            }
        }
        let window = Window::from_texts(&entry.window.0, &entry.window.1);
        if window.is_none() {
            self.bad(format!("{id} window"), "not two dates in the form 03-15");
        }
        let prior = self.word(&format!("{id} prior"), &entry.prior);
        Some(Cause {
            name: entry.name,
            origin: entry.cause,
            kind: entry.kind,
            any_host,
            hosts,
            prior: prior?.1,
            key,
            fits,
            against,
            confirm: entry.confirm,
            confusers,
            window: window?,
            weather: entry.weather,
            steps: entry.steps,
            cautions: entry.cautions,
            role: entry.role,
            escalate: entry.escalate,
            id: entry.id,
        })
    }
}
