//! The accounts of the office: who has one, what each may do, links for those who have no password yet or forgot it.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, State},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::words::Words;

use super::{
    frame::{Frame, Here},
    guard::Given,
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
};
use crate::people::{Account, Role, Visitor};

#[derive(Template)]
#[template(path = "people.html")]
struct PeoplePage {
    frame: Frame,
    line: String,
    open: Vec<Row>,
    closed: Vec<String>,
    roles: [Role; 4],
}

struct Row {
    account: Account,
    own: bool,
    stands: String,
}

fn row(account: Account, own: bool, words: Words) -> Row {
    let stands = if account.ready {
        words.with("people-stands", [("sessions", &account.sessions), ("codes", &account.codes)])
    } else {
        words.say("people-no-password")
    };
    Row { account, own, stands }
}

pub(super) async fn page(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who.clone()), Here::People, move |desk, frame| {
        let (closed, open): (Vec<_>, Vec<_>) = desk.people.accounts()?.into_iter().partition(|a| a.closed);
        Ok(html(&PeoplePage {
            line: frame.with("people-line", [("n", &open.len())]),
            open: open.into_iter().map(|a| (a.id == who.account, a)).map(|(own, a)| row(a, own, frame.words)).collect(),
            closed: closed.into_iter().map(|a| a.name).collect(),
            roles: Role::ALL,
            frame,
        }))
    })
    .await
}

#[derive(Template)]
#[template(path = "link.html")]
struct LinkPage {
    frame: Frame,
    name: String,
    token: String,
}

pub(super) async fn invite(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::People, move |desk, frame| {
        let name = given.text("name").trim();
        let token = desk.people.invite(Some(&who), name, wanted_role(&given)?)?;
        Ok(html(&LinkPage { frame, name: name.to_owned(), token }))
    })
    .await
}

pub(super) async fn link(State(desk): Shared, Extension(who): Extension<Visitor>, Path(id): Path<String>) -> Response {
    answer(desk, Some(who.clone()), Here::People, move |desk, frame| {
        let account = account(desk, &id, &frame)?;
        let token = desk.people.link(Some(&who), account.id)?;
        Ok(html(&LinkPage { frame, name: account.name, token }))
    })
    .await
}

pub(super) async fn role(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::People, move |desk, frame| {
        desk.people.change_role(&who, account(desk, &id, &frame)?.id, wanted_role(&given)?)?;
        Ok(Redirect::to("/people").into_response())
    })
    .await
}

pub(super) async fn close(State(desk): Shared, Extension(who): Extension<Visitor>, Path(id): Path<String>) -> Response {
    answer(desk, Some(who.clone()), Here::People, move |desk, frame| {
        desk.people.close_account(&who, account(desk, &id, &frame)?.id)?;
        Ok(Redirect::to("/people").into_response())
    })
    .await
}

fn account(desk: &Desk, id: &str, frame: &Frame) -> Result<Account, Trouble> {
    let id = id.parse().map_err(|_| Trouble::BadAddress(frame.say("people-numbered")))?;
    Ok(desk.people.account(id)?)
}

fn wanted_role(given: &Given) -> Result<Role, Trouble> {
    given.text("role").parse().map_err(|_| Trouble::BadForm)
}
