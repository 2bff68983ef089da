//! What a reviewer sends: the own answer, the decision, what is typed, links between inquiries, taking back.

use axum::{
    Extension,
    extract::{Path, State},
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{ids::RecordId, record::Kind};
use serde_json::{Value as Json, json};

use super::{
    alike::listed,
    form::{self, Wrong},
    keep::{self, Pen, alone},
    one::{Again, again},
    subject::{Subject, shown},
    typed::Typed,
    undo::Done,
};
use crate::{
    page::{
        frame::{Frame, Here},
        guard::Given,
        live::Part,
        reading::record_id,
        routes::{Desk, Shared, answer},
        trouble::Trouble,
    },
    people::Visitor,
};

type Who = Extension<Visitor>;
type Form = Extension<Given>;

/// A form about one answer as it was sent: what is typed in it is kept already.
struct Sent {
    who: Visitor,
    given: Given,
    subject: Subject,
    typed: Typed,
}

/// Keeps what is typed in a form and acts on it, unless somebody was there since it was made: then the page comes back.
async fn act(
    desk: Shared,
    who: Visitor,
    id: String,
    given: Given,
    act: impl FnOnce(&Desk, Frame, Sent) -> Result<Response, Trouble> + Send + 'static,
) -> Response {
    let State(desk) = desk;
    answer(desk, Some(who.clone()), Here::Review, move |desk, frame| {
        let _alone = alone();
        let subject = Subject::read(desk, record_id(&id)?)?;
        let typed = Typed::of(&given);
        typed.keep(desk.notebook(), &who, subject.id)?;
        if subject.stamp() != given.text("seen") {
            return again(desk, frame, &who, &subject, typed, Again::Meanwhile);
        }
        act(desk, frame, Sent { who, given, subject, typed })
    })
    .await
}

/// Keeps the reviewer's own answer; from then on the scout's is shown.
pub(super) async fn own(desk: Shared, Extension(who): Who, Path(id): Path<String>, Extension(given): Form) -> Response {
    act(desk, who, id, given, |desk, frame, Sent { who, given, subject, typed }| {
        let own = match form::own(&given, &desk.names) {
            Ok(own) => own,
            Err(wrong) => return again(desk, frame, &who, &subject, typed, Again::Wrong(wrong)),
        };
        let why = desk.queue(|queue| queue.entry(subject.id).and_then(|entry| entry.reasons.first().copied()))?;
        let mut pen = Pen::new(desk.notebook());
        keep::own(&mut pen, &subject, &who, &own, why)?;
        Typed::forget(desk.notebook(), &who, subject.id)?;
        desk.changed(Part::Review, subject.id);
        Ok(Redirect::to(&format!("/review/{}#answers", subject.id)).into_response())
    })
    .await
}

/// Keeps a decision, and goes on to the next.
pub(super) async fn decide(
    desk: Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Form,
) -> Response {
    act(desk, who, id, given, |desk, frame, Sent { who, given, subject, typed }| {
        // The own answer comes first; without it there is no page from which this could be sent.
        let Some(review) = subject.of(&who).filter(|r| r.get("blind").is_some() && r.get("decision").is_none()) else {
            return again(desk, frame, &who, &subject, typed, Again::Meanwhile);
        };
        let has_own = review.get("blind").and_then(Json::as_array).is_some_and(|causes| !causes.is_empty());
        let (decision, words) = match form::decision(&given, has_own) {
            Ok(read) => read,
            Err(wrong) => return again(desk, frame, &who, &subject, typed, Again::Wrong(wrong)),
        };
        let (_, next) = desk.queue(|queue| queue.beside(subject.id))?;
        let mut pen = Pen::new(desk.notebook());
        let kept = keep::decision(&mut pen, &subject, review, &who, &decision, &words, &desk.names);
        // What was written before it stopped can be taken back all the same.
        let done = Done { what: format!("review-done-{}", decision.id()), count: 1, steps: pen.steps };
        done.keep(desk.notebook(), &who)?;
        kept?;
        Typed::forget(desk.notebook(), &who, subject.id)?;
        desk.changed(Part::Review, subject.id);
        desk.changed(Part::Inquiry, subject.whole.inquiry.id);
        let next = next.map_or_else(|| "/review".to_owned(), |id| format!("/review/{id}"));
        Ok(Redirect::to(&format!("{next}#done")).into_response())
    })
    .await
}

/// Keeps what is typed.
pub(super) async fn draft(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Form,
) -> Response {
    answer(desk, Some(who.clone()), Here::Review, move |desk, _| {
        let subject = Subject::read(desk, record_id(&id)?)?;
        Typed::of(&given).keep(desk.notebook(), &who, subject.id)?;
        Ok(StatusCode::NO_CONTENT.into_response())
    })
    .await
}

/// Links two inquiries, says that they are apart, or takes either back.
pub(super) async fn alike(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Form,
) -> Response {
    answer(desk, Some(who.clone()), Here::Review, move |desk, _| {
        let _alone = alone();
        let subject = Subject::read(desk, record_id(&id)?)?;
        let other = record_id(given.text("other"))?;
        let sealed = desk.index()?.is_sealed(other)?;
        let other = shown(desk, other)?.filter(|r| r.kind == Kind::Inquiry && !sealed).ok_or(Trouble::NotHere)?;
        let own = &subject.whole.inquiry;
        if other.id == own.id {
            return Err(Trouble::BadForm);
        }
        let mut pen = Pen::new(desk.notebook());
        let what = match given.text("say") {
            "same" => {
                set(&mut pen, own, "apart_from", other.id, false)?;
                set(&mut pen, &other, "apart_from", own.id, false)?;
                set(&mut pen, own, "same_as", other.id, true)?;
                "review-done-same"
            }
            "apart" => {
                set(&mut pen, own, "apart_from", other.id, true)?;
                "review-done-apart"
            }
            "unlink" => {
                set(&mut pen, own, "same_as", other.id, false)?;
                set(&mut pen, &other, "same_as", own.id, false)?;
                "review-done-unlink"
            }
            _ => return Err(Trouble::BadForm),
        };
        Done { what: what.into(), count: 1, steps: pen.steps }.keep(desk.notebook(), &who)?;
        desk.changed(Part::Inquiry, own.id);
        Ok(Redirect::to(&format!("/review/{}#done", subject.id)).into_response())
    })
    .await
}

/// Puts an inquiry into a list of another, or takes it out.
fn set(
    pen: &mut Pen<'_>,
    record: &dooryard_core::notebook::Record,
    field: &str,
    other: RecordId,
    into: bool,
) -> Result<(), Trouble> {
    let mut ids = listed(record, field);
    if ids.contains(&other) == into {
        return Ok(());
    }
    ids.retain(|id| *id != other);
    ids.extend(into.then_some(other));
    let list: Vec<String> = ids.iter().map(ToString::to_string).collect();
    Ok(pen.write(record, field, json!(list), json!([]))?)
}

/// Takes back what this person did last.
pub(super) async fn undo(State(desk): Shared, Extension(who): Who, Extension(given): Form) -> Response {
    answer(desk, Some(who.clone()), Here::Review, move |desk, _| {
        let _alone = alone();
        let Some(done) = Done::of(desk.notebook(), &who)? else {
            return Ok(Redirect::to("/review?undone=0&left=0#done").into_response());
        };
        let undone = done.take_back(desk.notebook())?;
        Done::forget(desk.notebook(), &who)?;
        if let Ok(id) = given.text("of").parse() {
            desk.changed(Part::Review, id);
        }
        Ok(Redirect::to(&format!("/review?undone={}&left={}#done", undone.back, undone.left)).into_response())
    })
    .await
}

/// Puts the bar away.
pub(super) async fn forget(State(desk): Shared, Extension(who): Who) -> Response {
    answer(desk, Some(who.clone()), Here::Review, move |desk, _| {
        Done::forget(desk.notebook(), &who)?;
        Ok(Redirect::to("/review").into_response())
    })
    .await
}

/// The sentence that is wrong at a field, if one is.
pub(super) fn wrong_at<'a>(wrong: &'a [Wrong], field: &str) -> Option<&'a str> {
    wrong.iter().find(|w| w.field == field).map(|w| w.say)
}
