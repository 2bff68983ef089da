//! How often a state is there: leaks and causes as competing hazards.
//!
//! Each abnormal state has a hazard, `-ln(1 - leak)`, and every cause present adds `-ln(1 - q)` for its chance q of
//! producing the state (noisy-OR). In a single choice the hazards compete: normal when none strikes,
//! `exp(-all)`; otherwise a state in proportion to its hazard, `(1 - exp(-all)) * hazard / all`.

use super::{Cause, Character, Nature, Settings};

/// The hazard of something that happens with this chance.
fn hazard(chance: f64) -> f64 {
    -(-chance).ln_1p()
}

/// Chance of a state when no listed cause explains it: the pack's word, or the start value for such a character.
pub(super) fn leak(character: &Character, state: usize, settings: &Settings) -> f64 {
    character.states[state].leak.unwrap_or(match character.nature {
        Nature::Circumstance => settings.circumstance_leak,
        Nature::Effect => settings.effect_leak,
        Nature::Sign => settings.sign_leak,
    })
}

/// Hazard of every state without any cause; 0 for the normal state.
pub(super) fn base_hazards(character: &Character, settings: &Settings) -> Vec<f64> {
    let mut hazards = vec![0.0; character.states.len()];
    for state in character.abnormal() {
        hazards[state] = hazard(leak(character, state, settings));
    }
    hazards
}

/// What a cause adds to the hazard of every state; nothing if it produces none of them. In a single-choice effect a small
/// share of its largest chance spills over to the states it does not name, because people pick a neighbouring state.
pub(super) fn added_hazards(
    cause: &Cause,
    (index, character): (usize, &Character),
    settings: &Settings,
) -> Option<Vec<f64>> {
    if !cause.key.iter().any(|l| l.character == index) {
        return None;
    }
    let mut chances = vec![0.0_f64; character.states.len()];
    let mut largest = 0.0_f64;
    for link in cause.key.iter().filter(|l| l.character == index) {
        chances[link.state] = link.chance.min(settings.highest_chance);
        largest = largest.max(chances[link.state]);
    }
    if character.nature == Nature::Effect && !character.multi {
        for state in character.abnormal() {
            if chances[state] == 0.0 {
                chances[state] = settings.spill * largest;
            }
        }
    }
    Some(chances.into_iter().map(hazard).collect())
}

/// Chance that one of the picked states is there: `picked` is their hazard together, `all` that of every competing state
/// (above 0), and `normal` tells whether the normal state is among the picked ones.
pub(super) fn chance(normal: bool, picked: f64, all: f64) -> f64 {
    chance_where((-all).exp(), normal, picked, all)
}

/// The same where the chance that no state strikes, `exp(-all)`, is known.
pub(super) fn chance_where(none: f64, normal: bool, picked: f64, all: f64) -> f64 {
    (if normal { none } else { 0.0 }) + (1.0 - none) * picked / all
}

/// Chance of one state without any cause, from [`base_hazards`].
pub(super) fn base_rate(character: &Character, state: usize, base: &[f64]) -> f64 {
    if state == character.normal {
        (-base.iter().sum::<f64>()).exp()
    } else if character.multi {
        1.0 - (-base[state]).exp()
    } else {
        chance(false, base[state], base.iter().sum())
    }
}
