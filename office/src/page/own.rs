//! One's own account: another password, recovery codes on paper, signing out everywhere.

use askama::Template;
use axum::{
    Extension,
    extract::State,
    response::{IntoResponse, Redirect, Response},
};

use super::{
    frame::{Frame, Here},
    guard::Given,
    routes::{Shared, answer, html},
    sign_in::twice,
};
use crate::people::{CODES, LEAST_CHARACTERS, Visitor};

#[derive(Template)]
#[template(path = "account.html")]
struct AccountPage {
    frame: Frame,
    name: String,
    line: String,
    codes_left: u64,
    codes_line: String,
    sessions: String,
    least: usize,
}

pub(super) async fn page(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who.clone()), Here::Elsewhere, move |desk, frame| {
        let account = desk.people.account(who.account)?;
        Ok(html(&AccountPage {
            line: frame.with(
                "account-line",
                [
                    ("name", &account.name),
                    ("role", &frame.say(account.role.word())),
                    ("may", &frame.say(account.role.may())),
                ],
            ),
            codes_left: account.codes,
            codes_line: frame.with("account-codes-left", [("n", &account.codes), ("all", &CODES)]),
            sessions: frame.with("account-sessions", [("n", &account.sessions)]),
            frame,
            least: LEAST_CHARACTERS,
            name: account.name,
        }))
    })
    .await
}

pub(super) async fn password(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Elsewhere, move |desk, _| {
        desk.people.change_password(&who, given.text("old"), twice(&given)?)?;
        Ok(Redirect::to("/account").into_response())
    })
    .await
}

#[derive(Template)]
#[template(path = "codes.html")]
struct CodesPage {
    frame: Frame,
    name: String,
    codes: Vec<String>,
}

pub(super) async fn codes(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who.clone()), Here::Elsewhere, move |desk, frame| {
        let codes = desk.people.new_codes(&who)?;
        Ok(html(&CodesPage { frame, name: who.name, codes }))
    })
    .await
}
