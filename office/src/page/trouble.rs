//! Pages for what cannot be shown: what, why, what to do.

use axum::{
    http::StatusCode,
    response::{Html, IntoResponse, Response},
};
use dooryard_core::Error;

use super::{
    frame::{Frame, render},
    words::sentence_case,
};
use crate::people;

#[derive(askama::Template)]
#[template(path = "trouble.html")]
struct TroublePage<'a> {
    frame: Frame,
    what: &'a str,
    why: &'a str,
    to_do: &'a str,
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
    /// Something is wrong at this end.
    Inside(String),
}

impl From<people::Error> for Trouble {
    fn from(e: people::Error) -> Self {
        match e {
            people::Error::Store(_) | people::Error::Io(_) | people::Error::Newer { .. } | people::Error::Hash(_) => {
                Self::Inside(said(&e))
            }
            other => Self::NotDone(said(&other)),
        }
    }
}

/// An error of the accounts as a sentence.
pub fn said(e: &people::Error) -> String {
    format!("{}.", sentence_case(&e.to_string()))
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
    fn words(&self) -> (StatusCode, &str, &str, &str) {
        match self {
            Self::NoSuchPage => (
                StatusCode::NOT_FOUND,
                "No page here",
                "Nothing stands at this address.",
                "go to the list of inquiries and follow a link from there.",
            ),
            Self::NotHere => (
                StatusCode::NOT_FOUND,
                "Not here",
                "This office holds nothing with that number. It may still be on a phone.",
                "look in the list of inquiries; if it is not there, ask the scout to hand over.",
            ),
            Self::BadAddress(why) => (
                StatusCode::BAD_REQUEST,
                "The address cannot be read",
                why,
                "go to the list of inquiries and choose there, or correct the address by hand.",
            ),
            Self::Sealed => (
                StatusCode::FORBIDDEN,
                "Under seal",
                "A sealed record exists for this inquiry. It is in no list, count or map until the authority releases it.",
                "ask the educator. Do not pass on the place or the suspicion.",
            ),
            Self::NoPicture => (
                StatusCode::NOT_FOUND,
                "No picture",
                "The picture has not come yet, or is not one that can be shown.",
                "ask the scout to hand over again; the record of the photo is kept here.",
            ),
            Self::NotAllowed => (
                StatusCode::FORBIDDEN,
                "Not for this role",
                "What was asked for needs another role than yours. That it was asked for is noted.",
                "ask an admin of this office, who can give you the role if your work needs it.",
            ),
            Self::SignedOut => (
                StatusCode::UNAUTHORIZED,
                "Signed out meanwhile",
                "Nobody is signed in here any more, so nothing was done.",
                "sign in, then do it once more.",
            ),
            Self::Forged => (
                StatusCode::FORBIDDEN,
                "Not from this page",
                "What was sent does not come from a page of this office, or from one of before you signed in. Nothing was done.",
                "open the page anew and do it from there.",
            ),
            Self::TooLarge => (
                StatusCode::PAYLOAD_TOO_LARGE,
                "Too much at once",
                "More was sent than this form has room for. Nothing was done.",
                "write less, then send it again.",
            ),
            Self::TooSlow => (
                StatusCode::REQUEST_TIMEOUT,
                "Too slow",
                "What was sent did not arrive in time. Nothing was done.",
                "send it again.",
            ),
            Self::BadForm => (
                StatusCode::BAD_REQUEST,
                "The form cannot be read",
                "What was sent is not in the form of a page of this office. Nothing was done.",
                "open the page anew and do it from there.",
            ),
            Self::NotDone(why) => {
                (StatusCode::CONFLICT, "Not done", why, "go back, change it and send it again. Nothing was changed.")
            }
            Self::Inside(why) => (
                StatusCode::INTERNAL_SERVER_ERROR,
                "This page could not be made",
                why,
                "load it again. Nothing was changed; if it stays, keep these words for whoever looks after the office.",
            ),
        }
    }

    /// The page that says so.
    pub fn page(&self, frame: Frame) -> Response {
        let (status, what, why, to_do) = self.words();
        (status, Html(render(&TroublePage { frame, what, why, to_do }))).into_response()
    }
}
