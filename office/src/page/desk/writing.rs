//! What a person makes of a letter before it goes out: kept while it is being written, and put together with the pack.

use std::collections::BTreeSet;

use dooryard_core::{
    advice::Advice,
    ids::RecordId,
    key::{Language, Status},
    letter::{Changes, Letter, Occasion},
    notebook::{Notebook, Record},
    record::Kind,
    words::Words,
};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::{known::plant_of, sent};
use crate::page::{
    day_of,
    frame::Frame,
    gather::{Whole, reference},
    guard::Given,
    observations,
    routes::Desk,
    situation,
    trouble::Trouble,
    words::When,
};

/// Characters of a piece that a person writes.
const PIECE: usize = 2_000;

/// What a person made of a letter: kept while it is being written.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct Writing {
    pub(super) changes: Changes,
    /// Causes that are not told, by id.
    pub(super) left_out: BTreeSet<String>,
    /// Day on which somebody asks again; nothing until it was chosen, empty for never.
    pub(super) due: Option<String>,
    /// The words that somebody reviewed.
    pub(super) reviewed: Option<String>,
}

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

    fn key(&self) -> String {
        format!("letter {} {} {}", self.inquiry(), self.plant.id, self.language.tag())
    }

    pub(super) fn writing(&self, notebook: &Notebook) -> Result<Writing, Trouble> {
        Ok(notebook.draft(&self.key())?.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
    }

    pub(super) fn keep(&self, notebook: &Notebook, writing: &Writing) -> Result<(), Trouble> {
        let text = serde_json::to_string(writing).unwrap_or_default();
        Ok(notebook.keep_draft(&self.key(), Some(&text))?)
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

/// A letter with all that it was made from.
pub(super) struct Made {
    /// Everything that could be told.
    pub(super) all: Advice,
    /// What is told.
    pub(super) told: Advice,
    pub(super) letter: Letter,
    /// The letter without the resident's own words, which are private.
    pub(super) kept: String,
    /// The same as it is while nobody has reviewed it: a review is of these words and of no others.
    pub(super) unreviewed: String,
    /// Somebody reviewed it as it is.
    pub(super) reviewed: bool,
    /// How many looks it rests on.
    pub(super) looks: usize,
}

pub(super) fn make(desk: &Desk, meant: &Meant<'_>, writing: &Writing) -> Result<Made, Trouble> {
    let (pack, language, whole, plant) = (&desk.pack, meant.language, meant.whole, meant.plant);
    let findings = whole.of(Kind::Finding);
    let own: Vec<&Record> = findings.into_iter().filter(|f| reference(f, "plant") == Some(plant.id)).collect();
    let (given, _) = observations(pack, plant.text("host").unwrap_or_default(), day_of(whole), &own);
    let (found, next) = (pack.differential(&given)?, pack.next_looks(&given)?);
    let situation = situation(whole, Some(plant.id));
    let all = Advice::of(pack, &given, &found, &situation);
    let mut told = Advice::telling(pack, &given, &found, &situation, |id| !writing.left_out.contains(id));
    let today = When::now().today();
    told.follow_up = match (&writing.due, told.follow_up) {
        (Some(due), Some(mut follow_up)) => due.parse::<Date>().ok().and_then(|due| {
            follow_up.days = u16::try_from((due - today).get_days()).ok()?;
            Some(follow_up)
        }),
        (_, follow_up) => follow_up,
    };
    // The letter speaks the resident's language, whatever the page speaks.
    let spoken = Words(language);
    let occasion = |question: &str, reviewed: bool| Occasion {
        office: desk.office.card().name.clone(),
        office_lines: Vec::new(),
        inquiry: whole.inquiry.id.to_string(),
        date: today,
        question: question.to_owned(),
        reviewed_by: reviewed.then(|| spoken.say("desk-reviewer")),
        signed: spoken.say("desk-signed"),
    };
    let letter = |question: &str, reviewed: bool| {
        let occasion = occasion(question, reviewed);
        Letter::changed(pack, &given, &told, &next, &occasion, language, &writing.changes)
    };
    let unreviewed = letter("", false)?.text;
    let reviewed = writing.reviewed.as_ref() == Some(&unreviewed);
    Ok(Made {
        letter: letter(whole.inquiry.text("question").unwrap_or_default(), reviewed)?,
        kept: letter("", reviewed)?.text,
        unreviewed,
        reviewed,
        looks: given.findings.iter().filter(|f| f.status != Status::NotLooked).count(),
        all,
        told,
    })
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

pub(super) fn default_due(advice: &Advice) -> Option<Date> {
    let days = i64::from(advice.follow_up.as_ref()?.days);
    When::now().today().checked_add(jiff::ToSpan::days(days)).ok()
}
