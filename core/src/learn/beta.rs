//! Chances from counts: shrunk to what was believed before, and with their uncertainty.

use super::Tally;
use statrs::distribution::{Beta, ContinuousCDF};

/// A chance with the interval that holds it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Estimate {
    /// Mean of the posterior.
    pub chance: f64,
    /// Lower and upper end, with equal tails.
    pub interval: [f64; 2],
    /// Whether the cases alone speak against what was believed before: it lies outside their own 95-in-100 interval.
    pub differs: bool,
}

/// The posterior of a chance that was believed to be `before` (above 0, below 1) with the weight of `prior_cases` cases:
/// Beta(`prior_cases * before + hits`, `prior_cases * (1 - before) + trials - hits`). The interval holds with probability
/// `inside`.
pub fn posterior(before: f64, prior_cases: f64, tally: Tally, inside: f64) -> Estimate {
    let a = prior_cases * before + tally.hits;
    let b = prior_cases * (1.0 - before) + (tally.trials - tally.hits).max(0.0);
    let tail = 0.5 * (1.0 - inside);
    let interval = Beta::new(a, b).map_or([0.0, 1.0], |beta| [beta.inverse_cdf(tail), beta.inverse_cdf(1.0 - tail)]);
    let [low, high] = wilson_of(tally.hits, tally.trials);
    Estimate { chance: a / (a + b), interval, differs: before < low || before > high }
}

/// The 95-in-100 interval of a share, `hits` of `all` (Wilson 1927); from 0 to 1 where there is nothing to count.
pub fn wilson(hits: u64, all: u64) -> [f64; 2] {
    wilson_of(hits as f64, all as f64)
}

fn wilson_of(hits: f64, all: f64) -> [f64; 2] {
    const Z: f64 = 1.959_963_984_540_054;
    if all <= 0.0 {
        return [0.0, 1.0];
    }
    let share = hits / all;
    let middle = share + Z * Z / (2.0 * all);
    let half = Z * (share * (1.0 - share) / all + Z * Z / (4.0 * all * all)).max(0.0).sqrt();
    let scale = 1.0 + Z * Z / all;
    [((middle - half) / scale).max(0.0), ((middle + half) / scale).min(1.0)]
}
