//! What a proposal would have changed for cases that it was not fitted on.

use super::{Change, LearnSettings, Model, Outcome, Stated, estimate};
use serde::{Deserialize, Serialize};

/// How right ranked answers were. Cases without a confirmed cause are left out: none of the answers could be right.
#[derive(Clone, Copy, PartialEq, Default, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Score {
    /// Cases judged.
    pub cases: u32,
    /// Share whose first cause was confirmed.
    pub first: f64,
    /// Share with a confirmed cause among the first three.
    pub three: f64,
    /// Sum over causes of the squared difference between chance and truth, averaged over cases.
    pub brier: f64,
    /// Sum over causes of the natural log of the chance given to what was true, negative, averaged over cases; chances
    /// are held between .0001 and .9999.
    pub log_loss: f64,
}

/// The scores of the later cases, before and after the changes that the earlier cases speak for.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Effect {
    /// Cases that the changes were fitted on.
    pub fitted_on: u32,
    /// How many changes they spoke for.
    pub changes: u32,
    /// Later cases, as the pack is.
    pub before: Score,
    /// Later cases, with the changes.
    pub after: Score,
}

impl Score {
    /// Scores answers, ranked best first, against what was confirmed.
    pub fn of<'a>(answers: impl IntoIterator<Item = (&'a Outcome, Vec<Stated>)>) -> Self {
        let mut score = Self::default();
        for (outcome, ranked) in answers.into_iter().filter(|(o, _)| !o.causes.is_empty()) {
            let right = ranked.iter().position(|r| outcome.has(&r.cause));
            score.cases += 1;
            score.first += f64::from(u8::from(right == Some(0)));
            score.three += f64::from(u8::from(right.is_some_and(|place| place < 3)));
            let unranked = outcome.causes.iter().filter(|c| !ranked.iter().any(|r| r.cause == c.cause));
            let pairs = ranked.iter().map(|r| (r.probability, outcome.has(&r.cause)));
            for (chance, truth) in pairs.chain(unranked.map(|_| (0.0, true))) {
                score.brier += (chance - f64::from(u8::from(truth))).powi(2);
                let chance = chance.clamp(1e-4, 1.0 - 1e-4);
                score.log_loss -= if truth { chance.ln() } else { (1.0 - chance).ln() };
            }
        }
        let all = f64::from(score.cases.max(1));
        for sum in [&mut score.first, &mut score.three, &mut score.brier, &mut score.log_loss] {
            *sum /= all;
        }
        score
    }
}

/// The outcomes by date, parted so that about this share of them is earlier; a day is never parted.
pub fn split_by_time(outcomes: &[Outcome], earlier: f64) -> (Vec<Outcome>, Vec<Outcome>) {
    let mut sorted = outcomes.to_vec();
    sorted.sort_by(|a, b| (a.date, &a.id).cmp(&(b.date, &b.id)));
    let mut at = ((sorted.len() as f64 * earlier).round() as usize).min(sorted.len());
    while at > 0 && at < sorted.len() && sorted[at].date == sorted[at - 1].date {
        at += 1;
    }
    let later = sorted.split_off(at);
    (sorted, later)
}

/// Fits on the earlier outcomes and scores the later ones, before and after; nothing if either part is empty. `with` gives
/// what answers under some changes, `rank` its ranked causes of a case.
pub fn measure<P>(
    model: &Model,
    outcomes: &[Outcome],
    settings: &LearnSettings,
    with: impl Fn(&[Change]) -> P,
    rank: impl Fn(&P, &Outcome) -> Vec<Stated>,
) -> Option<Effect> {
    let (earlier, later) = split_by_time(outcomes, settings.earlier);
    if earlier.is_empty() || later.is_empty() {
        return None;
    }
    let (changes, _) = estimate::changes(model, &earlier, settings);
    let score = |answering: &P| Score::of(later.iter().map(|o| (o, rank(answering, o))));
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let (fitted_on, before, after) = (count(earlier.len()), score(&with(&[])), score(&with(&changes)));
    Some(Effect { fitted_on, changes: count(changes.len()), before, after })
}
