//! Stops: words that halt the work until they were read. They need no host and no differential, and never fail.
//!
//! Which stops there are, what each is and what it blocks stands in `stops.yaml` beside this file, and holds for every pack:
//! a pack may add stops and give local words, and can take none away and weaken none.

use super::{Observation, Pack, Status, Text, authored::StopsEntry};
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// What a stop does.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum StopKind {
    /// Halts, and shows its text.
    Stop,
    /// Must be acknowledged.
    Warn,
    /// Is printed on the advice.
    Note,
}

/// What may not go on while a stop stands.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum Blocks {
    /// Naming a cause.
    Diagnosis,
    /// Giving advice beyond the stop's own words.
    Advice,
    /// Digging.
    Digging,
    /// Going there, or staying.
    Visit,
    /// Keeping contact data, photo or place of a person.
    Contact,
    /// Anything about a spray.
    Spray,
    /// Any shared view, map, count or export: the inquiry is under seal.
    Sharing,
    /// Saying that anything can be eaten.
    Eating,
    /// Saying who did it.
    Blame,
    /// Saying what to take or do for a body, an animal or a court.
    Medical,
}

/// One stop.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Stop {
    /// Id, kept for ever.
    pub id: String,
    /// What it does.
    pub kind: StopKind,
    /// What may not go on while it stands.
    pub blocks: Vec<Blocks>,
    /// A few words.
    pub title: Text,
    /// What is shown.
    pub text: Text,
}

/// A safety question, asked before anything else.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Question {
    /// Id, kept for ever.
    pub id: String,
    /// The question.
    pub ask: Text,
    /// Ids of the stops that a yes raises.
    pub raises: Vec<String>,
}

/// A stop with what raised it.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct RaisedStop {
    /// Id of the stop.
    pub id: String,
    /// What it does.
    pub kind: StopKind,
    /// What may not go on while it stands.
    pub blocks: Vec<Blocks>,
    /// A few words.
    pub title: Text,
    /// What is shown.
    pub text: Text,
    /// What raised it: findings as `character.state`, in the order of the pack, or what the caller named.
    pub because: Vec<String>,
}

/// The stops that every pack has.
#[expect(clippy::expect_used, reason = "part of the program; the first test that reads a pack holds it")]
static FLOOR: LazyLock<StopsEntry> =
    LazyLock::new(|| serde_saphyr::from_str(include_str!("stops.yaml")).expect("stops.yaml is in its form"));

/// The stops and questions that every pack has, in the order in which they are shown.
pub fn floor() -> &'static StopsEntry {
    &FLOOR
}

/// Older names of stops in records.
const OLDER: [(&str, &str); 2] = [("pesticide_advice", "no_blame"), ("stinging_insects", "insects_bites")];

/// The id under which a stop is known today.
pub fn stop_id(id: &str) -> &str {
    OLDER.iter().find(|(old, _)| *old == id).map_or(id, |(_, new)| new)
}

/// Whether any of these stops keeps an inquiry out of every shared view: it is under seal.
pub fn under_seal<'a>(ids: impl IntoIterator<Item = &'a str>) -> bool {
    ids.into_iter().any(|id| {
        let id = stop_id(id);
        FLOOR.stops.iter().any(|s| s.id == id && s.blocks.contains(&Blocks::Sharing))
    })
}

impl Pack {
    /// The stops that these findings raise, in the order in which they are shown, each once. Only seen states raise a stop.
    /// Names that the pack does not have raise none: a finding from another version must not hide the stops of the rest.
    pub fn raise_stops(&self, findings: &[Observation]) -> Vec<RaisedStop> {
        let seen = |character: &str, state: &str| {
            findings
                .iter()
                .any(|f| f.status == Status::Seen && f.character == character && f.state.as_deref() == Some(state))
        };
        let mut raised: Vec<(&str, String)> = Vec::new();
        for character in &self.characters {
            for state in character.states.iter().filter(|s| !s.stops.is_empty() && seen(&character.id, &s.id)) {
                let because = format!("{}.{}", character.id, state.id);
                raised.extend(state.stops.iter().map(|stop| (stop.as_str(), because.clone())));
            }
        }
        self.stops_for(&raised)
    }

    /// The stops with these ids in the order in which they are shown, each once, with all that raised it.
    pub fn stops_for(&self, raised: &[(&str, String)]) -> Vec<RaisedStop> {
        let raise = |stop: &Stop| {
            let because: Vec<String> =
                raised.iter().filter(|(id, _)| stop_id(id) == stop.id).map(|(_, why)| why.clone()).collect();
            (!because.is_empty()).then(|| RaisedStop {
                id: stop.id.clone(),
                kind: stop.kind,
                blocks: stop.blocks.clone(),
                title: stop.title.clone(),
                text: stop.text.clone(),
                because,
            })
        };
        self.stops.iter().filter_map(raise).collect()
    }
}
