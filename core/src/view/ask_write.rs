//! Writing what is asked: kept letter by letter, written into the records when a field is left, and read for danger each time.

use std::collections::BTreeMap;

use serde_json::json;

use super::{
    ask::{AskScreen, CONTACT, FIELDS, FieldKind, ask, begun_key, choices_of, keep_typed, typed},
    ask_answers::{answers, settle_all_answers, settle_answers},
    camera::forget_places,
    place::is_childs,
    place_write::forget_place,
    reader::View,
    stops,
    typing::settle_forms,
};
use crate::{
    Code, Error, Result,
    advice::Situation,
    ids::RecordId,
    inquiry::{Call, Whole, save, stops as stops_of},
    key::{Blocks, StopKind},
    record::Kind,
};

/// Keeps what stands in a field. While it is being typed (`left` is false) it is kept beside the records; when it is left, it is
/// written into them, unless something is wrong with it. Words are read for danger each time.
///
/// # Errors
/// `SCHEMA` for a field or a choice that there is not; `FORBIDDEN_FIELD` for the person who asks, where a child does or a stop
/// says so that nobody read; as [`crate::notebook::Notebook::save`].
pub fn write(view: &View<'_>, inquiry: RecordId, field: &str, text: &str, left: bool) -> Result<AskScreen> {
    let Some((_, kind, _)) = FIELDS.iter().find(|(name, ..)| *name == field) else {
        return Err(Error::refused(Code::Schema, format!("no field of an inquiry is called {field:?}")));
    };
    let choices = choices_of(field);
    let fits = match kind {
        FieldKind::Choice => text.is_empty() || choices.contains(&text),
        FieldKind::Tick => matches!(text, "yes" | "no" | ""),
        _ => true,
    };
    if !fits {
        return Err(Error::refused(Code::Schema, format!("that is no choice of {field:?}")));
    }
    let whole = view.whole(inquiry)?;
    let mut typed = typed(view, inquiry)?;
    if CONTACT.contains(&field) && contact_is_held(view, &whole, &typed)? {
        return Err(Error::refused(Code::ForbiddenField, "nothing of the person is kept here"));
    }
    typed.set(field, text);
    if field == "minor" && text == "yes" {
        // What was typed of the person goes at once.
        CONTACT.iter().for_each(|name| typed.unset(name));
    }
    keep_typed(view, inquiry, &typed)?;
    let choice = matches!(kind, FieldKind::Choice | FieldKind::Tick);
    commit(view, &whole, typed, &answers(view, &whole)?, &|name| name == field && (left || choice))?;
    ask(view, inquiry)
}

fn contact_is_held(view: &View<'_>, whole: &Whole, typed: &Call) -> Result<bool> {
    let said = match typed.text("minor") {
        "yes" => true,
        "no" => false,
        _ => is_childs(whole),
    };
    let unread: Vec<String> = stops::unread(view, whole)?.into_iter().map(|card| card.id).collect();
    let blocks = |id: &String| view.pack.stop(id).is_some_and(|s| s.blocks.contains(&Blocks::Contact));
    Ok(said || unread.iter().any(blocks))
}

/// Writes every stop that these answers raise, and what is typed; nothing else.
pub(super) fn raise(view: &View<'_>, whole: &Whole, answers: &BTreeMap<String, String>) -> Result<()> {
    commit(view, whole, typed(view, whole.inquiry.id)?, answers, &|_| false)
}

/// Writes typed fields that may be written now into the records, and every stop that what is typed raises.
fn commit(
    view: &View<'_>,
    whole: &Whole,
    mut typed: Call,
    answers: &BTreeMap<String, String>,
    may: &dyn Fn(&str) -> bool,
) -> Result<()> {
    let inquiry = whole.inquiry.id;
    let held = stops_of(whole.inquiry.get("stops"));
    let mut situation = Situation::new([typed.text("words"), typed.text("reach_note")], held);
    let is_raised = |id: &str| answers.get(id).is_some_and(|answer| matches!(answer.as_str(), "yes" | "unsure"));
    for question in view.pack.questions.iter().filter(|q| is_raised(&q.id)) {
        question.raises.iter().for_each(|stop| situation.raise(stop, &question.id));
    }
    let raised = situation.stops(view.pack).into_iter().filter(|s| s.kind != StopKind::Note).map(|s| s.id);
    let raised: Vec<String> = raised.collect();
    let call = Call::of_records(view.notebook, &whole.inquiry)?.with_fields_of(&typed);
    let wrong: Vec<&str> = call.problems().into_iter().map(|(field, _)| field).collect();
    let written: Vec<String> =
        typed.names().filter(|name| may(name) && !wrong.contains(name)).map(str::to_owned).collect();
    if written.iter().any(|name| name == "minor") && call.text("minor") == "yes" {
        // Before it is written that a child asks: stopped in between, it is begun again with what is typed.
        forget_place(view, inquiry)?;
        forget_places(view, whole)?;
    }
    call.write(view.notebook, inquiry, &raised, &|name| written.iter().any(|w| w == name), &|contact, fields| {
        forget(view, contact, fields)
    })?;
    if !written.is_empty() {
        written.iter().for_each(|name| typed.unset(name));
        keep_typed(view, inquiry, &typed)?;
    }
    Ok(())
}

/// Of a contact that is a child's, what was written of it is written over. Only the office can erase what was handed over.
fn forget(view: &View<'_>, contact: RecordId, fields: &[&str]) -> Result<()> {
    let mut over = json!({});
    for field in fields {
        over[*field] = if *field == "reach" { json!({ "name": "" }) } else { json!("") };
    }
    save(view.notebook, Kind::Contact, Some(contact), over).map(drop)
}

/// Writes what is typed and well into the records, and the answers to the safety questions: when the inquiry is left, before the
/// phone sleeps, or hands over.
///
/// # Errors
/// As [`crate::notebook::Notebook::save`].
pub fn settle(view: &View<'_>, inquiry: RecordId) -> Result<()> {
    let whole = view.whole(inquiry)?;
    let typed = typed(view, inquiry)?;
    commit(view, &whole, typed, &answers(view, &whole)?, &|_| true)?;
    settle_answers(view, &whole)
}

/// The same of every inquiry in which something is typed or answered, and what is typed anywhere else.
///
/// # Errors
/// As [`settle`].
pub fn settle_all(view: &View<'_>) -> Result<()> {
    for (id, _) in view.notebook.drafts_after("typed ")? {
        let Ok(inquiry) = id.parse::<RecordId>() else { continue };
        match settle(view, inquiry) {
            Err(Error::NotFound(_)) | Ok(()) => {}
            Err(e) => return Err(e),
        }
    }
    settle_all_answers(view)?;
    settle_forms(view)
}

/// Puts an inquiry down: what is typed goes into the records, and it is no longer told as begun.
///
/// # Errors
/// As [`settle`].
pub fn finish(view: &View<'_>, inquiry: RecordId) -> Result<()> {
    settle(view, inquiry)?;
    view.notebook.keep_draft(&begun_key(inquiry), None)
}
