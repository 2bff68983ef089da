//! The photos of an inquiry: what each shows, when and by whom it was taken.

use super::say::Say;
use crate::{
    inquiry::{Whole, reference},
    notebook::Record,
    record::Kind,
    words::sentence_case,
};

/// A photo.
pub struct Shot {
    /// The record's id.
    pub id: String,
    /// Its number on the page.
    pub number: usize,
    /// What it shows.
    pub shows: String,
    /// When and by whom it was taken, and with what for scale.
    pub note: String,
    /// In the photographer's words.
    pub caption: String,
    /// The picture itself has come.
    pub here: bool,
}

/// The photos of an inquiry. `here` says whether a photo's picture has come.
pub fn of(whole: &Whole, say: Say<'_>, here: impl Fn(&Record) -> bool) -> Vec<Shot> {
    let shots = whole.of(Kind::Photo).into_iter().enumerate();
    shots
        .map(|(at, photo)| {
            let mut notes: Vec<String> = photo.text("taken").map(|t| taken(t, say)).into_iter().collect();
            notes.extend(photographer(whole, photo).map(|who| say.words.with("inquiry-photo-by", [("who", &who)])));
            match photo.text("scale") {
                Some("none") | None => {}
                Some(scale) => notes.push(say.words.with("inquiry-photo-scale", [("scale", &say.word(scale))])),
            }
            Shot {
                id: photo.id.to_string(),
                number: at + 1,
                shows: photo.text("part").map_or_else(|| say.say("inquiry-photo"), |p| sentence_case(&say.word(p))),
                note: notes.join(", "),
                caption: photo.text("caption").unwrap_or_default().to_owned(),
                here: here(photo),
            }
        })
        .collect()
}

/// Who took it: whoever looked on that visit, or else the phone that it came from.
fn photographer<'a>(whole: &'a Whole, photo: &'a Record) -> Option<&'a str> {
    let visit = reference(photo, "visit").and_then(|id| whole.records.get(&id));
    let phone = photo.fields.iter().find(|f| f.name == "image").map(|f| f.shown.author.label.as_str());
    visit.and_then(|v| v.text("observer")).or(phone)
}

/// Local time as the camera wrote it, with or without its offset.
fn taken(text: &str, say: Say<'_>) -> String {
    let civil = text.get(..19).and_then(|t| t.parse::<jiff::civil::DateTime>().ok());
    civil.map_or_else(|| text.to_owned(), |at| say.when.full(&format!("{at}[{}]", say.when.zone())))
}
