//! Advice that asks for too little evidence, that leaves somebody without a word, or that is never told.

use super::{Findings, Kind};
use crate::key::{
    Escalate, Pack,
    authored::{BlockKind, Needs},
};

/// Acts that cannot be undone. Steps that ask for one of them need [`Needs::VeryLikely`].
const IRREVERSIBLE: [&str; 1] = ["remove_plant"];

pub(super) fn check(pack: &Pack, findings: &mut Findings) {
    let guidance = &pack.guidance;
    for (at, block) in guidance.blocks.iter().enumerate() {
        // A check or a caution that speaks of an act does not ask for it.
        let asks = matches!(block.kind, BlockKind::Now | BlockKind::When);
        let acts = block.acts.iter().map(|a| guidance.acts[*a].id.as_str());
        for act in acts.filter(|act| asks && IRREVERSIBLE.contains(act) && block.needs < Needs::VeryLikely) {
            let text = format!("asks for {act}, which cannot be undone, and needs less than \"very likely\"");
            findings.error(Kind::AdviceTooStrong, &block.id, text);
        }
        let told = guidance.groups.iter().any(|g| g.blocks.contains(&at));
        if !told && !guidance.conflicts.iter().any(|c| c.check == at) {
            findings.warning(Kind::UnusedBlock, &block.id, "no group tells it and no contradiction is settled by it");
        }
    }
    for group in &guidance.groups {
        let mut seen = Vec::new();
        for block in &group.blocks {
            if seen.contains(block) {
                let text = format!("tells {} twice", guidance.blocks[*block].id);
                findings.warning(Kind::Twice, &group.id, text);
            }
            seen.push(*block);
        }
    }
    // Of a regulated suspect nothing is told at all: its stop speaks.
    for cause in pack.causes.iter().filter(|c| c.escalate == Escalate::Lab) {
        let group = &guidance.groups[cause.group];
        let harmless = |b: &usize| guidance.blocks[*b].needs == Needs::Possible;
        if !group.blocks.iter().any(harmless) {
            let text = format!("{} has no step that needs no more than \"possible\"", group.id);
            findings.warning(Kind::NothingToTell, &cause.id, text);
        }
    }
}
