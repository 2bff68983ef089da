//! Saved views: filters of the list under names of one's own; made, opened, renamed, deleted.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, State},
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};

use super::{
    choices::chosen,
    filter::Filter,
    frame::{Frame, Here},
    guard::Given,
    routes::{Desk, Shared, answer, html},
    trouble::{Trouble, said},
};
use crate::{
    index::From,
    people::{Error, View, Visitor},
};

#[derive(Template)]
#[template(path = "views.html")]
struct ViewsPage {
    frame: Frame,
    rows: Vec<Row>,
    /// A view that is to be saved and cannot be, or that was deleted and can be kept after all.
    fresh: Option<Fresh>,
}

struct Row {
    view: View,
    /// What it chooses.
    chosen: Vec<(String, String)>,
    /// A name that it cannot have, and why.
    refused: Option<(String, String)>,
}

struct Fresh {
    name: String,
    query: String,
    /// Why it cannot be saved so; empty for one that was deleted.
    why: String,
}

impl View {
    /// Its address.
    pub(super) fn href(&self) -> String {
        Filter::of_query(&self.filter).unwrap_or_default().href(1, From::Newest)
    }
}

/// The page; `refused` is the number of a view with the name that it cannot have, and why.
fn page(
    desk: &Desk,
    who: &Visitor,
    frame: Frame,
    fresh: Option<Fresh>,
    refused: Option<(i64, String, String)>,
) -> Result<Response, Trouble> {
    let row = |view: View| Row {
        chosen: chosen(&Filter::of_query(&view.filter).unwrap_or_default(), desk.names_in(frame.words.0), &frame),
        refused: refused.as_ref().filter(|(id, ..)| *id == view.id).map(|(_, name, why)| (name.clone(), why.clone())),
        view,
    };
    let rows: Vec<Row> = desk.people.views(who)?.into_iter().map(row).collect();
    let is_refused = refused.is_some() || fresh.as_ref().is_some_and(|fresh| !fresh.why.is_empty());
    let status = if is_refused { StatusCode::CONFLICT } else { StatusCode::OK };
    Ok((status, html(&ViewsPage { frame, rows, fresh })).into_response())
}

pub(super) async fn list(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who.clone()), Here::Inquiries, move |desk, frame| page(desk, &who, frame, None, None)).await
}

pub(super) async fn save(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Inquiries, move |desk, frame| {
        let filter = Filter::of_query(given.text("filter")).ok_or(Trouble::BadForm)?;
        let (name, query) = (given.text("name").to_owned(), filter.query());
        match desk.people.save_view(&who, &name, &query) {
            Ok(_) => Ok(Redirect::to(&filter.href(1, From::Newest)).into_response()),
            Err(e) => {
                let why = refusal(e, &frame)?;
                page(desk, &who, frame, Some(Fresh { name, query, why }), None)
            }
        }
    })
    .await
}

pub(super) async fn rename(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Inquiries, move |desk, frame| {
        let (id, name) = (number(&id)?, given.text("name"));
        match desk.people.rename_view(&who, id, name) {
            Ok(()) => Ok(Redirect::to("/views").into_response()),
            Err(e) => {
                let why = refusal(e, &frame)?;
                page(desk, &who, frame, None, Some((id, name.to_owned(), why)))
            }
        }
    })
    .await
}

pub(super) async fn delete(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Inquiries, move |desk, frame| {
        let View { name, filter, .. } = desk.people.delete_view(&who, number(&id)?)?;
        page(desk, &who, frame, Some(Fresh { name, query: filter, why: String::new() }), None)
    })
    .await
}

fn number(id: &str) -> Result<i64, Trouble> {
    id.parse().map_err(|_| Trouble::Account(Error::NoView))
}

/// What can be mended in the form, as a sentence; anything else is trouble.
fn refusal(e: Error, frame: &Frame) -> Result<String, Trouble> {
    match e {
        Error::BadName | Error::ViewTaken | Error::ManyViews => Ok(said(&e, frame.words)),
        other => Err(other.into()),
    }
}
