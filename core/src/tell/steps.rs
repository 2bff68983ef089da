//! Advice as it is told on the page: what to do now, when, when not, with what care.

use super::Speech;
use crate::{
    advice::{Advice, Step},
    key::{Pack, authored::BlockKind},
    letter::day,
};

/// Steps of one kind.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Told {
    /// What kind they are.
    pub head: String,
    /// What can hurt, and what not to do, stands in a frame of its own.
    pub care: bool,
    /// The steps.
    pub steps: Vec<String>,
}

const KINDS: [(BlockKind, &str, bool); 6] = [
    (BlockKind::Check, "key-steps-check", false),
    (BlockKind::Now, "key-steps-now", false),
    (BlockKind::When, "key-steps-later", false),
    (BlockKind::WhenNot, "key-steps-not", true),
    (BlockKind::Caution, "key-steps-care", true),
    (BlockKind::CallBack, "key-steps-call", false),
];

/// The advice, kind by kind; notes that always stand with it come last. Nothing but stops where they hold it back.
pub fn told(advice: &Advice, pack: &Pack, speech: &Speech<'_>) -> Vec<Told> {
    let mut kinds: Vec<Told> = KINDS
        .iter()
        .map(|(kind, head, care)| Told {
            head: speech.words.say(head),
            care: *care,
            steps: advice.steps.iter().filter(|s| s.kind == *kind).map(|s| step(s, advice, speech)).collect(),
        })
        .collect();
    if !advice.steps.is_empty() {
        let steps = advice.notes(pack, speech.words.0).into_iter().map(str::to_owned).collect();
        kinds.push(Told { head: speech.words.say("key-steps-mind"), care: true, steps });
    }
    kinds.retain(|kind| !kind.steps.is_empty());
    kinds
}

fn step(step: &Step, advice: &Advice, speech: &Speech<'_>) -> String {
    let text = advice.words(step, speech.words.0);
    match step.from {
        Some(from) => speech.words.with("key-step-from", [("day", &day(from, speech.words.0)), ("text", &text)]),
        None => text,
    }
}
