//! What several screens share: who reads, choices, stops, where somebody was. Mirrors of the core's own: when the core changes, they no longer compile.

use dooryard_core::{view, words};

use crate::requests::RecordId;

/// One choice of a list.
pub type Choice = view::Choice;

/// One choice of a list.
#[uniffi::remote(Record)]
pub struct Choice {
    /// What is handed back when it is chosen.
    pub id: String,
    /// Its words.
    pub text: String,
    /// It is the chosen one.
    pub chosen: bool,
}

/// A line with its label.
pub type Line = view::Line;

/// A line with its label.
#[uniffi::remote(Record)]
pub struct Line {
    /// What it is about.
    pub label: String,
    /// Its words.
    pub text: String,
}

/// What can be undone just now.
pub type Undo = view::Undo;

/// What can be undone just now.
#[uniffi::remote(Record)]
pub struct Undo {
    /// The record to bring back; with a place, the inquiry that goes back to it.
    pub record: RecordId,
    /// The place with the position that was taken away.
    pub place: Option<RecordId>,
    /// What was done: `Photo taken away.`
    pub text: String,
}

/// In which units lengths are said.
pub type Units = view::Units;

/// In which units lengths are said.
#[uniffi::remote(Enum)]
pub enum Units {
    /// Feet, inches, miles.
    Customary,
    /// Meters, centimeters, kilometers.
    Metric,
}

/// Who reads.
pub type Reader = view::Reader;

/// Who reads.
#[uniffi::remote(Record)]
pub struct Reader {
    /// The language chosen inside the app.
    pub language: Language,
    /// The units.
    pub units: Units,
    /// Name of the phone's zone, such as `America/Chicago`; the county's own where it is none.
    pub zone: String,
}

/// The screens at which somebody can be stopped.
pub type Screen = view::Screen;

/// The screens at which somebody can be stopped.
#[expect(missing_docs, reason = "the names say it")]
#[uniffi::remote(Enum)]
pub enum Screen {
    Ask,
    Stop,
    Place,
    Plant,
    Look,
    Shots,
    Think,
    Tell,
    Letter,
    Sample,
    Inquiry,
}

/// Where somebody was.
pub type Resume = view::Resume;

/// Where somebody was.
#[uniffi::remote(Record)]
pub struct Resume {
    /// The screen.
    pub screen: Screen,
    /// Its inquiry.
    pub inquiry: RecordId,
    /// Its plant.
    pub plant: Option<RecordId>,
    /// The look that was asked; empty for the next one.
    pub look: String,
    /// When, as the margin says it.
    pub at: String,
    /// Host and township.
    pub head: String,
    /// `Left at: Looking.`
    pub text: String,
}

/// One stop.
pub type StopCard = view::StopCard;

/// One stop.
#[uniffi::remote(Record)]
pub struct StopCard {
    /// Its id, handed back when it was read.
    pub id: String,
    /// `Stop: a wire is near`.
    pub head: String,
    /// What to do.
    pub text: String,
    /// Numbers to call, as buttons before the text.
    pub calls: Vec<String>,
    /// What raised it; empty where nothing can be said of that.
    pub because: String,
    /// What is held back while it stands; empty where nothing is.
    pub held: String,
    /// It fills the screen; one that does not has to be read all the same.
    pub full: bool,
    /// When it was read in this wording; empty while it was not.
    pub read: String,
}

/// The stops of an inquiry.
pub type StopScreen = view::StopScreen;

/// The stops of an inquiry.
#[uniffi::remote(Record)]
pub struct StopScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Those that nobody read yet, in the order in which they are shown.
    pub unread: Vec<StopCard>,
    /// Those that were read, which stand all the same.
    pub read: Vec<StopCard>,
}

/// A language that people are spoken to in.
pub type Language = words::Language;

/// A language that people are spoken to in.
#[uniffi::remote(Enum)]
pub enum Language {
    /// English, as in the United States.
    En,
    /// Spanish, as in the United States.
    Es,
}
