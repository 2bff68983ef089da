//! The page of one inquiry, and what has to hold before anything of an inquiry is shown.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::{Html, IntoResponse, Response},
};
use dooryard_core::{
    ids::RecordId,
    key::{Observations, RaisedStop, under_seal},
    notebook::Record,
    record::Kind,
};
use serde::Deserialize;

use super::{
    clash::clash,
    frame::{Frame, Here, render},
    gather::{Whole, day_of, reference},
    guard::Noted,
    held::{self, Tried},
    inquiry::{Unveil, View, view},
    picture,
    reading::record_id,
    reasons::{observations, raised as raised_by, reasons},
    routes::{Desk, Shared, answer},
    say::Say,
    trouble::Trouble,
};
use crate::people::{Act, Visitor};

#[derive(Template)]
#[template(path = "inquiry.html")]
struct InquiryPage {
    frame: Frame,
    v: View,
    /// Whoever looks does not see what is private.
    closed: bool,
    /// Whoever looks may say who has it.
    may_hand_on: bool,
    /// Whom it can be given to.
    hands: Vec<String>,
    photo_line: String,
    answer_line: String,
}

#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    place: String,
    contact: String,
    history: String,
}

pub(super) async fn inquiry(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Inquiries, move |desk, frame| {
        let id = record_id(&id)?;
        let why = || frame.say("inquiry-bad-address");
        let Query(asked) = asked.map_err(|_| Trouble::BadAddress(why()))?;
        let full = |part: &str| part == "full";
        let unveil = Unveil { place: full(&asked.place), contact: full(&asked.contact), history: full(&asked.history) };
        let (page, seen) = shown(desk, frame, &who, id, unveil, None)?;
        Ok(Noted::on(page, seen))
    })
    .await
}

/// The page, and what whoever looks has seen of it. `tried` is what was typed into it and not saved.
///
/// # Errors
/// [`Trouble::Sealed`]; [`Trouble::NotAllowed`] where more is asked for than the role sees; of the notebook.
pub(super) fn shown(
    desk: &Desk,
    frame: Frame,
    who: &Visitor,
    id: RecordId,
    unveil: Unveil,
    tried: Option<Tried>,
) -> Result<(Response, Vec<Act>), Trouble> {
    let closed = !who.role.sees_private();
    let (whole, raised) = open(desk, id)?;
    if closed && (unveil.place || unveil.contact) {
        return Err(Trouble::NotAllowed);
    }
    let page = saying(desk, &frame, |say| {
        let why = |plant: &Record, findings: &[&Record]| {
            let (given, unknown) = seen_of(desk, &whole, plant, findings);
            reasons(&desk.pack, say, &given, unknown).ok().filter(|_| !given.findings.is_empty())
        };
        let here = |photo: &Record| picture::here(desk.notebook(), photo);
        let mut v = view(&whole, say, unveil, why, here);
        v.add_raised(&raised, say);
        v.held.tried = tried;
        if closed {
            v.said.clear();
            let conflicts = whole.conflicts.iter();
            v.clashes = conflicts.filter_map(|c| clash(c, say, false)).collect();
        }
        let may_hand_on = who.role >= held::LEAST;
        Ok(InquiryPage {
            frame: frame.clone(),
            closed,
            may_hand_on,
            hands: if may_hand_on { held::hands(desk, say)? } else { Vec::new() },
            photo_line: v.photo_line(say),
            answer_line: v.answer_line(say),
            v,
        })
    })?;
    let mut seen = vec![Act::SawInquiry];
    seen.extend(unveil.place.then_some(Act::SawPlace));
    seen.extend(unveil.contact.then_some(Act::SawContact));
    Ok((Html(render(&page)).into_response(), seen))
}

/// An inquiry with all that refers to it, and the stops that its findings raise.
///
/// # Errors
/// [`Trouble::Sealed`] when an alert, a stop or a finding seals it; [`Trouble::NotHere`]; of the notebook.
pub(super) fn open(desk: &Desk, id: RecordId) -> Result<(Whole, Vec<RaisedStop>), Trouble> {
    if desk.index()?.is_sealed(id)? {
        return Err(Trouble::Sealed);
    }
    let whole = Whole::read(desk.notebook(), id)?;
    let findings = whole.of(Kind::Finding);
    let raised: Vec<RaisedStop> = (whole.of(Kind::Plant).into_iter())
        .flat_map(|plant| {
            let own: Vec<&Record> =
                findings.iter().copied().filter(|f| reference(f, "plant") == Some(plant.id)).collect();
            raised_by(&desk.pack, &seen_of(desk, &whole, plant, &own).0)
        })
        .collect();
    if under_seal(raised.iter().map(|s| s.id.as_str())) {
        return Err(Trouble::Sealed);
    }
    Ok((whole, raised))
}

/// What the findings of a plant say to the key, and how many of them this pack does not know.
fn seen_of(desk: &Desk, whole: &Whole, plant: &Record, findings: &[&Record]) -> (Observations, u64) {
    observations(&desk.pack, plant.text("host").unwrap_or_default(), day_of(whole), findings)
}

/// Speaks in the language of whoever reads.
pub(super) fn saying<T>(
    desk: &Desk,
    frame: &Frame,
    tell: impl FnOnce(Say<'_>) -> Result<T, Trouble>,
) -> Result<T, Trouble> {
    tell(Say { names: desk.names_in(frame.words.0), when: &frame.when(), words: frame.words })
}
