//! Advice that contradicts itself: taken out, and a check told instead.

use super::{Contradiction, Step};
use crate::key::{Observations, Pack, Status, authored::BlockKind, guidance::Conflict};

/// Takes every contradiction out of the steps. A finding that settles one keeps the steps of the act it speaks for.
pub(super) fn resolve(pack: &Pack, observations: &Observations, steps: &mut Vec<Step>) -> Vec<Contradiction> {
    let mut found = Vec::new();
    for conflict in &pack.guidance.conflicts {
        let asked = |act: &usize, steps: &[Step]| steps.iter().any(|s| s.acts.contains(act));
        let clashing: Vec<usize> = conflict.acts.iter().copied().filter(|act| asked(act, steps)).collect();
        if clashing.len() < 2 {
            continue;
        }
        let settled = settled(pack, observations, conflict);
        let out = |s: &Step| s.acts.iter().any(|act| clashing.contains(act) && settled != Some(*act));
        let harm = steps.iter().filter(|s| out(s)).map(|s| s.harm).max().unwrap_or(1);
        steps.retain(|s| !out(s));
        let check = &pack.guidance.blocks[conflict.check];
        if settled.is_none() && !steps.iter().any(|s| s.id == check.id) {
            steps.push(Step {
                kind: BlockKind::Check,
                id: check.id.clone(),
                text: check.text.clone(),
                from: None,
                harm,
                acts: Vec::new(),
            });
        }
        let id = |act: &usize| pack.guidance.acts[*act].id.clone();
        found.push(Contradiction {
            acts: clashing.iter().map(id).collect(),
            settled: settled.as_ref().map(id),
            check: check.id.clone(),
        });
    }
    found
}

/// The act that the findings settle it for: the first of the conflict's own list that was seen.
fn settled(pack: &Pack, observations: &Observations, conflict: &Conflict) -> Option<usize> {
    let seen = |character: usize, state: usize| {
        let character = &pack.characters[character];
        let state = Some(character.states[state].id.as_str());
        let mut findings = observations.findings.iter();
        findings.any(|f| f.status == Status::Seen && f.character == character.id && f.state.as_deref() == state)
    };
    conflict.settled_by.iter().find(|(c, s, _)| seen(*c, *s)).map(|(.., act)| *act)
}
