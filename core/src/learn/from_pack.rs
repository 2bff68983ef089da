//! The adapter between learning and a pack.

use super::{Change, LearnCause, LearnCharacter, LearnLink, LearnState, Model, Outcome, Place, Proposal, Stated, Word};
use crate::key::{Cause, Frequency, Nature, Observations, Pack, Settings};
use std::{collections::HashMap, fmt};

/// The chances of the words where a pack uses a word nowhere.
const SCALE: [f64; 7] = [0.01, 0.05, 0.15, 0.35, 0.60, 0.80, 0.95];

/// Why a proposal was not published.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum NotPublished {
    /// Nobody said yes.
    NoYes,
    /// It was made for another version of the pack.
    OtherContent,
}

impl fmt::Display for NotPublished {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoYes => "a person has to say yes to the proposal",
            Self::OtherContent => "the proposal was made for another version of the pack",
        })
    }
}

impl std::error::Error for NotPublished {}

impl Model {
    /// What learning needs to know of a pack. Leaks that the pack leaves open are the start values of `settings`.
    pub fn from_pack(pack: &Pack, settings: &Settings) -> Self {
        let words = Frequency::ALL.into_iter().zip(SCALE).map(|(word, chance)| {
            let links = pack.causes.iter().flat_map(|c| c.key.iter().chain(&c.fits).chain(&c.against));
            let used = links.into_iter().find(|l| l.word == word);
            Word { name: word.name().to_owned(), chance: used.map_or(chance, |l| l.chance) }
        });
        let characters = pack.characters.iter().map(|character| {
            let leak = match character.nature {
                Nature::Circumstance => settings.circumstance_leak,
                Nature::Effect => settings.effect_leak,
                Nature::Sign => settings.sign_leak,
            };
            let states = character.states.iter().enumerate().map(|(at, state)| LearnState {
                id: state.id.clone(),
                normal: at == character.normal,
                not_known: state.not_known,
                leak: state.leak.unwrap_or(leak),
            });
            LearnCharacter {
                id: character.id.clone(),
                circumstance: character.nature == Nature::Circumstance,
                several: character.multi,
                states: states.collect(),
            }
        });
        let causes = pack.causes.iter().map(|cause| LearnCause {
            id: cause.id.clone(),
            hosts: named_hosts(pack, cause),
            prior: cause.prior,
            links: cause
                .key
                .iter()
                .map(|l| LearnLink { character: l.character, state: l.state, chance: l.chance })
                .collect(),
        });
        let hosts = pack.hosts.iter().map(|h| h.id.clone()).collect();
        Self { hosts, words: words.collect(), characters: characters.collect(), causes: causes.collect() }
    }
}

/// The hosts that can have a cause; none where all can.
fn named_hosts(pack: &Pack, cause: &Cause) -> Vec<String> {
    if cause.any_host && cause.except.is_empty() {
        return Vec::new();
    }
    let hosts = pack.hosts.iter().enumerate().filter(|(h, _)| cause.fits_host(*h));
    hosts.map(|(_, host)| host.id.clone()).collect()
}

/// A copy of the pack with these changes in its links, leaks and priors. A pack has one prior for each cause: what differs
/// by host or month stays in the proposal, for people to read.
pub fn applied(pack: &Pack, changes: &[Change]) -> Pack {
    let mut pack = pack.clone();
    let characters: HashMap<String, usize> =
        pack.characters.iter().enumerate().map(|(i, c)| (c.id.clone(), i)).collect();
    let find = |pack: &Pack, character: &str, state: &str| {
        let at = *characters.get(character)?;
        Some((at, pack.characters[at].state_index(state)?))
    };
    for change in changes {
        match &change.place {
            Place::Link { cause, character, state } => {
                let Some(at) = find(&pack, character, state) else { continue };
                let cause = pack.causes.iter_mut().find(|c| c.id == *cause);
                let link = cause.and_then(|c| c.key.iter_mut().find(|l| (l.character, l.state) == at));
                if let Some(link) = link {
                    link.chance = change.new;
                    link.word = change.new_word.as_deref().and_then(Frequency::from_name).unwrap_or(link.word);
                }
            }
            Place::Leak { character, state } => {
                if let Some((at, state)) = find(&pack, character, state) {
                    pack.characters[at].states[state].leak = Some(change.new);
                }
            }
            Place::Prior { cause, host: None, month: None } => {
                if let Some(cause) = pack.causes.iter_mut().find(|c| c.id == *cause) {
                    cause.prior = change.new;
                }
            }
            Place::Prior { .. } => {}
        }
    }
    pack
}

/// The ranked causes of a case by this pack. Findings that the pack does not have are left out; a host that it does not have
/// gives no causes.
pub fn rank(pack: &Pack, outcome: &Outcome) -> Vec<Stated> {
    let known = |f: &&crate::key::Observation| {
        let character = pack.character(&f.character);
        character.is_some_and(|c| f.state.as_ref().is_none_or(|s| c.state_index(s).is_some()))
    };
    let date = (outcome.date.month().unsigned_abs(), outcome.date.day().unsigned_abs());
    let findings = outcome.findings.iter().filter(known).cloned().collect();
    let observations = Observations { host: outcome.host.clone(), date, findings };
    let ranked = pack.differential(&observations).map(|d| d.ranked).unwrap_or_default();
    ranked.into_iter().map(|r| Stated { cause: r.cause, probability: r.probability }).collect()
}

impl Proposal {
    /// What the outcomes speak for against this pack, with its effect on later cases.
    pub fn for_pack(pack: &Pack, outcomes: &[Outcome], settings: &super::LearnSettings) -> Self {
        let model = Model::from_pack(pack, &pack.settings);
        let with = |changes: &[Change]| applied(pack, changes);
        Self::new(pack.content_version(), &model, outcomes, settings, with, rank)
    }
}
