//! The first screen, lists, and one inquiry. Mirrors of the core's own: when the core changes, they no longer compile.

use dooryard_core::view;

use super::pictures::PhotoCard;
use super::shared::{Choice, Line, Resume, Screen, StopCard};
use crate::{requests::RecordId, views::Way};

/// The first screen.
pub type Today = view::Today;

/// The first screen.
#[uniffi::remote(Record)]
pub struct Today {
    /// `Monday 20 July`
    pub date: String,
    /// `4 inquiries on this phone, not handed over.`, and since when; that nothing waits.
    pub waiting: String,
    /// Something waits to be handed over.
    pub waits: bool,
    /// Where somebody was; nothing at the first screen.
    pub resume: Option<Resume>,
    /// What is to be asked today or was before, the oldest first.
    pub due: Vec<LaterRow>,
    /// `and 3 more`; empty where these are all.
    pub due_more: String,
    /// What was begun and not put down, newest first.
    pub unfinished: Vec<InquiryRow>,
    /// There is more of that.
    pub unfinished_more: bool,
    /// That two wrote otherwise; empty where none did.
    pub conflicts: String,
    /// That the office has not answered yet, or the pack is old; empty where there is nothing to say.
    pub notes: Vec<String>,
}

/// Which inquiries.
pub type InquiryFilter = view::InquiryFilter;

/// Which inquiries.
#[uniffi::remote(Enum)]
pub enum InquiryFilter {
    /// All.
    All,
    /// Those that somebody began and did not put down.
    Unfinished,
    /// Those of which something is in no bundle yet.
    NotHandedOver,
    /// Those changed in this month.
    ThisMonth,
}

/// A page of inquiries.
pub type InquiryPage = view::InquiryPage;

/// A page of inquiries.
#[uniffi::remote(Record)]
pub struct InquiryPage {
    /// The rows.
    pub rows: Vec<InquiryRow>,
    /// What to hand back for the next page; empty where this is the last.
    pub next: String,
    /// Said where there is none.
    pub none: String,
}

/// One inquiry of a list. One under seal says nothing but that.
pub type InquiryRow = view::InquiryRow;

/// One inquiry of a list. One under seal says nothing but that.
#[uniffi::remote(Record)]
pub struct InquiryRow {
    /// The inquiry.
    pub id: RecordId,
    /// The day, for the margin.
    pub day: String,
    /// Host and township.
    pub head: String,
    /// What it is about, or the resident's first words.
    pub text: String,
    /// Path of a small picture; empty where there is none here.
    pub picture: String,
    /// How far it is on its way.
    pub way: Way,
    /// The same in words.
    pub way_words: String,
    /// Somebody began it and did not put it down: `Not finished`; else empty.
    pub unfinished: String,
    /// The first of its stops; empty where none stands.
    pub stop: String,
    /// Two wrote otherwise of it, in words; else empty.
    pub conflict: String,
}

/// A page of follow-ups.
pub type LaterPage = view::LaterPage;

/// A page of follow-ups.
#[uniffi::remote(Record)]
pub struct LaterPage {
    /// The rows, the earliest first.
    pub rows: Vec<LaterRow>,
    /// What to hand back for the next page; empty where this is the last.
    pub next: String,
    /// Said where there is none.
    pub none: String,
}

/// One follow-up.
pub type LaterRow = view::LaterRow;

/// One follow-up.
#[uniffi::remote(Record)]
pub struct LaterRow {
    /// The follow-up.
    pub id: RecordId,
    /// Its inquiry.
    pub inquiry: RecordId,
    /// `today`, `3 days late`, `Friday`, for the margin.
    pub at: String,
    /// It should have been asked before today.
    pub late: bool,
    /// Host and township; that it is under seal.
    pub head: String,
    /// What to ask, in somebody's words.
    pub question: String,
    /// The answer, in somebody's words, as far as it is typed; empty while there is none.
    pub answer: String,
    /// What the resident did, as far as it is typed; empty while nobody said.
    pub did: String,
    /// How the plant is.
    pub outcomes: Vec<Choice>,
    /// Who asks, by role.
    pub by: String,
}

/// One inquiry.
pub type InquiryScreen = view::InquiryScreen;

/// One inquiry.
#[uniffi::remote(Record)]
pub struct InquiryScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Plant and township.
    pub title: String,
    /// How and when it came, who took it, where it stands.
    pub line: String,
    /// `Saved on this phone 10:42 am`
    pub saved: String,
    /// It was begun and not put down.
    pub unfinished: bool,
    /// It is in the bin.
    pub taken_away: bool,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// Stops that were read, and stand.
    pub stops: Vec<StopCard>,
    /// That it is under seal, and what that means; else empty.
    pub sealed: String,
    /// The resident's own words.
    pub said: String,
    /// Whose words, when, by which way, with what wish.
    pub said_by: String,
    /// What the resident agreed to, and what not.
    pub consent: String,
    /// The plants.
    pub plants: Vec<PlantRow>,
    /// The visits, newest first.
    pub visits: Vec<String>,
    /// The visits to its place, of other inquiries too, newest first.
    pub over_time: Vec<PastVisit>,
    /// The photos.
    pub photos: Vec<PhotoCard>,
    /// What is asked later, and was.
    pub later: Vec<LaterRow>,
    /// Words of what begins another visit to its plants, or to its place where no plant is written down; empty where there is neither,
    /// where it is in the bin and under seal.
    pub again: String,
    /// What was told, newest first.
    pub told: Vec<Line>,
    /// What the office and the laboratory wrote.
    pub office: Vec<Line>,
    /// What would still be useful to add; nothing of it has to be.
    pub useful: Vec<Useful>,
    /// Two wrote otherwise, in words; empty where nobody did.
    pub conflict: String,
    /// How far it is on its way.
    pub way: Way,
    /// The same in words.
    pub way_words: String,
}

/// A visit to a place.
pub type PastVisit = view::PastVisit;

/// A visit to a place.
#[uniffi::remote(Record)]
pub struct PastVisit {
    /// The inquiry that it belongs to, to go there.
    pub inquiry: RecordId,
    /// It is the inquiry that is shown.
    pub here: bool,
    /// The day.
    pub day: String,
    /// What was found, in words; that nothing was written down as seen.
    pub found: String,
}

/// What is asked later of an inquiry, before it is put down with `ask_later`.
pub type LaterForm = view::LaterForm;

/// What is asked later of an inquiry, before it is put down with `ask_later`.
#[uniffi::remote(Record)]
pub struct LaterForm {
    /// The inquiry.
    pub inquiry: RecordId,
    /// What to ask, as far as it is typed.
    pub question: String,
    /// The chosen day, `2026-08-03`; empty for none.
    pub due: String,
    /// Days to choose from, in words; any other day from today on is as good.
    pub days: Vec<Choice>,
}

/// One plant of it.
pub type PlantRow = view::PlantRow;

/// One plant of it.
#[uniffi::remote(Record)]
pub struct PlantRow {
    /// The plant.
    pub plant: RecordId,
    /// What it is called.
    pub head: String,
    /// How many of how many, and what is known of it.
    pub text: String,
    /// `23 findings`
    pub findings: String,
}

/// What would be useful to add.
pub type Useful = view::Useful;

/// What would be useful to add.
#[uniffi::remote(Record)]
pub struct Useful {
    /// Where it is added.
    pub screen: Screen,
    /// The plant, where it is about one.
    pub plant: Option<RecordId>,
    /// What it is.
    pub text: String,
}

/// The history of an inquiry.
pub type HistoryPage = view::HistoryPage;

/// The history of an inquiry.
#[uniffi::remote(Record)]
pub struct HistoryPage {
    /// The rows, newest first.
    pub rows: Vec<HistoryRow>,
    /// What to hand back for the next page; empty where this is the last.
    pub next: String,
}

/// What happened.
pub type HistoryRow = view::HistoryRow;

/// What happened.
#[uniffi::remote(Record)]
pub struct HistoryRow {
    /// The day.
    pub day: String,
    /// The time of day.
    pub clock: String,
    /// Who.
    pub who: String,
    /// What they did.
    pub what: String,
    /// Why it does not count at the office, and what to do; empty when it counts.
    pub waits: String,
    /// What was written, a line a field: no link to another record, no version, no text out of a pack. What is private is named, not
    /// told.
    pub fields: Vec<String>,
}
