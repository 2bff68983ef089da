//! A letter as it was sent: which causes it told and how sure, which text of the pack with its version, which cautions, in
//! what words, by whom; what is asked later; and where the inquiry stands after it.

use dooryard_core::{
    advice::Advice,
    key::{StopKind, authored::BlockKind},
    letter::Letter,
    notebook::Record,
    record::Kind,
};
use jiff::civil::Date;
use serde_json::{Value as Json, json};

use super::{later, save, signed_as};
use crate::{
    ledger::named_causes,
    page::{
        frame::Frame,
        gather::{Whole, reference},
        percent,
        routes::Desk,
        trouble::Trouble,
        words::{When, instant_ms},
    },
    people::Visitor,
};

/// Characters of a letter that a record holds.
pub(super) const MOST: usize = 16_000;

/// What is sent.
pub(super) struct Sending<'a> {
    pub(super) told: &'a Advice,
    pub(super) letter: &'a Letter,
    /// The words that are kept.
    pub(super) text: &'a str,
    /// How it goes out: one of the registry's words.
    pub(super) how: &'a str,
    pub(super) read_back: bool,
    pub(super) due: Option<Date>,
    /// Nobody asks again.
    pub(super) never: bool,
    pub(super) question: &'a str,
    /// Who asks again, as records say.
    pub(super) by: &'a str,
}

/// Keeps it.
pub(super) fn keep(
    desk: &Desk,
    who: &Visitor,
    whole: &Whole,
    plant: &Record,
    sending: &Sending<'_>,
) -> Result<(), Trouble> {
    let (notebook, inquiry, now) = (desk.notebook(), whole.inquiry.id.to_string(), When::now());
    if !["spoken", "letter", "email", "print"].contains(&sending.how) {
        return Err(Trouble::BadForm);
    }
    let mut advice = json!({
        "inquiry": inquiry,
        "blocks": blocks(sending),
        "text": sending.text,
        "cautions": cautions(sending.told),
        "label_shown": sending.told.steps.iter().any(about_label),
        "given": now.instant(),
        "how": sending.how,
        "by": signed_as(who),
        "read_back": sending.read_back,
    });
    if let Some(diagnosis) = diagnosis(desk, who, whole, plant, sending.told)? {
        advice["diagnosis"] = json!(diagnosis);
    }
    save(notebook, Kind::Advice, None, advice)?;
    if let (Some(due), false) = (sending.due, sending.never) {
        let by = if later::is_somebody(desk, sending.by)? { sending.by.to_owned() } else { signed_as(who) };
        let question: String = sending.question.trim().chars().take(2_000).collect();
        let fields = json!({ "inquiry": inquiry, "due": due.to_string(), "question": question, "by": by });
        save(notebook, Kind::FollowUp, None, fields)?;
    }
    save(notebook, Kind::Inquiry, Some(whole.inquiry.id), json!({ "status": "answered" }))?;
    Ok(())
}

/// The text of the pack that stands in the letter as the pack has it, with its version.
fn blocks(sending: &Sending<'_>) -> Vec<Json> {
    let changed = |id: &str| sending.letter.pieces.iter().any(|p| p.id == id && p.is_changed());
    let version = &sending.told.content_version;
    let told = sending.told.steps.iter().filter(|s| !changed(&s.id));
    told.map(|s| json!({ "id": s.id, "version": version })).collect()
}

/// Ids of the stops and cautions that the letter shows.
fn cautions(told: &Advice) -> Vec<&str> {
    let stops = told.stops.iter().filter(|s| s.kind != StopKind::Note).map(|s| s.id.as_str());
    let kinds = [BlockKind::Caution, BlockKind::WhenNot];
    let steps = told.steps.iter().filter(|s| kinds.contains(&s.kind)).map(|s| s.id.as_str());
    let notes = told.stops.iter().filter(|s| s.kind == StopKind::Note).map(|s| s.id.as_str());
    stops.chain(steps).chain(notes).collect()
}

fn about_label(step: &dooryard_core::advice::Step) -> bool {
    step.text.en().to_lowercase().contains("label")
}

/// What the letter answers: the causes told, unless the newest answer says just that. Nothing where none is told.
fn diagnosis(
    desk: &Desk,
    who: &Visitor,
    whole: &Whole,
    plant: &Record,
    told: &Advice,
) -> Result<Option<String>, Trouble> {
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
    let findings = whole.of(Kind::Finding);
    let of_plant = || findings.iter().filter(|f| reference(f, "plant") == Some(plant.id));
    let basis = if of_plant().all(|f| f.text("method") == Some("told")) { "told" } else { "field" };
    let fields = json!({
        "inquiry": whole.inquiry.id.to_string(),
        "plant": plant.id.to_string(),
        "causes": causes,
        "basis": basis,
        "by": signed_as(who),
        "at": When::now().instant(),
        "pack_version": told.content_version,
    });
    Ok(Some(save(desk.notebook(), Kind::Diagnosis, None, fields)?.to_string()))
}

/// Advice that was given before.
pub(super) struct Past {
    pub(super) line: String,
    pub(super) text: String,
}

/// All advice of an inquiry, newest first.
pub(super) fn past(whole: &Whole, frame: &Frame) -> Vec<Past> {
    let mut given = whole.of(Kind::Advice);
    given.sort_by_key(|a| std::cmp::Reverse((a.text("given").and_then(instant_ms), a.id)));
    let past = |a: &Record| {
        let at = a.text("given").map_or_else(String::new, |at| frame.when().full(at));
        let how = a.text("how").map_or_else(String::new, |how| frame.say(&format!("desk-how-{how}")));
        let by = a.text("by").unwrap_or_default();
        let line: Vec<&str> = [at.as_str(), how.as_str(), by].into_iter().filter(|part| !part.is_empty()).collect();
        Past { line: line.join(" · "), text: a.text("text").unwrap_or_default().to_owned() }
    };
    given.into_iter().map(past).collect()
}
