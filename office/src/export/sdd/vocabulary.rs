//! What SDD can say of a pack.

use std::collections::BTreeMap;

use dooryard_core::key::{Cause, Frequency, Link, Pack, Text};
use serde::Serialize;

/// A vocabulary: characters with their states, and what is described by them.
#[derive(Clone, PartialEq, Debug, Default, Serialize)]
pub struct Vocabulary {
    /// What it is called.
    pub title: Text,
    /// Where it comes from: pack, version, and what has to be said with it.
    pub detail: String,
    /// Words of frequency by id, with the share that each stands for, 0 to 1.
    pub words: BTreeMap<String, f64>,
    /// What can be observed.
    pub characters: Vec<Look>,
    /// What is planted.
    pub hosts: Vec<Named>,
    /// Causes.
    pub causes: Vec<Described>,
}

/// A thing with a name.
#[derive(Clone, PartialEq, Debug, Default, Serialize)]
pub struct Named {
    /// Its id.
    pub id: String,
    /// What people read.
    pub name: Text,
    /// More about it; a host's scientific name, a cause's origin.
    pub detail: Text,
}

/// One character.
#[derive(Clone, PartialEq, Debug, Default, Serialize)]
pub struct Look {
    /// Its id.
    pub id: String,
    /// Part of the plant; empty when the file does not say.
    pub part: String,
    /// Its label.
    pub label: Text,
    /// The question.
    pub ask: Text,
    /// How to look.
    pub how: Text,
    /// Its states, in order.
    pub states: Vec<State>,
}

/// One state.
#[derive(Clone, PartialEq, Debug, Default, Serialize)]
pub struct State {
    /// Its id, within the character.
    pub id: String,
    /// What people read.
    pub text: Text,
}

/// How a cause is tied to a state.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Tie {
    /// It shows it.
    #[default]
    Shows,
    /// It is normal, and to be expected with it.
    Fits,
    /// It speaks against it.
    Against,
}

/// A state of a cause, with the word of frequency where one is given.
#[derive(Clone, PartialEq, Debug, Default, Serialize)]
pub struct Ties {
    /// Character and state.
    pub state: (String, String),
    /// How.
    pub tie: Tie,
    /// How often.
    pub word: Option<String>,
}

/// One cause, described.
#[derive(Clone, PartialEq, Debug, Default, Serialize)]
pub struct Described {
    /// Id, name and origin.
    #[serde(flatten)]
    pub named: Named,
    /// Ids of its hosts; none: any.
    pub hosts: Vec<String>,
    /// Texts by what they are: `confirm`, `weather`, `steps`, `cautions`, or the id of another text character.
    pub texts: BTreeMap<String, Text>,
    /// Its states, by character.
    pub states: Vec<Ties>,
}

impl Vocabulary {
    /// The vocabulary of a pack.
    pub fn of(pack: &Pack) -> Self {
        let notice = pack.notice(dooryard_core::key::Language::En).unwrap_or_default();
        let links = pack.causes.iter().flat_map(|c| c.key.iter().chain(&c.fits).chain(&c.against));
        Self {
            title: pack.title.clone(),
            detail: format!("{}. {notice}", pack.content_version()).trim_end().to_owned(),
            words: links.map(|l| (l.word.name().to_owned(), l.chance)).collect(),
            characters: pack.characters.iter().map(look).collect(),
            hosts: pack
                .hosts
                .iter()
                .map(|h| Named { id: h.id.clone(), name: h.name.clone(), detail: english(&h.scientific) })
                .collect(),
            causes: pack.causes.iter().map(|c| described(pack, c)).collect(),
        }
    }

    /// Words in the order of the scale, those of other scales behind.
    pub fn words_in_order(&self) -> Vec<(&str, f64)> {
        let rank = |word: &str| Frequency::from_name(word).map_or(Frequency::ALL.len(), |f| f as usize);
        let mut words: Vec<(&str, f64)> = self.words.iter().map(|(w, share)| (w.as_str(), *share)).collect();
        words.sort_by_key(|(word, _)| rank(word));
        words
    }
}

fn english(text: &str) -> Text {
    Text { en: text.to_owned(), es: String::new() }
}

fn look(c: &dooryard_core::key::Character) -> Look {
    let part = serde_json::to_value(c.part).ok().and_then(|p| p.as_str().map(str::to_owned));
    Look {
        id: c.id.clone(),
        part: part.unwrap_or_default(),
        label: c.label.clone(),
        ask: c.ask.clone(),
        how: c.how.clone(),
        states: c.states.iter().map(|s| State { id: s.id.clone(), text: s.text.clone() }).collect(),
    }
}

fn described(pack: &Pack, cause: &Cause) -> Described {
    let state = |l: &Link| {
        let character = &pack.characters[l.character];
        (character.id.clone(), character.states[l.state].id.clone())
    };
    let ties = [(Tie::Shows, &cause.key), (Tie::Fits, &cause.fits), (Tie::Against, &cause.against)];
    let mut states: Vec<Ties> = ties
        .into_iter()
        .flat_map(|(tie, links)| links.iter().map(move |l| (tie, l)))
        .map(|(tie, l)| Ties { state: state(l), tie, word: Some(l.word.name().to_owned()) })
        .collect();
    states.sort_by(|a, b| (&a.state, a.tie).cmp(&(&b.state, b.tie)));
    let texts = [
        ("confirm", &cause.confirm),
        ("weather", &cause.weather),
        ("steps", &cause.steps),
        ("cautions", &cause.cautions),
    ];
    Described {
        named: Named { id: cause.id.clone(), name: cause.name.clone(), detail: cause.origin.clone() },
        hosts: cause.hosts.iter().map(|h| pack.hosts[*h].id.clone()).collect(),
        texts: texts
            .into_iter()
            .map(|(id, text)| (id.to_owned(), text.clone()))
            .filter(|(_, t)| !t.en.is_empty())
            .collect(),
        states,
    }
}
