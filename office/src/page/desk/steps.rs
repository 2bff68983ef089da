//! Advice as it is told on the page: what to do now, when, when not, with what care.

use dooryard_core::{
    advice::{Advice, Step},
    key::{Blocks, Pack, authored::BlockKind},
    letter::day,
};

use super::speech::Speech;

/// Steps of one kind.
pub(super) struct Told {
    pub(super) head: String,
    /// What can hurt, and what not to do, stands in a frame of its own.
    pub(super) care: bool,
    pub(super) steps: Vec<String>,
}

const KINDS: [(BlockKind, &str, bool); 6] = [
    (BlockKind::Check, "desk-steps-check", false),
    (BlockKind::Now, "desk-steps-now", false),
    (BlockKind::When, "desk-steps-later", false),
    (BlockKind::WhenNot, "desk-steps-not", true),
    (BlockKind::Caution, "desk-steps-care", true),
    (BlockKind::CallBack, "desk-steps-call", false),
];

/// The advice, kind by kind; notes that always stand with it come last. Nothing but stops where they hold it back.
pub(super) fn told(advice: &Advice, pack: &Pack, speech: &Speech<'_>) -> Vec<Told> {
    let mut kinds: Vec<Told> = KINDS
        .iter()
        .map(|(kind, head, care)| Told {
            head: speech.frame.say(head),
            care: *care,
            steps: advice.steps.iter().filter(|s| s.kind == *kind).map(|s| step(s, advice, speech)).collect(),
        })
        .collect();
    if !advice.steps.is_empty() {
        let steps = advice.notes(pack, speech.language).into_iter().map(str::to_owned).collect();
        kinds.push(Told { head: speech.frame.say("desk-steps-mind"), care: true, steps });
    }
    kinds.retain(|kind| !kind.steps.is_empty());
    kinds
}

fn step(step: &Step, advice: &Advice, speech: &Speech<'_>) -> String {
    let text = advice.words(step, speech.language);
    match step.from {
        Some(from) => speech.frame.with("desk-step-from", [("day", &day(from, speech.language)), ("text", &text)]),
        None => text,
    }
}

/// Whether a stop holds this back.
pub(super) fn is_blocked(advice: &Advice, what: Blocks) -> bool {
    advice.stops.iter().any(|s| s.blocks.contains(&what))
}
