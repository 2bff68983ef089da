//! Causes with too little to show, without look-alikes, with a season of one day, or with something named twice.

use super::{Findings, Kind};
use crate::key::{Cause, Link, Nature, Pack, Window};

/// A cause with fewer effects than this can hardly be told by them.
const FEWEST_EFFECTS: usize = 3;

pub(super) fn check(pack: &Pack, findings: &mut Findings) {
    for (at, cause) in pack.causes.iter().enumerate() {
        let effects = cause.key.iter().filter(|l| pack.characters[l.character].nature != Nature::Circumstance).count();
        if effects < FEWEST_EFFECTS {
            findings.warning(Kind::FewEffects, &cause.id, format!("{effects} of {FEWEST_EFFECTS} effects"));
        }
        confusers(pack, at, cause, findings);
        twice(pack, at, cause, findings);
        if cause.window.is_one_day() {
            findings.warning(Kind::EmptySeason, &cause.id, "its season begins and ends on the same day");
        }
    }
    for block in &pack.guidance.blocks {
        if block.season.is_some_and(Window::is_one_day) {
            findings.warning(Kind::EmptySeason, &block.id, "its season begins and ends on the same day");
        }
    }
}

fn confusers(pack: &Pack, at: usize, cause: &Cause, findings: &mut Findings) {
    if cause.confusers.is_empty() {
        findings.warning(Kind::NoConfusers, &cause.id, "names nothing it is mistaken for");
    }
    for other in &cause.confusers {
        if *other == at {
            findings.warning(Kind::Twice, &cause.id, "names itself among what it is mistaken for");
        } else if !pack.causes[*other].confusers.contains(&at) {
            let text = format!("{} does not name it in turn", pack.causes[*other].id);
            findings.note(Kind::OneSidedConfuser, &cause.id, text);
        }
    }
}

fn twice(pack: &Pack, at: usize, cause: &Cause, findings: &mut Findings) {
    let mut named: Vec<&Link> = Vec::new();
    for link in cause.key.iter().chain(&cause.fits).chain(&cause.against) {
        if named.iter().any(|n| (n.character, n.state) == (link.character, link.state)) {
            let character = &pack.characters[link.character];
            let text = format!("names {}.{} twice", character.id, character.states[link.state].id);
            findings.warning(Kind::Twice, &cause.id, text);
        }
        named.push(link);
    }
    for (what, list) in [("hosts", &cause.hosts), ("confusers", &cause.confusers)] {
        if (1..list.len()).any(|i| list[..i].contains(&list[i])) {
            findings.warning(Kind::Twice, &cause.id, format!("names one of its {what} twice"));
        }
    }
    if let Some(other) = pack.causes[..at].iter().find(|c| c.name.en == cause.name.en) {
        findings.warning(Kind::Twice, &cause.id, format!("has the name of {}", other.id));
    }
}
