//! Described cases: what was found on a plant, and what was truly the trouble. The key is measured on them.

use super::{Observation, Observations, Status};
use crate::{Code, Error, Result};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A described case.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Case {
    /// Id.
    pub id: String,
    /// Id of the host.
    pub host: String,
    /// Day of the look, `MM-DD`.
    pub date: String,
    /// What was found, by id of the character. A character that is not there was not looked at.
    #[serde(default)]
    pub findings: BTreeMap<String, Looks>,
    /// The true causes.
    #[serde(default)]
    pub truth: Vec<Truth>,
    /// `firm`, or `thin` when the findings do not settle it.
    #[serde(default)]
    pub truth_confidence: String,
    /// Ids of causes that it would be harmful to name.
    #[serde(default)]
    pub must_not: Vec<String>,
}

/// What was found on one character.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
pub struct Looks {
    /// Ids of the states that are there.
    #[serde(default)]
    pub seen: Vec<String>,
    /// Ids of the states that were looked for and are not there.
    #[serde(default)]
    pub absent: Vec<String>,
    /// Whether somebody looked and could not tell.
    #[serde(default)]
    pub unsure: bool,
}

/// A true cause.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub struct Truth {
    /// Id of the cause.
    pub id: String,
    /// Its part.
    pub role: TruthRole,
}

/// The part of a true cause in the trouble.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TruthRole {
    /// It is what the trouble is.
    Primary,
    /// It stressed the plant first.
    Stress,
    /// It followed.
    Secondary,
}

impl Case {
    /// The cases in a YAML text.
    ///
    /// # Errors
    /// `SCHEMA` with where and why the text is not in its form, or with an id that stands twice.
    pub fn read(text: &str) -> Result<Vec<Self>> {
        let cases: Vec<Self> = serde_saphyr::from_str(text).map_err(|e| Error::refused(Code::Schema, e.to_string()))?;
        let mut ids: Vec<&str> = cases.iter().map(|c| c.id.as_str()).collect();
        ids.sort_unstable();
        match ids.windows(2).find(|pair| pair[0] == pair[1]) {
            Some(pair) => Err(Error::refused(Code::Schema, format!("case {} is there twice", pair[0]))),
            None => Ok(cases),
        }
    }

    /// What was observed.
    ///
    /// # Errors
    /// `SCHEMA` if the date is none.
    pub fn observations(&self) -> Result<Observations> {
        let date = self.date.split_once('-').and_then(|(m, d)| Some((m.parse().ok()?, d.parse().ok()?)));
        let date = date.ok_or_else(|| {
            Error::refused(Code::Schema, format!("{}: {:?} is not a date in the form 06-20", self.id, self.date))
        })?;
        let mut findings = Vec::new();
        for (character, looks) in &self.findings {
            findings.extend(looks.seen.iter().map(|s| Observation::new(character, s, Status::Seen)));
            findings.extend(looks.absent.iter().map(|s| Observation::new(character, s, Status::Absent)));
            if looks.unsure {
                findings.push(Observation { character: character.clone(), state: None, status: Status::Unsure });
            }
        }
        Ok(Observations { host: self.host.clone(), date, findings })
    }

    /// Whether it is one of the primary causes.
    pub fn is_primary(&self, cause: &str) -> bool {
        self.truth.iter().any(|t| t.role == TruthRole::Primary && t.id == cause)
    }

    /// Whether the findings do not settle it.
    pub fn is_thin(&self) -> bool {
        self.truth_confidence == "thin"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_case_that_is_there_twice_or_has_no_date_is_refused() {
        let twice = "- {id: a, host: maple, date: 06-20}\n- {id: a, host: maple, date: 06-21}\n";
        assert!(Case::read(twice).unwrap_err().to_string().contains("case a is there twice"));
        let cases = Case::read("- {id: a, host: maple, date: summer}\n").unwrap();
        assert!(cases[0].observations().unwrap_err().to_string().contains("not a date"));
    }
}
