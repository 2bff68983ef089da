//! The first screens: the language, the office's code, six words to compare, and how this phone stands with its office.

use super::{
    act::{Choice, Line},
    reader::{Reader, Units},
};
use crate::{
    Error, Result,
    enrol::{CheckWords, Invitation},
    notebook::{Notebook, Request},
    record::Role,
    words::{Language, When, Words, sentence_case},
};

/// How a phone stands with its office.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Enrolling {
    /// It belongs to no office, or its key was lost and the office has to take it on again: everything is kept here, and nothing
    /// can be handed over until an office's code was taken.
    NotInvited,
    /// It took a code: everything can be handed over, and waits at the office until somebody there says yes.
    Asking,
    /// The office knows it.
    Enrolled,
}

/// The first screens, and the page of the office.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FirstScreen {
    /// How the phone stands.
    pub standing: Enrolling,
    /// The languages.
    pub languages: Vec<Choice>,
    /// The units.
    pub units: Vec<Choice>,
    /// Where it stands, in sentences.
    pub lines: Vec<String>,
    /// Office, role, and what people call this phone.
    pub facts: Vec<Line>,
    /// Six words that have to stand at the office too, in this order; empty before a code was read.
    pub words: Vec<String>,
    /// That the code is past by this phone's clock: a warning only; else empty.
    pub warning: String,
    /// The text that the office reads, to be shown as a QR code; empty where it needs none.
    pub ask: String,
    /// Nothing is joined yet: this is what a code says, to be looked at first.
    pub to_confirm: bool,
}

fn empty(reader: &Reader, standing: Enrolling) -> FirstScreen {
    let words = Words(reader.language);
    let units = [(Units::Customary, "customary"), (Units::Metric, "metric")];
    FirstScreen {
        standing,
        languages: Language::ALL
            .iter()
            .map(|l| Choice { id: l.tag().into(), text: l.own_name().into(), chosen: *l == reader.language })
            .collect(),
        units: units
            .into_iter()
            .map(|(of, id)| Choice {
                id: id.into(),
                text: words.say(&format!("phone-units-{id}")),
                chosen: of == reader.units,
            })
            .collect(),
        lines: Vec::new(),
        facts: Vec::new(),
        words: Vec::new(),
        warning: String::new(),
        ask: String::new(),
        to_confirm: false,
    }
}

fn split(words: &CheckWords, language: Language) -> Vec<String> {
    let text = match language {
        Language::En => words.english(),
        Language::Es => words.spanish(),
    };
    text.split_whitespace().map(str::to_owned).collect()
}

fn facts(words: Words, office: &str, role: Role, label: &str) -> Vec<Line> {
    vec![
        Line { label: words.say("phone-office"), text: office.to_owned() },
        Line {
            label: words.say("phone-role"),
            text: sentence_case(&words.say(&format!("phone-role-{}", role.name()))),
        },
        Line { label: words.say("phone-called"), text: label.to_owned() },
    ]
}

/// How a notebook stands with its office. It needs no pack.
///
/// # Errors
/// Of SQLite.
pub fn first(notebook: &Notebook, reader: &Reader) -> Result<FirstScreen> {
    let words = Words(reader.language);
    let office = match notebook.card() {
        Ok(card) => card.name,
        Err(Error::NotEnrolled) => {
            let mut screen = empty(reader, Enrolling::NotInvited);
            screen.lines = ["phone-first-none", "phone-first-kept", "phone-first-code"].map(|n| words.say(n)).to_vec();
            return Ok(screen);
        }
        Err(e) => return Err(e),
    };
    let check = notebook.check_words()?;
    let (role, label) = notebook.role()?;
    if notebook.must_enrol_again()? {
        let mut screen = empty(reader, Enrolling::NotInvited);
        screen.facts = facts(words, &office, role, &label);
        screen.lines = ["phone-first-new-key", "phone-first-code"].map(|n| words.say(n)).to_vec();
        return Ok(screen);
    }
    let invited = notebook.invited()?;
    let standing = if invited.is_some() { Enrolling::Asking } else { Enrolling::Enrolled };
    let mut screen = empty(reader, standing);
    screen.facts = facts(words, &office, role, &label);
    screen.words = split(&check, reader.language);
    if invited.is_some() {
        screen.lines = vec![words.say("phone-first-asking"), words.say("phone-first-compare")];
        screen.ask = notebook.ask()?.map(|ask| ask.to_text()).transpose()?.unwrap_or_default();
    } else {
        screen.lines = vec![words.with("phone-first-enrolled", [("office", &office)])];
    }
    Ok(screen)
}

/// What a code says, before it is taken. Nothing is changed.
///
/// # Errors
/// As [`Invitation::from_text`].
pub fn read_code(notebook: &Notebook, reader: &Reader, text: &str) -> Result<FirstScreen> {
    let words = Words(reader.language);
    let Invitation { card, invited, .. } = Invitation::from_text(text)?;
    let check = CheckWords::of(&card.root, &Request::read(&notebook.enrolment_request())?)?;
    let mut screen = empty(reader, Enrolling::NotInvited);
    let now = notebook.env().now_ms();
    let when = When::at_ms(i64::try_from(now).unwrap_or(i64::MAX)).in_zone(&reader.zone).told_in(words);
    screen.facts = facts(words, &card.name, invited.role, &invited.label);
    screen.words = split(&check, reader.language);
    screen.lines = vec![words.say("phone-first-compare")];
    if invited.is_past(now) {
        let at = i64::try_from(invited.expires_ms).unwrap_or(i64::MAX);
        screen.warning = words.with("phone-first-past", [("day", &when.day_ms(at))]);
    }
    screen.to_confirm = true;
    Ok(screen)
}
