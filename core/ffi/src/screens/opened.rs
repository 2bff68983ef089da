//! What the phone speaks from, what may leave it, what a file is that was opened, what is being typed. Mirrors of the core's own: when
//! the core changes, they no longer compile.

use dooryard_core::view;

use super::shared::Line;

/// The content of this phone.
pub type ContentScreen = view::ContentScreen;

/// The content of this phone.
#[uniffi::remote(Record)]
pub struct ContentScreen {
    /// What the pack is called.
    pub name: String,
    /// Version, day, until when it is meant to be used, where it came from.
    pub facts: Vec<Line>,
    /// That it may be outdated, and what to do; empty while it is not.
    pub outdated: String,
    /// What has to stand with it while nobody reviewed it; empty where somebody did.
    pub notice: String,
}

/// What can leave this phone now.
pub type LetGoOffer = view::LetGoOffer;

/// What can leave this phone now.
#[uniffi::remote(Record)]
pub struct LetGoOffer {
    /// How many photos can leave, how much that frees, what stays; why none can.
    pub lines: Vec<String>,
    /// Photos that can leave now.
    pub photos: u64,
    /// Their bytes.
    pub bytes: u64,
    /// Something can leave: the act is offered.
    pub can: bool,
}

/// What a file is.
pub type FileKind = view::FileKind;

/// What a file is.
#[uniffi::remote(Enum)]
pub enum FileKind {
    /// An answer of the office for this phone: `take_reply`.
    Reply,
    /// What a phone handed over, or an answer for another phone: sealed to somebody else.
    Bundle,
    /// A backup: `merge_backup`.
    Backup,
    /// Somebody's own data: `bring_own_data`.
    OwnData,
    /// Content: `take_pack`.
    Pack,
    /// The text with which an office invites a phone: `read_code`.
    OfficeCode,
    /// The text with which an office answers a phone.
    AnswerCode,
    /// None of these.
    Other,
}

/// A file that somebody opened.
pub type OpenedFile = view::OpenedFile;

/// A file that somebody opened.
#[uniffi::remote(Record)]
pub struct OpenedFile {
    /// What it is.
    pub kind: FileKind,
    /// The same in words.
    pub what: String,
    /// The text of a code; empty for other files.
    pub text: String,
    /// Why it cannot be opened here, and what to do with it; empty where it can.
    pub held: String,
}

/// What is being typed.
pub type Form = view::Form;

/// What is being typed.
#[uniffi::remote(Enum)]
pub enum Form {
    /// The answer of a follow-up: `answer`, `did`, `outcome`.
    Answer,
    /// A new question of an inquiry: `question`, `due`.
    Question,
    /// A new sample of an inquiry: `part`, `pieces`, `seal`, `kept_cool`.
    NewSample,
    /// A sample that is there: `accession`, `seal`, `disposal`.
    Sample,
    /// The next hand-over of a sample: `to`, `condition`.
    Custody,
    /// What was told of a plant: `how`, `read_back`, `due`.
    Telling,
    /// Words to a photo: `caption`.
    Caption,
}
