//! Cases whose cause was confirmed.

use crate::key::Observation;
use serde::{Deserialize, Serialize};
use std::{collections::HashSet, fmt};

/// A case whose causes a reviewer or a laboratory confirmed. Stored as one JSON object a line.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Outcome {
    /// The case; no two outcomes have the same.
    pub id: String,
    /// Id of the host.
    pub host: String,
    /// Day of the look.
    pub date: jiff::civil::Date,
    /// What was looked at, and what was found.
    #[serde(default)]
    pub findings: Vec<Observation>,
    /// The causes that were confirmed, the main one first; none if it was confirmed that no listed cause is there.
    pub causes: Vec<Confirmed>,
    /// What was stated before it was confirmed, best first; none if nothing was.
    #[serde(default)]
    pub stated: Vec<Stated>,
    /// Role id of the scout who looked.
    #[serde(default)]
    pub scout: Option<String>,
}

/// A cause that was confirmed.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Confirmed {
    /// Id of the cause.
    pub cause: String,
    /// On what ground.
    pub basis: Basis,
}

/// The ground of a confirmation.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// A reviewer agreed or corrected.
    Reviewed,
    /// A laboratory result.
    Laboratory,
}

/// A cause with the chance that was stated for it.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stated {
    /// Id of the cause.
    pub cause: String,
    /// Chance that it is there, alone or with others; from 0 to 1.
    pub probability: f64,
}

/// What is wrong with one line of outcomes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OutcomeProblem {
    /// The line, counted from 1.
    pub line: usize,
    /// What is wrong.
    pub why: String,
}

/// Everything that is wrong with a file of outcomes; nothing of it was used.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OutcomeProblems(pub Vec<OutcomeProblem>);

impl fmt::Display for OutcomeProblems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown: Vec<String> = self.0.iter().take(10).map(|p| format!("line {}: {}", p.line, p.why)).collect();
        f.write_str(&shown.join("; "))?;
        match self.0.len().saturating_sub(10) {
            0 => Ok(()),
            more => write!(f, "; and {more} more"),
        }
    }
}

impl std::error::Error for OutcomeProblems {}

impl Outcome {
    /// Reads outcomes, one JSON object a line; empty lines are passed over.
    ///
    /// # Errors
    /// Every line that is not in its form, names a case, a confirmed or a stated cause twice, or states a chance that is
    /// none.
    pub fn read_lines(text: &str) -> Result<Vec<Self>, OutcomeProblems> {
        let (mut outcomes, mut problems) = (Vec::<Self>::new(), Vec::new());
        let mut cases = HashSet::new();
        for (at, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
            let mut wrong = |why: String| problems.push(OutcomeProblem { line: at + 1, why });
            match serde_json::from_str::<Self>(line) {
                Err(e) => wrong(e.to_string()),
                Ok(outcome) => {
                    outcome.problems().into_iter().for_each(&mut wrong);
                    if !cases.insert(outcome.id.clone()) {
                        wrong(format!("case {} is there twice", outcome.id));
                    }
                    outcomes.push(outcome);
                }
            }
        }
        if problems.is_empty() { Ok(outcomes) } else { Err(OutcomeProblems(problems)) }
    }

    fn problems(&self) -> Vec<String> {
        let mut problems = Vec::new();
        let (mut confirmed, mut stated) = (HashSet::new(), HashSet::new());
        let twice = self.causes.iter().map(|c| &c.cause).filter(|c| !confirmed.insert(*c));
        let twice = twice.chain(self.stated.iter().map(|s| &s.cause).filter(|c| !stated.insert(*c)));
        problems.extend(twice.map(|c| format!("cause {c} is there twice")));
        let outside = self.stated.iter().filter(|s| !(0.0..=1.0).contains(&s.probability));
        problems.extend(outside.map(|s| format!("the chance of {} is not from 0 to 1", s.cause)));
        problems
    }

    /// Whether the cause was confirmed.
    pub fn has(&self, cause: &str) -> bool {
        self.causes.iter().any(|c| c.cause == cause)
    }
}
