//! What the pack calls hosts, characters, states, causes and stops; an id that it does not know shows as spaced words.

use std::collections::{BTreeMap, BTreeSet};

use super::say::lower_first;
use crate::{
    key::{Escalate, Language, Pack, StopKind, Text, stop_id, under_seal},
    words::{Words, sentence_case, spaced},
};

/// Names out of one pack.
#[derive(Clone, Default, Debug)]
pub struct Names {
    /// Name and version of the pack, such as `landscape 1 (2026-07-02)`.
    pub pack: String,
    /// What has to stand wherever its content shows; empty once it is reviewed.
    pub notice: String,
    /// Hosts by id.
    pub hosts: BTreeMap<String, String>,
    /// Causes by id.
    pub causes: BTreeMap<String, String>,
    /// Causes that only the educator and the authority may name.
    pub regulated: BTreeSet<String>,
    /// Findings, as (character, state), that only such a cause brings: seen, they seal the inquiry.
    pub suspect: Vec<(String, String)>,
    /// Stops that warn and do not halt.
    pub mild: BTreeSet<String>,
    /// What each stop is called and says, by id.
    pub stops: BTreeMap<String, (String, String)>,
    /// The safety questions by id.
    pub questions: BTreeMap<String, String>,
    /// Characters by id.
    pub characters: BTreeMap<String, Character>,
    /// What is said where the pack has no name.
    pub words: Words,
}

/// One character of the pack.
#[derive(Clone, Default, Debug)]
pub struct Character {
    /// What it is called.
    pub label: String,
    /// Part of the plant, such as `root_flare`.
    pub part: String,
    /// Names of its states by id.
    pub states: BTreeMap<String, String>,
}

impl Character {
    fn of(c: &crate::key::Character, language: Language) -> Self {
        let part = serde_json::to_value(c.part).ok().and_then(|p| p.as_str().map(str::to_owned));
        Self {
            label: c.label.get(language).to_owned(),
            part: part.unwrap_or_default(),
            states: c.states.iter().map(|s| (s.id.clone(), s.text.get(language).to_owned())).collect(),
        }
    }
}

/// Parts of the plant in the order in which one looks: from the site to the roots.
pub const PARTS: [&str; 12] =
    ["site", "whole_plant", "root_flare", "trunk", "branch", "twig", "bud", "leaf", "flower", "fruit", "root", "lawn"];

impl Names {
    /// The names in a pack, in English.
    pub fn of(pack: &Pack) -> Self {
        Self::told_in(pack, Language::En)
    }

    /// The names in a pack.
    pub fn told_in(pack: &Pack, language: Language) -> Self {
        let states = pack.characters.iter().flat_map(|c| c.states.iter().map(move |s| (c, s)));
        let suspect = states.filter(|(_, s)| under_seal(s.stops.iter().map(String::as_str)));
        let regulated = pack.causes.iter().filter(|c| c.escalate == Escalate::Regulated);
        let text = |text: &Text| text.get(language).to_owned();
        Self {
            pack: pack.content_version(),
            notice: pack.notice(language).unwrap_or_default().to_owned(),
            hosts: pack.hosts.iter().map(|h| (h.id.clone(), text(&h.name))).collect(),
            causes: pack.causes.iter().map(|c| (c.id.clone(), text(&c.name))).collect(),
            regulated: regulated.map(|c| c.id.clone()).collect(),
            suspect: suspect.map(|(c, s)| (c.id.clone(), s.id.clone())).collect(),
            mild: pack.stops.iter().filter(|s| s.kind != StopKind::Stop).map(|s| s.id.clone()).collect(),
            stops: pack.stops.iter().map(|s| (s.id.clone(), (text(&s.title), text(&s.text)))).collect(),
            questions: pack.questions.iter().map(|q| (q.id.clone(), text(&q.ask))).collect(),
            characters: pack.characters.iter().map(|c| (c.id.clone(), Character::of(c, language))).collect(),
            words: Words(language),
        }
    }

    /// The host's name; `Host not known` where nobody could tell.
    pub fn host(&self, id: &str) -> String {
        match self.hosts.get(id) {
            Some(name) => name.clone(),
            None if id.is_empty() || id == "unknown" => self.words.say("registry-no-host"),
            None => sentence_case(&spaced(id)),
        }
    }

    /// The cause's name. A regulated pest is not named on any page: only that there is a suspicion.
    pub fn cause(&self, id: &str) -> String {
        if self.regulated.contains(id) {
            return self.words.say("registry-regulated");
        }
        self.causes.get(id).cloned().unwrap_or_else(|| sentence_case(&spaced(id)))
    }

    /// What was looked at and, where a state was picked, what was found: (character, state).
    pub fn finding(&self, character: &str, state: Option<&str>) -> (String, Option<String>) {
        let known = self.characters.get(character);
        let looked_at = self.label(character);
        // A state may be written alone (`round`) or with its character (`leaf_spot.round`).
        let state = state.map(|s| s.strip_prefix(character).and_then(|s| s.strip_prefix('.')).unwrap_or(s));
        let found =
            state.map(|id| known.and_then(|c| c.states.get(id)).cloned().unwrap_or_else(|| sentence_case(&spaced(id))));
        (looked_at, found)
    }

    /// The part of the plant that a character belongs to, as its place in the list of parts; those not known come last.
    pub fn part(&self, character: &str) -> usize {
        let part = self.characters.get(character).map_or("", |c| c.part.as_str());
        PARTS.iter().position(|id| *id == part).unwrap_or(PARTS.len())
    }

    /// What a character is called.
    pub fn label(&self, character: &str) -> String {
        self.characters.get(character).map_or_else(|| sentence_case(&spaced(character)), |c| c.label.clone())
    }

    /// The heading of a stop: `Stop: a wire is near`.
    pub fn stop_head(&self, id: &str) -> String {
        let title = self.stops.get(stop_id(id)).map_or_else(|| spaced(id), |(title, _)| title.clone());
        self.words.with("registry-stop", [("title", &lower_first(&title))])
    }

    /// What a stop says. One of a newer pack stays a stop.
    pub fn stop_text(&self, id: &str) -> String {
        self.stops.get(stop_id(id)).map_or_else(|| self.words.say("registry-stop-unknown"), |(_, text)| text.clone())
    }
}
