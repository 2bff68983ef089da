//! Prior odds: how likely each cause is for the host and the day, before any finding.

use super::{Cause, Settings};

/// Natural log of the prior odds of every candidate on `day` (of a leap year, 1 to 366).
///
/// `(p / (1 - p))^prior_power`, lowered for causes that any host can have and out of season, then all scaled by one
/// factor so that the probabilities add up to `expected_causes`: the pack's words rank causes, and taken as chances they
/// would add up to several causes a plant.
pub(super) fn log_odds(candidates: &[&Cause], day: i16, settings: &Settings) -> Vec<f64> {
    let odds = candidates.iter().map(|cause| {
        let anywhere = if cause.any_host { settings.any_host_factor } else { 1.0 };
        (cause.prior / (1.0 - cause.prior)).powf(settings.prior_power) * anywhere * cause.window.factor(day, settings)
    });
    let odds: Vec<f64> = odds.collect();
    let scale = scale_to(&odds, settings.expected_causes);
    odds.into_iter().map(|o| (scale * o).ln()).collect()
}

/// The factor k for which the sum of `k*o / (1 + k*o)` is `expected`, by bisection of ln k. A single cause is given even
/// odds at most, for a host is not ill by itself.
fn scale_to(odds: &[f64], expected: f64) -> f64 {
    let expected = expected.min(0.5 * odds.len() as f64);
    let (mut low, mut high) = (-20.0_f64, 20.0_f64);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let k = middle.exp();
        let sum: f64 = odds.iter().map(|o| k * o / (1.0 + k * o)).sum();
        if sum > expected { high = middle } else { low = middle }
    }
    low.exp()
}
