//! The letter for the resident: clean HTML and plain text, in English or Spanish.

mod pieces;
#[cfg(test)]
mod tests;
mod words;

use std::collections::BTreeMap;

use crate::{
    Code, Error, Result,
    advice::{Advice, AdvisedCause, Step},
    key::{Blocks, Language, NextLooks, Observations, Pack, RaisedStop, Status, StopKind, authored::BlockKind},
};
use askama::Template;
use jiff::{ToSpan, civil::Date};
use pieces::Pieces;
use words::Words;

pub use pieces::{Piece, Place};
pub use words::day;

/// What the office knows beside the advice.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Occasion {
    /// Name of the office, and lines below it (what it is for, telephone and hours).
    pub office: String,
    /// Those lines.
    pub office_lines: Vec<String>,
    /// Number of the inquiry.
    pub inquiry: String,
    /// Day of the letter.
    pub date: Date,
    /// The resident's question in their own words; may be empty.
    pub question: String,
    /// Role of the person who reviewed the letter; nothing while nobody has.
    pub reviewed_by: Option<String>,
    /// Who signs, by role.
    pub signed: String,
}

/// A letter, ready to be printed.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Letter {
    /// A whole HTML page, with its own style and nothing from elsewhere.
    pub html: String,
    /// What stands in that page, to put into another one.
    pub body: String,
    /// The same in plain text, to paste in a mail.
    pub text: String,
    /// What a person may say otherwise before it goes out, in the order of the letter. Stops, cautions, what not to do,
    /// notes and who has to answer first are not among it.
    pub pieces: Vec<Piece>,
}

/// Other words for pieces of a letter, by the id of the piece. Empty words leave a piece out. Ids of no piece do nothing.
pub type Changes = BTreeMap<String, String>;

#[derive(Template)]
#[template(path = "letter.html")]
struct Html<'a> {
    w: &'static Words,
    v: &'a View,
}

#[derive(Template)]
#[template(path = "letter_body.html")]
struct Body<'a> {
    w: &'static Words,
    v: &'a View,
}

#[derive(Template)]
#[template(path = "letter.txt", escape = "none")]
struct Plain<'a> {
    w: &'static Words,
    v: &'a View,
}

/// The words of one letter.
struct View {
    office: String,
    office_lines: Vec<String>,
    inquiry: String,
    date: String,
    question: String,
    opening: String,
    think: String,
    closing: String,
    stops: Vec<(String, String)>,
    seen: Vec<String>,
    sound: Vec<String>,
    absent: Vec<String>,
    unsure: Vec<String>,
    official: bool,
    no_advice: bool,
    causes: Vec<(String, String)>,
    possible: Vec<(String, String)>,
    together: bool,
    stress: bool,
    escalate: Option<&'static str>,
    checks: Vec<String>,
    now: Vec<String>,
    later: Vec<String>,
    do_not: Vec<String>,
    cautions: Vec<String>,
    call: Vec<String>,
    looks: Vec<String>,
    ask_again: Option<(String, String)>,
    notes: Vec<String>,
    signed: String,
    reviewed: String,
    version: String,
    notice: Option<&'static str>,
}

impl View {
    fn found_nothing(&self) -> bool {
        [&self.seen, &self.sound, &self.absent, &self.unsure].iter().all(|list| list.is_empty())
    }
}

/// Looks that a letter asks for.
const LOOKS: usize = 3;

impl Letter {
    /// The letter that tells this advice.
    ///
    /// # Errors
    /// None that a letter of our own templates can give; `SCHEMA` if the writer fails.
    pub fn new(
        pack: &Pack,
        observations: &Observations,
        advice: &Advice,
        next: &NextLooks,
        occasion: &Occasion,
        language: Language,
    ) -> Result<Self> {
        Self::changed(pack, observations, advice, next, occasion, language, &Changes::new())
    }

    /// The letter with other words for some of its pieces.
    ///
    /// # Errors
    /// As [`Letter::new`].
    pub fn changed(
        pack: &Pack,
        observations: &Observations,
        advice: &Advice,
        next: &NextLooks,
        occasion: &Occasion,
        language: Language,
        changes: &Changes,
    ) -> Result<Self> {
        let mut pieces = Pieces::new(changes);
        let v = View::new(pack, observations, advice, next, occasion, language, &mut pieces);
        let w = words::of(language);
        let failed = |e: askama::Error| Error::refused(Code::Schema, format!("the letter: {e}"));
        Ok(Self {
            html: Html { w, v: &v }.render().map_err(failed)?,
            body: Body { w, v: &v }.render().map_err(failed)?,
            text: Plain { w, v: &v }.render().map_err(failed)?,
            pieces: pieces.into_list(),
        })
    }
}

impl View {
    fn new(
        pack: &Pack,
        observations: &Observations,
        advice: &Advice,
        next: &NextLooks,
        occasion: &Occasion,
        language: Language,
        pieces: &mut Pieces<'_>,
    ) -> Self {
        let w = words::of(language);
        let blocked = |what: Blocks| advice.stops.iter().any(|s| s.blocks.contains(&what));
        let of = |kind: BlockKind| advice.steps.iter().filter(move |s| s.kind == kind);
        let texts = |kind: BlockKind| of(kind).map(|s| advice.words(s, language)).collect::<Vec<_>>();
        let named = |c: &AdvisedCause| {
            (c.name.get(language).to_owned(), words::chance(c.word.text(language), c.probability, language))
        };
        let shown = |s: &&RaisedStop| s.kind != StopKind::Note;
        let notes = advice.stops.iter().filter(|s| !shown(s)).map(|s| s.text.get(language));
        let notes: Vec<String> = notes.chain(advice.notes(pack, language)).map(str::to_owned).collect();
        let found = |status: Status| findings(pack, observations, status, Which::Any, language);
        let seen = |which: Which| findings(pack, observations, Status::Seen, which, language);
        // Notes keep all their words: a step does not say again what a note says.
        let mut told = Told::default();
        told.once(notes.clone());
        let (official, no_advice) = (blocked(Blocks::Diagnosis), blocked(Blocks::Advice));
        let silent = official || no_advice;
        let looks = if silent || next.enough { 0 } else { LOOKS };
        let opening = pieces.paragraph(Place::Opening, w.opening);
        let think = if official { String::new() } else { pieces.paragraph(Place::Think, "") };
        let mut free = |kind: BlockKind| -> Vec<String> {
            let steps = of(kind)
                .map(|s| (s, if s.from.is_some() { later(s, advice, w, language) } else { advice.words(s, language) }));
            steps.filter_map(|(s, text)| pieces.step(kind, &s.id, text)).collect()
        };
        let checks = free(BlockKind::Check);
        let now = free(BlockKind::Now);
        let when = free(BlockKind::When);
        let call = free(BlockKind::CallBack);
        let closing = pieces.paragraph(Place::Closing, "");
        let ask_again = advice.follow_up.as_ref().filter(|_| !silent).and_then(|f| {
            let on = occasion.date.checked_add(i64::from(f.days).days()).ok()?;
            Some((words::date(on, language), f.ask.get(language).to_owned()))
        });
        Self {
            office: occasion.office.clone(),
            office_lines: occasion.office_lines.clone(),
            inquiry: occasion.inquiry.clone(),
            date: words::date(occasion.date, language),
            question: occasion.question.trim().to_owned(),
            opening,
            think,
            closing,
            stops: advice
                .stops
                .iter()
                .filter(shown)
                .map(|s| (s.title.get(language).to_owned(), s.text.get(language).to_owned()))
                .collect(),
            seen: seen(Which::Trouble),
            sound: seen(Which::Sound),
            absent: found(Status::Absent),
            unsure: found(Status::Unsure),
            official,
            no_advice,
            causes: advice.causes.iter().map(named).collect(),
            possible: advice.possible.iter().map(named).collect(),
            together: advice.causes.len() > 1,
            stress: advice.stress_unknown,
            escalate: words::escalate(advice.escalate, language),
            checks: told.once(checks),
            now: told.once(now),
            later: told.once(when),
            do_not: told.once(texts(BlockKind::WhenNot)),
            cautions: told.once(texts(BlockKind::Caution)),
            call: told.once(call),
            looks: asks(pack, next, looks, language),
            ask_again,
            notes,
            signed: occasion.signed.clone(),
            reviewed: match &occasion.reviewed_by {
                Some(role) => format!("{} ({} {role})", w.reviewed, w.reviewed_by),
                None => w.not_reviewed.to_owned(),
            },
            version: advice.content_version.clone(),
            notice: pack.notice(language),
        }
    }
}

fn later(step: &Step, advice: &Advice, w: &Words, language: Language) -> String {
    let text = advice.words(step, language);
    match step.from {
        Some(from) => format!("{} {}: {text}", w.from, day(from, language)),
        None => text,
    }
}

/// The questions of the best looks.
fn asks(pack: &Pack, next: &NextLooks, looks: usize, language: Language) -> Vec<String> {
    let best = next.looks.iter().take(looks).filter_map(|l| pack.character(&l.character));
    best.map(|c| c.ask.get(language).to_owned()).collect()
}

/// Which of the states seen.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Which {
    Any,
    /// Those that mean that nothing is wrong there.
    Sound,
    Trouble,
}

/// What was found, `Leaf spots: bull's-eye rings`, in the order of the pack.
fn findings(pack: &Pack, observations: &Observations, status: Status, which: Which, language: Language) -> Vec<String> {
    let mut lines = Vec::new();
    for character in &pack.characters {
        let of = observations.findings.iter().filter(|f| f.status == status && f.character == character.id);
        let states: Vec<Option<&str>> = of.map(|f| f.state.as_deref()).collect();
        let fits = |at: usize| match which {
            Which::Any => true,
            Which::Sound => at == character.normal,
            Which::Trouble => at != character.normal,
        };
        let found = character.states.iter().enumerate().filter(|(at, s)| states.contains(&Some(&s.id)) && fits(*at));
        let named: Vec<&str> = found.map(|(_, s)| s.text.get(language)).collect();
        if !named.is_empty() {
            lines.push(format!("{}: {}", character.label.get(language), named.join("; ")));
        } else if !states.is_empty() && which == Which::Any {
            lines.push(character.label.get(language).to_owned());
        }
    }
    lines
}

/// Sentences that the letter has said.
#[derive(Default)]
struct Told(Vec<String>);

impl Told {
    /// The lines without sentences that were said before; a line of which nothing is left is left out.
    fn once(&mut self, lines: Vec<String>) -> Vec<String> {
        let mut left = Vec::new();
        for line in lines {
            let mut kept: Vec<&str> = Vec::new();
            for sentence in line.split_inclusive(". ") {
                let same = sentence.trim().trim_end_matches('.').to_lowercase();
                if !self.0.contains(&same) {
                    self.0.push(same);
                    kept.push(sentence);
                }
            }
            if !kept.is_empty() {
                left.push(kept.concat().trim().to_owned());
            }
        }
        left
    }
}
