//! The letter for the resident, in their language: looked at, said otherwise in parts, and written as files for the share sheet.

use std::{fs, path::Path};

use super::{
    act::Choice,
    plant::of_whole,
    reader::View,
    stops::{self, StopCard},
    tell::is_sealed,
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{Made, Occasioned, PIECE, Whole, Writing, make},
    key::{Language, percent},
    letter::{Letter, Place},
    tell::lines,
    words::Words,
};

/// A letter.
#[derive(Clone, PartialEq, Eq, Debug)]
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
#[derive(Clone, PartialEq, Eq, Debug)]
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

/// The language of a letter: the one asked for, or else the resident's.
pub(super) fn language_of(whole: &Whole, asked: &str) -> Language {
    let of_resident = || whole.inquiry.text("language").and_then(Language::from_tag).unwrap_or_default();
    Language::from_tag(asked).unwrap_or_else(of_resident)
}

/// Runs `work` with what a letter of this phone knows beside the inquiry.
pub(super) fn occasioned<T>(
    view: &View<'_>,
    spoken: Words,
    work: impl FnOnce(&Occasioned<'_>) -> Result<T>,
) -> Result<T> {
    let office = match view.notebook.card() {
        Ok(card) => card.name,
        Err(Error::NotEnrolled) => spoken.say("phone-letter-no-office"),
        Err(e) => return Err(e),
    };
    let signed = view.own_label()?;
    let reviewer = spoken.say("desk-reviewer");
    work(&Occasioned { office: &office, reviewer: &reviewer, signed: &signed, now: &view.when })
}

/// A letter of an inquiry.
struct Open<'w> {
    plant: &'w crate::notebook::Record,
    language: Language,
    writing: Writing,
    made: Made,
}

fn open<'w>(view: &View<'_>, whole: &'w Whole, plant: RecordId, language: &str) -> Result<Open<'w>> {
    let record = of_whole(whole, plant)?;
    let language = language_of(whole, language);
    let writing = Writing::kept(view.notebook, whole.inquiry.id, plant, language)?;
    let made = occasioned(view, Words(language), |knows| make(view.pack, whole, record, language, &writing, knows))?;
    Ok(Open { plant: record, language, writing, made })
}

/// Why no letter of an inquiry goes out; empty where one does.
fn held(view: &View<'_>, whole: &Whole, plant: RecordId, halts: &[StopCard]) -> Result<String> {
    let record = of_whole(whole, plant)?;
    Ok(match (halts.is_empty(), is_sealed(whole), view.pack.host(record.text("host").unwrap_or_default())) {
        (false, ..) => view.say("phone-read-first"),
        (_, true, _) => view.say("phone-letter-sealed"),
        (.., None) => view.say("phone-host-first"),
        _ => String::new(),
    })
}

/// The letter on a plant, in the language of this tag, or the resident's where it is empty.
///
/// # Errors
/// [`Error::NotFound`]; of the key.
pub fn letter(view: &View<'_>, inquiry: RecordId, plant: RecordId, language: &str) -> Result<LetterScreen> {
    let whole = view.whole(inquiry)?;
    let halts = stops::unread(view, &whole)?;
    let chosen = language_of(&whole, language);
    let mut screen = LetterScreen {
        inquiry,
        plant,
        title: lines::plant_title(of_whole(&whole, plant)?, view.telling()),
        held: held(view, &whole, plant, &halts)?,
        halts,
        languages: Language::ALL
            .iter()
            .map(|l| Choice { id: l.tag().into(), text: l.own_name().into(), chosen: *l == chosen })
            .collect(),
        pieces: Vec::new(),
        causes: Vec::new(),
        text: String::new(),
        bare: String::new(),
    };
    if !screen.held.is_empty() {
        return Ok(screen);
    }
    let Open { made, writing, .. } = open(view, &whole, plant, language)?;
    screen.pieces = pieces(view, &made.letter);
    screen.causes = made
        .all
        .causes
        .iter()
        .chain(&made.all.possible)
        .map(|c| {
            let n = percent(c.probability);
            let sure = view.with("phone-sure", [("word", &c.word.text(view.words.0)), ("n", &n)]);
            let text = format!("{}: {sure}", c.name.get(view.words.0));
            Choice { id: c.cause.clone(), text, chosen: !writing.left_out.contains(&c.cause) }
        })
        .collect();
    screen.text = made.letter.text;
    screen.bare = if made.looks == 0 { view.say("phone-letter-bare") } else { String::new() };
    Ok(screen)
}

fn pieces(view: &View<'_>, letter: &Letter) -> Vec<PieceRow> {
    let head = |place| match place {
        Place::Opening => "desk-piece-opening",
        Place::Think => "desk-piece-think",
        Place::Check => "key-steps-check",
        Place::Now => "key-steps-now",
        Place::Later => "key-steps-later",
        Place::Call => "key-steps-call",
        Place::Closing => "desk-piece-closing",
    };
    let row = |piece: &crate::letter::Piece| PieceRow {
        id: piece.id.clone(),
        head: view.say(head(piece.place)),
        text: piece.text.clone(),
        given: piece.given.clone(),
        changed: piece.is_changed(),
    };
    letter.pieces.iter().map(row).collect()
}

/// Says a part of the letter otherwise. The words of the pack again, when they are the same; empty words leave it out. Stops,
/// cautions and what not to do are no parts that can be changed.
///
/// # Errors
/// [`Error::NotFound`] for a part that there is not; `TOO_BIG` for more than a part holds; of SQLite.
pub fn write_piece(
    view: &View<'_>,
    inquiry: RecordId,
    plant: RecordId,
    language: &str,
    piece: &str,
    text: &str,
) -> Result<LetterScreen> {
    let whole = view.whole(inquiry)?;
    let Open { made, mut writing, language: spoken, .. } = open(view, &whole, plant, language)?;
    let known = made.letter.pieces.iter().find(|p| p.id == piece);
    let known = known.ok_or_else(|| Error::NotFound(format!("a part {piece} of the letter")))?;
    let text = text.trim();
    if text.chars().count() > PIECE {
        return Err(Error::refused(Code::TooBig, "a part of a letter"));
    }
    if text == known.given {
        writing.changes.remove(piece);
    } else {
        writing.changes.insert(piece.to_owned(), text.to_owned());
    }
    writing.keep(view.notebook, inquiry, plant, spoken)?;
    letter(view, inquiry, plant, language)
}

/// Tells a cause in the letter, or leaves it out. No choice takes a stop away.
///
/// # Errors
/// [`Error::NotFound`] for a cause that is not told; of SQLite.
pub fn leave_out(
    view: &View<'_>,
    inquiry: RecordId,
    plant: RecordId,
    language: &str,
    cause: &str,
    left_out: bool,
) -> Result<LetterScreen> {
    let whole = view.whole(inquiry)?;
    let Open { made, mut writing, language: spoken, .. } = open(view, &whole, plant, language)?;
    if !made.all.causes.iter().chain(&made.all.possible).any(|c| c.cause == cause) {
        return Err(Error::NotFound("a cause that is told".into()));
    }
    if left_out {
        writing.left_out.insert(cause.to_owned());
    } else {
        writing.left_out.remove(cause);
    }
    writing.keep(view.notebook, inquiry, plant, spoken)?;
    letter(view, inquiry, plant, language)
}

/// Writes the letter into a folder, as a page to print and as plain text to send, and gives both paths. Their names say nothing
/// of anyone.
///
/// # Errors
/// `FORBIDDEN_FIELD` while a stop stands that nobody read, or the inquiry is under seal; of the file system.
pub fn letter_files(
    view: &View<'_>,
    inquiry: RecordId,
    plant: RecordId,
    language: &str,
    folder: &Path,
) -> Result<Vec<String>> {
    let whole = view.whole(inquiry)?;
    let halts = stops::unread(view, &whole)?;
    if !held(view, &whole, plant, &halts)?.is_empty() {
        return Err(Error::refused(Code::ForbiddenField, "no letter of this inquiry goes out now"));
    }
    let Open { made, language, plant, .. } = open(view, &whole, plant, language)?;
    let what = || Error::io("writing the letter");
    fs::create_dir_all(folder).map_err(what())?;
    let name = format!("letter-{}-{}", &plant.id.to_string()[..8], language.tag());
    let mut paths = Vec::new();
    for (ending, text) in [("html", &made.letter.html), ("txt", &made.letter.text)] {
        let path = folder.join(format!("{name}.{ending}"));
        fs::write(&path, text).map_err(what())?;
        paths.push(path.display().to_string());
    }
    Ok(paths)
}
