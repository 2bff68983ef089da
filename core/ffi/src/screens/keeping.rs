//! Handing over, conflicts, the bin, privacy, backups, the first screens. Mirrors of the core's own: when the core changes, they no longer compile.

use dooryard_core::view;

use super::shared::{Choice, Line};
use crate::requests::RecordId;

/// Handing over.
pub type HandOverScreen = view::HandOverScreen;

/// Handing over.
#[uniffi::remote(Record)]
pub struct HandOverScreen {
    /// Who holds this phone, by role.
    pub who: String,
    /// What waits: `6 inquiries, 46 photos, 61 MB`; that nothing does.
    pub what: String,
    /// Since when.
    pub since: String,
    /// Something waits.
    pub waits: bool,
    /// Who can read it, and what stays out of it.
    pub notes: Vec<String>,
    /// Where each inquiry is, newest first.
    pub rows: Vec<WayRow>,
    /// What to hand back for the next page of them; empty where this is the last.
    pub next: String,
}

/// Where one inquiry is on its way.
pub type WayRow = view::WayRow;

/// Where one inquiry is on its way.
#[uniffi::remote(Record)]
pub struct WayRow {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Host and township, and the day; that it is under seal.
    pub head: String,
    /// How far it is: 1 on this phone, 2 handed over, 3 the office has it, 4 reviewed.
    pub step: u32,
    /// The same in words.
    pub words: String,
    /// That no word came back yet, and that it is kept until then; else empty.
    pub note: String,
}

/// A bundle that was made.
pub type HandedOver = view::HandedOver;

/// A bundle that was made.
#[uniffi::remote(Record)]
pub struct HandedOver {
    /// Path of the file.
    pub path: String,
    /// What is in it, and what to do with it.
    pub lines: Vec<String>,
    /// Something did not fit: make another one after the office's reply.
    pub more: bool,
}

/// What a reply brought.
pub type ReplyTold = view::ReplyTold;

/// What a reply brought.
#[uniffi::remote(Record)]
pub struct ReplyTold {
    /// In plain sentences.
    pub lines: Vec<String>,
    /// Changes of this phone that wait at the office, and why.
    pub waiting: Vec<String>,
}

/// A page of conflicts.
pub type ConflictScreen = view::ConflictScreen;

/// A page of conflicts.
#[uniffi::remote(Record)]
pub struct ConflictScreen {
    /// The conflicts.
    pub rows: Vec<ConflictRow>,
    /// That there are more; empty where these are all.
    pub more: String,
    /// Said where there is none.
    pub none: String,
}

/// One conflict.
pub type ConflictRow = view::ConflictRow;

/// One conflict.
#[uniffi::remote(Record)]
pub struct ConflictRow {
    /// The record.
    pub record: RecordId,
    /// Its inquiry, where it belongs to one.
    pub inquiry: Option<RecordId>,
    /// The field, handed back with what is chosen.
    pub field: String,
    /// What it is about: `A plant (tomato): affected`.
    pub about: String,
    /// Who wrote what when, the first first.
    pub wrote: Vec<Wrote>,
    /// That neither had seen the other, and that both are kept.
    pub end: String,
    /// Keep one: the change, and what it would say.
    pub choices: Vec<Choice>,
    /// The other values can be kept as a note.
    pub as_note: bool,
}

/// Who wrote what when.
pub type Wrote = view::Wrote;

/// Who wrote what when.
#[uniffi::remote(Record)]
pub struct Wrote {
    /// Who.
    pub who: String,
    /// What, in words.
    pub what: String,
    /// When.
    pub at: String,
}

/// A page of the bin.
pub type BinPage = view::BinPage;

/// A page of the bin.
#[uniffi::remote(Record)]
pub struct BinPage {
    /// The rows, taken away last first.
    pub rows: Vec<BinRow>,
    /// What to hand back for the next page; empty where this is the last.
    pub next: String,
    /// Said where there is nothing.
    pub none: String,
}

/// What was taken away.
pub type BinRow = view::BinRow;

/// What was taken away.
#[uniffi::remote(Record)]
pub struct BinRow {
    /// The record.
    pub record: RecordId,
    /// What it is: `A photo`.
    pub head: String,
    /// What stands in it.
    pub text: String,
    /// When it was last changed, that is taken away.
    pub at: String,
    /// Path of a small picture; empty where there is none.
    pub picture: String,
}

/// The privacy page.
pub type PrivacyScreen = view::PrivacyScreen;

/// The privacy page.
#[uniffi::remote(Record)]
pub struct PrivacyScreen {
    /// What is held, each with how much.
    pub holds: Vec<Line>,
    /// What goes into a bundle, who can read it, what never leaves.
    pub leaves: Vec<String>,
    /// What may be let go of once it is safe at the office.
    pub letting_go: Vec<Choice>,
    /// What erasing would lose: what was not handed over; that nothing would be.
    pub erase: String,
    /// What stays elsewhere after erasing.
    pub after: Vec<String>,
}

/// Backups.
pub type BackupScreen = view::BackupScreen;

/// Backups.
#[uniffi::remote(Record)]
pub struct BackupScreen {
    /// When the last backup was made; that none was.
    pub last: String,
    /// That one is due; empty where it is not.
    pub due: String,
    /// Who can open it, and where to keep it.
    pub notes: Vec<String>,
    /// What one's own data holds, and that it is not sealed.
    pub own_data: Vec<String>,
}

/// How a phone stands with its office.
pub type Enrolling = view::Enrolling;

/// How a phone stands with its office.
#[uniffi::remote(Enum)]
pub enum Enrolling {
    /// It belongs to no office: nothing can be saved yet.
    NotInvited,
    /// It took a code: everything can be written down, and waits at the office until somebody there says yes.
    Asking,
    /// The office knows it.
    Enrolled,
}

/// The first screens, and the page of the office.
pub type FirstScreen = view::FirstScreen;

/// The first screens, and the page of the office.
#[uniffi::remote(Record)]
pub struct FirstScreen {
    /// How the phone stands.
    pub standing: Enrolling,
    /// The languages.
    pub languages: Vec<Choice>,
    /// The units.
    pub units: Vec<Choice>,
    /// Where it stands, in sentences.
    pub lines: Vec<String>,
    /// Office, role, and what people call this phone.
    pub facts: Vec<Line>,
    /// Six words that have to stand at the office too, in this order; empty before a code was read.
    pub words: Vec<String>,
    /// That the code is past by this phone's clock: a warning only; else empty.
    pub warning: String,
    /// The text that the office reads, to be shown as a QR code; empty where it needs none.
    pub ask: String,
    /// Nothing is joined yet: this is what a code says, to be looked at first.
    pub to_confirm: bool,
}
