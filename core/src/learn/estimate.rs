//! The changes that the cases speak for.

use super::{Change, LearnSettings, Model, Outcome, Place, posterior, priors, tally::Tallies};
use std::collections::BTreeSet;

/// The changes that the outcomes speak for, links first, then leaks and priors, each in the order of the model; and what
/// outcomes name and the model does not have.
pub(super) fn changes(
    model: &Model,
    outcomes: &[Outcome],
    settings: &LearnSettings,
) -> (Vec<Change>, BTreeSet<String>) {
    let tallies = Tallies::of(model, outcomes, settings);
    let mut changes = Vec::new();
    let mut add = |place: Place, old: f64, tally| {
        let estimate = posterior(old, settings.prior_cases, tally, settings.interval);
        changes.extend(Change::at(place, old, estimate, tally, model, settings));
    };
    let name = |character: usize, state: usize| {
        let kept = &model.characters[character];
        (kept.id.clone(), kept.states[state].id.clone())
    };
    for (cause, tallies) in model.causes.iter().zip(&tallies.links) {
        for (link, tally) in cause.links.iter().zip(tallies) {
            let (character, state) = name(link.character, link.state);
            add(Place::Link { cause: cause.id.clone(), character, state }, link.chance, *tally);
        }
    }
    for (at, tallies) in tallies.leaks.iter().enumerate() {
        for (state, tally) in tallies.iter().enumerate() {
            let leak = model.characters[at].states[state].leak;
            let (character, state) = name(at, state);
            add(Place::Leak { character, state }, leak, *tally);
        }
    }
    changes.extend(priors::changes(model, outcomes, settings));
    (changes, tallies.unknown)
}
