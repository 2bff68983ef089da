//! Taking a shot: it is written down before the camera opens, so that what the camera wrote is found again whatever happened to
//! the app meanwhile.

use std::{fs, path::Path};

use serde::{Deserialize, Serialize};
use serde_json::{Value as Json, json};

use super::{
    photo::{PARTS, SCALES},
    place::held,
    plant::of_whole,
    reader::{PROTOCOL, View},
    shots::{ShotScreen, shots},
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{Whole, own_findings, save, visit_today},
    record::Kind,
};

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
    // Where nothing may say where somebody lives, a photo does not either.
    if held(view, &whole)?.is_empty() {
        view.notebook.add_photo_as(photo, file, &fields)?;
    } else {
        view.notebook.add_photo_without_place(photo, file, &fields)?;
    }
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

/// A child asks: photos that say where they were taken are taken in again without it, and those before are taken away.
///
/// # Errors
/// As [`crate::notebook::Notebook::add_photo`].
pub(super) fn forget_places(view: &View<'_>, whole: &Whole) -> Result<()> {
    const OF_THE_FILE: [&str; 6] = ["image", "thumbnail", "place", "size", "orientation", "mime"];
    for photo in whole.of(Kind::Photo).into_iter().filter(|photo| photo.get("place").is_some()) {
        let file = view.blob(photo.get("image"));
        if file.is_empty() {
            continue;
        }
        let told = photo.fields.iter().filter(|field| !OF_THE_FILE.contains(&field.name.as_str()));
        let fields = told.filter_map(|field| Some((field.name.clone(), field.shown.value.clone()?))).collect();
        let new = view.notebook.env().record_id();
        view.notebook.add_photo_without_place(new, Path::new(&file), &fields)?;
        let old = json!(photo.id.to_string());
        for record in whole.records.values() {
            let Some(mut photos) = record.get("photos").and_then(Json::as_array).cloned() else { continue };
            let Some(named) = photos.iter_mut().find(|named| **named == old) else { continue };
            *named = json!(new.to_string());
            save(view.notebook, record.kind, Some(record.id), json!({ "photos": photos }))?;
        }
        view.notebook.delete(photo.id)?;
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

/// Takes in a photo from the gallery, with the date that stands in it. What was answered to the `look` names it, where there is one.
/// The file stays where it is.
///
/// # Errors
/// `SCHEMA` for a part that there is not; as [`crate::notebook::Notebook::add_photo`].
pub fn import_photo(
    view: &View<'_>,
    inquiry: RecordId,
    plant: Option<RecordId>,
    part: &str,
    look: &str,
    file: &Path,
) -> Result<ShotScreen> {
    if !PARTS.contains(&part) {
        return Err(Error::refused(Code::Schema, "that is no shot"));
    }
    let photo = view.notebook.env().record_id();
    add(view, photo, inquiry, plant, (part, "", look), file)?;
    shots(view, inquiry, plant)
}
