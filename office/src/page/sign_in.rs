//! Signing in and out, the first account, and the way back for whoever forgot the password.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    http::{HeaderValue, StatusCode, header},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::words::Words;
use serde::Deserialize;

use super::{
    frame::{Frame, Here},
    guard::{CameFrom, Given},
    routes::{Desk, Shared, answer, html},
    trouble::{Trouble, said},
};
use crate::people::{Error, Invited, LEAST_CHARACTERS, Session, Visitor};

#[derive(Template)]
#[template(path = "sign_in.html")]
struct SignInPage {
    frame: Frame,
    problem: String,
    name: String,
    next: String,
}

/// Where to go once signed in.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Next {
    next: String,
}

pub(super) async fn page(State(desk): Shared, next: Result<Query<Next>, QueryRejection>) -> Response {
    let next = next.map(|Query(next)| next.next).unwrap_or_default();
    let frame = desk.frame(None, Here::Elsewhere);
    html(&SignInPage { frame, problem: String::new(), name: String::new(), next: own_path(&next).to_owned() })
}

pub(super) async fn sign_in(
    State(desk): Shared,
    Extension(given): Extension<Given>,
    Extension(from): Extension<CameFrom>,
) -> Response {
    answer(desk, None, Here::Elsewhere, move |desk, frame| {
        let (name, next) = (given.text("name"), own_path(given.text("next")));
        match desk.people.sign_in(name, given.text("password"), from.0.as_deref()) {
            Ok(session) => Ok(begin(desk, &session, next)),
            Err(e) => {
                let (status, problem, wait) = refused(e, frame.words)?;
                let page = SignInPage { frame, problem, name: name.to_owned(), next: next.to_owned() };
                Ok(again(html(&page), status, wait))
            }
        }
    })
    .await
}

#[derive(Template)]
#[template(path = "recover.html")]
struct RecoverPage {
    frame: Frame,
    problem: String,
    name: String,
    least: usize,
}

pub(super) async fn recover_page(State(desk): Shared) -> Response {
    let frame = desk.frame(None, Here::Elsewhere);
    html(&RecoverPage { frame, problem: String::new(), name: String::new(), least: LEAST_CHARACTERS })
}

pub(super) async fn recover(
    State(desk): Shared,
    Extension(given): Extension<Given>,
    Extension(from): Extension<CameFrom>,
) -> Response {
    answer(desk, None, Here::Elsewhere, move |desk, frame| {
        let name = given.text("name");
        let new = twice(&given);
        match new.and_then(|new| desk.people.recover(name, given.text("code"), new, from.0.as_deref())) {
            Ok(session) => Ok(begin(desk, &session, "/account")),
            Err(e) => {
                let (status, problem, wait) = refused(e, frame.words)?;
                let page = RecoverPage { frame, problem, name: name.to_owned(), least: LEAST_CHARACTERS };
                Ok(again(html(&page), status, wait))
            }
        }
    })
    .await
}

#[derive(Template)]
#[template(path = "welcome.html")]
struct WelcomePage {
    frame: Frame,
    problem: String,
    /// The account; empty while there is none.
    account: String,
    name: String,
    token: String,
    least: usize,
}

impl WelcomePage {
    fn new(desk: &Desk, frame: Frame, token: String, problem: String, name: String) -> Result<Self, Trouble> {
        let account = match desk.people.look_at_link(&token)? {
            Invited::First => String::new(),
            Invited::Account(name) => name,
        };
        Ok(Self { frame, problem, account, name, token, least: LEAST_CHARACTERS })
    }
}

pub(super) async fn welcome_page(State(desk): Shared, Path(token): Path<String>) -> Response {
    answer(desk, None, Here::Elsewhere, move |desk, frame| {
        Ok(html(&WelcomePage::new(desk, frame, token, String::new(), String::new())?))
    })
    .await
}

pub(super) async fn welcome(
    State(desk): Shared,
    Path(token): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, None, Here::Elsewhere, move |desk, frame| {
        let name = given.text("name");
        match twice(&given).and_then(|password| desk.people.use_link(&token, name, password)) {
            Ok(session) => Ok(begin(desk, &session, "/account")),
            Err(e) => {
                let (status, problem, wait) = refused(e, frame.words)?;
                Ok(again(html(&WelcomePage::new(desk, frame, token, problem, name.to_owned())?), status, wait))
            }
        }
    })
    .await
}

pub(super) async fn sign_out(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who.clone()), Here::Elsewhere, move |desk, _| {
        desk.people.sign_out(&who)?;
        Ok(end(desk))
    })
    .await
}

pub(super) async fn sign_out_everywhere(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who.clone()), Here::Elsewhere, move |desk, _| {
        desk.people.sign_out_everywhere(&who)?;
        Ok(end(desk))
    })
    .await
}

/// The new password, written twice alike.
pub(super) fn twice(given: &Given) -> Result<&str, Error> {
    let (new, again) = (given.text("new"), given.text("again"));
    if new == again { Ok(new) } else { Err(Error::TwoPasswords) }
}

/// What a form says that was not taken: the answer's status, a sentence, how many seconds to wait.
fn refused(e: Error, words: Words) -> Result<(StatusCode, String, Option<u64>), Trouble> {
    match e {
        Error::Wrong => Ok((StatusCode::FORBIDDEN, said(&e, words), None)),
        Error::Wait { seconds } => Ok((StatusCode::TOO_MANY_REQUESTS, said(&e, words), Some(seconds))),
        Error::ShortPassword | Error::TwoPasswords | Error::BadName | Error::NameTaken => {
            Ok((StatusCode::UNPROCESSABLE_ENTITY, said(&e, words), None))
        }
        other => Err(other.into()),
    }
}

fn again(mut page: Response, status: StatusCode, wait: Option<u64>) -> Response {
    *page.status_mut() = status;
    if let Some(seconds) = wait {
        page.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(seconds));
    }
    page
}

/// A session has begun: the browser keeps its token, where no script reads it and no other site's form sends it.
fn begin(desk: &Desk, session: &Session, next: &str) -> Response {
    let cookie = format!("{}={}; HttpOnly; SameSite=Lax; Path=/", desk.cookie_name(), session.token);
    ([(header::SET_COOKIE, cookie)], Redirect::to(own_path(next))).into_response()
}

fn end(desk: &Desk) -> Response {
    let cookie = format!("{}=; HttpOnly; SameSite=Lax; Path=/; Max-Age=0", desk.cookie_name());
    ([(header::SET_COOKIE, cookie)], Redirect::to("/sign-in")).into_response()
}

/// An address of this page; anything that a browser could take for another host is the front page.
pub(super) fn own_path(text: &str) -> &str {
    let plain =
        text.starts_with('/') && !text.starts_with("//") && text.bytes().all(|b| b.is_ascii_graphic() && b != b'\\');
    if plain { text } else { "/" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn after_signing_in_one_stays_at_this_page() {
        for own in ["/", "/inquiries?q=oak&page=2", "/phones"] {
            assert_eq!(own_path(own), own);
        }
        for other in [
            "",
            "phones",
            "//elsewhere.invalid",
            "https://elsewhere.invalid",
            "/\\elsewhere.invalid",
            "/\t/x",
            "/a\r\nb",
        ] {
            assert_eq!(own_path(other), "/", "{other}");
        }
    }
}
