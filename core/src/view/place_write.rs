//! Writing down where: one fix, a pin moved by hand on the scene, or a place by its words.

use std::collections::BTreeMap;

use serde_json::{Map, Value as Json, json};

use super::{
    act::Undo,
    ask::FieldKind,
    outline::Outline,
    place::{FIELDS, HAZARDS, LAND_USES, held, is_childs, point, typed, typed_key},
    reader::View,
    scene::{MapScene, moved},
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{LIVES, Whole, is_shared, reference, save},
    notebook::Record,
    record::Kind,
};

/// Keeps a position: of a fix (`accuracy_m` its radius in meters), or of a pin where there is none. The township follows from it
/// where the outline says so and nobody wrote another.
///
/// # Errors
/// `FORBIDDEN_FIELD` where a child asks or a stop says so; `Invalid` for degrees that are none; as
/// [`crate::notebook::Notebook::save`].
pub fn set_place(
    view: &View<'_>,
    inquiry: RecordId,
    latitude: f64,
    longitude: f64,
    accuracy_m: Option<f64>,
) -> Result<()> {
    let whole = view.whole(inquiry)?;
    may_be_kept(view, &whole)?;
    let round = |degrees: f64| (degrees * 1e7).round() / 1e7;
    let mut point = json!({
        "latitude": round(latitude), "longitude": round(longitude), "datum": "EPSG:4326",
        "method": if accuracy_m.is_some() { "phone" } else { "pin" },
    });
    if let Some(meters) = accuracy_m.filter(|m| m.is_finite()) {
        point["accuracy_m"] = json!(format!("{:.1}", meters.max(0.0)));
    }
    let mut fields = json!({ "point": point });
    let outline = Outline::of_folder(view.notebook.folder());
    let written = whole.site.as_ref().and_then(|s| s.text("township")).unwrap_or_default();
    if let (Some(name), true) = (outline.township_of(latitude, longitude), written.is_empty()) {
        fields["township"] = json!(name);
        fields["county"] = json!(outline.county);
    }
    write_site(view, &whole, fields)
}

/// Moves the pin to where a scene was touched, or by some meters from where it stands. The scene's own middle and scale say where
/// that is.
///
/// # Errors
/// As [`set_place`].
pub fn move_pin(view: &View<'_>, inquiry: RecordId, scene: &MapScene, x: f32, y: f32) -> Result<()> {
    let east = f64::from(x - scene.width / 2.0) * scene.meters;
    let north = f64::from(scene.height / 2.0 - y) * scene.meters;
    let (latitude, longitude) = moved((scene.latitude, scene.longitude), east, north);
    set_place(view, inquiry, latitude, longitude, None)
}

/// Moves the pin a step: meters to the east and to the north.
///
/// # Errors
/// [`Error::NotFound`] while there is no position; as [`set_place`].
pub fn nudge_pin(view: &View<'_>, inquiry: RecordId, east_m: f64, north_m: f64) -> Result<()> {
    let whole = view.whole(inquiry)?;
    let (lat, lon, _) =
        whole.site.as_ref().and_then(point).ok_or_else(|| Error::NotFound("a position to move".into()))?;
    let (latitude, longitude) = moved((lat, lon), east_m, north_m);
    set_place(view, inquiry, latitude, longitude, None)
}

/// Takes the position away: the inquiry goes on at a place that is known by its words alone. The place with its position is taken away
/// with it, unless another inquiry is there. What was handed over before stays at the office. Gives the way back.
///
/// # Errors
/// [`Error::NotFound`] while there is no position; as [`crate::notebook::Notebook::save`].
pub fn clear_place(view: &View<'_>, inquiry: RecordId) -> Result<Undo> {
    let whole = view.whole(inquiry)?;
    let site = whole.site.as_ref().filter(|site| point(site).is_some());
    let site = site.ok_or_else(|| Error::NotFound("a position to take away".into()))?;
    let mut fields = in_words(site);
    fields.entry("township").or_insert_with(|| json!(""));
    let new = view.notebook.save(Kind::Site, None, &fields)?;
    goes_to(view, &whole, new)?;
    Ok(Undo { record: inquiry, place: Some(site.id), text: view.say("phone-place-away") })
}

/// Undoes [`clear_place`]: the inquiry is at the place with its position again, told by the words that stand now.
///
/// # Errors
/// `FORBIDDEN_FIELD` as in [`set_place`]; [`Error::NotFound`]; as [`crate::notebook::Notebook::save`].
pub(super) fn put_place_back(view: &View<'_>, inquiry: RecordId, place: RecordId) -> Result<()> {
    let whole = view.whole(inquiry)?;
    may_be_kept(view, &whole)?;
    let old = view.notebook.show(place)?;
    if old.hidden {
        view.notebook.restore(place)?;
    }
    let mut words = whole.site.as_ref().map(in_words).unwrap_or_default();
    words.retain(|name, word| old.get(name) != Some(word) && !(old.get(name).is_none() && word == ""));
    if !words.is_empty() {
        view.notebook.save(Kind::Site, Some(place), &words)?;
    }
    goes_to(view, &whole, place)
}

/// Refuses a position where a child asks or a stop says so.
fn may_be_kept(view: &View<'_>, whole: &Whole) -> Result<()> {
    if held(view, whole)?.is_empty() {
        return Ok(());
    }
    Err(Error::refused(Code::ForbiddenField, "no position of this inquiry is kept"))
}

/// What is said of a place in words.
fn in_words(site: &Record) -> Map<String, Json> {
    let names = ["address", "land_use", "county", "township", "access", "hazards"];
    names.iter().filter_map(|name| Some(((*name).to_owned(), site.get(name)?.clone()))).collect()
}

/// Lets an inquiry and what belongs to it be at that place from now on. The one that it leaves is taken away, unless another inquiry
/// is there.
fn goes_to(view: &View<'_>, whole: &Whole, place: RecordId) -> Result<()> {
    let there = json!({ "site": place.to_string() });
    save(view.notebook, Kind::Inquiry, Some(whole.inquiry.id), there.clone())?;
    let Some(left) = whole.site.as_ref().map(|site| site.id).filter(|left| *left != place) else { return Ok(()) };
    for record in whole.records.values().filter(|r| reference(r, "site") == Some(left)) {
        save(view.notebook, record.kind, Some(record.id), there.clone())?;
    }
    if !is_shared(view.notebook, left, whole.inquiry.id)? {
        view.notebook.delete(left)?;
    }
    Ok(())
}

fn write_site(view: &View<'_>, whole: &Whole, fields: Json) -> Result<()> {
    let known = whole.site.as_ref().map(|s| s.id);
    let site = save(view.notebook, Kind::Site, known, fields)?;
    if known.is_none() {
        save(view.notebook, Kind::Inquiry, Some(whole.inquiry.id), json!({ "site": site.to_string() }))?;
        for record in whole.records.values().filter(|r| matches!(r.kind, Kind::Plant | Kind::Visit)) {
            save(view.notebook, record.kind, Some(record.id), json!({ "site": site.to_string() }))?;
        }
    }
    Ok(())
}

/// Keeps what stands in a field of the place; `hazard` with one of the hazards sets or takes it. While it is being typed (`left` is
/// false) it is kept beside the record.
///
/// # Errors
/// `SCHEMA` for a field or a choice that there is not; `FORBIDDEN_FIELD` for the address or the way in where a child asks; as
/// [`crate::notebook::Notebook::save`].
pub fn write_place(view: &View<'_>, inquiry: RecordId, field: &str, text: &str, left: bool) -> Result<()> {
    let whole = view.whole(inquiry)?;
    if field == "hazard" {
        if !HAZARDS.contains(&text) {
            return Err(Error::refused(Code::Schema, "that is no hazard"));
        }
        let held = whole.site.as_ref().and_then(|s| s.get("hazards")).and_then(Json::as_array).cloned();
        let mut hazards = held.unwrap_or_default();
        match hazards.iter().position(|h| h == text) {
            Some(at) => drop(hazards.remove(at)),
            None => hazards.push(json!(text)),
        }
        return write_site(view, &whole, json!({ "hazards": hazards }));
    }
    let known = FIELDS.iter().find(|(name, ..)| *name == field);
    let choice = known.is_some_and(|(_, kind, _)| *kind == FieldKind::Choice);
    if known.is_none() || (choice && !LAND_USES.contains(&text)) {
        return Err(Error::refused(Code::Schema, "that is nothing to say of a place"));
    }
    if LIVES.contains(&field) && is_childs(&whole) {
        return Err(Error::refused(Code::ForbiddenField, "where a child lives is not kept"));
    }
    let mut typed = typed(view, inquiry)?;
    typed.insert(field.to_owned(), text.to_owned());
    keep_typed(view, inquiry, &typed)?;
    if left || choice {
        write_site(view, &whole, json!({ field: text.trim() }))?;
        typed.remove(field);
        keep_typed(view, inquiry, &typed)?;
    }
    Ok(())
}

fn keep_typed(view: &View<'_>, inquiry: RecordId, typed: &BTreeMap<String, String>) -> Result<()> {
    let text = (!typed.is_empty()).then(|| serde_json::to_string(typed).unwrap_or_default());
    view.notebook.keep_draft(&typed_key(inquiry), text.as_deref())
}

/// A child asks: the inquiry goes on at a place without a position, an address or a way in. The one before is emptied and taken away,
/// unless another inquiry is there.
///
/// # Errors
/// As [`crate::notebook::Notebook::save`].
pub(super) fn forget_place(view: &View<'_>, inquiry: RecordId) -> Result<()> {
    let mut typed = typed(view, inquiry)?;
    typed.retain(|name, _| !LIVES.contains(&name.as_str()));
    keep_typed(view, inquiry, &typed)?;
    let whole = view.whole(inquiry)?;
    let Some(site) = whole.site.as_ref() else { return Ok(()) };
    let told: Vec<&str> =
        LIVES.into_iter().filter(|name| site.text(name).is_some_and(|text| !text.is_empty())).collect();
    if told.is_empty() && point(site).is_none() {
        return Ok(());
    }
    let mut words = in_words(site);
    words.retain(|name, _| !LIVES.contains(&name.as_str()));
    words.entry("township").or_insert_with(|| json!(""));
    if !told.is_empty() && !is_shared(view.notebook, site.id, inquiry)? {
        let over: Map<String, Json> = told.into_iter().map(|name| (name.to_owned(), json!(""))).collect();
        view.notebook.save(Kind::Site, Some(site.id), &over)?;
    }
    let new = view.notebook.save(Kind::Site, None, &words)?;
    goes_to(view, &whole, new)
}
