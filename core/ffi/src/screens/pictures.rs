//! Photos, guided shots, samples. Mirrors of the core's own: when the core changes, they no longer compile.

use dooryard_core::view;

use super::{
    asking::AskField,
    shared::{Choice, Line, StopCard},
};
use crate::requests::RecordId;

/// One photo. Paths, never bytes.
pub type PhotoCard = view::PhotoCard;

/// One photo. Paths, never bytes.
#[uniffi::remote(Record)]
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
pub type PhotoScreen = view::PhotoScreen;

/// One photo, full screen.
#[uniffi::remote(Record)]
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

/// The shots of a plant, or of a whole inquiry.
pub type ShotScreen = view::ShotScreen;

/// The shots of a plant, or of a whole inquiry.
#[uniffi::remote(Record)]
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
pub type ShotRow = view::ShotRow;

/// One shot of the set.
#[uniffi::remote(Record)]
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

/// A shot that was begun.
pub type Pending = view::Pending;

/// A shot that was begun.
#[uniffi::remote(Record)]
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

/// The samples of an inquiry.
pub type SampleScreen = view::SampleScreen;

/// The samples of an inquiry.
#[uniffi::remote(Record)]
pub struct SampleScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Plant and township.
    pub title: String,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// That a stop keeps samples of this suspect on the spot; else empty.
    pub held: String,
    /// How to pack one: the receiving laboratory's own card wins.
    pub packing: Vec<String>,
    /// The samples.
    pub samples: Vec<SampleCard>,
    /// The plants of which one can be taken.
    pub plants: Vec<Choice>,
    /// What is asked of a new one, as far as it is typed: `part`, `pieces`, `seal`, `kept_cool`.
    pub fields: Vec<AskField>,
}

/// One sample.
pub type SampleCard = view::SampleCard;

/// One sample.
#[uniffi::remote(Record)]
pub struct SampleCard {
    /// The sample.
    pub id: RecordId,
    /// Which part of the plant it is.
    pub head: String,
    /// How far it is on its way, of four steps.
    pub steps: u32,
    /// The same in words.
    pub way: String,
    /// What to write on its bag: no name, no place.
    pub label: Vec<Line>,
    /// What happened to it, oldest first.
    pub chain: Vec<SampleStep>,
    /// The laboratory's own words; empty before they came.
    pub result: String,
    /// What is written down of it, as far as it is typed: `accession`, `seal`, `disposal`.
    pub fields: Vec<AskField>,
    /// What is asked of its next hand-over, as far as it is typed: `to`, `condition`.
    pub handing: Vec<AskField>,
}

/// One step of its way.
pub type SampleStep = view::SampleStep;

/// One step of its way.
#[uniffi::remote(Record)]
pub struct SampleStep {
    /// The day.
    pub day: String,
    /// The time of day.
    pub clock: String,
    /// What happened.
    pub what: String,
    /// What was written down with it.
    pub line: String,
}
