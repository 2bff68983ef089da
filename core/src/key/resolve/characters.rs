//! Characters: states, leaks, and the stops their states raise.

use super::Resolver;
use crate::key::authored::{CharacterEntry, CharacterWords};
use crate::key::{Character, State, Stop, Text};
use std::collections::BTreeMap;

impl Resolver {
    pub(super) fn characters(
        &mut self,
        entries: Vec<CharacterEntry>,
        mut es: BTreeMap<String, CharacterWords>,
        stops: &[Stop],
    ) -> Vec<Character> {
        let characters = entries.into_iter().map(|entry| {
            let words = es.remove(&entry.id).unwrap_or_default();
            self.character(entry, words, stops)
        });
        let characters = characters.collect();
        for id in es.keys() {
            self.unknown("es/characters", "character", id);
        }
        characters
    }

    fn character(&mut self, entry: CharacterEntry, mut es: CharacterWords, stops: &[Stop]) -> Character {
        let place = &entry.id;
        let ids: Vec<String> = entry.states.0.iter().map(|(id, _)| id.clone()).collect();
        self.index_of("state", ids.iter());
        let named = entry.leak.keys().chain(entry.stop.keys()).chain(&entry.not_known).chain(es.states.keys());
        for id in named.filter(|id| !ids.contains(id)) {
            self.unknown(place, "state", id);
        }
        let normal = ids.iter().position(|s| *s == entry.normal).unwrap_or_else(|| {
            self.unknown(&format!("{place} normal"), "state", &entry.normal);
            0
        });
        if ids.len() < 2 {
            self.bad(place.clone(), "has fewer than two states");
        }
        for stop in entry.also_stop.iter().chain(entry.stop.values().flatten()) {
            if !stops.iter().any(|s| s.id == *stop) {
                self.unknown(place, "stop", stop);
            }
        }
        let mut states = Vec::with_capacity(ids.len());
        for (i, (id, text)) in entry.states.0.into_iter().enumerate() {
            let leak = entry.leak.get(&id).and_then(|word| self.word(&format!("{place} leak"), word)).map(|w| w.1);
            let mut stops = entry.stop.get(&id).cloned().unwrap_or_default();
            if let Some(also) = entry.also_stop.as_ref().filter(|also| i != normal && !stops.contains(also)) {
                stops.push(also.clone());
            }
            let not_known = entry.not_known.contains(&id);
            states.push(State { text: Text::new(text, es.states.remove(&id)), id, leak, not_known, stops });
        }
        Character {
            id: entry.id,
            part: entry.part,
            cost: entry.cost,
            nature: entry.nature,
            multi: entry.multi,
            mobile: entry.mobile,
            label: Text::new(entry.label, es.label),
            ask: Text::new(entry.ask, es.ask),
            how: Text::new(entry.how, es.how),
            states,
            normal,
        }
    }
}
