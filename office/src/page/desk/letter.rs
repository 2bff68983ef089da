//! The letter for the resident: made from the pack, some of it said otherwise by a person, kept as it was sent. Its
//! language is the resident's, whatever the page's. Stops, cautions and what not to do stand in it whoever writes.

use askama::Template;
use axum::{
    Extension, Json as AsJson,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{
    key::{Language, percent},
    letter::{Letter, Piece, Place},
    tell::{Halt, halts},
};
use serde::Deserialize;
use serde_json::json;

use super::{
    known::record_stops,
    later, open_inquiry,
    sent::{self, Sending},
    speech::Speech,
    writing::{Meant, Writing, make, meant, problem, written},
};
use crate::{
    page::{
        frame::{Frame, Here},
        guard::{Given, Noted},
        routes::{Desk, Shared, answer, html},
        trouble::Trouble,
        words::When,
    },
    people::{Act, Role, Visitor},
};

type Who = Extension<Visitor>;

/// What the address of a letter says.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(in crate::page) struct Asked {
    plant: String,
    lang: String,
    /// It was sent just now.
    sent: String,
}

#[derive(Template)]
#[template(path = "desk_letter.html")]
struct LetterPage {
    frame: Frame,
    id: String,
    plant: String,
    title: String,
    tag: &'static str,
    /// The other language: (tag, its name).
    other: (&'static str, String),
    /// Nothing was looked at yet.
    bare: bool,
    halts: Vec<Halt>,
    letter: Letter,
    pieces: Vec<PieceView>,
    /// Causes that can be told: (id, name, how sure, told).
    causes: Vec<(String, String, String, bool)>,
    due: String,
    question: String,
    /// Who can ask later: (as records say, name and role, oneself).
    people: Vec<(String, String, bool)>,
    may_review: bool,
    reviewed: bool,
    problem: String,
    just_sent: bool,
    sent: Vec<sent::Past>,
}

struct PieceView {
    id: String,
    head: String,
    text: String,
    given: String,
    changed: bool,
}

pub(in crate::page) async fn letter(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Desk, move |desk, frame| {
        let Query(asked) = asked.map_err(|_| Trouble::BadAddress(frame.say("desk-bad-address")))?;
        let whole = open_inquiry(desk, &id)?;
        let Some(meant) = meant(desk, &whole, &asked.plant, &asked.lang)? else {
            return Ok(Redirect::to(&format!("/inquiries/{id}/walk")).into_response());
        };
        let writing = meant.writing(desk.notebook())?;
        let page = page(desk, frame, &who, &meant, &writing, "", !asked.sent.is_empty())?;
        Ok(Noted::on(html(&page), vec![Act::SawInquiry]))
    })
    .await
}

fn page(
    desk: &Desk,
    frame: Frame,
    who: &Visitor,
    meant: &Meant<'_>,
    writing: &Writing,
    problem: &str,
    just_sent: bool,
) -> Result<LetterPage, Trouble> {
    let made = make(desk, meant, writing)?;
    let (whole, plant) = (meant.whole, meant.plant);
    let speech = Speech::of(&desk.pack, &frame);
    let named = made.all.causes.iter().chain(&made.all.possible).map(|c| {
        let sure = frame.with("desk-sure", [("word", &c.word.text(frame.words.0)), ("n", &percent(c.probability))]);
        (c.cause.clone(), c.name.get(frame.words.0).to_owned(), sure, !writing.left_out.contains(&c.cause))
    });
    let follow_up = made.all.follow_up.as_ref();
    let today = When::now().today();
    let by_pack = made.default_due(today);
    let other = if meant.language == Language::En { Language::Es } else { Language::En };
    Ok(LetterPage {
        id: whole.inquiry.id.to_string(),
        plant: plant.id.to_string(),
        title: speech.host(plant.text("host").unwrap_or_default()),
        tag: meant.language.tag(),
        other: (other.tag(), frame.say(&format!("desk-language-{}", other.tag()))),
        bare: made.looks == 0,
        halts: halts(&made.all.stops, &speech),
        pieces: made.letter.pieces.iter().map(|piece| piece_view(piece, &frame)).collect(),
        causes: named.collect(),
        due: writing.due.clone().unwrap_or_else(|| by_pack.map_or_else(String::new, |d| d.to_string())),
        question: follow_up.map_or_else(String::new, |f| f.ask.get(frame.words.0).to_owned()),
        people: later::people(desk, who, &frame)?,
        may_review: who.role >= Role::Reviewer,
        reviewed: made.reviewed,
        problem: problem.to_owned(),
        just_sent,
        sent: sent::past(whole, &frame),
        letter: made.letter,
        frame,
    })
}

fn piece_view(piece: &Piece, frame: &Frame) -> PieceView {
    let head = match piece.place {
        Place::Opening => "desk-piece-opening",
        Place::Think => "desk-piece-think",
        Place::Check => "key-steps-check",
        Place::Now => "key-steps-now",
        Place::Later => "key-steps-later",
        Place::Call => "key-steps-call",
        Place::Closing => "desk-piece-closing",
    };
    PieceView {
        id: piece.id.clone(),
        head: frame.say(head),
        text: piece.text.clone(),
        given: piece.given.clone(),
        changed: piece.is_changed(),
    }
}

pub(in crate::page) async fn letter_write(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Desk, move |desk, frame| {
        let whole = open_inquiry(desk, &id)?;
        let meant = meant(desk, &whole, given.text("plant"), given.text("lang"))?.ok_or(Trouble::BadForm)?;
        let before = meant.writing(desk.notebook())?;
        let made = make(desk, &meant, &before)?;
        let mut writing = written(&given, before, &made.letter, &made.all);
        let mut made = make(desk, &meant, &writing)?;
        if who.role >= Role::Reviewer {
            writing.reviewed = (given.text("reviewed") == "yes").then(|| made.unreviewed.clone());
            made = make(desk, &meant, &writing)?;
        }
        meant.keep(desk.notebook(), &writing)?;
        let (inquiry, plant) = (meant.inquiry(), meant.plant.id);
        let at = format!("/inquiries/{inquiry}/letter?plant={plant}&lang={}", meant.language.tag());
        if given.text("do") == "typed" {
            let now = i64::try_from(desk.notebook().env().now_ms()).unwrap_or(i64::MAX);
            let saved = frame.with("desk-kept", [("time", &frame.when().clock_ms(now))]);
            return Ok(AsJson(json!({ "saved": saved })).into_response());
        }
        if let Some(problem) = problem(&writing, &made.kept, &frame) {
            let page = page(desk, frame, &who, &meant, &writing, &problem, false)?;
            return Ok(html(&page));
        }
        if given.text("do") != "sent" {
            return Ok(Redirect::to(&at).into_response());
        }
        // A stop that was not shown yet comes first.
        if record_stops(desk, inquiry)? {
            return Ok(Redirect::to(&format!("/inquiries/{inquiry}/walk?plant={plant}&stop=new")).into_response());
        }
        let sending = Sending {
            told: &made.told,
            letter: &made.letter,
            text: &made.kept,
            how: given.text("how"),
            read_back: given.text("read_back") == "yes",
            due: writing.due.as_deref().and_then(|d| d.parse().ok()).or_else(|| made.default_due(When::now().today())),
            never: writing.due.as_deref() == Some(""),
            question: given.text("question"),
            by: given.text("by"),
        };
        sent::keep(desk, &who, &whole, meant.plant, &sending)?;
        desk.people.note(&who, Act::SentLetter, Some(&inquiry.to_string()))?;
        Ok(Redirect::to(&format!("{at}&sent=now")).into_response())
    })
    .await
}
