//! What to tell: from the differential and the situation to steps, none of which is surer than the evidence.
//!
//! Steps come from the advice groups of the causes and from the causes' own words. What contradicts itself is taken out
//! and a check is told instead, unless a finding has settled it. Stops come first and take out what they block.

mod choose;
mod conflicts;
#[cfg(test)]
mod tests;

use crate::{
    Result, danger,
    key::{
        Band, Blocks, Differential, Escalate, Language, Observations, Pack, ProbabilityWord, RaisedStop, Role, Status,
        StopKind, Text,
        authored::BlockKind,
        guidance::{FollowUp, Needs},
    },
};
use serde::Serialize;

/// What is known beside the findings. There is no advice without one, and none without the words that came with the
/// inquiry: they are read for danger before anything is told.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Situation {
    /// Ids of the acts that were done already.
    pub done: Vec<String>,
    /// Ids of stops raised by anything but a finding (a safety question, words that were read, a person), with what did.
    raised: Vec<(String, String)>,
    /// Whether a laboratory has confirmed a cause: its id.
    pub confirmed: Option<String>,
}

/// What raised a stop that the record of an inquiry holds already.
const RECORD: &str = "record";

impl Situation {
    /// The situation of an inquiry: every text that came with it (the resident's words, what somebody wrote down), and the
    /// ids of the stops that its record holds.
    pub fn new<'a>(words: impl IntoIterator<Item = &'a str>, held: impl IntoIterator<Item = &'a str>) -> Self {
        let mut new = Self { done: Vec::new(), raised: Vec::new(), confirmed: None };
        held.into_iter().for_each(|stop| new.raise(stop, RECORD));
        words.into_iter().for_each(|text| new.hear(text));
        new
    }

    /// Stops raised by anything but a finding, as (id, what raised it), in the order in which they were.
    pub fn raised(&self) -> &[(String, String)] {
        &self.raised
    }

    /// The stops raised by anything but a finding, in the order in which they are shown. They need no plant.
    pub fn stops(&self, pack: &Pack) -> Vec<RaisedStop> {
        let raised: Vec<(&str, String)> = self.raised.iter().map(|(id, why)| (id.as_str(), why.clone())).collect();
        pack.stops_for(&raised)
    }

    /// Takes over words that came later: raises the stops for the dangers they speak of.
    pub fn hear(&mut self, words: &str) {
        for danger in danger::read(words) {
            self.raise(danger.stop, &danger.phrase);
        }
    }

    /// Raises a stop, with what did; the same again changes nothing, and none is ever taken away.
    pub fn raise(&mut self, stop: &str, because: &str) {
        let new = (stop.to_owned(), because.to_owned());
        if !self.raised.contains(&new) {
            self.raised.push(new);
        }
    }
}

/// What to tell.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Advice {
    /// Which content it comes from.
    pub content_version: String,
    /// The stops that stand, in the order in which they are shown: before everything else.
    pub stops: Vec<RaisedStop>,
    /// The causes that may be named, best first; none while a stop blocks naming, or while nothing is likely.
    pub causes: Vec<AdvisedCause>,
    /// Causes that are also possible and may be told as such.
    pub possible: Vec<AdvisedCause>,
    /// The steps: by kind, then by the harm that following them avoids.
    pub steps: Vec<Step>,
    /// What was taken out because it contradicted itself.
    pub contradictions: Vec<Contradiction>,
    /// Who has to answer before more than general care goes out: the strictest of the causes told.
    pub escalate: Escalate,
    /// Whether the findings do not settle it.
    pub look_again: bool,
    /// Whether something weakened the plant first, and nobody knows what.
    pub stress_unknown: bool,
    /// What is asked later: that of the weightiest group.
    pub follow_up: Option<FollowUp>,
}

/// A cause that is told.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct AdvisedCause {
    /// Id of the cause.
    pub cause: String,
    /// What people read.
    pub name: Text,
    /// Chance that it is there.
    pub probability: f64,
    /// The word for it; "nearly certain" only with a sign or a laboratory result.
    pub word: ProbabilityWord,
    /// Its part.
    pub role: Role,
    /// Id of its advice group.
    pub group: String,
}

/// One step.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Step {
    /// Where it stands.
    pub kind: BlockKind,
    /// Id of the block, or `cause.do` and `cause.dont` for a cause's own words.
    pub id: String,
    /// The words.
    pub text: Text,
    /// First day (month, day) on which it can be done, when that is not now.
    pub from: Option<(u8, u8)>,
    /// Harm that following it avoids, 1 to 5.
    pub harm: u8,
    #[serde(skip)]
    acts: Vec<usize>,
}

/// Advice that contradicted itself.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct Contradiction {
    /// Ids of the acts.
    pub acts: Vec<String>,
    /// Id of the act that a finding settled it for; otherwise the check is told.
    pub settled: Option<String>,
    /// Id of the block that is told instead.
    pub check: String,
}

impl Advice {
    /// The advice for a plant.
    ///
    /// # Errors
    /// As [`Differential::new`].
    pub fn new(pack: &Pack, observations: &Observations, situation: &Situation) -> Result<Self> {
        let found = pack.differential(observations)?;
        Ok(Self::of(pack, observations, &found, situation))
    }

    /// The advice for a plant whose differential is there.
    pub fn of(pack: &Pack, observations: &Observations, found: &Differential, situation: &Situation) -> Self {
        Self::telling(pack, observations, found, situation, |_| true)
    }

    /// As [`Advice::of`], where a person chose which of the causes are told, by id. No choice takes a stop away, nor who
    /// has to answer first.
    pub fn telling(
        pack: &Pack,
        observations: &Observations,
        found: &Differential,
        situation: &Situation,
        chosen: impl Fn(&str) -> bool,
    ) -> Self {
        let stops = stops(pack, observations, found, situation);
        let blocked = |what: Blocks| stops.iter().any(|s| s.blocks.contains(&what));
        let mut told = if blocked(Blocks::Diagnosis) { Vec::new() } else { told(pack, found, situation) };
        told.retain(|t| t.cause.escalate != Escalate::Regulated);
        let escalate = strictest(&told, &stops);
        told.retain(|t| chosen(&t.cause.id));
        let mut steps = choose::steps(pack, observations, &told, situation);
        let contradictions = conflicts::resolve(pack, observations, &mut steps);
        if blocked(Blocks::Advice) {
            steps.clear();
        }
        steps.sort_by(|a, b| a.kind.cmp(&b.kind).then(b.harm.cmp(&a.harm)));
        let likely = |t: &&Told<'_>| t.evidence >= Needs::Likely;
        let stressed = told.iter().filter(likely).any(|t| t.cause.role == Role::StressTriggered);
        let explained = told.iter().filter(likely).any(|t| t.cause.role == Role::Environment);
        Self {
            content_version: pack.content_version(),
            causes: told.iter().filter(likely).map(|t| t.advised(pack)).collect(),
            possible: told.iter().filter(|t| !likely(t)).map(|t| t.advised(pack)).collect(),
            escalate,
            look_again: found.look_again,
            stress_unknown: stressed && !explained,
            follow_up: choose::follow_up(pack, &told),
            stops,
            steps,
            contradictions,
        }
    }

    /// The words of a step. Where several causes are told, a cause's own words begin with its name.
    pub fn words(&self, step: &Step, language: Language) -> String {
        let text = step.text.get(language);
        let own = |c: &&AdvisedCause| step.id.split_once('.').is_some_and(|(cause, _)| cause == c.cause);
        match self.causes.iter().find(own).filter(|_| self.causes.len() > 1) {
            Some(cause) => format!("{}: {text}", cause.name.get(language)),
            None => text.to_owned(),
        }
    }

    /// The notes that stand on every letter with these steps, in the order in which they are shown.
    pub fn notes<'p>(&self, pack: &'p Pack, language: Language) -> Vec<&'p str> {
        let about_label = |s: &Step| {
            let text = s.text.get(language).to_lowercase();
            text.contains("label") || text.contains("etiqueta")
        };
        let labels = self.steps.iter().any(about_label);
        let wanted =
            |id: &str| (labels && ["label_is_law", "no_brand", "bees_water"].contains(&id)) || ALWAYS.contains(&id);
        let notes = pack.stops.iter().filter(|s| s.kind == StopKind::Note && wanted(&s.id));
        notes.map(|s| s.text.get(language)).collect()
    }
}

/// Notes printed on every letter.
const ALWAYS: [&str; 2] = ["model_limits", "records_law"];

/// A cause that is told, with the evidence for it.
struct Told<'p> {
    cause: &'p crate::key::Cause,
    probability: f64,
    word: ProbabilityWord,
    evidence: Needs,
    /// Whether its own steps may go out: a laboratory has to answer first for some.
    open: bool,
}

impl Told<'_> {
    fn advised(&self, pack: &Pack) -> AdvisedCause {
        AdvisedCause {
            cause: self.cause.id.clone(),
            name: self.cause.name.clone(),
            probability: self.probability,
            word: self.word,
            role: self.cause.role,
            group: pack.guidance.groups[self.cause.group].id.clone(),
        }
    }
}

/// The causes that are told, best first: those named, then those also possible.
fn told<'p>(pack: &'p Pack, found: &Differential, situation: &Situation) -> Vec<Told<'p>> {
    let mut told = Vec::new();
    for ranked in &found.ranked {
        let Some(cause) = pack.cause(&ranked.cause) else { continue };
        let evidence = match ranked.band {
            Band::Likely if found.named.contains(&ranked.cause) => {
                if ranked.word >= ProbabilityWord::VeryLikely && !found.look_again {
                    Needs::VeryLikely
                } else {
                    Needs::Likely
                }
            }
            Band::Likely | Band::Possible => Needs::Possible,
            Band::Listed | Band::Idle => continue,
        };
        let confirmed = situation.confirmed.as_ref() == Some(&cause.id);
        let open = cause.escalate != Escalate::Lab || confirmed;
        told.push(Told { cause, probability: ranked.probability, word: ranked.word, evidence, open });
    }
    told
}

/// The stops of findings, of the situation, and of a regulated suspect among the causes.
fn stops(pack: &Pack, observations: &Observations, found: &Differential, situation: &Situation) -> Vec<RaisedStop> {
    let mut raised: Vec<(&str, String)> = situation.raised.iter().map(|(id, why)| (id.as_str(), why.clone())).collect();
    for finding in observations.findings.iter().filter(|f| f.status == Status::Seen) {
        let state = finding.state.as_deref().unwrap_or_default();
        let states = pack.character(&finding.character).map(|c| c.states.as_slice()).unwrap_or_default();
        for stop in states.iter().filter(|s| s.id == state).flat_map(|s| &s.stops) {
            raised.push((stop, format!("{}.{state}", finding.character)));
        }
    }
    let suspect = |r: &&crate::key::RankedCause| {
        r.escalate == Escalate::Regulated && matches!(r.band, Band::Likely | Band::Possible)
    };
    if found.ranked.iter().any(|r| suspect(&r)) {
        raised.push(("regulated_suspect", "differential".into()));
    }
    pack.stops_for(&raised)
}

fn strictest(told: &[Told<'_>], stops: &[RaisedStop]) -> Escalate {
    if stops.iter().any(|s| s.blocks.contains(&Blocks::Diagnosis)) {
        return Escalate::Regulated;
    }
    told.iter().map(|t| t.cause.escalate).max().unwrap_or(Escalate::None)
}
