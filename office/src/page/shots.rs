//! The photos of an inquiry: what each shows and when it was taken.

use dooryard_core::{notebook::Record, record::Kind};

use super::{
    gather::Whole,
    words::{When, sentence_case, word},
};

/// A photo.
pub struct Shot {
    /// The record's id.
    pub id: String,
    /// Its number on the page.
    pub number: usize,
    /// What it shows.
    pub shows: String,
    /// When it was taken, and with what for scale.
    pub note: String,
    /// In the photographer's words.
    pub caption: String,
    /// The picture itself has come.
    pub here: bool,
}

/// The photos of an inquiry. `here` says whether a photo's picture has come.
pub fn of(whole: &Whole, when: &When, here: impl Fn(&Record) -> bool) -> Vec<Shot> {
    let shots = whole.of(Kind::Photo).into_iter().enumerate();
    shots
        .map(|(at, photo)| {
            let mut notes: Vec<String> = photo.text("taken").map(|t| taken(t, when)).into_iter().collect();
            match photo.text("scale") {
                Some("none") | None => {}
                Some(scale) => notes.push(format!("{} for scale", word(scale))),
            }
            Shot {
                id: photo.id.to_string(),
                number: at + 1,
                shows: photo.text("part").map_or_else(|| "Photo".into(), |p| sentence_case(&word(p))),
                note: notes.join(", "),
                caption: photo.text("caption").unwrap_or_default().to_owned(),
                here: here(photo),
            }
        })
        .collect()
}

/// Local time as the camera wrote it, with or without its offset.
fn taken(text: &str, when: &When) -> String {
    let civil = text.get(..19).and_then(|t| t.parse::<jiff::civil::DateTime>().ok());
    civil.map_or_else(|| text.to_owned(), |at| format!("{}, {}", at.strftime("%-I:%M %P"), when.date(at.date())))
}
