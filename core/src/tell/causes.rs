//! The causes as they stand while somebody is on the line: words and numbers, where each stood before, for and against.

use super::Speech;
use crate::{
    key::{Band, Differential, RankedCause, Reason, Said, percent},
    words::sentence_case,
};

/// Causes shown.
const SHOWN: usize = 6;
/// Reasons shown of each side.
const REASONS: usize = 3;

/// The causes on the page.
#[derive(Clone, PartialEq, Debug)]
pub struct Causes {
    /// Causes that the findings raise, best first.
    pub rows: Vec<Row>,
    /// That nothing stands out, or what else has to be said first; may be empty.
    pub said: String,
    /// What is not shown, and that none of them is possible, too.
    pub rest: String,
}

/// One cause.
#[derive(Clone, PartialEq, Debug)]
pub struct Row {
    /// Its name.
    pub name: String,
    /// The word for its chance.
    pub word: &'static str,
    /// Its chance in a hundred.
    pub percent: u8,
    /// Where it stood before the last answer, when that was elsewhere.
    pub was: Option<u8>,
    /// What speaks for it.
    pub for_: String,
    /// What speaks against it.
    pub against: String,
    /// What would say more, and nobody looked at; empty where nothing would.
    pub unlooked: String,
}

/// The causes as they are, beside those of before the last answer.
pub fn causes(found: &Differential, before: Option<&Differential>, speech: &Speech<'_>) -> Causes {
    let raised: Vec<&RankedCause> = found.ranked.iter().filter(|r| r.band != Band::Idle).collect();
    let rows: Vec<Row> = raised.iter().take(SHOWN).map(|r| row(r, before, speech)).collect();
    let more = found.ranked.len() - rows.len();
    let say = |id: &str| speech.words.say(id);
    let said = match (rows.is_empty(), found.look_again) {
        (true, _) => say("key-causes-none"),
        (false, true) => say("key-causes-open"),
        (false, false) => String::new(),
    };
    let rest = speech.words.with("key-causes-rest", [("n", &more), ("none", &percent(found.none_share))]);
    Causes { rows, said, rest }
}

fn row(r: &RankedCause, before: Option<&Differential>, speech: &Speech<'_>) -> Row {
    let now = percent(r.probability);
    let was = before.and_then(|d| d.ranked.iter().find(|b| b.cause == r.cause)).map(|b| percent(b.probability));
    let told = |reasons: &[Reason]| -> String {
        let told = if speech.is_regulated(&r.cause) { &[] } else { reasons };
        let said: Vec<String> = told.iter().take(REASONS).map(|reason| said(reason, speech)).collect();
        if said.is_empty() { speech.words.say("key-reason-none") } else { said.join("; ") }
    };
    let unlooked: Vec<String> = r.unlooked.iter().take(REASONS).map(|c| speech.label(c).to_lowercase()).collect();
    Row {
        name: speech.cause(&r.cause),
        word: r.word.text(speech.words.0),
        percent: now,
        was: was.filter(|was| *was != now),
        for_: told(&r.for_),
        against: told(&r.against),
        unlooked: if speech.is_regulated(&r.cause) { String::new() } else { sentence_case(&unlooked.join(", ")) },
    }
}

fn said(reason: &Reason, speech: &Speech<'_>) -> String {
    let states: Vec<String> = reason.states.iter().take(2).map(|s| speech.state(&reason.character, s)).collect();
    let what = format!("{}: {}", speech.label(&reason.character), states.join(" / "));
    match reason.said {
        Said::Seen => what,
        Said::Absent => speech.words.with("key-reason-absent", [("what", &what)]),
        Said::Unpicked => speech.words.with("key-reason-unpicked", [("what", &what)]),
    }
}
