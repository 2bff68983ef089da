//! What one case says about every link and leak.

use super::{LearnCharacter, LearnSettings, Model, Outcome};
use crate::key::Status;
use std::collections::BTreeSet;

/// Counts of one chance.
#[derive(Clone, Copy, PartialEq, Default, Debug)]
pub struct Tally {
    /// Cases that say something about it.
    pub cases: u32,
    /// How many times it could have happened; below `cases` where states were hidden.
    pub trials: f64,
    /// How many times it happened, by responsibility.
    pub hits: f64,
}

/// Who is responsible for a state that was seen.
#[derive(Clone, PartialEq, Debug)]
pub struct Shares {
    /// By cause: the chance that it produced the state, alone or with others.
    pub causes: Vec<f64>,
    /// The chance that something unlisted did.
    pub leak: f64,
}

/// Responsibility for a seen state among causes that are there and each produce it with its chance, and a leak: in a
/// noisy-OR each produces the state by itself, so that `P(this one did | seen) = chance / (1 - (1 - leak) * product of
/// (1 - chance))`. This is the expectation step of one round of EM; chances are the pack's.
pub fn shares(chances: &[f64], leak: f64) -> Shares {
    let none: f64 = chances.iter().fold(1.0 - leak, |none, chance| none * (1.0 - chance));
    let seen = 1.0 - none;
    Shares { causes: chances.iter().map(|c| c / seen).collect(), leak: leak / seen }
}

impl Tally {
    /// Counts a case in which it happened or did not.
    pub(super) fn count(&mut self, happened: bool) {
        self.judge(if happened { Verdict::Seen } else { Verdict::NotSeen { weight: 1.0 } }, 1.0);
    }

    /// Counts what was seen by the share in it.
    fn judge(&mut self, verdict: Verdict, share: f64) {
        let (trial, hit) = match verdict {
            Verdict::Seen => (1.0, share),
            Verdict::NotSeen { weight } => (weight, 0.0),
            Verdict::Silent => return,
        };
        self.cases += 1;
        self.trials += trial;
        self.hits += hit;
    }
}

/// Counts of every link, `[cause][link]`, and of every leak, `[character][state]`.
pub(super) struct Tallies {
    pub links: Vec<Vec<Tally>>,
    pub leaks: Vec<Vec<Tally>>,
    /// What outcomes name and the model does not have.
    pub unknown: BTreeSet<String>,
}

/// What the findings on a character say about one of its states.
#[derive(Clone, Copy, PartialEq, Debug)]
enum Verdict {
    Seen,
    NotSeen { weight: f64 },
    Silent,
}

impl Tallies {
    /// Counts all outcomes.
    pub fn of(model: &Model, outcomes: &[Outcome], settings: &LearnSettings) -> Self {
        let mut tallies = Self {
            links: model.causes.iter().map(|c| vec![Tally::default(); c.links.len()]).collect(),
            leaks: model.characters.iter().map(|c| vec![Tally::default(); c.states.len()]).collect(),
            unknown: BTreeSet::new(),
        };
        outcomes.iter().for_each(|outcome| tallies.add(model, outcome, settings));
        tallies
    }

    fn add(&mut self, model: &Model, outcome: &Outcome, settings: &LearnSettings) {
        if !model.hosts.contains(&outcome.host) {
            self.unknown.insert(format!("host {}", outcome.host));
        }
        let mut present = Vec::new();
        for confirmed in &outcome.causes {
            let Some(cause) = model.cause_index(&confirmed.cause) else {
                self.unknown.insert(format!("cause {}", confirmed.cause));
                continue;
            };
            present.push(cause);
        }
        for (character, findings) in self.looked(model, outcome) {
            for state in 0..findings.states.len() {
                let verdict = findings.verdict(state, settings);
                self.count(model, &present, (character, state), verdict);
            }
        }
    }

    /// The findings by character; names that the model does not have are noted.
    fn looked<'a>(&mut self, model: &'a Model, outcome: &Outcome) -> Vec<(usize, Findings<'a>)> {
        let mut looked: Vec<(usize, Findings)> = Vec::new();
        for finding in &outcome.findings {
            let Some(character) = model.character_index(&finding.character) else {
                self.unknown.insert(format!("character {}", finding.character));
                continue;
            };
            let Some(id) = &finding.state else { continue };
            let kept = &model.characters[character];
            let Some(state) = kept.state_index(id) else {
                self.unknown.insert(format!("state {}.{id}", finding.character));
                continue;
            };
            let at = looked.iter().position(|(c, _)| *c == character).unwrap_or_else(|| {
                looked.push((character, Findings::none(kept)));
                looked.len() - 1
            });
            looked[at].1.states[state].push(finding.status);
        }
        looked
    }

    fn count(&mut self, model: &Model, present: &[usize], (character, state): (usize, usize), verdict: Verdict) {
        let kept = &model.characters[character];
        if kept.states[state].normal || kept.states[state].not_known || verdict == Verdict::Silent {
            return;
        }
        let producers: Vec<(usize, f64)> =
            present.iter().filter_map(|cause| Some((*cause, model.causes[*cause].chance(character, state)?))).collect();
        let leak = kept.states[state].leak;
        let chances: Vec<f64> = producers.iter().map(|(_, chance)| *chance).collect();
        let shares = if kept.circumstance {
            // Nothing produces a circumstance: it comes beside each cause for itself, and its base rate is that without.
            Shares { causes: chances.iter().map(|c| shares(&[*c], leak).causes[0]).collect(), leak: 1.0 }
        } else {
            shares(&chances, leak)
        };
        for ((cause, _), share) in producers.iter().zip(shares.causes) {
            let links = &model.causes[*cause].links;
            if let Some(link) = links.iter().position(|l| (l.character, l.state) == (character, state)) {
                self.links[*cause][link].judge(verdict, share);
            }
        }
        if !kept.circumstance || producers.is_empty() {
            self.leaks[character][state].judge(verdict, shares.leak);
        }
    }
}

/// The findings on one character.
struct Findings<'a> {
    character: &'a LearnCharacter,
    /// By state: everything that was said about it.
    states: Vec<Vec<Status>>,
}

impl<'a> Findings<'a> {
    fn none(character: &'a LearnCharacter) -> Self {
        Self { character, states: vec![Vec::new(); character.states.len()] }
    }

    /// Whether a state was said to be there or not; nothing where nobody could tell or two people differ.
    fn said(&self, state: usize) -> Option<bool> {
        let has = |status| self.states[state].contains(&status);
        match (has(Status::Seen), has(Status::Absent)) {
            (true, false) => Some(true),
            (false, true) => Some(false),
            _ => None,
        }
    }

    fn seen(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.states.len()).filter(|s| self.said(*s) == Some(true))
    }

    /// A state that was passed over while others were picked counts as not seen: a chance is that of the state being
    /// reported where somebody looked.
    fn verdict(&self, state: usize, settings: &LearnSettings) -> Verdict {
        let seen: Vec<usize> = self.seen().collect();
        if seen.iter().any(|s| self.character.states[*s].not_known) {
            return Verdict::Silent;
        }
        let normal_only = seen.len() == 1 && self.character.states[seen[0]].normal;
        match self.said(state) {
            // Two picked in a single choice mean that one of them holds.
            Some(true) if !self.character.several && seen.len() > 1 => Verdict::Silent,
            Some(true) => Verdict::Seen,
            Some(false) => Verdict::NotSeen { weight: 1.0 },
            None if seen.is_empty() || !self.states[state].is_empty() => Verdict::Silent,
            None if normal_only || self.character.several => Verdict::NotSeen { weight: 1.0 },
            None => Verdict::NotSeen { weight: settings.hidden },
        }
    }
}
