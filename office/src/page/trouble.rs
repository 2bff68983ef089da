//! Pages for what cannot be shown: what, why, what to do.

use axum::{
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};
use dooryard_core::{Error, words::Words};

use super::{
    frame::{Frame, render},
    words::sentence_case,
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
            Self::BadAddress(_) => (StatusCode::BAD_REQUEST, "trouble-address"),
            Self::Sealed => (StatusCode::FORBIDDEN, "trouble-sealed"),
            Self::NoPicture => (StatusCode::NOT_FOUND, "trouble-picture"),
            Self::NotAllowed => (StatusCode::FORBIDDEN, "trouble-role"),
            Self::SignedOut => (StatusCode::UNAUTHORIZED, "trouble-signed-out"),
            Self::Forged => (StatusCode::FORBIDDEN, "trouble-forged"),
            Self::TooLarge => (StatusCode::PAYLOAD_TOO_LARGE, "trouble-large"),
            Self::TooSlow => (StatusCode::REQUEST_TIMEOUT, "trouble-slow"),
            Self::BadForm => (StatusCode::BAD_REQUEST, "trouble-form"),
            Self::NotDone(_) => (StatusCode::CONFLICT, "trouble-not-done"),
            Self::Account(_) => (StatusCode::CONFLICT, "trouble-not-done"),
            Self::Inside(_) | Self::HalfWay => (StatusCode::INTERNAL_SERVER_ERROR, "trouble-inside"),
        }
    }

    /// The page that says so.
    pub fn page(&self, frame: Frame) -> Response {
        let (status, name) = self.kind();
        let why = match self {
            Self::BadAddress(why) | Self::NotDone(why) | Self::Inside(why) => why.clone(),
            Self::Account(e) => said(e, frame.words),
            Self::HalfWay => frame.say("page-half-way"),
            _ => frame.say(&format!("{name}-why")),
        };
        let (what, to_do) = (frame.say(name), frame.say(&format!("{name}-do")));
        (status, Html(render(&TroublePage { frame, what, why, to_do }))).into_response()
    }
}
