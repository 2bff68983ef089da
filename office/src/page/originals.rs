//! A bundle as it came: taken out, or read in again.

use std::fs::File;

use axum::{
    Extension,
    extract::{Path, State},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{Error, job::Job};

use super::{
    file_out::send,
    frame::{Frame, Here},
    intake::number_of,
    routes::{Desk, Shared, answer},
    trouble::Trouble,
};
use crate::{
    desk::{ORIGINAL_DAYS, Taken},
    people::{Act, Visitor},
};

const DAY_MS: u64 = 86_400_000;

/// Whether the file that was taken in at this moment (milliseconds since 1970) is here, and what became of it, in words.
pub(super) fn told(desk: &Desk, (at, taken): (i64, &Taken), frame: &Frame) -> (bool, String) {
    let is_old = (desk.now_ms() - at).unsigned_abs() > ORIGINAL_DAYS * DAY_MS;
    match taken.original.as_deref().map(|id| desk.office.original(id)) {
        Some(Ok(_)) => (true, frame.say("take-in-original-kept")),
        Some(Err(_)) if is_old => (false, frame.with("take-in-original-old", [("n", &ORIGINAL_DAYS)])),
        Some(Err(_)) => (false, frame.say("take-in-original-erased")),
        None => (false, frame.say("take-in-original-none")),
    }
}

/// The line of the log with this number, of a file that was kept.
fn kept(desk: &Desk, number: &str) -> Result<(Taken, String), Trouble> {
    let rows = desk.office.intake_log()?;
    let at = number.parse::<usize>().ok().and_then(|n| rows.len().checked_sub(n)).ok_or(Trouble::NotHere)?;
    let (_, taken) = rows.into_iter().nth(at).ok_or(Trouble::NotHere)?;
    let id = taken.original.clone().ok_or(Trouble::NotHere)?;
    Ok((taken, id))
}

/// The file, as it came.
pub(super) async fn take_out(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(number): Path<String>,
) -> Response {
    answer(desk, Some(who.clone()), Here::TakeIn, move |desk, _| {
        let (_, id) = kept(desk, &number)?;
        let file = File::open(desk.office.original(&id)?).map_err(Error::io("handing a file out"))?;
        desk.people.note(&who, Act::TookOriginal, Some(&id))?;
        send(file, &format!("bundle-{number}.yard"), "application/octet-stream")
    })
    .await
}

/// Reads it in again.
pub(super) async fn again(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(number): Path<String>,
) -> Response {
    answer(desk, Some(who.clone()), Here::TakeIn, move |desk, _| {
        let (taken, id) = kept(desk, &number)?;
        let file = desk.office.original(&id)?;
        desk.people.note(&who, Act::TookIn, Some(&id))?;
        let _turn = desk.work.turn();
        let again = desk.office.take_in_as(&taken.file, &file, &Job::silent())?;
        let (number, _) = number_of(&desk.office, &again)?;
        Ok(Redirect::to(&format!("/take-in/{number}")).into_response())
    })
    .await
}
