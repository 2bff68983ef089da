//! Looking, thinking, telling, the letter. Mirrors of the core's own: when the core changes, they no longer compile.

use dooryard_core::view;

use super::shared::{Choice, Line, StopCard};
use crate::requests::RecordId;

/// A walk through one plant.
pub type LookScreen = view::LookScreen;

/// A walk through one plant.
#[uniffi::remote(Record)]
pub struct LookScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// The plant.
    pub plant: RecordId,
    /// What it is called.
    pub title: String,
    /// `Saved on this phone 10:42 am`; empty before the first answer.
    pub saved: String,
    /// Stops that nobody read yet: they are shown before anything else.
    pub halts: Vec<StopCard>,
    /// That the kind of plant has to be chosen first; else empty.
    pub no_host: String,
    /// The look that is asked; nothing where none is left.
    pub look: Option<LookCard>,
    /// `after 23 findings`
    pub after: String,
    /// That no look that is left would change what to do; else empty.
    pub enough: String,
    /// What the last answer moved; empty where it moved nothing, and while a stop holds back any cause.
    pub moved: Vec<String>,
    /// All looks by part of the plant, in the order in which one looks.
    pub parts: Vec<PartRows>,
    /// The last look that was answered here, to be taken back.
    pub undo: Option<Choice>,
}

/// Looks at one part.
pub type PartRows = view::PartRows;

/// Looks at one part.
#[uniffi::remote(Record)]
pub struct PartRows {
    /// The part's id.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Its looks in the order of the pack.
    pub looks: Vec<LookRow>,
}

/// One look in a list.
pub type LookRow = view::LookRow;

/// One look in a list.
#[uniffi::remote(Record)]
pub struct LookRow {
    /// Id of the character.
    pub character: String,
    /// What it is called.
    pub label: String,
    /// What was found there; the words of not looked where nobody looked.
    pub found: String,
    /// Mark of that: `seen`, `bare`, `unclear`, `unlooked`.
    pub mark: String,
    /// What the look costs.
    pub cost: String,
    /// A stop forbids it.
    pub held: bool,
}

/// The look that is asked.
pub type LookCard = view::LookCard;

/// The look that is asked.
#[uniffi::remote(Record)]
pub struct LookCard {
    /// Id of the character.
    pub character: String,
    /// Part of the plant.
    pub part: String,
    /// What it is called.
    pub label: String,
    /// The question.
    pub ask: String,
    /// How to look.
    pub how: String,
    /// What it costs, and what it harms.
    pub cost: String,
    /// Several answers can be true at once.
    pub several: bool,
    /// The answers; could not tell and not looked come last.
    pub answers: Vec<AnswerRow>,
    /// How sure the looker is.
    pub comfort: Vec<Choice>,
    /// Why this look, a sentence each.
    pub why: Vec<String>,
}

/// One answer.
pub type AnswerRow = view::AnswerRow;

/// One answer.
#[uniffi::remote(Record)]
pub struct AnswerRow {
    /// What is handed back when it is chosen: a state, `could_not_tell`, or `not_looked`.
    pub id: String,
    /// Its words.
    pub text: String,
    /// Its mark: `seen`, `bare`, `unclear`, `unlooked`.
    pub mark: String,
    /// That nothing is wrong then, and that counts; else empty.
    pub note: String,
    /// It is chosen.
    pub chosen: bool,
    /// It was looked for, and is not there.
    pub absent: bool,
    /// It stands alone: with another it cannot be true.
    pub alone: bool,
    /// Name of the drawn picture that shows it, such as `leaf_spot.round`; the shell shows none where there is none.
    pub picture: String,
}

/// What it could be.
pub type ThinkScreen = view::ThinkScreen;

/// What it could be.
#[uniffi::remote(Record)]
pub struct ThinkScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// The plant.
    pub plant: RecordId,
    /// What it is called.
    pub title: String,
    /// `after 23 findings`
    pub after: String,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// Why no cause is named; empty where causes are.
    pub held: String,
    /// That several can be true at once.
    pub note: String,
    /// Causes that the findings raise, best first.
    pub causes: Vec<CauseCard>,
    /// Where the words for a number change, in a hundred: knots in the line on which it stands.
    pub knots: Vec<u32>,
    /// That nothing stands out; else empty.
    pub said: String,
    /// How many are lower, and none of them.
    pub rest: String,
    /// Whether the advice is the same for the first ones; empty where it cannot be said.
    pub same_advice: String,
    /// The look that would say most, in a line; empty where none is left.
    pub next: String,
    /// Its id.
    pub next_look: String,
    /// That no look that is left would change what to do; else empty.
    pub enough: String,
    /// What has to stand with it while nobody reviewed the pack; that findings were not used.
    pub notices: Vec<String>,
    /// Pack and version.
    pub content: String,
}

/// One cause.
pub type CauseCard = view::CauseCard;

/// One cause.
#[uniffi::remote(Record)]
pub struct CauseCard {
    /// Its name. What is regulated is not named.
    pub name: String,
    /// `likely, 68 in 100`
    pub sure: String,
    /// In a hundred, for the line.
    pub percent: u32,
    /// Its part in the trouble, and who has to answer; empty where there is nothing to say.
    pub role: String,
    /// What speaks for it.
    pub for_it: String,
    /// What speaks against it.
    pub against_it: String,
    /// What would say more, and nobody looked at; empty where nothing would.
    pub unlooked: String,
}

/// What to tell.
pub type TellScreen = view::TellScreen;

/// What to tell.
#[uniffi::remote(Record)]
pub struct TellScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// The plant.
    pub plant: RecordId,
    /// What it is called.
    pub title: String,
    /// `Saved on this phone 11:02 am`; empty before it was told.
    pub saved: String,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// Stops that were read and stand: their words are told too.
    pub stops: Vec<StopCard>,
    /// Why there is no advice; empty where there is.
    pub held: String,
    /// Words to say aloud.
    pub say_this: String,
    /// Steps by kind, in the order in which they are told.
    pub groups: Vec<TellGroup>,
    /// Who has to answer before more than general care goes out; empty for nobody.
    pub needs: String,
    /// Day on which somebody asks again, `2026-08-03`; empty for none.
    pub due: String,
    /// The same in words.
    pub due_words: String,
    /// What is asked then.
    pub question: String,
    /// How it can be told.
    pub ways: Vec<Choice>,
    /// The resident said it back, as far as somebody ticked it.
    pub read_back: bool,
    /// That a question was put down for later already, and when it is asked; empty while none waits.
    pub asked: String,
    /// What was told before, newest first.
    pub before: Vec<Line>,
    /// What has to stand with it while nobody reviewed the pack.
    pub notice: String,
}

/// Steps of one kind.
pub type TellGroup = view::TellGroup;

/// Steps of one kind.
#[uniffi::remote(Record)]
pub struct TellGroup {
    /// What kind they are.
    pub head: String,
    /// What can hurt, and what not to do.
    pub care: bool,
    /// The steps.
    pub steps: Vec<String>,
}

/// A letter.
pub type LetterScreen = view::LetterScreen;

/// A letter.
#[uniffi::remote(Record)]
pub struct LetterScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// The plant.
    pub plant: RecordId,
    /// What it is called.
    pub title: String,
    /// Stops that nobody read yet: there is no letter before.
    pub halts: Vec<StopCard>,
    /// Why there is no letter; empty where there is.
    pub held: String,
    /// Its languages; the resident's is chosen at first.
    pub languages: Vec<Choice>,
    /// Parts that may be said otherwise.
    pub pieces: Vec<PieceRow>,
    /// Causes that are told; one that is not chosen is left out.
    pub causes: Vec<Choice>,
    /// The whole letter as plain text.
    pub text: String,
    /// That nothing was looked at yet; else empty.
    pub bare: String,
}

/// A part of a letter.
pub type PieceRow = view::PieceRow;

/// A part of a letter.
#[uniffi::remote(Record)]
pub struct PieceRow {
    /// Its id.
    pub id: String,
    /// Where it stands.
    pub head: String,
    /// Its words now.
    pub text: String,
    /// The words of the pack.
    pub given: String,
    /// A person changed it.
    pub changed: bool,
}
