//! The key walked with whoever is on the line: the next look and why, answers saved as they are given, causes as they move.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::Response,
};
use dooryard_core::{
    key::{Blocks, Status},
    notebook::Record,
    record::Kind,
};
use serde::Deserialize;

use super::{
    causes::{Causes, causes},
    form::{Options, hosts},
    known::{Known, plant_of},
    look_view::{self, LookView, look},
    looks::{Answer, own_findings},
    open_inquiry,
    speech::Speech,
    steps::{Told, is_blocked, told},
    stops::{Halt, halts},
};
use crate::{
    ledger::stops,
    page::{
        frame::{Frame, Here},
        gather::Whole,
        guard::Noted,
        reading::record_id,
        routes::{Desk, Shared, answer, html},
        situation,
        trouble::Trouble,
    },
    people::{Act, Visitor},
};

type Who = Extension<Visitor>;

/// Looks offered besides the one that is asked.
const OTHERS: usize = 6;

/// What the address of a walk says.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(in crate::page) struct At {
    plant: String,
    /// The look that is asked, when it is not the next one.
    look: String,
    /// The look that was answered last: what moved is told against the state before it.
    answered: String,
    /// A stop was raised just now: it is read before anything else.
    stop: String,
}

#[derive(Template)]
#[template(path = "walk.html")]
struct WalkPage {
    frame: Frame,
    id: String,
    title: String,
    /// The plants of the inquiry, where there are several: (number, name, whether it is this one).
    plants: Vec<(String, String, bool)>,
    plant: String,
    halts: Vec<Halt>,
    /// A stop was raised just now.
    halted: bool,
    hosts: Vec<(String, Options)>,
    walk: Option<Walk>,
}

/// Where a walk stands.
struct Walk {
    look: Option<LookView>,
    /// No look that is left would change what to do.
    enough: bool,
    /// Other looks: (character, label, cost).
    others: Vec<(String, String, String)>,
    /// Nothing while a stop holds back any cause.
    causes: Option<Causes>,
    findings: u64,
    told: Vec<Told>,
    advice_held: bool,
    looked: Vec<Looked>,
    /// The last answer: (character, label).
    undo: Option<(String, String)>,
}

/// What was looked at.
struct Looked {
    character: String,
    label: String,
    /// (mark, words)
    found: Vec<(&'static str, String)>,
    /// Written at the desk, and to be changed there.
    own: bool,
}

#[derive(Template)]
#[template(path = "desk_sealed.html")]
struct SealedPage {
    frame: Frame,
    halts: Vec<Halt>,
}

pub(in crate::page) async fn walk(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    at: Result<Query<At>, QueryRejection>,
) -> Response {
    answer(desk, Some(who), Here::Desk, move |desk, frame| {
        let Query(at) = at.map_err(|_| Trouble::BadAddress(frame.say("desk-bad-address")))?;
        let whole = match open_inquiry(desk, &id) {
            Err(Trouble::Sealed) => return sealed(desk, frame, &id),
            other => other?,
        };
        Ok(Noted::on(html(&page(desk, frame, &whole, &at)?), vec![Act::SawInquiry]))
    })
    .await
}

/// Under seal nothing is shown but what to do.
fn sealed(desk: &Desk, frame: Frame, id: &str) -> Result<Response, Trouble> {
    let record = desk.notebook().show(record_id(id)?)?;
    let mut held: Vec<(&str, String)> = stops(record.get("stops")).into_iter().map(|s| (s, "record".into())).collect();
    held.push(("regulated_suspect", "record".into()));
    let mut raised = desk.pack.stops_for(&held);
    raised.retain(|s| s.blocks.contains(&Blocks::Sharing));
    let halts = halts(&raised, &Speech::of(&desk.pack, &frame));
    Ok(html(&SealedPage { halts, frame }))
}

fn page(desk: &Desk, frame: Frame, whole: &Whole, at: &At) -> Result<WalkPage, Trouble> {
    let speech = Speech::of(&desk.pack, &frame);
    let plant = plant_of(whole, &at.plant)?;
    let known = plant.map(|plant| Known::of(desk, whole, plant)).transpose()?.flatten();
    let raised = match &known {
        Some(known) => known.advice.stops.clone(),
        None => situation(whole, None).stops(&desk.pack),
    };
    let host = plant.and_then(|p| p.text("host")).unwrap_or_default();
    let plants = whole.of(Kind::Plant);
    let several = if plants.len() > 1 { plants } else { Vec::new() };
    let named = |p: &&Record| {
        (p.id.to_string(), speech.host(p.text("host").unwrap_or_default()), plant.is_some_and(|own| own.id == p.id))
    };
    let walk = known.map(|known| walk_of(desk, whole, &known, at, &speech)).transpose()?;
    let halts = halts(&raised, &speech);
    Ok(WalkPage {
        id: whole.inquiry.id.to_string(),
        title: speech.host(host),
        plants: several.iter().map(named).collect(),
        plant: plant.map_or_else(String::new, |p| p.id.to_string()),
        halted: !at.stop.is_empty() && !halts.is_empty(),
        halts,
        hosts: hosts(&speech, host),
        walk,
        frame,
    })
}

fn walk_of(desk: &Desk, whole: &Whole, known: &Known<'_>, at: &At, speech: &Speech<'_>) -> Result<Walk, Trouble> {
    let own = own_findings(whole, known.plant.id);
    let asked =
        if at.look.is_empty() { known.open(desk).find(|c| !known.passed_over(c)) } else { Some(at.look.as_str()) };
    let asked = asked.and_then(|id| desk.pack.character(id));
    let before = match at.answered.as_str() {
        "" => None,
        answered => {
            let mut given = known.given.clone();
            given.findings.retain(|f| f.character != answered);
            (given.findings.len() < known.given.findings.len()).then(|| desk.pack.differential(&given)).transpose()?
        }
    };
    let silent = is_blocked(&known.advice, Blocks::Diagnosis);
    let others = known.open(desk).filter(|c| asked.is_none_or(|a| a.id != *c)).take(OTHERS);
    let last = own.last().and_then(|f| f.text("character"));
    Ok(Walk {
        look: asked.map(|c| look(c, &known.next, &known.found, &answered(&own, &c.id), speech)),
        enough: known.next.enough,
        others: others
            .filter_map(|id| desk.pack.character(id))
            .map(|c| (c.id.clone(), speech.label(&c.id), look_view::cost(c.cost, speech)))
            .collect(),
        causes: (!silent).then(|| causes(&known.found, before.as_ref(), speech)),
        findings: known.given.findings.iter().filter(|f| f.status != Status::NotLooked).count() as u64,
        told: told(&known.advice, &desk.pack, speech),
        advice_held: is_blocked(&known.advice, Blocks::Advice),
        looked: looked(desk, known, &own, speech),
        undo: last.map(|c| (c.to_owned(), speech.label(c))),
    })
}

/// What the desk wrote down of a look.
fn answered(own: &[&Record], character: &str) -> Answer {
    let of: Vec<&&Record> = own.iter().filter(|f| f.text("character") == Some(character)).collect();
    let states = |status: &str| {
        let with = of.iter().filter(|f| f.text("status") == Some(status));
        with.filter_map(|f| f.text("state")).map(str::to_owned).collect::<Vec<_>>()
    };
    let unsure = of.iter().any(|f| f.text("status") == Some("could_not_tell"));
    let comfort = of.iter().find_map(|f| f.get("comfort")?.as_u64()).and_then(|c| u8::try_from(c).ok());
    Answer { seen: states("seen"), absent: states("absent"), whole: unsure.then_some(Status::Unsure), comfort }
}

/// Everything that was looked at, in the order of the pack.
fn looked(desk: &Desk, known: &Known<'_>, own: &[&Record], speech: &Speech<'_>) -> Vec<Looked> {
    let marks = [
        (Status::Seen, "seen", "desk-seen"),
        (Status::Absent, "bare", "desk-absent"),
        (Status::Unsure, "unclear", "desk-unsure"),
        (Status::NotLooked, "unlooked", "desk-not-looked"),
    ];
    let mut rows = Vec::new();
    for character in &desk.pack.characters {
        let of: Vec<_> = known.given.findings.iter().filter(|f| f.character == character.id).collect();
        let found = marks.iter().flat_map(|(status, mark, word)| {
            let word = speech.frame.say(word);
            of.iter().filter(|f| f.status == *status).map(move |f| {
                let state = f.state.as_deref().map(|s| speech.state(&character.id, s));
                // Looked, and nothing is wrong there: pegs and string, and nothing stands on it.
                let sound = f.state.as_deref().and_then(|s| character.state_index(s)) == Some(character.normal);
                let mark = if sound && *status == Status::Seen { "bare" } else { *mark };
                (mark, state.map_or_else(|| word.clone(), |state| format!("{state} ({})", word.to_lowercase())))
            })
        });
        let found: Vec<(&'static str, String)> = found.collect();
        if !found.is_empty() {
            rows.push(Looked {
                character: character.id.clone(),
                label: speech.label(&character.id),
                found,
                own: own.iter().any(|f| f.text("character") == Some(&character.id)),
            });
        }
    }
    rows
}
