//! How circumstances (site, weather, history) shift the odds of causes. They are never effects: a cause does not produce
//! the weather.

use super::causes::find;
use super::evidence::{Evidence, evidence};
use super::hazard::{added_hazards, base_hazards, base_rate, chance};
use super::{Cause, Character, Nature, Pack, Said, Settings, observe::Looked};

/// One circumstance, and what it does to the odds.
#[derive(Debug)]
pub(super) struct Shift {
    pub character: usize,
    pub said: Said,
    /// The states that were spoken of.
    pub states: Vec<usize>,
    /// By position among the candidates: natural log of the factor on the odds.
    pub factors: Vec<(usize, f64)>,
}

/// The shifts of all findings on circumstances, in the order of the pack.
pub(super) fn shifts(pack: &Pack, candidates: &[&Cause], looked: &[Looked], settings: &Settings) -> Vec<Shift> {
    looked.iter().filter_map(|one| shift_of(pack, candidates, one, settings)).collect()
}

/// The shift of the findings on one character; nothing if it is no circumstance, or if they say nothing.
pub(super) fn shift_of(pack: &Pack, candidates: &[&Cause], looked: &Looked, settings: &Settings) -> Option<Shift> {
    let character = &pack.characters[looked.character];
    if character.nature != Nature::Circumstance {
        return None;
    }
    let found = evidence(character, looked);
    let base = base_hazards(character, settings);
    let at = (looked.character, character);
    let (said, states) = match &found {
        Evidence::Nothing => return None,
        Evidence::OneOf { said, named, .. } => (*said, named.clone()),
        Evidence::Normal => (Said::Seen, vec![character.normal]),
        Evidence::Several { seen, absent, .. } if seen.is_empty() => (Said::Absent, absent.clone()),
        Evidence::Several { seen, .. } => (Said::Seen, seen.clone()),
    };
    let (low, high) = settings.circumstance_limits;
    let factors = candidates.iter().enumerate().filter_map(|(i, cause)| {
        let named = if said == Said::Seen { states.as_slice() } else { &[] };
        let factor = factor(cause, at, &found, named, &base, settings)?.clamp(low, high).ln();
        (factor != 0.0).then_some((i, factor))
    });
    Some(Shift { character: looked.character, said, factors: factors.collect(), states })
}

/// The factor on the odds of one cause, before it is held to its limits; nothing if the cause says nothing about it.
/// `seen` are the states seen.
fn factor(
    cause: &Cause,
    at: (usize, &Character),
    found: &Evidence,
    seen: &[usize],
    base: &[f64],
    settings: &Settings,
) -> Option<f64> {
    let (index, character) = at;
    let added = added_hazards(cause, at, settings);
    let mut factor = added.as_ref().map(|added| likelihood_ratio(character, found, base, added));
    for state in seen {
        let rate = base_rate(character, *state, base).max(settings.base_floor);
        if let Some(chance) = find(&cause.fits, index, *state).filter(|_| added.is_none()) {
            factor = Some(factor.unwrap_or(1.0) * chance / rate);
        }
        if let Some(chance) = find(&cause.against, index, *state) {
            factor = Some(factor.unwrap_or(1.0).min((chance / rate).min(1.0)));
        }
    }
    factor
}

/// P(what was found | the cause) / P(what was found | no cause), for a cause that keys the character.
fn likelihood_ratio(character: &Character, found: &Evidence, base: &[f64], added: &[f64]) -> f64 {
    let sum = |hazards: &[f64], states: &[usize]| states.iter().map(|s| hazards[*s]).sum::<f64>();
    let total = |hazards: &[f64]| hazards.iter().sum::<f64>();
    match found {
        Evidence::Nothing => 1.0,
        Evidence::OneOf { picked, .. } => {
            let normal = picked.contains(&character.normal);
            let without = chance(normal, sum(base, picked), total(base));
            chance(normal, sum(base, picked) + sum(added, picked), total(base) + total(added)) / without
        }
        Evidence::Normal => (-total(added)).exp(),
        Evidence::Several { seen, absent, .. } => {
            let there = |s: &usize| -(-base[*s] - added[*s]).exp_m1() / -(-base[*s]).exp_m1();
            seen.iter().map(there).product::<f64>() * (-sum(added, absent)).exp()
        }
    }
}
