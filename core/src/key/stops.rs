//! The hard stops that seen states raise. They need no host and no differential, and never fail.

use super::{Observation, Pack, Status};
use serde::Serialize;

/// Words that halt the work until they were read.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Stop {
    /// Id, kept for ever.
    pub id: String,
    /// What is shown.
    pub text: String,
}

/// A stop with what raised it.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct RaisedStop {
    /// Id of the stop.
    pub id: String,
    /// What is shown.
    pub text: String,
    /// The findings that raised it, as `character.state`, in the order of the pack.
    pub because: Vec<String>,
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
        let mut because = vec![Vec::new(); self.stops.len()];
        for character in &self.characters {
            for state in character.states.iter().filter(|s| !s.stops.is_empty() && seen(&character.id, &s.id)) {
                for (list, _) in because.iter_mut().zip(&self.stops).filter(|(_, stop)| state.stops.contains(&stop.id))
                {
                    list.push(format!("{}.{}", character.id, state.id));
                }
            }
        }
        let raised = self.stops.iter().zip(because).filter(|(_, because)| !because.is_empty());
        raised.map(|(stop, because)| RaisedStop { id: stop.id.clone(), text: stop.text.clone(), because }).collect()
    }
}
