//! The look that is asked now, ready to be drawn: question, how to look, why this one, and the answers with their keys.

use super::Speech;
use crate::{
    inquiry::Answer,
    key::{Character, Cost, Differential, Effect, Look, NextLooks, Status, percent},
};

/// A move of a cause that is told.
const TOLD: f64 = 0.02;
/// Answers of which it is told what they would do.
const EFFECTS: usize = 3;
/// Keys of the states, in their order.
const KEYS: &str = "123456789abcdefghijklmnopqrstuvw";

/// The look.
#[derive(Clone, PartialEq, Debug)]
pub struct LookView {
    /// Id of the character.
    pub character: String,
    /// What it is called.
    pub label: String,
    /// The question.
    pub ask: String,
    /// How to look.
    pub how: String,
    /// What it costs, in words.
    pub cost: String,
    /// Several states can be there at once.
    pub multi: bool,
    /// Why this one, a sentence each.
    pub why: Vec<String>,
    /// The states in the order of the pack.
    pub states: Vec<StateView>,
    /// What it says where no state is picked: `could_not_tell`, or `not_looked`, which stands there until somebody looks.
    pub whole: &'static str,
    /// How sure the looker said to be, 1 to 3; 0 where nobody said.
    pub comfort: u8,
}

/// One state.
#[derive(Clone, PartialEq, Debug)]
pub struct StateView {
    /// Its id.
    pub id: String,
    /// The key that picks it.
    pub key: String,
    /// Its words.
    pub text: String,
    /// Nothing is wrong here.
    pub normal: bool,
    /// It was picked before.
    pub picked: bool,
    /// It was looked for before, and was not there.
    pub absent: bool,
}

/// The look at a character, with what was answered before.
pub fn look(
    character: &Character,
    next: &NextLooks,
    found: &Differential,
    before: &Answer,
    speech: &Speech<'_>,
) -> LookView {
    let states = character.states.iter().enumerate().map(|(at, state)| StateView {
        id: state.id.clone(),
        key: KEYS.get(at..=at).unwrap_or_default().to_owned(),
        text: state.text.get(speech.words.0).to_owned(),
        normal: at == character.normal,
        picked: before.seen.contains(&state.id),
        absent: before.absent.contains(&state.id),
    });
    let nothing_picked = before.seen.is_empty();
    LookView {
        character: character.id.clone(),
        label: character.label.get(speech.words.0).to_owned(),
        ask: character.ask.get(speech.words.0).to_owned(),
        how: character.how.get(speech.words.0).to_owned(),
        cost: cost(character.cost, speech),
        multi: character.multi,
        why: why(character, next, found, speech),
        states: states.collect(),
        whole: match before.whole {
            Some(Status::Unsure) => "could_not_tell",
            _ if nothing_picked => "not_looked",
            _ => "",
        },
        comfort: before.comfort.unwrap_or_default(),
    }
}

/// What a look costs, in words.
pub fn cost(cost: Cost, speech: &Speech<'_>) -> String {
    let (minutes, _) = speech.pack.settings.look_cost(cost);
    let id = match cost {
        Cost::Glance => "key-cost-glance",
        Cost::Touch => "key-cost-touch",
        Cost::Knife => "key-cost-knife",
        Cost::Dig => "key-cost-dig",
        Cost::Lab => "key-cost-lab",
    };
    speech.words.with(id, [("minutes", &format!("{minutes:.0}"))])
}

fn why(character: &Character, next: &NextLooks, found: &Differential, speech: &Speech<'_>) -> Vec<String> {
    let mut why = Vec::new();
    if next.first.contains(&character.id) {
        why.push(speech.words.say("key-why-always"));
    }
    let Some(look) = next.looks.iter().find(|l| l.character == character.id) else {
        why.push(speech.words.say("key-why-little"));
        return why;
    };
    why.extend(effects(look, character, speech));
    let leads = found.advice.first().map(|a| a.group.as_str());
    let group =
        look.answers.iter().filter(|a| a.advice.as_deref() != leads).max_by(|a, b| a.chance.total_cmp(&b.chance));
    let name = group.and_then(|a| speech.pack.guidance.groups.iter().find(|g| Some(&g.id) == a.advice.as_ref()));
    let n = percent(look.changes_advice);
    why.push(match name {
        Some(group) if look.changes_advice >= TOLD => {
            speech.words.with("key-why-advice", [("n", &n), ("group", &group.name.get(speech.words.0))])
        }
        _ => speech.words.say("key-why-same-advice"),
    });
    why
}

/// What the answers that move most would do.
fn effects(look: &Look, character: &Character, speech: &Speech<'_>) -> Vec<String> {
    let moved = |e: &Effect| e.moves.first().map_or(0.0, |m| (m.to - m.from).abs());
    let mut effects: Vec<&Effect> = look.answers.iter().filter(|e| moved(e) >= TOLD).collect();
    effects.sort_by(|a, b| (moved(b) * b.chance).total_cmp(&(moved(a) * a.chance)));
    let told = effects.into_iter().take(EFFECTS).filter_map(|e| {
        let first = e.moves.first()?;
        let (from, to) = (percent(first.from), percent(first.to));
        let (answer, cause) = (speech.state(&character.id, &e.state), speech.cause(&first.cause));
        Some(speech.words.with("key-why-moves", [("answer", &answer), ("cause", &cause), ("from", &from), ("to", &to)]))
    });
    told.collect()
}
