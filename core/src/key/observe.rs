//! What was looked at on one plant, and what it amounts to character by character.

use super::Pack;
use crate::{
    Error, Result,
    error::{FieldCode, FieldProblem},
};
use serde::{Deserialize, Serialize};

/// What a look said about one state. Only the first two are evidence.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// It is there.
    Seen,
    /// Looked for, and not there.
    Absent,
    /// Looked, and could not tell.
    #[serde(rename = "could_not_tell")]
    Unsure,
    /// Not looked.
    NotLooked,
}

/// One finding.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Observation {
    /// Id of the character.
    pub character: String,
    /// Id of the state; may be left out when the status speaks of the whole character (could not tell, not looked).
    pub state: Option<String>,
    /// What the look said.
    pub status: Status,
}

/// All that is known of one plant.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Observations {
    /// Id of the host.
    pub host: String,
    /// Day of the look: month 1 to 12, day 1 to 31.
    pub date: (u8, u8),
    /// The findings, in any order.
    pub findings: Vec<Observation>,
}

impl Observation {
    /// A finding about one state.
    pub fn new(character: impl Into<String>, state: impl Into<String>, status: Status) -> Self {
        Self { character: character.into(), state: Some(state.into()), status }
    }
}

/// All findings on one character. State indices are sorted, and none stands twice.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Looked {
    pub character: usize,
    pub seen: Vec<usize>,
    pub absent: Vec<usize>,
    /// States that somebody could not tell, did not look for, or that were said to be both there and not there.
    pub open: Vec<usize>,
    /// Whether anybody looked, if only to find that they could not tell.
    pub tried: bool,
}

/// The findings by character, in the order of the pack, whatever order they came in.
pub(super) fn gather(pack: &Pack, findings: &[Observation]) -> Result<Vec<Looked>> {
    let mut by_character: Vec<Option<Looked>> = vec![None; pack.characters.len()];
    let mut problems = Vec::new();
    for finding in findings {
        let Some(&character) = pack.index.characters.get(&finding.character) else {
            problems.push(FieldProblem { field: finding.character.clone(), code: FieldCode::UnknownField });
            continue;
        };
        let state = match &finding.state {
            None if matches!(finding.status, Status::Seen | Status::Absent) => {
                problems.push(FieldProblem { field: finding.character.clone(), code: FieldCode::Missing });
                continue;
            }
            None => None,
            Some(id) => {
                let Some(state) = pack.characters[character].state_index(id) else {
                    let field = format!("{}.{id}", finding.character);
                    problems.push(FieldProblem { field, code: FieldCode::UnknownWord });
                    continue;
                };
                Some(state)
            }
        };
        let looked = by_character[character].get_or_insert_with(|| Looked {
            character,
            seen: Vec::new(),
            absent: Vec::new(),
            open: Vec::new(),
            tried: false,
        });
        looked.tried |= finding.status != Status::NotLooked;
        match finding.status {
            Status::Seen => looked.seen.extend(state),
            Status::Absent => looked.absent.extend(state),
            Status::Unsure | Status::NotLooked => looked.open.extend(state),
        }
    }
    if !problems.is_empty() {
        return Err(Error::Invalid(problems));
    }
    Ok(by_character.into_iter().flatten().map(Looked::settled).collect())
}

impl Looked {
    /// What a look at `character` would be that finds `state`.
    pub fn seeing(character: usize, state: usize) -> Self {
        Self { character, seen: vec![state], absent: Vec::new(), open: Vec::new(), tried: true }
    }

    fn settled(mut self) -> Self {
        for list in [&mut self.seen, &mut self.absent, &mut self.open] {
            list.sort_unstable();
            list.dedup();
        }
        let both: Vec<usize> = self.seen.iter().copied().filter(|s| self.absent.contains(s)).collect();
        self.seen.retain(|s| !both.contains(s));
        self.absent.retain(|s| !both.contains(s));
        self.open.extend(both);
        self
    }
}
