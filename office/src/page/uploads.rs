//! Bundles that are dropped into the page: from the socket to the disk, then taken in one by one as the command does.

use std::sync::Arc;

use axum::{
    Extension, Json,
    extract::{Path, State},
    http::{HeaderMap, StatusCode},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::job::Job;
use serde_json::json;

use super::{
    arriving::{Arrived, Arrives, MOST_FILES},
    bundles::bundle,
    frame::{Frame, Here},
    intake::number_of,
    routes::{Desk, Shared},
    trouble::Trouble,
    work::Entry,
};
use crate::{
    desk::Taken,
    people::{Act, Visitor},
};

/// Most that one request brings, bytes: what the largest bundle may have.
pub(super) const MOST: u64 = 4 << 30;
/// So much of the disk stays free, bytes: what was taken in has to be written too.
const KEPT_FREE: u64 = 64 << 20;
/// The header in which a script of ours numbers its request, to ask how far it is.
const NUMBER_HEADER: &str = "x-dooryard-number";
/// Longest such number.
const NUMBER: usize = 64;

pub(super) async fn receive(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(arrives): Extension<Arrives>,
    headers: HeaderMap,
) -> Response {
    let frame = desk.frame(Some(&who), Here::TakeIn);
    let text = |name: &str| headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or_default();
    let by_script = text("accept").contains("application/json");
    let announced = text("content-length").parse().unwrap_or(0);
    match taken(desk, &who, &arrives, (announced, text(NUMBER_HEADER))).await {
        Ok(files) if by_script => {
            Json(json!({ "files": files.iter().map(|f| said(f, &frame)).collect::<Vec<_>>() })).into_response()
        }
        Ok(files) => Redirect::to(&href(&files)).into_response(),
        Err(trouble) if by_script => {
            let (status, _, why, to_do) = trouble.words(&frame);
            (status, Json(json!({ "why": why, "to_do": to_do }))).into_response()
        }
        Err(trouble) => trouble.page(frame),
    }
}

/// What became of each file, with its number in the log and its time.
type Files = Vec<(usize, i64, Taken)>;

async fn taken(
    desk: Arc<Desk>,
    who: &Visitor,
    arrives: &Arrives,
    (announced, number): (u64, &str),
) -> Result<Files, Trouble> {
    let arriving = arrives.take()?;
    let room = desk.clone().work(move |desk| {
        let free = desk.office.disk().map_or(u64::MAX, |(free, _)| free);
        if announced.saturating_add(KEPT_FREE) > free {
            return Err(Trouble::NoRoom);
        }
        Ok(desk.office.room_for_arriving()?)
    });
    let room = room.await?;
    // Cut off while they arrive, the room goes with all that is in it, and nothing was done.
    let files = arriving.into_folder(room.path()).await?;
    if files.is_empty() {
        return Err(Trouble::NoFile);
    }
    if files.len() > MOST_FILES {
        return Err(Trouble::TooManyFiles(MOST_FILES));
    }
    let entry = (1..=NUMBER).contains(&number.len()).then(|| desk.work.begin(who.account, number));
    let who = who.clone();
    // From here on all of them are taken in, whether the browser waits for it or not.
    let done = desk.work(move |desk| {
        let _room = room;
        let all = files.len();
        files.iter().enumerate().map(|(at, file)| one(desk, &who, file, job(entry.as_ref(), at + 1, all))).collect()
    });
    done.await
}

fn job(entry: Option<&Entry>, file: usize, files: usize) -> Job {
    entry.map_or_else(Job::silent, |entry| entry.job(file, files))
}

fn one(desk: &Desk, who: &Visitor, file: &Arrived, job: Job) -> Result<(usize, i64, Taken), Trouble> {
    // First the audit: what cannot be noted is not done.
    desk.people.note(who, Act::TookIn, Some(&file.hash.to_hex()))?;
    let name = if file.name.is_empty() { "?" } else { &file.name };
    let _turn = desk.work.turn();
    let taken = desk.office.take_in_as(name, &file.path, &job)?;
    let (number, at) = number_of(&desk.office, &taken)?;
    Ok((number, at, taken))
}

fn href(files: &Files) -> String {
    let numbers = files.iter().map(|(number, ..)| *number);
    match (numbers.clone().min(), numbers.max()) {
        (Some(first), Some(last)) if first < last => format!("/take-in/{first}-{last}"),
        (Some(only), _) => format!("/take-in/{only}"),
        _ => "/take-in".into(),
    }
}

fn said((number, at, taken): &(usize, i64, Taken), frame: &Frame) -> serde_json::Value {
    let b = bundle(*number, *at, taken, &frame.when(), frame.words);
    let why: Vec<String> = b.reasons.iter().map(|(head, words)| format!("{head} {words}")).collect();
    json!({ "number": number, "head": b.head, "sum": b.sum, "why": why.join(" "), "kept": b.kept })
}

pub(super) async fn how_far(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(number): Path<String>,
) -> Response {
    match desk.work.how_far(who.account, &number) {
        Some(how_far) => Json(how_far).into_response(),
        None => StatusCode::NO_CONTENT.into_response(),
    }
}
