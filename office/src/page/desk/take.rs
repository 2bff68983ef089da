//! Taking a call down: saved from the first key on, read for danger whenever it is saved.

use askama::Template;
use axum::{
    Extension, Json as AsJson,
    extract::{Path, State},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{advice::Situation, ids::RecordId, key::StopKind, notebook::Record, record::Kind};
use serde_json::json;

use super::{
    call::Call,
    form::Form,
    signed_as,
    speech::Speech,
    stops::{Halt, halts},
};
use crate::{
    ledger::stops,
    page::{
        frame::{Frame, Here, render},
        guard::{Given, Noted},
        reading::record_id,
        routes::{Desk, Shared, answer, html},
        trouble::Trouble,
        words::When,
    },
    people::{Act, Visitor},
};

type Who = Extension<Visitor>;

#[derive(Template)]
#[template(path = "desk.html")]
struct DeskPage {
    frame: Frame,
    /// Number of the inquiry; empty before anything was written.
    id: String,
    /// When the book was last written to; empty before.
    saved: String,
    form: Form,
    halts: Vec<Halt>,
    /// Calls that nobody finished: (number, when and by whom, first words).
    open: Vec<(String, String, String)>,
}

#[derive(Template)]
#[template(path = "desk_stops.html")]
struct StopsPart<'a> {
    frame: &'a Frame,
    halts: &'a [Halt],
}

pub(in crate::page) async fn desk(State(desk): Shared, Extension(who): Who) -> Response {
    answer(desk, Some(who), Here::Desk, |desk, frame| page(desk, frame, None, Call::default(), &[])).await
}

pub(in crate::page) async fn desk_one(State(desk): Shared, Extension(who): Who, Path(id): Path<String>) -> Response {
    answer(desk, Some(who), Here::Desk, move |desk, frame| {
        let id = record_id(&id)?;
        let call = under_way(desk, id)?;
        let page = page(desk, frame, Some(id), call, &[])?;
        Ok(Noted::on(page, vec![Act::SawInquiry, Act::SawContact, Act::SawPlace]))
    })
    .await
}

/// A call that can be written to: as it is being typed, or else as its records say. What is under seal is open only while
/// its call is under way: whoever is on the line has to be told what to do.
fn under_way(desk: &Desk, id: RecordId) -> Result<Call, Trouble> {
    let record = inquiry(desk, id)?;
    let typed = Call::typed(desk.notebook(), id)?;
    match typed {
        Some(call) if !call.finished => Ok(call),
        _ if desk.index()?.is_sealed(id)? => Err(Trouble::Sealed),
        closed => {
            let call = Call::of_records(desk.notebook(), &record)?;
            Ok(closed.map_or(call.clone(), |closed| call.with_answers_of(&closed)))
        }
    }
}

/// Whether somebody may write to this call now: not to what is under seal, once its call is over.
pub(super) fn may_write(desk: &Desk, id: RecordId) -> Result<(), Trouble> {
    match Call::typed(desk.notebook(), id)? {
        Some(call) if !call.finished => inquiry(desk, id).map(drop),
        _ => under_way(desk, id).map(drop),
    }
}

fn inquiry(desk: &Desk, id: RecordId) -> Result<Record, Trouble> {
    let record = desk.notebook().show(id)?;
    if record.kind == Kind::Inquiry && !record.hidden { Ok(record) } else { Err(Trouble::NotHere) }
}

fn page(
    desk: &Desk,
    frame: Frame,
    id: Option<RecordId>,
    call: Call,
    problems: &[super::call::Problem],
) -> Result<Response, Trouble> {
    let record = id.map(|id| inquiry(desk, id)).transpose()?;
    let speech = Speech::of(&desk.pack, &frame);
    let raised = situation(desk, record.as_ref(), &call).stops(&desk.pack);
    let halts = halts(&raised, &speech);
    let [townships, ..] = desk.index()?.offered()?;
    let form = Form::new(call, problems, &speech, townships);
    let form = match id {
        Some(id) => form.with_photos(desk, id)?,
        None => form,
    };
    let saved = record.as_ref().map_or_else(String::new, |r| saved_at(&frame, changed_ms(r)));
    let open = if id.is_none() { unfinished(desk, &frame)? } else { Vec::new() };
    Ok(html(&DeskPage { id: id.map_or_else(String::new, |id| id.to_string()), saved, form, halts, open, frame }))
}

/// What is known of a call beside the plant: its words, what was asked, what its record holds.
fn situation(desk: &Desk, record: Option<&Record>, call: &Call) -> Situation {
    let held = record.map(|r| stops(r.get("stops"))).unwrap_or_default();
    let mut situation = Situation::new([call.text("words"), call.text("reach_note")], held);
    for question in desk.pack.questions.iter().filter(|q| call.answer(&q.id) == "yes") {
        question.raises.iter().for_each(|stop| situation.raise(stop, &question.id));
    }
    situation
}

fn changed_ms(record: &Record) -> i64 {
    record.fields.iter().map(|f| f.shown.at_ms).max().unwrap_or_default()
}

fn saved_at(frame: &Frame, ms: i64) -> String {
    frame.with("desk-saved", [("time", &frame.when().clock_ms(ms))])
}

/// Calls that somebody began and nobody finished, the one written to last first.
fn unfinished(desk: &Desk, frame: &Frame) -> Result<Vec<(String, String, String)>, Trouble> {
    let (index, mut open) = (desk.index()?, Vec::new());
    for (id, call) in Call::under_way(desk.notebook())? {
        let Ok(record) = inquiry(desk, id) else { continue };
        let day = record.text("opened").map_or_else(String::new, |at| frame.when().full(at));
        let by = record.text("taken_by").unwrap_or_default().to_owned();
        let words = call.text("words").chars().take(120).collect();
        let words = if index.is_sealed(id)? { frame.say("desk-open-sealed") } else { words };
        open.push((id.to_string(), format!("{day} · {by}"), words));
    }
    Ok(open)
}

/// Whether what was sent goes into the book, or is only kept as it is being typed.
#[derive(Clone, Copy, PartialEq, Eq)]
enum How {
    Typed,
    Written,
}

/// Keeps a call; begins an inquiry for it where there is none yet. Gives its number and the stops that stand.
fn keep(
    desk: &Desk,
    who: &Visitor,
    id: Option<RecordId>,
    call: &Call,
    how: How,
) -> Result<(RecordId, Situation), Trouble> {
    let notebook = desk.notebook();
    let id = match id {
        Some(id) => id,
        None => {
            let channel = Some(call.text("channel")).filter(|c| !c.is_empty()).unwrap_or("phone");
            let fields = json!({ "opened": When::now().instant(), "channel": channel, "taken_by": signed_as(who) });
            super::save(notebook, Kind::Inquiry, None, fields)?
        }
    };
    call.keep_typed(notebook, id)?;
    let situation = situation(desk, Some(&inquiry(desk, id)?), call);
    if how == How::Written {
        let raised: Vec<String> =
            situation.stops(&desk.pack).into_iter().filter(|s| s.kind != StopKind::Note).map(|s| s.id).collect();
        call.write(&desk.office, id, &raised)?;
    }
    Ok((id, situation))
}

fn sent(desk: &Desk, given: &Given) -> Call {
    Call::given(given, desk.pack.questions.iter().map(|q| q.id.as_str()))
}

pub(in crate::page) async fn desk_begin(
    State(desk): Shared,
    Extension(who): Who,
    Extension(given): Extension<Given>,
) -> Response {
    write(desk, who, None, given).await
}

pub(in crate::page) async fn desk_save(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    write(desk, who, Some(id), given).await
}

/// Writes a call into the book as its form was sent, and goes where the button says.
async fn write(desk: std::sync::Arc<Desk>, who: Visitor, id: Option<String>, given: Given) -> Response {
    answer(desk, Some(who.clone()), Here::Desk, move |desk, frame| {
        let call = sent(desk, &given);
        let id = id.map(|id| record_id(&id)).transpose()?;
        if let Some(id) = id {
            under_way(desk, id)?;
        } else if call.is_empty() {
            return Ok(Redirect::to("/desk").into_response());
        }
        let problems = call.problems();
        let how = if problems.is_empty() { How::Written } else { How::Typed };
        let (id, _) = keep(desk, &who, id, &call, how)?;
        if !problems.is_empty() {
            return page(desk, frame, Some(id), call, &problems);
        }
        let to = match given.text("go") {
            "walk" => format!("/inquiries/{id}/walk"),
            "later" => "/desk".to_owned(),
            _ => format!("/desk/{id}"),
        };
        if matches!(given.text("go"), "walk" | "later") {
            call.finish(desk.notebook(), id)?;
        }
        desk.people.note(&who, Act::TookCall, Some(&id.to_string()))?;
        Ok(Redirect::to(&to).into_response())
    })
    .await
}

pub(in crate::page) async fn desk_typed_first(
    State(desk): Shared,
    Extension(who): Who,
    Extension(given): Extension<Given>,
) -> Response {
    typed(desk, who, None, given).await
}

pub(in crate::page) async fn desk_typed(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    typed(desk, who, Some(id), given).await
}

/// Keeps what is being typed, and says when it was kept and which stops stand.
async fn typed(desk: std::sync::Arc<Desk>, who: Visitor, id: Option<String>, given: Given) -> Response {
    answer(desk, Some(who.clone()), Here::Desk, move |desk, frame| {
        let call = sent(desk, &given);
        let id = id.map(|id| record_id(&id)).transpose()?;
        let new = id.is_none();
        if let Some(id) = id {
            may_write(desk, id)?;
        }
        let how = if given.text("written") == "yes" && call.problems().is_empty() { How::Written } else { How::Typed };
        let (id, situation) = keep(desk, &who, id, &call, how)?;
        if new {
            desk.people.note(&who, Act::TookCall, Some(&id.to_string()))?;
        }
        let halts = halts(&situation.stops(&desk.pack), &Speech::of(&desk.pack, &frame));
        let now = i64::try_from(desk.notebook().env().now_ms()).unwrap_or(i64::MAX);
        let said = json!({
            "id": id.to_string(),
            "saved": saved_at(&frame, now),
            "stops": halts.iter().map(|h| h.id.as_str()).collect::<Vec<_>>(),
            "html": render(&StopsPart { frame: &frame, halts: &halts }),
        });
        Ok(AsJson(said).into_response())
    })
    .await
}
