//! What a file is that somebody opened in the app, and why it cannot be opened here. Nothing of it is taken in or changed.

use std::{fs::File, io::Read, path::Path};

use super::reader::View;
use crate::{
    Code, Error, Result, archive, bundle,
    enrol::{Answer, Invitation},
    key::file,
    own_data,
    words::Language,
};

/// What a file is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum FileKind {
    /// An answer of the office for this phone.
    Reply,
    /// What a phone handed over, or an answer for another phone: sealed to somebody else.
    Bundle,
    /// A backup.
    Backup,
    /// Somebody's own data.
    OwnData,
    /// Content: looks, causes, advice.
    Pack,
    /// The text with which an office invites a phone.
    OfficeCode,
    /// The text with which an office answers a phone.
    AnswerCode,
    /// None of these.
    Other,
}

/// A file that somebody opened.
#[derive(Clone, PartialEq, Eq, Debug)]
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

/// Bytes of a text at most: more than any code has.
const MOST: u64 = 8 << 10;

/// What a file is.
///
/// # Errors
/// Of the file system.
pub fn file_kind(view: &View<'_>, path: &Path) -> Result<OpenedFile> {
    let what = || Error::io("opening the file");
    let mut begin = Vec::new();
    File::open(path).map_err(what())?.take(MOST + 1).read_to_end(&mut begin).map_err(what())?;
    let text = std::str::from_utf8(&begin).map(str::trim).unwrap_or_default();
    let (kind, held) = match &begin {
        b if b.starts_with(&bundle::MAGIC) => sealed(view, path)?,
        b if b.starts_with(&file::MAGIC) => {
            (FileKind::Pack, why(view, file::PackFile::read(path).and_then(|pack| pack.pack().map(drop)))?)
        }
        b if b.starts_with(b"PK\x03\x04") && own_data::is_own_data(path)? => (FileKind::OwnData, String::new()),
        b if b.starts_with(b"age-encryption.org/v1\n") => match archive::is_archive(path, &view.notebook.opener()) {
            Ok(true) => (FileKind::Backup, String::new()),
            Ok(false) => (FileKind::Other, view.say("phone-file-other")),
            Err(e) if e.code() == Some(Code::NotForUs) => (FileKind::Backup, view.say("phone-file-backup-of-other")),
            Err(e) => (FileKind::Other, why(view, Err(e))?),
        },
        _ if text.starts_with("DY1:") => (FileKind::OfficeCode, why(view, Invitation::from_text(text).map(drop))?),
        _ if text.starts_with("DY3:") => (FileKind::AnswerCode, why(view, Answer::from_text(text).map(drop))?),
        b if b.is_empty() => (FileKind::Other, view.say("phone-file-empty")),
        _ => (FileKind::Other, view.say("phone-file-other")),
    };
    let word = match kind {
        FileKind::Reply => "phone-file-is-reply",
        FileKind::Bundle => "phone-file-is-bundle",
        FileKind::Backup => "phone-file-is-backup",
        FileKind::OwnData => "phone-file-is-own-data",
        FileKind::Pack => "phone-file-is-pack",
        FileKind::OfficeCode => "phone-file-is-code",
        FileKind::AnswerCode => "phone-file-is-answer",
        FileKind::Other => "phone-file-is-other",
    };
    let code = matches!(kind, FileKind::OfficeCode | FileKind::AnswerCode);
    Ok(OpenedFile { kind, what: view.say(word), text: if code { text.to_owned() } else { String::new() }, held })
}

/// A file in the form of bundles: an answer for this phone, or something for somebody else.
fn sealed(view: &View<'_>, path: &Path) -> Result<(FileKind, String)> {
    match view.notebook.is_reply(path) {
        Ok(true) => Ok((FileKind::Reply, String::new())),
        Ok(false) => Ok((FileKind::Bundle, view.say("phone-file-for-other"))),
        Err(e) if e.code() == Some(Code::NotForUs) => Ok((FileKind::Bundle, view.say("phone-file-for-other"))),
        Err(e) => Ok((FileKind::Bundle, why(view, Err(e))?)),
    }
}

/// Why a file is refused, in a sentence; empty where it is not.
fn why(view: &View<'_>, read: Result<()>) -> Result<String> {
    match read {
        Ok(()) => Ok(String::new()),
        Err(e) => said(view, &e).map(str::to_owned).ok_or(e),
    }
}

/// The sentence of a refusal.
fn said(view: &View<'_>, refused: &Error) -> Option<&'static str> {
    let spanish = view.words.0 == Language::Es;
    Some(match refused {
        // Of a file that was only opened nothing was used.
        Error::Refused { code: code @ Code::Cut, .. } if spanish => code.pack_sentence_es(),
        Error::Refused { code: code @ Code::Cut, .. } => code.pack_sentence(),
        Error::Refused { code, .. } if spanish => code.sentence_es(),
        Error::Refused { code, .. } => code.sentence(),
        Error::Pack { code, .. } if spanish => code.pack_sentence_es(),
        Error::Pack { code, .. } => code.pack_sentence(),
        Error::Backup { code, .. } if spanish => code.backup_sentence_es(),
        Error::Backup { code, .. } => code.backup_sentence(),
        _ => return None,
    })
}
