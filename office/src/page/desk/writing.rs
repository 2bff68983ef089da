//! What a person makes of a letter before it goes out: kept while it is being written, and put together with the pack.

use dooryard_core::{
    advice::Advice,
    ids::RecordId,
    inquiry::{self, Made, Occasioned, PIECE},
    key::Language,
    letter::Letter,
    notebook::{Notebook, Record},
    words::Words,
};
use jiff::civil::Date;

use super::{known::plant_of, sent};
use crate::page::{frame::Frame, gather::Whole, guard::Given, routes::Desk, trouble::Trouble, words::When};

pub(super) use dooryard_core::inquiry::Writing;

/// Which letter is meant.
pub(super) struct Meant<'w> {
    pub(super) whole: &'w Whole,
    pub(super) plant: &'w Record,
    pub(super) language: Language,
}

impl Meant<'_> {
    /// Number of the inquiry.
    pub(super) fn inquiry(&self) -> RecordId {
        self.whole.inquiry.id
    }

    pub(super) fn writing(&self, notebook: &Notebook) -> Result<Writing, Trouble> {
        Ok(Writing::kept(notebook, self.inquiry(), self.plant.id, self.language)?)
    }

    pub(super) fn keep(&self, notebook: &Notebook, writing: &Writing) -> Result<(), Trouble> {
        Ok(writing.keep(notebook, self.inquiry(), self.plant.id, self.language)?)
    }
}

/// The letter that is meant; nothing while the inquiry has no plant that the pack knows.
pub(super) fn meant<'w>(
    desk: &Desk,
    whole: &'w Whole,
    plant: &str,
    language: &str,
) -> Result<Option<Meant<'w>>, Trouble> {
    let Some(plant) = plant_of(whole, plant)?.filter(|p| desk.pack.host(p.text("host").unwrap_or_default()).is_some())
    else {
        return Ok(None);
    };
    let of_resident = || whole.inquiry.text("language").and_then(Language::from_tag).unwrap_or_default();
    let language = Language::from_tag(language).unwrap_or_else(of_resident);
    Ok(Some(Meant { whole, plant, language }))
}

/// The letter. It speaks the resident's language, whatever the page speaks.
pub(super) fn make(desk: &Desk, meant: &Meant<'_>, writing: &Writing) -> Result<Made, Trouble> {
    let spoken = Words(meant.language);
    let (reviewer, signed) = (spoken.say("desk-reviewer"), spoken.say("desk-signed"));
    let office = desk.office.card().name.as_str();
    let knows = Occasioned { office, reviewer: &reviewer, signed: &signed, now: &When::now() };
    Ok(inquiry::make(&desk.pack, meant.whole, meant.plant, meant.language, writing, &knows)?)
}

/// What the form says of the letter, over what was kept before.
pub(super) fn written(given: &Given, mut before: Writing, made: &Letter, causes: &Advice) -> Writing {
    for piece in &made.pieces {
        let Some(text) = given.sent(&format!("piece_{}", piece.id)) else { continue };
        // A browser sends lines ended in its own way.
        let text = text.replace("\r\n", "\n").trim().to_owned();
        if text == piece.given {
            before.changes.remove(&piece.id);
        } else {
            before.changes.insert(piece.id.clone(), text);
        }
    }
    for cause in causes.causes.iter().chain(&causes.possible).map(|c| &c.cause) {
        match (given.text(&format!("offered_{cause}")), given.text(&format!("cause_{cause}"))) {
            ("yes", "yes") => {
                before.left_out.remove(cause);
            }
            ("yes", _) => {
                before.left_out.insert(cause.clone());
            }
            _ => {}
        }
    }
    before.due = given.sent("due").map(str::to_owned).or(before.due);
    before
}

pub(super) fn problem(writing: &Writing, kept: &str, frame: &Frame) -> Option<String> {
    if writing.changes.values().any(|text| text.chars().count() > PIECE) {
        return Some(frame.with("desk-problem-piece", [("most", &PIECE)]));
    }
    let due = writing.due.as_deref().unwrap_or_default();
    if !due.is_empty() && due.parse::<Date>().is_ok_and(|d| d < When::now().today())
        || (!due.is_empty() && due.parse::<Date>().is_err())
    {
        return Some(frame.say("desk-problem-due"));
    }
    (kept.chars().count() > sent::MOST).then(|| frame.say("desk-problem-letter-long"))
}
