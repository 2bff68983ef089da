//! The page of one review, and what it hears of other reviewers while it is open.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::key::under_seal;
use serde::Deserialize;

use super::{
    answer::others,
    form::Wrong,
    subject::Subject,
    typed::Typed,
    view::{Bar, One, Unveil},
};
use crate::{
    page::{
        frame::{Frame, Here},
        guard::Noted,
        reading::record_id,
        routes::{Desk, Shared, answer, html},
        trouble::Trouble,
    },
    people::{Act, Role, Visitor},
};

#[derive(Template)]
#[template(path = "review_one.html")]
struct OnePage {
    frame: Frame,
    o: One,
    bar: Bar,
    /// Another reviewer acted meanwhile: nothing was written, and what was typed stands here.
    meanwhile: bool,
}

/// Why a form comes back.
pub(super) enum Again {
    /// Somebody acted meanwhile.
    Meanwhile,
    /// Something in it is wrong.
    Wrong(Vec<Wrong>),
}

#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    open: String,
    private: String,
}

/// The page.
pub(super) async fn page(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Review, move |desk, frame| {
        let Query(asked) = asked.map_err(|_| Trouble::BadAddress(frame.say("inquiry-bad-address")))?;
        let subject = Subject::read(desk, record_id(&id)?)?;
        if let Some(answer) = subject.answered() {
            return Ok(Noted::on(Redirect::to(&format!("/review/{answer}")).into_response(), Vec::new()));
        }
        let unveil = Unveil { open: asked.open == "yes", private: asked.private == "full" };
        if unveil.private && !who.role.sees_private() {
            return Err(Trouble::NotAllowed);
        }
        let typed = Typed::kept(desk.notebook(), &who, subject.id)?;
        let mut o = One::make(desk, &frame, &who, &subject, unveil)?;
        o.draft = o.may && !typed.is_empty();
        let o = beside(desk, &frame, o.with_typed(typed), &subject)?;
        let mut seen = vec![Act::SawReview];
        if unveil.private {
            seen.extend([Act::SawContact, Act::SawPlace]);
        }
        let bar = Bar::of(desk, &frame, &who, None)?;
        Ok(Noted::on(html(&OnePage { frame, o, bar, meanwhile: false }), seen))
    })
    .await
}

/// The page once more, with what was typed.
///
/// # Errors
/// Of the stores.
pub(super) fn again(
    desk: &Desk,
    frame: Frame,
    who: &Visitor,
    subject: &Subject,
    typed: Typed,
    why: Again,
) -> Result<Response, Trouble> {
    let o = One::make(desk, &frame, who, subject, Unveil::default())?;
    let mut o = beside(desk, &frame, o.with_typed(typed), subject)?;
    let (status, meanwhile) = match why {
        Again::Meanwhile => (StatusCode::CONFLICT, true),
        Again::Wrong(wrong) => {
            o.wrong = wrong;
            (StatusCode::UNPROCESSABLE_ENTITY, false)
        }
    };
    let bar = Bar::of(desk, &frame, who, None)?;
    let mut page = html(&OnePage { frame, o, bar, meanwhile });
    *page.status_mut() = status;
    Ok(page)
}

fn beside(desk: &Desk, frame: &Frame, mut o: One, subject: &Subject) -> Result<One, Trouble> {
    let ((earlier, later), entry) = desk.queue(|queue| (queue.beside(subject.id), queue.entry(subject.id).cloned()))?;
    o.earlier = earlier.map(|id| format!("/review/{id}"));
    o.later = later.map(|id| format!("/review/{id}"));
    if under_seal(o.stop_ids.iter().map(String::as_str)) {
        return Err(Trouble::Sealed);
    }
    Ok(o.with_entry(frame, entry.as_ref()))
}

#[derive(Template)]
#[template(path = "review_now.html")]
struct NowPage {
    others: Vec<String>,
}

/// What other reviewers did, for a page that is open: who and when.
pub(super) async fn now(State(desk): Shared, Extension(who): Extension<Visitor>, Path(id): Path<String>) -> Response {
    answer(desk, Some(who.clone()), Here::Review, move |desk, frame| {
        let subject = Subject::read(desk, record_id(&id)?)?;
        let opened = who.role < Role::Reviewer || subject.of(&who).is_some_and(|r| r.get("blind").is_some());
        Ok(html(&NowPage { others: others(desk, &frame, &who, &subject, opened, &frame.when())? }))
    })
    .await
}
