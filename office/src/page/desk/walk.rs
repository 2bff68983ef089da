//! The key walked with whoever is on the line: the next look and why, answers saved as they are given, causes as they move.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::Response,
};
use dooryard_core::{
    inquiry::answered,
    key::Blocks,
    notebook::Record,
    record::Kind,
    tell::{self, Causes, Halt, LookView, Looked, Told, causes, halts, look, told},
};
use serde::Deserialize;

use super::{
    form::{Options, hosts},
    known::{Known, known, plant_of},
    looks::own_findings,
    open_inquiry,
    speech::Speech,
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
    looked: Vec<LookedAt>,
    /// The last answer: (character, label).
    undo: Option<(String, String)>,
}

/// What was looked at, and whether it was written at the desk, to be changed there.
struct LookedAt {
    looked: Looked,
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
    let known = plant.map(|plant| known(desk, whole, plant)).transpose()?.flatten();
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
    let asked = if at.look.is_empty() {
        known.open(&desk.pack).find(|c| !known.passed_over(c))
    } else {
        Some(at.look.as_str())
    };
    let asked = asked.and_then(|id| desk.pack.character(id));
    let before = match at.answered.as_str() {
        "" => None,
        answered => {
            let mut given = known.given.clone();
            given.findings.retain(|f| f.character != answered);
            (given.findings.len() < known.given.findings.len()).then(|| desk.pack.differential(&given)).transpose()?
        }
    };
    let silent = known.holds_back(Blocks::Diagnosis);
    let others = known.open(&desk.pack).filter(|c| asked.is_none_or(|a| a.id != *c)).take(OTHERS);
    let last = own.last().and_then(|f| f.text("character"));
    Ok(Walk {
        look: asked.map(|c| look(c, &known.next, &known.found, &answered(&own, &c.id), speech)),
        enough: known.next.enough,
        others: others
            .filter_map(|id| desk.pack.character(id))
            .map(|c| (c.id.clone(), speech.label(&c.id), tell::cost(c.cost, speech)))
            .collect(),
        causes: (!silent).then(|| causes(&known.found, before.as_ref(), speech)),
        findings: known.looks() as u64,
        told: told(&known.advice, &desk.pack, speech),
        advice_held: known.holds_back(Blocks::Advice),
        looked: tell::looked(&known.given.findings, speech).into_iter().map(|looked| mine(looked, &own)).collect(),
        undo: last.map(|c| (c.to_owned(), speech.label(c))),
    })
}

fn mine(looked: Looked, own: &[&Record]) -> LookedAt {
    LookedAt { own: own.iter().any(|f| f.text("character") == Some(&looked.character)), looked }
}
