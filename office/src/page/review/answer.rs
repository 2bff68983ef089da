//! The answers to one inquiry as the page of its review shows them: the reviewer's own, the scout's, those of others.

use dooryard_core::{
    key::{Pack, ProbabilityWord},
    notebook::Record,
};
use serde_json::Value as Json;

use super::subject::{Subject, label, name_of};
use crate::{
    page::{frame::Frame, routes::Desk, trouble::Trouble, words::When},
    people::Visitor,
};

/// An answer: the reviewer's own, or the scout's.
pub(super) struct Answer {
    pub(super) head: String,
    pub(super) causes: Vec<Cause>,
    pub(super) said: String,
}

/// One cause of an answer.
pub(super) struct Cause {
    pub(super) name: String,
    pub(super) sure: String,
    pub(super) percent: Option<u8>,
    pub(super) role: String,
}

/// A chance in words and numbers.
fn sure(frame: &Frame, percent: u8) -> String {
    let word = ProbabilityWord::of(f64::from(percent) / 100.0, true).text(frame.words.0);
    frame.with("review-sure", [("word", &word), ("n", &percent)])
}

/// A cause in the language of whoever reads. What is regulated is not named.
pub(super) fn cause_name(desk: &Desk, frame: &Frame, id: &str) -> String {
    if desk.names.regulated.contains(id) {
        return frame.say("review-regulated-cause");
    }
    desk.names_in(frame.words.0).cause(id)
}

fn causes(json: Option<&Json>, desk: &Desk, frame: &Frame) -> Vec<Cause> {
    let items = json.and_then(Json::as_array).into_iter().flatten();
    items
        .map(|c| {
            let percent = c.get("percent").and_then(Json::as_u64).and_then(|p| u8::try_from(p).ok());
            let percent = percent.filter(|p| *p <= 100);
            let role = c.get("role").and_then(Json::as_str).filter(|r| *r != "primary");
            Cause {
                name: cause_name(desk, frame, c.get("cause").and_then(Json::as_str).unwrap_or_default()),
                sure: percent.map_or_else(|| frame.say("review-not-said"), |p| sure(frame, p)),
                percent,
                role: super::ROLES
                    .iter()
                    .find(|(id, _)| role == Some(*id))
                    .map(|(_, say)| frame.say(say))
                    .unwrap_or_default(),
            }
        })
        .collect()
}

pub(super) fn own_answer(review: &Record, desk: &Desk, frame: &Frame, when: &When) -> Answer {
    let at = review.text("at").map(|at| when.full(at)).unwrap_or_default();
    Answer {
        head: frame.with("review-own-head", [("at", &at)]),
        causes: causes(review.get("blind"), desk, frame),
        said: review.text("grounds").unwrap_or_default().to_owned(),
    }
}

pub(super) fn scouts_answer(diagnosis: &Record, desk: &Desk, frame: &Frame, when: &When) -> Answer {
    let at = diagnosis.text("at").map(|at| when.full(at)).unwrap_or_default();
    let by = diagnosis.text("by").map_or_else(|| frame.say("review-somebody"), str::to_owned);
    let named = crate::ledger::named_causes(diagnosis.get("causes"));
    let regulated = named.iter().any(|(id, _)| desk.names.regulated.contains(id));
    Answer {
        head: frame.with("review-scout-head", [("who", &by), ("at", &at)]),
        causes: causes(diagnosis.get("causes"), desk, frame),
        said: if regulated {
            frame.say("review-regulated")
        } else {
            diagnosis.text("reasons").unwrap_or_default().to_owned()
        },
    }
}

/// Where the two answers differ, and whether it matters for what is told.
pub(super) fn differ(frame: &Frame, pack: &Pack, own: Option<&Record>, scout: Option<&Record>) -> String {
    let first = |record: Option<&Record>, field: &str| {
        let named = record.map_or_else(Vec::new, |r| crate::ledger::named_causes(r.get(field)));
        named.into_iter().next().map(|(id, _)| id)
    };
    let Some(review) = own else { return String::new() };
    let (mine, theirs) = (first(Some(review), "blind"), first(scout, "causes"));
    let group = |id: &str| pack.cause(id).map(|c| c.group);
    let say = match (mine, theirs) {
        (None, None) => "review-differ-none",
        (Some(a), Some(b)) if a == b => "review-differ-same",
        (Some(a), Some(b)) if group(&a).is_some() && group(&a) == group(&b) => "review-differ-advice-same",
        (Some(_), Some(_)) => "review-differ-advice-other",
        (Some(_), None) => "review-differ-scout-none",
        (None, Some(_)) => "review-differ-own-none",
    };
    frame.say(say)
}

/// What other reviewers did. What they answered and decided is told only once the scout's answer is shown.
pub(super) fn others(
    desk: &Desk,
    frame: &Frame,
    who: &Visitor,
    subject: &Subject,
    opened: bool,
    when: &When,
) -> Result<Vec<String>, Trouble> {
    let own = label(who);
    let mut said = Vec::new();
    for review in subject.reviews.iter().filter(|r| r.text("reviewer") != Some(&own)) {
        let name = name_of(desk, review.text("reviewer").unwrap_or_default())?;
        let at = review.text("at").map(|at| when.full(at)).unwrap_or_default();
        let decision = review.text("decision").or(match review.get("agrees").and_then(Json::as_bool) {
            Some(true) => Some("agree"),
            Some(false) => Some("correct"),
            None => None,
        });
        let mut line = match decision {
            None if review.get("blind").is_some() => frame.with("review-other-kept", [("who", &name), ("at", &at)]),
            None => frame.with("review-other-reviewed", [("who", &name), ("at", &at)]),
            Some(_) if !opened => frame.with("review-other-reviewed", [("who", &name), ("at", &at)]),
            Some(decision) => {
                let what = frame.say(&format!("review-decided-{}", decision.replace('_', "-")));
                frame.with("review-other-decided", [("who", &name), ("at", &at), ("what", &what)])
            }
        };
        if opened && decision.is_some() {
            let named = causes(review.get("blind"), desk, frame);
            if !named.is_empty() {
                let list: Vec<String> = named.iter().map(|c| format!("{}: {}", c.name, c.sure)).collect();
                line = format!("{line} {}", frame.with("review-other-answer", [("what", &list.join("; "))]));
            }
            if let Some(words) = review.text("correction") {
                line = format!("{line} “{words}”");
            }
        }
        said.push(line);
    }
    Ok(said)
}
