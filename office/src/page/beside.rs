//! Photos side by side: two or more of one inquiry, and of another where asked.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, RawQuery, State},
    response::Response,
};
use dooryard_core::{ids::RecordId, notebook::Record, record::Kind};

use super::{
    frame::{Frame, Here},
    inquiry_page::{open, saying},
    lines, picture,
    reading::record_id,
    routes::{Desk, Shared, answer, html},
    say::Say,
    shots::{self, Shot},
    trouble::Trouble,
};
use crate::people::{Act, Visitor};

/// Most photos side by side.
const MOST: usize = 6;
/// Fewest last letters of a number that find an inquiry.
const LAST: usize = 6;

#[derive(Template)]
#[template(path = "beside.html")]
struct BesidePage {
    frame: Frame,
    id: String,
    title: String,
    panes: Vec<Pane>,
    groups: Vec<Group>,
    /// Why it does not show what was chosen; empty: it does.
    note: String,
    most: usize,
    other: String,
    other_problem: String,
}

/// A photo as it is looked at.
struct Pane {
    shot: Shot,
    /// `Photo A: 1. Close up`.
    called: String,
    /// What the picture shows, for whoever does not see it.
    alt: String,
    /// Title of its inquiry where it is another one.
    from: String,
    inquiry: String,
    /// Steps: (id, sign, words).
    buttons: Vec<(&'static str, &'static str, String)>,
}

/// The photos of one inquiry, each with whether it is chosen.
struct Group {
    title: String,
    shots: Vec<(Shot, bool)>,
}

/// What was chosen, in the order of the address.
#[derive(Default)]
struct Choice {
    photos: Vec<RecordId>,
    other: String,
}

impl Choice {
    fn read(query: Option<&str>, frame: &Frame) -> Result<Self, Trouble> {
        let why = || Trouble::BadAddress(frame.say("inquiry-bad-address"));
        let pairs: Vec<(String, String)> = serde_urlencoded::from_str(query.unwrap_or_default()).map_err(|_| why())?;
        let mut choice = Self::default();
        for (name, text) in pairs {
            match name.as_str() {
                "photo" => {
                    let id = record_id(&text)?;
                    if !choice.photos.contains(&id) {
                        choice.photos.push(id);
                    }
                }
                "other" => choice.other = text.trim().chars().take(200).collect(),
                _ => {}
            }
        }
        Ok(choice)
    }
}

pub(super) async fn photos(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
    RawQuery(query): RawQuery,
) -> Response {
    answer(desk, Some(who.clone()), Here::Inquiries, move |desk, frame| {
        let id = record_id(&id)?;
        let choice = Choice::read(query.as_deref(), &frame)?;
        let (page, other) = saying(desk, &frame, |say| page(desk, frame.clone(), id, choice, say))?;
        // The guard notes the inquiry of the address; each picture is noted when the browser asks for it.
        if let Some(other) = other {
            desk.people.note(&who, Act::SawInquiry, Some(&other.to_string()))?;
        }
        Ok(html(&page))
    })
    .await
}

fn page(
    desk: &Desk,
    frame: Frame,
    id: RecordId,
    choice: Choice,
    say: Say<'_>,
) -> Result<(BesidePage, Option<RecordId>), Trouble> {
    let (other, other_problem) = match other(desk, &choice.other)? {
        Found::None => (None, String::new()),
        Found::One(other) => (Some(other).filter(|other| *other != id), String::new()),
        Found::Not => (None, say.words.with("inquiry-beside-not-found", [("n", &LAST)])),
    };
    let (mut groups, mut panes, mut left) = (Vec::new(), Vec::new(), choice.photos.len());
    let mut title = String::new();
    for inquiry in [Some(id), other].into_iter().flatten() {
        let (whole, _) = open(desk, inquiry)?;
        let named = lines::title(&whole.of(Kind::Plant), whole.site.as_ref(), say);
        let all = || shots::of(&whole, say, |photo: &Record| picture::here(desk.notebook(), photo));
        let chosen = |shot: &Shot| choice.photos.iter().position(|photo| photo.to_string() == shot.id);
        let foreign = if inquiry == id { String::new() } else { named.clone() };
        for shot in all() {
            let Some(place) = chosen(&shot) else { continue };
            panes.push((place, shot, foreign.clone(), inquiry));
            left -= 1;
        }
        groups.push(Group {
            title: if foreign.is_empty() { say.say("inquiry-beside-own") } else { foreign },
            shots: all().into_iter().map(|shot| (chosen(&shot).is_some(), shot)).map(|(on, shot)| (shot, on)).collect(),
        });
        if inquiry == id {
            title = named;
        }
    }
    panes.sort_by_key(|(place, ..)| *place);
    let asked = panes.len();
    panes.truncate(MOST);
    let note = match (left, asked) {
        (n, _) if n > 0 => say.words.with("inquiry-beside-gone", [("n", &n)]),
        (_, n) if n > MOST => say.words.with("inquiry-beside-too-many", [("n", &n), ("most", &MOST)]),
        (_, 1) => say.say("inquiry-beside-one-more"),
        _ => String::new(),
    };
    let panes = panes.into_iter().enumerate();
    let panes = panes.map(|(at, (_, shot, from, inquiry))| pane(at, shot, from, inquiry, say)).collect();
    let page = BesidePage {
        frame,
        id: id.to_string(),
        title,
        panes,
        groups,
        note,
        most: MOST,
        other: choice.other,
        other_problem,
    };
    Ok((page, other))
}

fn pane(at: usize, shot: Shot, from: String, inquiry: RecordId, say: Say<'_>) -> Pane {
    let letter = ["A", "B", "C", "D", "E", "F"].get(at).copied().unwrap_or_default();
    let called = say
        .words
        .with("inquiry-beside-called", [("letter", &letter), ("number", &shot.number), ("shows", &shot.shows)]);
    let buttons =
        [("closer", "+"), ("farther", "−"), ("left", "←"), ("right", "→"), ("up", "↑"), ("down", "↓"), ("whole", "□")];
    let buttons = buttons.map(|(what, sign)| (what, sign, say.say(&format!("inquiry-beside-{what}"))));
    let alt = if shot.caption.is_empty() { called.clone() } else { format!("{called}: {}", shot.caption) };
    Pane { called, alt, from, inquiry: inquiry.to_string(), buttons: buttons.into(), shot }
}

enum Found {
    /// Nothing was asked for.
    None,
    One(RecordId),
    /// No inquiry, or several.
    Not,
}

/// Another inquiry by its number, its address, or the last letters of its number.
fn other(desk: &Desk, typed: &str) -> Result<Found, Trouble> {
    if typed.is_empty() {
        return Ok(Found::None);
    }
    let number = typed.rsplit('/').next().unwrap_or(typed).split('?').next().unwrap_or_default().to_lowercase();
    if let Ok(id) = number.parse() {
        return Ok(Found::One(id));
    }
    if number.len() < LAST {
        return Ok(Found::Not);
    }
    Ok(match desk.index()?.ending(&number)?.as_slice() {
        [one] => Found::One(*one),
        _ => Found::Not,
    })
}
