//! Guided shots: which are useful of this plant, each taken, skipped or not taken, none compulsory.

use serde_json::{Value as Json, json};

use super::{
    act::Choice,
    camera::{Pending, pending_shot},
    photo::{PARTS, PhotoCard, SCALES, cards, choices},
    plant::of_whole,
    reader::View,
    stops::{self, StopCard},
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{Whole, save},
    key::Blocks,
    notebook::Record,
    tell::lines,
    words::sentence_case,
};

/// The shots of a plant, or of a whole inquiry.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ShotScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// The plant; none for the site.
    pub plant: Option<RecordId>,
    /// What it is called.
    pub title: String,
    /// `Saved on this phone 10:42 am`, for the newest photo; empty before the first.
    pub saved: String,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// The guided set, in its order.
    pub shots: Vec<ShotRow>,
    /// The first of the set that is neither taken nor skipped; empty when there is none.
    pub next: String,
    /// Other photos.
    pub others: Vec<PhotoCard>,
    /// What can give the size.
    pub scales: Vec<Choice>,
    /// A shot that was begun and not taken in.
    pub pending: Option<Pending>,
    /// That the resident did not agree to photos, that no person may be on them; empty where there is nothing to say.
    pub notes: Vec<String>,
}

/// One shot of the set.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ShotRow {
    /// What it shows, handed back to take or skip it.
    pub part: String,
    /// Its name.
    pub name: String,
    /// How to take it.
    pub how: String,
    /// Taken, skipped, or not taken, in words.
    pub state: String,
    /// It was skipped.
    pub skipped: bool,
    /// Something that gives the size belongs into it.
    pub sized: bool,
    /// Its photos.
    pub photos: Vec<PhotoCard>,
}

/// Shots into which something belongs that gives the size.
const SIZED: [&str; 1] = ["close_up"];

/// The shots that were skipped: of a plant its own, else of the inquiry.
fn skips(record: &Record) -> Vec<&str> {
    record.get("shots_skipped").and_then(Json::as_array).into_iter().flatten().filter_map(Json::as_str).collect()
}

/// The shots of a plant, or of the site and the whole inquiry where `plant` is none.
///
/// # Errors
/// [`Error::NotFound`]; of the key.
pub fn shots(view: &View<'_>, inquiry: RecordId, plant: Option<RecordId>) -> Result<ShotScreen> {
    let whole = view.whole(inquiry)?;
    let record = plant.map(|id| of_whole(&whole, id)).transpose()?;
    let photos = cards(view, &whole, plant);
    let part_of = |card: &PhotoCard| whole.records.get(&card.id).and_then(|r| r.text("part")).unwrap_or("other");
    let skips = skips(record.unwrap_or(&whole.inquiry));
    let guided = PARTS.iter().filter(|part| **part != "other");
    let shots: Vec<ShotRow> = guided
        .map(|part| {
            let own: Vec<PhotoCard> = photos.iter().filter(|card| part_of(card) == *part).cloned().collect();
            let skipped = own.is_empty() && skips.contains(part);
            let state = match (own.len(), skipped) {
                (0, true) => view.say("phone-shot-skipped"),
                (0, false) => view.say("phone-shot-open"),
                (n, _) => view.with("phone-shot-taken", [("n", &n)]),
            };
            ShotRow {
                part: (*part).to_owned(),
                name: sentence_case(&view.telling().word(part)),
                how: view.say(&format!("phone-shot-{}", part.replace('_', "-"))),
                state,
                skipped,
                sized: SIZED.contains(part),
                photos: own,
            }
        })
        .collect();
    let newest = photos.iter().filter_map(|card| whole.records.get(&card.id)).max_by_key(|photo| photo.id);
    let next = shots.iter().find(|s| s.photos.is_empty() && !s.skipped).map(|s| s.part.clone());
    Ok(ShotScreen {
        inquiry,
        plant,
        title: record.map_or_else(|| view.say("phone-shots-site"), |r| lines::plant_title(r, view.telling())),
        saved: newest.map_or_else(String::new, |photo| view.saved(photo)),
        halts: stops::unread(view, &whole)?,
        next: next.unwrap_or_default(),
        others: photos.iter().filter(|card| part_of(card) == "other").cloned().collect(),
        shots,
        scales: choices(view, &SCALES, "ruler_card"),
        pending: pending_shot(view)?,
        notes: notes(view, &whole)?,
    })
}

fn notes(view: &View<'_>, whole: &Whole) -> Result<Vec<String>> {
    let mut notes = Vec::new();
    let agreed = whole.inquiry.get("consent").and_then(|c| c.get("photo")).and_then(Json::as_bool);
    if agreed == Some(false) {
        notes.push(view.say("phone-photo-not-agreed"));
    }
    let raised = crate::inquiry::raised(view.pack, whole, &view.when)?;
    if stops::holds_back(&raised, Blocks::Contact) {
        notes.push(view.say("phone-photo-no-person"));
    }
    Ok(notes)
}

/// Skips a shot of the set, or asks for it again.
///
/// # Errors
/// `SCHEMA` for a part that there is not; [`Error::NotFound`]; of SQLite.
pub fn skip_shot(
    view: &View<'_>,
    inquiry: RecordId,
    plant: Option<RecordId>,
    part: &str,
    skipped: bool,
) -> Result<ShotScreen> {
    if !PARTS.contains(&part) {
        return Err(Error::refused(Code::Schema, "that is no shot"));
    }
    let whole = view.whole(inquiry)?;
    let record = plant.map(|id| of_whole(&whole, id)).transpose()?.unwrap_or(&whole.inquiry);
    let mut skips = skips(record);
    skips.retain(|known| *known != part);
    if skipped {
        skips.push(part);
    }
    save(view.notebook, record.kind, Some(record.id), json!({ "shots_skipped": skips }))?;
    shots(view, inquiry, plant)
}
