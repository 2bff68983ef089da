//! Guided shots: which are useful of this plant, each taken, skipped or not taken, none compulsory. A shot is written down before
//! the camera opens, so that what the camera wrote is found again whatever happened to the app meanwhile.

use std::{fs, path::Path};

use serde::{Deserialize, Serialize};
use serde_json::{Value as Json, json};

use super::{
    act::Choice,
    photo::{PARTS, PhotoCard, SCALES, cards, choices},
    plant::of_whole,
    reader::{PROTOCOL, View},
    stops::{self, StopCard},
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{Whole, own_findings, save, visit_today},
    key::Blocks,
    notebook::Record,
    record::Kind,
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
    /// Its photos.
    pub photos: Vec<PhotoCard>,
}

/// A shot that was begun.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Pending {
    /// The photo that it will be.
    pub id: RecordId,
    /// Its inquiry.
    pub inquiry: RecordId,
    /// Its plant.
    pub plant: Option<RecordId>,
    /// What it shows.
    pub part: String,
    /// The file that the camera is to write.
    pub path: String,
    /// The camera wrote something.
    pub written: bool,
}

/// What a shot is, as it is kept before the camera opens.
#[derive(Serialize, Deserialize)]
struct Kept {
    photo: String,
    inquiry: String,
    plant: Option<String>,
    part: String,
    scale: String,
    look: String,
    path: String,
}

const KEY: &str = "shot";

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
                photos: own,
            }
        })
        .collect();
    let next = shots.iter().find(|s| s.photos.is_empty() && !s.skipped).map(|s| s.part.clone());
    Ok(ShotScreen {
        inquiry,
        plant,
        title: record.map_or_else(|| view.say("phone-shots-site"), |r| lines::plant_title(r, view.telling())),
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

/// Writes down that a shot is about to be taken, and gives the file that the camera is to write. `look` is the look that it shows
/// the answer of, or empty. Another shot that was begun and not taken in is taken in first where the camera wrote it.
///
/// # Errors
/// `SCHEMA` for a part or a scale that there is not; [`Error::NotFound`]; of the file system.
pub fn expect_shot(
    view: &View<'_>,
    inquiry: RecordId,
    plant: Option<RecordId>,
    part: &str,
    scale: &str,
    look: &str,
) -> Result<Pending> {
    if !PARTS.contains(&part) || !(scale.is_empty() || SCALES.contains(&scale)) {
        return Err(Error::refused(Code::Schema, "that is no shot"));
    }
    let whole = view.whole(inquiry)?;
    plant.map(|id| of_whole(&whole, id)).transpose()?;
    if let Some(left) = pending_shot(view)? {
        if left.written { take_shot(view).map(drop)? } else { give_up_shot(view)? }
    }
    let photo = view.notebook.env().record_id();
    let path = view.notebook.incoming(photo, "jpg")?.display().to_string();
    let kept = Kept {
        photo: photo.to_string(),
        inquiry: inquiry.to_string(),
        plant: plant.map(|p| p.to_string()),
        part: part.to_owned(),
        scale: scale.to_owned(),
        look: look.to_owned(),
        path,
    };
    view.notebook.keep_draft(KEY, Some(&serde_json::to_string(&kept).unwrap_or_default()))?;
    pending_shot(view)?.ok_or_else(|| Error::NotFound("the shot that was just begun".into()))
}

fn kept(view: &View<'_>) -> Result<Option<Kept>> {
    Ok(view.notebook.draft(KEY)?.and_then(|text| serde_json::from_str(&text).ok()))
}

/// The shot that was begun and not taken in, also after the app was killed; nothing where there is none.
///
/// # Errors
/// Of SQLite.
pub fn pending_shot(view: &View<'_>) -> Result<Option<Pending>> {
    let Some(kept) = kept(view)? else { return Ok(None) };
    let (Ok(id), Ok(inquiry)) = (kept.photo.parse(), kept.inquiry.parse()) else { return Ok(None) };
    let written = fs::metadata(&kept.path).is_ok_and(|file| file.len() > 0);
    let plant = kept.plant.and_then(|plant| plant.parse().ok());
    Ok(Some(Pending { id, inquiry, plant, part: kept.part, path: kept.path, written }))
}

/// Takes in what the camera wrote: the original as it is, a small picture, its own date and direction. Doing it again after it
/// was stopped on the way gives the same photo, not a second one. The file that the camera wrote is removed at the end.
///
/// # Errors
/// [`Error::NotFound`] when no shot was begun or the camera wrote nothing; what [`crate::notebook::Notebook::add_photo`] says,
/// also `NO_SPACE`: the file stays, and can be taken in later.
pub fn take_shot(view: &View<'_>) -> Result<ShotScreen> {
    let shot = kept(view)?.ok_or_else(|| Error::NotFound("a shot that was begun".into()))?;
    let bad = |_| Error::NotFound("a shot that was begun".into());
    let (photo, inquiry): (RecordId, RecordId) = (shot.photo.parse().map_err(bad)?, shot.inquiry.parse().map_err(bad)?);
    let plant: Option<RecordId> = shot.plant.as_ref().and_then(|id| id.parse().ok());
    let path = Path::new(&shot.path);
    add(view, photo, inquiry, plant, (&shot.part, &shot.scale, &shot.look), path)?;
    view.notebook.keep_draft(KEY, None)?;
    view.notebook.remove_incoming(path)?;
    shots(view, inquiry, plant)
}

fn add(
    view: &View<'_>,
    photo: RecordId,
    inquiry: RecordId,
    plant: Option<RecordId>,
    (part, scale, look): (&str, &str, &str),
    file: &Path,
) -> Result<()> {
    let whole = view.whole(inquiry)?;
    let (label, version) = (view.own_label()?, view.pack.content_version());
    let visit = visit_today(view.notebook, &whole, &view.looker(&label, "photo", &version), &view.when)?;
    let mut fields = json!({ "part": part, "inquiry": inquiry.to_string(), "visit": visit.to_string() });
    if !scale.is_empty() {
        fields["scale"] = json!(scale);
    }
    if let Some(plant) = plant {
        fields["plant"] = json!(plant.to_string());
    }
    let Json::Object(fields) = fields else { return Ok(()) };
    view.notebook.add_photo_as(photo, file, &fields)?;
    let Some(plant) = plant.filter(|_| !look.is_empty()) else { return Ok(()) };
    let of_look = own_findings(&whole, plant, PROTOCOL).into_iter().filter(|f| f.text("character") == Some(look));
    for finding in of_look {
        let held = finding.get("photos").and_then(Json::as_array).cloned().unwrap_or_default();
        let mut ids: Vec<Json> = held;
        if !ids.contains(&json!(photo.to_string())) {
            ids.push(json!(photo.to_string()));
            save(view.notebook, Kind::Finding, Some(finding.id), json!({ "photos": ids }))?;
        }
    }
    Ok(())
}

/// Gives up the shot that was begun: the camera was closed without one.
///
/// # Errors
/// Of the file system.
pub fn give_up_shot(view: &View<'_>) -> Result<()> {
    if let Some(shot) = kept(view)? {
        view.notebook.remove_incoming(Path::new(&shot.path))?;
    }
    view.notebook.keep_draft(KEY, None)
}

/// Takes in a photo from the gallery, with the date that stands in it. The file stays where it is.
///
/// # Errors
/// `SCHEMA` for a part that there is not; as [`crate::notebook::Notebook::add_photo`].
pub fn import_photo(
    view: &View<'_>,
    inquiry: RecordId,
    plant: Option<RecordId>,
    part: &str,
    file: &Path,
) -> Result<ShotScreen> {
    if !PARTS.contains(&part) {
        return Err(Error::refused(Code::Schema, "that is no shot"));
    }
    let photo = view.notebook.env().record_id();
    add(view, photo, inquiry, plant, (part, "", ""), file)?;
    shots(view, inquiry, plant)
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
