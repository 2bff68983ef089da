//! Stops as a page at the desk shows them: full width, before everything else, with the words to read out.

use std::collections::BTreeMap;

use super::Speech;
use crate::key::{RaisedStop, StopKind};

/// A stop on the page.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Halt {
    /// Its id.
    pub id: String,
    /// `Stop: a wire is near`.
    pub head: String,
    /// The words to read out.
    pub text: String,
    /// What raised it, where a page can say so.
    pub because: String,
}

/// The stops that halt, in the order in which they are shown. Notes stand with the advice.
pub fn halts(stops: &[RaisedStop], speech: &Speech<'_>) -> Vec<Halt> {
    stops.iter().filter(|stop| stop.kind != StopKind::Note).map(|stop| halt(stop, speech)).collect()
}

fn halt(stop: &RaisedStop, speech: &Speech<'_>) -> Halt {
    let title = stop.title.get(speech.words.0);
    let mut letters = title.chars();
    let small = letters.next().map(|c| c.to_lowercase().to_string()).unwrap_or_default() + letters.as_str();
    let questions: BTreeMap<&str, &str> =
        speech.pack.questions.iter().map(|q| (q.id.as_str(), q.ask.get(speech.words.0))).collect();
    let why: Vec<String> = stop.because.iter().filter_map(|why| because(why, &questions, speech)).collect();
    Halt {
        id: stop.id.clone(),
        head: speech.words.with("key-stop-head", [("what", &small)]),
        text: stop.text.get(speech.words.0).to_owned(),
        because: why.join(" "),
    }
}

/// What raised it: a question, a finding, or words. Nothing of what only says that it stands in the record.
fn because(why: &str, questions: &BTreeMap<&str, &str>, speech: &Speech<'_>) -> Option<String> {
    if ["record", "differential"].contains(&why) {
        return None;
    }
    if let Some(ask) = questions.get(why) {
        return Some(speech.words.with("key-because-question", [("ask", ask)]));
    }
    let found = why.split_once('.').filter(|(character, _)| speech.pack.character(character).is_some());
    Some(match found {
        Some((character, state)) => {
            let what = format!("{}: {}", speech.label(character), speech.state(character, state));
            speech.words.with("key-because-finding", [("what", &what)])
        }
        None => speech.words.with("key-because-words", [("words", &why)]),
    })
}
