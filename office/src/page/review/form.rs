//! What a reviewer's forms hold: reading them, and what is wrong with them, each said beside its field.

use dooryard_core::key::ProbabilityWord;
use serde_json::json;

use super::keep::{Decision, Own};
use crate::page::{Names, guard::Given};

/// Causes that an own answer may name.
pub(super) const CAUSES: usize = 3;
/// Letters of what is kept as words, at most; the registry's limit.
const WORDS: usize = 16_000;
/// Letters of a question, at most; the registry's limit.
const QUESTION: usize = 2_000;

/// What a form says and what is wrong with it.
pub(super) type Read<T> = Result<T, Vec<Wrong>>;

/// One thing that is wrong: the field, and the id of the sentence that says so.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Wrong {
    pub(super) field: String,
    pub(super) say: &'static str,
}

impl Wrong {
    fn at(field: impl Into<String>, say: &'static str) -> Self {
        Self { field: field.into(), say }
    }
}

/// Reads the own answer.
///
/// # Errors
/// All that is wrong with it.
pub(super) fn own(given: &Given, names: &Names) -> Read<Own> {
    let (mut causes, mut wrong) = (Vec::new(), Vec::new());
    for n in 1..=CAUSES {
        let (cause, sure) = (given.text(&format!("cause{n}")), given.text(&format!("sure{n}")).trim());
        if cause.is_empty() {
            if !sure.is_empty() {
                wrong.push(Wrong::at(format!("cause{n}"), "review-wrong-no-cause"));
            }
            continue;
        }
        if !names.causes.contains_key(cause) || names.regulated.contains(cause) {
            wrong.push(Wrong::at(format!("cause{n}"), "review-wrong-cause"));
            continue;
        }
        if causes.iter().any(|known: &serde_json::Value| known["cause"] == cause) {
            wrong.push(Wrong::at(format!("cause{n}"), "review-wrong-twice"));
            continue;
        }
        let Some(percent) = sure.parse::<u8>().ok().filter(|p| *p <= 100) else {
            wrong.push(Wrong::at(format!("sure{n}"), "review-wrong-sure"));
            continue;
        };
        let role = match given.text(&format!("role{n}")) {
            known @ ("stress_triggered" | "secondary" | "environment" | "harmless") => known,
            _ => "primary",
        };
        let word = ProbabilityWord::of(f64::from(percent) / 100.0, true);
        causes.push(json!({"cause": cause, "role": role, "word": word, "percent": percent}));
    }
    let unknown = given.text("unknown") == "yes";
    if wrong.is_empty() && causes.is_empty() && !unknown {
        wrong.push(Wrong::at("cause1", "review-wrong-nothing"));
    }
    if unknown && !causes.is_empty() {
        wrong.push(Wrong::at("unknown", "review-wrong-both"));
    }
    if !causes.is_empty() && causes.iter().all(|c| c["role"] == "secondary") {
        wrong.push(Wrong::at("role1", "review-wrong-secondary"));
    }
    let grounds = text(given, "grounds", WORDS, &mut wrong);
    if wrong.is_empty() { Ok(Own { causes, grounds }) } else { Err(wrong) }
}

/// Reads a decision and the words for the scout. `has_own` says whether the own answer names a cause.
///
/// # Errors
/// All that is wrong with it.
pub(super) fn decision(given: &Given, has_own: bool) -> Read<(Decision, String)> {
    let mut wrong = Vec::new();
    let words = text(given, "words", WORDS, &mut wrong);
    let decision = match given.text("decision") {
        "agree" => Some(Decision::Agree),
        "correct" => Some(Decision::Correct),
        "ask_back" => Some(Decision::AskBack { question: words.clone(), due: due(given, &mut wrong) }),
        "sample" => {
            let part = text(given, "part", 200, &mut wrong);
            if part.is_empty() {
                wrong.push(Wrong::at("part", "review-wrong-part"));
            }
            Some(Decision::Sample { part, due: due(given, &mut wrong) })
        }
        "not_known" => Some(Decision::NotKnown),
        _ => {
            wrong.push(Wrong::at("decision", "review-wrong-decision"));
            None
        }
    };
    match decision {
        Some(Decision::Correct) if !has_own => wrong.push(Wrong::at("decision", "review-wrong-no-own")),
        Some(Decision::AskBack { .. } | Decision::Sample { .. }) if words.is_empty() => {
            wrong.push(Wrong::at("words", "review-wrong-question"));
        }
        Some(Decision::AskBack { .. } | Decision::Sample { .. }) if words.chars().count() > QUESTION => {
            wrong.push(Wrong::at("words", "review-wrong-long-question"));
        }
        _ => {}
    }
    match decision {
        Some(decision) if wrong.is_empty() => Ok((decision, words)),
        _ => Err(wrong),
    }
}

/// A day in a form.
pub(super) fn due(given: &Given, wrong: &mut Vec<Wrong>) -> String {
    let day = given.text("due").trim();
    if day.parse::<jiff::civil::Date>().is_err() {
        wrong.push(Wrong::at("due", "review-wrong-due"));
    }
    day.to_owned()
}

/// Words in a form.
pub(super) fn text(given: &Given, field: &str, most: usize, wrong: &mut Vec<Wrong>) -> String {
    let text = given.text(field).replace("\r\n", "\n").trim().to_owned();
    if text.chars().count() > most {
        wrong.push(Wrong::at(field, "review-wrong-long"));
    }
    text
}

/// Reads a question for several at once.
///
/// # Errors
/// What is wrong with it.
pub(super) fn question(given: &Given) -> Read<(String, String)> {
    let mut wrong = Vec::new();
    let question = text(given, "words", QUESTION, &mut wrong);
    if question.is_empty() {
        wrong.push(Wrong::at("words", "review-wrong-question"));
    }
    let due = due(given, &mut wrong);
    if wrong.is_empty() { Ok((question, due)) } else { Err(wrong) }
}
