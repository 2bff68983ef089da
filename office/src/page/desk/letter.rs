//! The letter for the resident: made from the pack, some of it said otherwise by a person, kept as it was sent. Its
//! language is the resident's, whatever the page's. Stops, cautions and what not to do stand in it whoever writes.

use std::collections::BTreeSet;

use askama::Template;
use axum::{
    Extension, Json as AsJson,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{
    advice::Advice,
    ids::RecordId,
    key::{Language, Status},
    letter::{Changes, Letter, Occasion, Place},
    notebook::{Notebook, Record},
    record::Kind,
    words::Words,
};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::{
    follow_ups, open_inquiry,
    sent::{self, Sending},
    speech::Speech,
    stops::{Halt, halts},
    walk::{plant_of, record_stops},
};
use crate::page::{
    day_of,
    frame::{Frame, Here},
    gather::{Whole, reference},
    guard::{Given, Noted},
    observations, percent,
    routes::{Desk, Shared, answer, html},
    situation,
    trouble::Trouble,
    words::When,
};
use crate::people::{Act, Role, Visitor};

type Who = Extension<Visitor>;

/// Characters of a piece that a person writes.
const PIECE: usize = 2_000;

/// What a person made of a letter: kept while it is being written.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
struct Writing {
    changes: Changes,
    /// Causes that are not told, by id.
    left_out: BTreeSet<String>,
    /// Day on which somebody asks again; nothing until it was chosen, empty for never.
    due: Option<String>,
}

/// Which letter is meant.
struct Meant {
    inquiry: RecordId,
    plant: RecordId,
    language: Language,
}

impl Meant {
    fn key(&self) -> String {
        format!("letter {} {} {}", self.inquiry, self.plant, self.language.tag())
    }

    fn writing(&self, notebook: &Notebook) -> Result<Writing, Trouble> {
        Ok(notebook.draft(&self.key())?.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
    }

    fn keep(&self, notebook: &Notebook, writing: Option<&Writing>) -> Result<(), Trouble> {
        let text = writing.map(|w| serde_json::to_string(w).unwrap_or_default());
        Ok(notebook.keep_draft(&self.key(), text.as_deref())?)
    }
}

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
        let Some((meant, plant)) = meant(desk, &whole, &asked.plant, &asked.lang)? else {
            return Ok(Redirect::to(&format!("/inquiries/{id}/walk")).into_response());
        };
        let writing = meant.writing(desk.notebook())?;
        let page = page(desk, frame, &who, &whole, &meant, plant, &writing, "", !asked.sent.is_empty())?;
        Ok(Noted::on(html(&page), vec![Act::SawInquiry]))
    })
    .await
}

/// The letter that is meant; nothing while the inquiry has no plant that the pack knows.
fn meant<'w>(
    desk: &Desk,
    whole: &'w Whole,
    plant: &str,
    language: &str,
) -> Result<Option<(Meant, &'w Record)>, Trouble> {
    let Some(plant) = plant_of(whole, plant)?.filter(|p| desk.pack.host(p.text("host").unwrap_or_default()).is_some())
    else {
        return Ok(None);
    };
    let of_resident = || whole.inquiry.text("language").and_then(Language::from_tag).unwrap_or_default();
    let language = Language::from_tag(language).unwrap_or_else(of_resident);
    Ok(Some((Meant { inquiry: whole.inquiry.id, plant: plant.id, language }, plant)))
}

/// A letter with all that it was made from.
struct Made {
    /// Everything that could be told.
    all: Advice,
    /// What is told.
    told: Advice,
    letter: Letter,
    /// The letter without the resident's own words, which are private.
    kept: String,
    /// How many looks it rests on.
    looks: usize,
}

fn make(
    desk: &Desk,
    whole: &Whole,
    meant: &Meant,
    plant: &Record,
    writing: &Writing,
    reviewed: bool,
) -> Result<Made, Trouble> {
    let (pack, language) = (&desk.pack, meant.language);
    let findings = whole.of(Kind::Finding);
    let own: Vec<&Record> = findings.into_iter().filter(|f| reference(f, "plant") == Some(plant.id)).collect();
    let (given, _) = observations(pack, plant.text("host").unwrap_or_default(), day_of(whole), &own);
    let (found, next) = (pack.differential(&given)?, pack.next_looks(&given)?);
    let situation = situation(whole, Some(plant.id));
    let all = Advice::of(pack, &given, &found, &situation);
    let mut told = Advice::telling(pack, &given, &found, &situation, |id| !writing.left_out.contains(id));
    let today = When::now().today();
    told.follow_up = match (&writing.due, told.follow_up) {
        (Some(due), Some(mut follow_up)) => due.parse::<Date>().ok().and_then(|due| {
            follow_up.days = u16::try_from((due - today).get_days()).ok()?;
            Some(follow_up)
        }),
        (_, follow_up) => follow_up,
    };
    // The letter speaks the resident's language, whatever the page speaks.
    let spoken = Words(language);
    let occasion = |question: &str| Occasion {
        office: desk.office.card().name.clone(),
        office_lines: Vec::new(),
        inquiry: whole.inquiry.id.to_string(),
        date: today,
        question: question.to_owned(),
        reviewed_by: reviewed.then(|| spoken.say("desk-reviewer")),
        signed: spoken.say("desk-signed"),
    };
    let letter = |question: &str| {
        Letter::changed(pack, &given, &told, &next, &occasion(question), language, &writing.changes)
    };
    Ok(Made {
        letter: letter(whole.inquiry.text("question").unwrap_or_default())?,
        kept: letter("")?.text,
        looks: given.findings.iter().filter(|f| f.status != Status::NotLooked).count(),
        all,
        told,
    })
}

#[expect(clippy::too_many_arguments, reason = "everything that a page of a letter stands on")]
fn page(
    desk: &Desk,
    frame: Frame,
    who: &Visitor,
    whole: &Whole,
    meant: &Meant,
    plant: &Record,
    writing: &Writing,
    problem: &str,
    just_sent: bool,
) -> Result<LetterPage, Trouble> {
    let made = make(desk, whole, meant, plant, writing, who.role >= Role::Reviewer)?;
    let speech = Speech::of(&desk.pack, &frame);
    let named = made.all.causes.iter().chain(&made.all.possible).map(|c| {
        let sure = frame.with("desk-sure", [("word", &c.word.text(frame.words.0)), ("n", &percent(c.probability))]);
        (c.cause.clone(), c.name.get(frame.words.0).to_owned(), sure, !writing.left_out.contains(&c.cause))
    });
    let follow_up = made.all.follow_up.as_ref();
    let today = When::now().today();
    let by_pack = follow_up.and_then(|f| today.checked_add(jiff::ToSpan::days(i64::from(f.days))).ok());
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
        people: follow_ups::people(desk, who, &frame)?,
        may_review: who.role >= Role::Reviewer,
        problem: problem.to_owned(),
        just_sent,
        sent: sent::past(whole, &frame),
        letter: made.letter,
        frame,
    })
}

fn piece_view(piece: &dooryard_core::letter::Piece, frame: &Frame) -> PieceView {
    let head = match piece.place {
        Place::Opening => "desk-piece-opening",
        Place::Think => "desk-piece-think",
        Place::Check => "desk-steps-check",
        Place::Now => "desk-steps-now",
        Place::Later => "desk-steps-later",
        Place::Call => "desk-steps-call",
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

/// What the form says of the letter, over what was kept before.
fn written(given: &Given, mut before: Writing, made: &Letter, causes: &Advice) -> Writing {
    for piece in &made.pieces {
        let Some(text) = given.sent(&format!("piece_{}", piece.id)) else { continue };
        // A browser sends lines ended in its own way.
        let text = text.replace("\r\n", "\n").trim().to_owned();
        if text == piece.given {
            before.changes.remove(&piece.id);
        } else {
            before.changes.insert(piece.id.clone(), text);
        }
    }
    for cause in causes.causes.iter().chain(&causes.possible).map(|c| &c.cause) {
        match (given.text(&format!("offered_{cause}")), given.text(&format!("cause_{cause}"))) {
            ("yes", "yes") => {
                before.left_out.remove(cause);
            }
            ("yes", _) => {
                before.left_out.insert(cause.clone());
            }
            _ => {}
        }
    }
    before.due = given.sent("due").map(str::to_owned).or(before.due);
    before
}

fn problem(writing: &Writing, kept: &str, frame: &Frame) -> Option<String> {
    if writing.changes.values().any(|text| text.chars().count() > PIECE) {
        return Some(frame.with("desk-problem-piece", [("most", &PIECE)]));
    }
    let due = writing.due.as_deref().unwrap_or_default();
    if !due.is_empty() && due.parse::<Date>().is_ok_and(|d| d < When::now().today()) || (!due.is_empty() && due.parse::<Date>().is_err()) {
        return Some(frame.say("desk-problem-due"));
    }
    (kept.chars().count() > sent::MOST).then(|| frame.say("desk-problem-letter-long"))
}

pub(in crate::page) async fn letter_write(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Desk, move |desk, frame| {
        let whole = open_inquiry(desk, &id)?;
        let (meant, plant) = meant(desk, &whole, given.text("plant"), given.text("lang"))?.ok_or(Trouble::BadForm)?;
        let before = meant.writing(desk.notebook())?;
        let made = make(desk, &whole, &meant, plant, &before, false)?;
        let writing = written(&given, before, &made.letter, &made.all);
        meant.keep(desk.notebook(), Some(&writing))?;
        let reviewed = given.text("reviewed") == "yes" && who.role >= Role::Reviewer;
        let made = make(desk, &whole, &meant, plant, &writing, reviewed)?;
        let at = format!("/inquiries/{}/letter?plant={}&lang={}", meant.inquiry, meant.plant, meant.language.tag());
        if given.text("do") == "typed" {
            let now = i64::try_from(desk.notebook().env().now_ms()).unwrap_or(i64::MAX);
            let saved = frame.with("desk-kept", [("time", &frame.when().clock_ms(now))]);
            return Ok(AsJson(json!({ "saved": saved })).into_response());
        }
        if let Some(problem) = problem(&writing, &made.kept, &frame) {
            let page = page(desk, frame, &who, &whole, &meant, plant, &writing, &problem, false)?;
            return Ok(html(&page));
        }
        if given.text("do") != "sent" {
            return Ok(Redirect::to(&at).into_response());
        }
        // A stop that was not shown yet comes first.
        if record_stops(desk, meant.inquiry)? {
            return Ok(Redirect::to(&format!("/inquiries/{}/walk?plant={}&stop=new", meant.inquiry, meant.plant)).into_response());
        }
        let sending = Sending {
            told: &made.told,
            letter: &made.letter,
            text: &made.kept,
            how: given.text("how"),
            read_back: given.text("read_back") == "yes",
            due: writing.due.as_deref().and_then(|d| d.parse().ok()).or_else(|| default_due(&made.all)),
            never: writing.due.as_deref() == Some(""),
            question: given.text("question"),
            by: given.text("by"),
        };
        sent::keep(desk, &who, &whole, plant, &sending)?;
        meant.keep(desk.notebook(), None)?;
        desk.people.note(&who, Act::SentLetter, Some(&meant.inquiry.to_string()))?;
        Ok(Redirect::to(&format!("{at}&sent=now")).into_response())
    })
    .await
}

fn default_due(advice: &Advice) -> Option<Date> {
    let days = i64::from(advice.follow_up.as_ref()?.days);
    When::now().today().checked_add(jiff::ToSpan::days(days)).ok()
}
