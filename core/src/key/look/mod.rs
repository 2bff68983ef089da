//! The next look: what to look at now, and why.
//!
//! Every character that nobody looked at is tried in the mind: each of its answers has a chance, and each would leave the
//! causes spread otherwise. The gain of a look is how far the spread is expected to fall, first over what one would *do*
//! (the shares of the advice groups), then over the causes; entropies in nats. It is weighed against minutes and harm.

mod answers;
mod sayings;
mod weighed;

use super::{
    Cost, Observations, Pack, Settings,
    solve::{Shares, Solved},
};
use crate::Result;
use answers::{Answer, answers};
use serde::Serialize;
use weighed::Weighed;

/// What to look at, best first.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct NextLooks {
    /// Ids of characters to ask before anything else that nobody looked at yet: they are asked whatever they would gain.
    pub first: Vec<String>,
    /// The looks that would say something, best first.
    pub looks: Vec<Look>,
    /// Whether no look that is left would change what to do.
    pub enough: bool,
}

/// A look that nobody took yet.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Look {
    /// Id of the character.
    pub character: String,
    /// What the look costs.
    pub cost: Cost,
    /// Expected gain: `advice_gain` and a share of `cause_gain` (nats).
    pub gain: f64,
    /// Expected fall of the spread over advice groups (nats).
    pub advice_gain: f64,
    /// Expected fall of the spread over causes (nats).
    pub cause_gain: f64,
    /// Gain by cost and harm; looks are ordered by it.
    pub score: f64,
    /// Chance that the answer changes which advice leads.
    pub changes_advice: f64,
    /// What each answer would do, in the order of the pack.
    pub answers: Vec<Effect>,
}

/// What one answer would do.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Effect {
    /// Id of the state.
    pub state: String,
    /// Chance of this answer.
    pub chance: f64,
    /// Id of the cause that would lead then; nothing if "no listed cause" would.
    pub leader: Option<String>,
    /// Id of the advice group that would lead then; nothing if "no listed cause" would.
    pub advice: Option<String>,
    /// The causes whose share as the main cause it moves most: at most three, most moved first.
    pub moves: Vec<Move>,
}

/// How an answer moves a cause.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Move {
    /// Id of the cause.
    pub cause: String,
    /// Its share now.
    pub from: f64,
    /// Its share after the answer.
    pub to: f64,
}

/// Moves shown of each answer.
const MOVES: usize = 3;

impl Pack {
    /// The next looks for these observations.
    ///
    /// # Errors
    /// As [`super::Differential::new`].
    pub fn next_looks(&self, observations: &Observations) -> Result<NextLooks> {
        let solved = Solved::new(self, &self.settings, observations)?;
        Ok(next_looks(self, &self.settings, &solved))
    }
}

fn next_looks(pack: &Pack, settings: &Settings, solved: &Solved<'_>) -> NextLooks {
    let mut tried = vec![false; pack.characters.len()];
    for one in &solved.looked {
        tried[one.character] = one.tried;
    }
    let weighed = Weighed::new(solved, &solved.after.weightiest(&solved.weights, settings.look_rest));
    let now = weighed.all.shares.iter().map(|share| share / weighed.all.p).collect();
    let now = Shares::new(pack, solved, now);
    let spread = (now.advice_entropy(), now.cause_entropy());
    let mut looks: Vec<Look> = Vec::new();
    for (character, _) in pack.characters.iter().enumerate().filter(|(c, _)| !tried[*c]) {
        let Some(answers) = answers(pack, settings, solved, &weighed, character) else { continue };
        looks.extend(look(pack, settings, solved, character, &now, spread, &answers));
    }
    looks.sort_by(|a, b| b.score.total_cmp(&a.score).then_with(|| a.character.cmp(&b.character)));
    let asked_of = |groups: &[String]| groups.is_empty() || groups.contains(&solved.host.group);
    let first = pack.ask_first.iter().filter(|(c, groups)| !tried[*c] && asked_of(groups));
    NextLooks {
        first: first.map(|(c, _)| pack.characters[*c].id.clone()).collect(),
        enough: looks.iter().all(|l| l.changes_advice < settings.changes_advice_floor),
        looks,
    }
}

/// Nothing if it gains too little.
fn look(
    pack: &Pack,
    settings: &Settings,
    solved: &Solved<'_>,
    character: usize,
    now: &Shares,
    spread: (f64, f64),
    answers: &[Answer],
) -> Option<Look> {
    let expected =
        |entropy: &dyn Fn(&Shares) -> f64| answers.iter().map(|a| a.chance * entropy(&a.shares)).sum::<f64>();
    let advice_gain = (spread.0 - expected(&Shares::advice_entropy)).max(0.0);
    let cause_gain = (spread.1 - expected(&Shares::cause_entropy)).max(0.0);
    let gain = advice_gain + settings.cause_gain_share * cause_gain;
    if gain <= settings.smallest_gain {
        return None;
    }
    let leads = now.advice_leader();
    let changes_advice = answers.iter().filter(|a| a.shares.advice_leader() != leads).map(|a| a.chance).sum();
    let cost = pack.characters[character].cost;
    let (minutes, harm) = settings.look_cost(cost);
    let effects = answers.iter().map(|a| effect(pack, solved, character, now, a));
    Some(Look {
        character: pack.characters[character].id.clone(),
        cost,
        gain,
        advice_gain,
        cause_gain,
        score: gain * harm / (1.0 + minutes).sqrt(),
        changes_advice,
        answers: effects.collect(),
    })
}

fn effect(pack: &Pack, solved: &Solved<'_>, character: usize, now: &Shares, answer: &Answer) -> Effect {
    let ids = |i: usize| solved.candidates[i].id.clone();
    let moved = |i: &usize| (answer.shares.causes[*i] - now.causes[*i]).abs();
    let mut order: Vec<usize> = (0..solved.candidates.len()).collect();
    let most_first = |a: &usize, b: &usize| moved(b).total_cmp(&moved(a)).then(a.cmp(b));
    if order.len() > MOVES {
        order.select_nth_unstable_by(MOVES, most_first);
        order.truncate(MOVES);
    }
    order.sort_by(most_first);
    Effect {
        state: pack.characters[character].states[answer.state].id.clone(),
        chance: answer.chance,
        leader: answer.shares.cause_leader().map(ids),
        advice: answer.shares.advice_leader().map(|g| pack.guidance.groups[g].id.clone()),
        moves: order
            .into_iter()
            .map(|i| Move { cause: ids(i), from: now.causes[i], to: answer.shares.causes[i] })
            .collect(),
    }
}
