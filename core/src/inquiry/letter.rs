//! A letter: what a person makes of it before it goes out, what it is put together from, and how it is kept once it was told.

use std::collections::BTreeSet;

use jiff::{ToSpan, civil::Date};
use serde::{Deserialize, Serialize};
use serde_json::{Value as Json, json};

use super::{Whole, day_of, named_causes, observations, reference, save, situation};
use crate::{
    Result,
    advice::{Advice, Step},
    ids::RecordId,
    key::{Language, Pack, Status, StopKind, authored::BlockKind, percent},
    letter::{Changes, Letter, Occasion},
    notebook::{Notebook, Record},
    record::Kind,
    words::{When, instant_ms},
};

/// Characters of a piece that a person writes.
pub const PIECE: usize = 2_000;

/// What a person made of a letter: kept while it is being written.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Writing {
    /// Other words for its pieces.
    pub changes: Changes,
    /// Causes that are not told, by id.
    pub left_out: BTreeSet<String>,
    /// Day on which somebody asks again; nothing until it was chosen, empty for never.
    pub due: Option<String>,
    /// The words that somebody reviewed.
    pub reviewed: Option<String>,
}

impl Writing {
    fn key(inquiry: RecordId, plant: RecordId, language: Language) -> String {
        format!("letter {inquiry} {plant} {}", language.tag())
    }

    /// What was kept of the letter on a plant.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn kept(notebook: &Notebook, inquiry: RecordId, plant: RecordId, language: Language) -> Result<Self> {
        let text = notebook.draft(&Self::key(inquiry, plant, language))?;
        Ok(text.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
    }

    /// Keeps it.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn keep(&self, notebook: &Notebook, inquiry: RecordId, plant: RecordId, language: Language) -> Result<()> {
        let text = serde_json::to_string(self).unwrap_or_default();
        notebook.keep_draft(&Self::key(inquiry, plant, language), Some(&text))
    }
}

/// What the writer knows beside the inquiry.
#[derive(Clone, Copy, Debug)]
pub struct Occasioned<'a> {
    /// Name of the office.
    pub office: &'a str,
    /// Role of whoever reviews letters, in the letter's language.
    pub reviewer: &'a str,
    /// Who signs, by role, in the letter's language.
    pub signed: &'a str,
    /// Now.
    pub now: &'a When,
}

/// A letter with all that it was made from.
#[derive(Debug)]
pub struct Made {
    /// Everything that could be told.
    pub all: Advice,
    /// What is told.
    pub told: Advice,
    /// The letter.
    pub letter: Letter,
    /// The letter without the resident's own words, which are private.
    pub kept: String,
    /// The same as it is while nobody has reviewed it: a review is of these words and of no others.
    pub unreviewed: String,
    /// Somebody reviewed it as it is.
    pub reviewed: bool,
    /// How many looks it rests on.
    pub looks: usize,
}

/// The letter on a plant.
///
/// # Errors
/// Of the key, also when the pack does not have the plant's host; of the letter.
pub fn make(
    pack: &Pack,
    whole: &Whole,
    plant: &Record,
    language: Language,
    writing: &Writing,
    knows: &Occasioned<'_>,
) -> Result<Made> {
    let host = plant.text("host").unwrap_or_default();
    let (given, _) = observations(pack, host, day_of(whole, knows.now), &whole.findings_on(plant.id));
    let (found, next) = (pack.differential(&given)?, pack.next_looks(&given)?);
    let situation = situation(whole, Some(plant.id));
    let all = Advice::of(pack, &given, &found, &situation);
    let mut told = Advice::telling(pack, &given, &found, &situation, |id| !writing.left_out.contains(id));
    let today = knows.now.today();
    told.follow_up = match (&writing.due, told.follow_up) {
        (Some(due), Some(mut follow_up)) => due.parse::<Date>().ok().and_then(|due| {
            follow_up.days = u16::try_from((due - today).get_days()).ok()?;
            Some(follow_up)
        }),
        (_, follow_up) => follow_up,
    };
    let occasion = |question: &str, reviewed: bool| Occasion {
        office: knows.office.to_owned(),
        office_lines: Vec::new(),
        inquiry: whole.inquiry.id.short(),
        date: today,
        question: question.to_owned(),
        reviewed_by: reviewed.then(|| knows.reviewer.to_owned()),
        signed: knows.signed.to_owned(),
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

impl Made {
    /// The day on which the pack would ask again; nothing where it asks nothing.
    pub fn default_due(&self, today: Date) -> Option<Date> {
        let days = i64::from(self.all.follow_up.as_ref()?.days);
        today.checked_add(days.days()).ok()
    }
}

/// What is told, and how.
#[derive(Clone, Copy, Debug)]
pub struct Sending<'a> {
    /// What is told.
    pub told: &'a Advice,
    /// The letter, where there is one.
    pub letter: Option<&'a Letter>,
    /// The words that are kept.
    pub text: &'a str,
    /// How it goes out: one of the registry's words.
    pub how: &'a str,
    /// The resident said it back.
    pub read_back: bool,
    /// When somebody asks again; nothing for never.
    pub due: Option<Date>,
    /// What is asked then.
    pub question: &'a str,
    /// Who asks then, as records say.
    pub by: &'a str,
    /// Who tells it, as records say.
    pub signed: &'a str,
}

/// Keeps what was told of a plant: which causes and how sure, which text of the pack with its version, which cautions, in what
/// words, by whom; and what is asked later.
///
/// # Errors
/// As [`Notebook::save`].
pub fn keep(notebook: &Notebook, whole: &Whole, plant: &Record, sending: &Sending<'_>, now: &When) -> Result<RecordId> {
    let inquiry = whole.inquiry.id.to_string();
    let mut advice = json!({
        "inquiry": inquiry,
        "blocks": blocks(sending),
        "text": sending.text,
        "cautions": cautions(sending.told),
        "label_shown": sending.told.steps.iter().any(about_label),
        "given": now.instant(),
        "how": sending.how,
        "by": sending.signed,
        "read_back": sending.read_back,
    });
    if let Some(diagnosis) = diagnosis(notebook, whole, plant, sending, now)? {
        advice["diagnosis"] = json!(diagnosis);
    }
    let advice = save(notebook, Kind::Advice, None, advice)?;
    if let Some(due) = sending.due {
        let question: String = sending.question.trim().chars().take(2_000).collect();
        let fields = json!({ "inquiry": inquiry, "due": due.to_string(), "question": question, "by": sending.by });
        save(notebook, Kind::FollowUp, None, fields)?;
    }
    Ok(advice)
}

/// The text of the pack that stands in the letter as the pack has it, with its version.
fn blocks(sending: &Sending<'_>) -> Vec<Json> {
    let pieces = sending.letter.map_or(&[][..], |letter| &letter.pieces);
    let changed = |id: &str| pieces.iter().any(|p| p.id == id && p.is_changed());
    let version = &sending.told.content_version;
    let told = sending.told.steps.iter().filter(|s| !changed(&s.id));
    told.map(|s| json!({ "id": s.id, "version": version })).collect()
}

/// Ids of the stops and cautions that are shown.
fn cautions(told: &Advice) -> Vec<&str> {
    let stops = told.stops.iter().filter(|s| s.kind != StopKind::Note).map(|s| s.id.as_str());
    let kinds = [BlockKind::Caution, BlockKind::WhenNot];
    let steps = told.steps.iter().filter(|s| kinds.contains(&s.kind)).map(|s| s.id.as_str());
    let notes = told.stops.iter().filter(|s| s.kind == StopKind::Note).map(|s| s.id.as_str());
    stops.chain(steps).chain(notes).collect()
}

fn about_label(step: &Step) -> bool {
    step.text.en().to_lowercase().contains("label")
}

/// What is answered: the causes told, unless the newest answer says just that. Nothing where none is told.
fn diagnosis(
    notebook: &Notebook,
    whole: &Whole,
    plant: &Record,
    sending: &Sending<'_>,
    now: &When,
) -> Result<Option<String>> {
    let told = sending.told;
    let causes: Vec<Json> = told
        .causes
        .iter()
        .chain(&told.possible)
        .map(|c| json!({ "cause": c.cause, "role": c.role, "word": c.word, "percent": percent(c.probability) }))
        .collect();
    let causes = json!(causes);
    let mut held = whole.of(Kind::Diagnosis);
    held.retain(|d| d.text("status") != Some("withdrawn") && reference(d, "plant").is_none_or(|p| p == plant.id));
    let newest = held.into_iter().max_by_key(|d| (d.text("at").and_then(instant_ms), d.id));
    if let Some(newest) = newest.filter(|d| named_causes(d.get("causes")) == named_causes(Some(&causes))) {
        return Ok(Some(newest.id.to_string()));
    }
    if causes.as_array().is_none_or(Vec::is_empty) {
        return Ok(None);
    }
    let found = whole.findings_on(plant.id);
    let basis = if found.iter().all(|f| f.text("method") == Some("told")) { "told" } else { "field" };
    let fields = json!({
        "inquiry": whole.inquiry.id.to_string(),
        "plant": plant.id.to_string(),
        "causes": causes,
        "basis": basis,
        "by": sending.signed,
        "at": now.instant(),
        "pack_version": told.content_version,
    });
    Ok(Some(save(notebook, Kind::Diagnosis, None, fields)?.to_string()))
}
