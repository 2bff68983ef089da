//! Pages for what cannot be shown: what, why, what to do.

use axum::{
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};
use dooryard_core::{Code, Error, words::Words};

use super::{
    bundles::sentence,
    frame::{Frame, render},
    words::{sentence_case, size},
};
use crate::people;

#[derive(askama::Template)]
#[template(path = "trouble.html")]
struct TroublePage {
    frame: Frame,
    what: String,
    why: String,
    to_do: String,
}

/// Why a page cannot be shown.
#[derive(Debug)]
pub enum Trouble {
    /// Nothing stands at this address.
    NoSuchPage,
    /// No such inquiry, photo or bundle.
    NotHere,
    /// The address is not in the form of one.
    BadAddress(String),
    /// The number in the address is not one of a record.
    BadNumber,
    /// It is under seal.
    Sealed,
    /// The picture has not come, or cannot be shown.
    NoPicture,
    /// The role is not enough.
    NotAllowed,
    /// Nobody is signed in any more.
    SignedOut,
    /// It does not come from a page of ours.
    Forged,
    /// More was sent than the form has room for.
    TooLarge,
    /// It took too long to arrive.
    TooSlow,
    /// More bytes of files were sent than are taken at once: how many are.
    FilesTooLarge(u64),
    /// More files were sent than are taken at once: how many are.
    TooManyFiles(usize),
    /// No file was sent.
    NoFile,
    /// The other side went away before all of it had come.
    CutShort,
    /// The disk has no room for it.
    NoRoom,
    /// The office refused it, with a code.
    Refused(Code),
    /// It is not the form of a page.
    BadForm,
    /// It cannot be done, and why.
    NotDone(String),
    /// It cannot be done with an account.
    Account(people::Error),
    /// The work on it stopped half way.
    HalfWay,
    /// Something is wrong at this end.
    Inside(String),
}

impl From<people::Error> for Trouble {
    fn from(e: people::Error) -> Self {
        match e {
            people::Error::Store(_) | people::Error::Io(_) | people::Error::Newer { .. } | people::Error::Hash(_) => {
                Self::Inside(said(&e, Words::default()))
            }
            other => Self::Account(other),
        }
    }
}

/// An error of the accounts as a sentence. What only whoever looks after the office can mend stays as the program says it.
pub(super) fn said(e: &people::Error, words: Words) -> String {
    use people::Error;
    match e {
        Error::Store(_) | Error::Io(_) | Error::Newer { .. } | Error::Hash(_) => {
            format!("{}.", sentence_case(&e.to_string()))
        }
        Error::ShortPassword => words.with("account-error-short", [("n", &people::LEAST_CHARACTERS)]),
        Error::TwoPasswords => words.say("account-error-two"),
        Error::BadName => words.say("account-error-name"),
        Error::NameTaken => words.say("account-error-taken"),
        Error::NoAccount => words.say("account-error-none"),
        Error::LastAdmin => words.say("account-error-last-admin"),
        Error::ViewTaken => words.say("list-view-taken"),
        Error::NoView => words.say("list-view-gone"),
        Error::ManyViews => words.with("list-view-many", [("n", &people::MOST_VIEWS)]),
        Error::LinkGone => words.say("account-error-link"),
        Error::Wrong => words.say("account-error-wrong"),
        Error::Wait { seconds } => words.with("account-error-wait", [("n", seconds)]),
    }
}

impl From<Error> for Trouble {
    fn from(e: Error) -> Self {
        match e {
            Error::NotFound(_) => Self::NotHere,
            other => Self::Inside(other.to_string()),
        }
    }
}

impl Trouble {
    /// Status, and the name of its sentences: what, with `-why` the reason where it is always the same, with `-do` what to do.
    fn kind(&self) -> (StatusCode, &'static str) {
        match self {
            Self::NoSuchPage => (StatusCode::NOT_FOUND, "trouble-no-page"),
            Self::NotHere => (StatusCode::NOT_FOUND, "trouble-not-here"),
            Self::BadAddress(_) | Self::BadNumber => (StatusCode::BAD_REQUEST, "trouble-address"),
            Self::Sealed => (StatusCode::FORBIDDEN, "trouble-sealed"),
            Self::NoPicture => (StatusCode::NOT_FOUND, "trouble-picture"),
            Self::NotAllowed => (StatusCode::FORBIDDEN, "trouble-role"),
            Self::SignedOut => (StatusCode::UNAUTHORIZED, "trouble-signed-out"),
            Self::Forged => (StatusCode::FORBIDDEN, "trouble-forged"),
            Self::TooLarge => (StatusCode::PAYLOAD_TOO_LARGE, "trouble-large"),
            Self::TooSlow => (StatusCode::REQUEST_TIMEOUT, "trouble-slow"),
            Self::FilesTooLarge(_) => (StatusCode::PAYLOAD_TOO_LARGE, "trouble-files-large"),
            Self::TooManyFiles(_) => (StatusCode::PAYLOAD_TOO_LARGE, "trouble-files-many"),
            Self::NoFile => (StatusCode::BAD_REQUEST, "trouble-no-file"),
            Self::CutShort => (StatusCode::BAD_REQUEST, "trouble-cut-short"),
            Self::NoRoom => (StatusCode::INSUFFICIENT_STORAGE, "trouble-no-room"),
            Self::Refused(_) => (StatusCode::CONFLICT, "trouble-refused"),
            Self::BadForm => (StatusCode::BAD_REQUEST, "trouble-form"),
            Self::NotDone(_) => (StatusCode::CONFLICT, "trouble-not-done"),
            Self::Account(_) => (StatusCode::CONFLICT, "trouble-not-done"),
            Self::Inside(_) | Self::HalfWay => (StatusCode::INTERNAL_SERVER_ERROR, "trouble-inside"),
        }
    }

    /// A refusal of the office as something to say; other errors stay what they are.
    pub(super) fn of_refusal(e: Error) -> Self {
        e.code().map_or_else(|| Self::from(e), Self::Refused)
    }

    /// Status, what, why, what to do.
    pub(super) fn words(&self, frame: &Frame) -> (StatusCode, String, String, String) {
        let (status, name) = self.kind();
        let why = match self {
            Self::BadAddress(why) | Self::NotDone(why) | Self::Inside(why) => why.clone(),
            Self::Account(e) => said(e, frame.words),
            Self::FilesTooLarge(most) => frame.with("trouble-files-large-why", [("most", &size(*most, frame.words))]),
            Self::TooManyFiles(most) => frame.with("trouble-files-many-why", [("most", most)]),
            Self::Refused(code) => sentence(code.name(), frame.words),
            Self::HalfWay => frame.say("page-half-way"),
            _ => frame.say(&format!("{name}-why")),
        };
        (status, frame.say(name), why, frame.say(&format!("{name}-do")))
    }

    /// The page that says so.
    pub fn page(&self, frame: Frame) -> Response {
        let (status, what, why, to_do) = self.words(&frame);
        (status, Html(render(&TroublePage { frame, what, why, to_do }))).into_response()
    }
}
