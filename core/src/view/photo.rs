//! Photos: where their files stand, what each shows, when and by whom it was taken.

use serde_json::{Value as Json, json};

use super::{
    act::Choice,
    reader::View,
    stops::{self, StopCard},
    typing::{Form, done_with, typed_in},
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{Whole, reference, save},
    notebook::Record,
    record::Kind,
    tell::shots,
    words::sentence_case,
};

/// One photo. Paths, never bytes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PhotoCard {
    /// The photo.
    pub id: RecordId,
    /// Path of the original; empty where it is not on this phone.
    pub path: String,
    /// Path of a small picture; empty where it is not on this phone.
    pub small: String,
    /// What it shows.
    pub shows: String,
    /// When and by whom it was taken, and with what for scale.
    pub note: String,
    /// In the photographer's words.
    pub caption: String,
    /// Said where the original is not here; else empty.
    pub elsewhere: String,
}

/// One photo, full screen.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PhotoScreen {
    /// The photo; its words as far as they are typed.
    pub card: PhotoCard,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// `3 of 7`
    pub place: String,
    /// The one before it.
    pub before: Option<RecordId>,
    /// The one after it.
    pub after: Option<RecordId>,
    /// What it can show.
    pub parts: Vec<Choice>,
    /// What gives the size.
    pub scales: Vec<Choice>,
}

/// What a photo can show, in the order of the guided set.
pub(super) const PARTS: [&str; 9] =
    ["whole", "boundary", "close_up", "underside", "trunk_base", "other_side", "healthy", "site", "other"];
/// What can give the size.
pub(super) const SCALES: [&str; 4] = ["ruler_card", "coin", "hand", "none"];

/// The photos of an inquiry; of one plant where `plant` is there.
pub(super) fn cards(view: &View<'_>, whole: &Whole, plant: Option<RecordId>) -> Vec<PhotoCard> {
    let here = |photo: &Record| !view.blob(photo.get("image")).is_empty();
    let told = shots::of(whole, view.telling(), here);
    let photos = whole.of(Kind::Photo).into_iter().zip(told);
    let own = photos.filter(|(photo, _)| plant.is_none() || reference(photo, "plant") == plant);
    own.map(|(photo, told)| PhotoCard {
        id: photo.id,
        path: view.blob(photo.get("image")),
        small: view.blob(photo.get("thumbnail")),
        shows: told.shows,
        note: if photo.text("taken").is_none() && told.note.is_empty() {
            view.say("phone-photo-no-date")
        } else {
            told.note
        },
        caption: told.caption,
        elsewhere: if told.here { String::new() } else { view.say("phone-photo-elsewhere") },
    })
    .collect()
}

/// Choices out of words of the registry.
pub(super) fn choices(view: &View<'_>, words: &[&str], chosen: &str) -> Vec<Choice> {
    let choice = |id: &&str| Choice {
        id: (*id).to_owned(),
        text: sentence_case(&view.telling().word(id)),
        chosen: *id == chosen,
    };
    words.iter().map(choice).collect()
}

fn record_of(view: &View<'_>, photo: RecordId) -> Result<Record> {
    let record = view.notebook.show(photo)?;
    if record.kind == Kind::Photo && !record.hidden {
        Ok(record)
    } else {
        Err(Error::NotFound(format!("a photo {photo}")))
    }
}

/// A photo, with those before and after it in its inquiry.
///
/// # Errors
/// [`Error::NotFound`]; of the notebook.
pub fn photo(view: &View<'_>, photo: RecordId) -> Result<PhotoScreen> {
    let record = record_of(view, photo)?;
    let inquiry = reference(&record, "inquiry").ok_or_else(|| Error::NotFound("the photo's inquiry".into()))?;
    let whole = view.whole(inquiry)?;
    let mut cards = cards(view, &whole, None);
    let at = cards.iter().position(|c| c.id == photo).ok_or_else(|| Error::NotFound("the photo".into()))?;
    if let (Some(card), Some(words)) = (cards.get_mut(at), typed_in(view, Form::Caption, photo)?.remove("caption")) {
        card.caption = words;
    }
    let id = |at: Option<usize>| at.and_then(|at| cards.get(at)).map(|c| c.id);
    Ok(PhotoScreen {
        halts: stops::unread(view, &whole)?,
        place: view.with("desk-of", [("n", &(at + 1)), ("of", &cards.len())]),
        before: id(at.checked_sub(1)),
        after: id(Some(at + 1)),
        parts: choices(view, &PARTS, record.text("part").unwrap_or_default()),
        scales: choices(view, &SCALES, record.text("scale").unwrap_or_default()),
        card: cards.swap_remove(at),
    })
}

/// Moves a photo one place `earlier` among those of its inquiry, or later. At the end it stays where it is.
///
/// # Errors
/// [`Error::NotFound`]; as [`crate::notebook::Notebook::save`].
pub fn move_photo(view: &View<'_>, photo: RecordId, earlier: bool) -> Result<PhotoScreen> {
    let record = record_of(view, photo)?;
    let inquiry = reference(&record, "inquiry").ok_or_else(|| Error::NotFound("the photo's inquiry".into()))?;
    let whole = view.whole(inquiry)?;
    let mut photos = whole.of(Kind::Photo);
    let at = photos.iter().position(|p| p.id == photo).ok_or_else(|| Error::NotFound("the photo".into()))?;
    let to = if earlier { at.checked_sub(1) } else { Some(at + 1).filter(|to| *to < photos.len()) };
    if let Some(to) = to {
        photos.swap(at, to);
        // Those before it get their places too: without one a photo stands behind all that have one.
        for (place, photo) in photos.iter().enumerate().take(at.max(to) + 1) {
            if photo.get("order").and_then(Json::as_u64) != Some(place as u64) {
                save(view.notebook, Kind::Photo, Some(photo.id), json!({ "order": place }))?;
            }
        }
    }
    self::photo(view, photo)
}

/// Writes what a photo shows (`part`), what gives the size (`scale`), or words to it (`caption`). A caption is read for danger.
///
/// # Errors
/// `SCHEMA` for another field or a choice that there is not; [`Error::NotFound`]; as
/// [`crate::notebook::Notebook::save`].
pub fn caption(view: &View<'_>, photo: RecordId, field: &str, text: &str) -> Result<PhotoScreen> {
    let record = record_of(view, photo)?;
    let fits = match field {
        "part" => PARTS.contains(&text),
        "scale" => SCALES.contains(&text),
        "caption" => true,
        _ => false,
    };
    if !fits {
        return Err(Error::refused(Code::Schema, "that is nothing to say of a photo"));
    }
    save(view.notebook, Kind::Photo, Some(photo), json!({ field: text }))?;
    if field == "caption" {
        done_with(view, Form::Caption, photo)?;
    }
    if let (Some(inquiry), "caption") = (reference(&record, "inquiry"), field) {
        stops::record(view, inquiry)?;
    }
    self::photo(view, photo)
}
