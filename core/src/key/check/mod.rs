//! What a person should look at in a pack that can be read.
//!
//! Comes in: the content. Goes out: findings in the order of weight. Errors are what must not be given out; warnings are
//! what is probably a mistake; notes are what may be meant. Content that cannot be read at all is one error for each
//! problem, and nothing more is looked at.

mod advice;
mod alike;
mod causes;
mod states;
mod stops;
#[cfg(test)]
mod tests;
mod texts;

pub use alike::{ALIKE_BELOW, separability};

use super::{Pack, PackProblems, Source};
use serde::Serialize;

/// How much a finding weighs.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// It must not be given out like this.
    Error,
    /// It is probably a mistake.
    Warning,
    /// It may be meant.
    Note,
}

/// What a finding is about.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// The content cannot be read.
    Unreadable,
    /// Advice for which the evidence it asks for is too weak.
    AdviceTooStrong,
    /// A word that must not be there: a rate, a kitchen measure, a brand.
    ForbiddenWord,
    /// A cause that waits for somebody, and whose group has nothing to tell meanwhile.
    NothingToTell,
    /// Causes that no finding tells apart.
    Alike,
    /// A cause that too few findings can show.
    FewEffects,
    /// A cause that names no confuser.
    NoConfusers,
    /// A confuser that does not name the cause in turn.
    OneSidedConfuser,
    /// A state that nothing is made of.
    DeadState,
    /// A character that nothing is made of.
    UnusedCharacter,
    /// A circumstance that causes name, without a word for how often it is so anyway.
    NoBaseRate,
    /// A season of a single day.
    EmptySeason,
    /// Something that is there twice.
    Twice,
    /// A step that no group and no contradiction tells.
    UnusedBlock,
    /// A stop that nothing raises.
    UnreachableStop,
    /// A text without a translation.
    NoTranslation,
    /// A translation of something that is not there.
    TranslationOfNothing,
}

impl Kind {
    /// What it is, as a heading.
    pub fn heading(self) -> &'static str {
        match self {
            Self::Unreadable => "cannot be read",
            Self::AdviceTooStrong => "advice stronger than the evidence it asks for",
            Self::ForbiddenWord => "words that must not be there",
            Self::NothingToTell => "nothing to tell while somebody else has to answer",
            Self::Alike => "causes that no finding tells apart",
            Self::FewEffects => "causes that too few findings can show",
            Self::NoConfusers => "causes without look-alikes",
            Self::OneSidedConfuser => "look-alikes named one way only",
            Self::DeadState => "states that nothing is made of",
            Self::UnusedCharacter => "characters that nothing is made of",
            Self::NoBaseRate => "circumstances without a base rate",
            Self::EmptySeason => "seasons of a single day",
            Self::Twice => "there twice",
            Self::UnusedBlock => "steps that are never told",
            Self::UnreachableStop => "stops that nothing raises",
            Self::NoTranslation => "without a translation",
            Self::TranslationOfNothing => "translations of nothing",
        }
    }
}

/// One thing to look at.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize)]
pub struct Finding {
    /// How much it weighs.
    pub severity: Severity,
    /// What it is about.
    pub kind: Kind,
    /// Where it stands: an id, or `character.state`.
    pub place: String,
    /// What is to be said of it, in a few words.
    pub text: String,
}

/// All findings of one pack.
#[derive(Debug, Default)]
struct Findings(Vec<Finding>);

impl Findings {
    fn add(&mut self, severity: Severity, kind: Kind, place: impl Into<String>, text: impl Into<String>) {
        self.0.push(Finding { severity, kind, place: place.into(), text: text.into() });
    }

    fn error(&mut self, kind: Kind, place: impl Into<String>, text: impl Into<String>) {
        self.add(Severity::Error, kind, place, text);
    }

    fn warning(&mut self, kind: Kind, place: impl Into<String>, text: impl Into<String>) {
        self.add(Severity::Warning, kind, place, text);
    }

    fn note(&mut self, kind: Kind, place: impl Into<String>, text: impl Into<String>) {
        self.add(Severity::Note, kind, place, text);
    }
}

/// Everything that should be looked at, errors first, then by kind and place.
pub fn check(source: &Source) -> Vec<Finding> {
    let mut findings = Findings::default();
    match Pack::from_source(source.clone()) {
        Ok(pack) => {
            advice::check(&pack, &mut findings);
            alike::check(&pack, &mut findings);
            causes::check(&pack, &mut findings);
            states::check(&pack, &mut findings);
            stops::check(&pack, &mut findings);
            texts::check(&pack, source, &mut findings);
        }
        Err(problems) => return of_problems(problems),
    }
    findings.0.sort();
    findings.0.dedup();
    findings.0
}

/// The problems of content that cannot be read, as findings.
pub fn of_problems(problems: PackProblems) -> Vec<Finding> {
    let mut findings = Findings::default();
    for problem in problems.0 {
        findings.error(Kind::Unreadable, "", problem.to_string());
    }
    findings.0
}
