//! The key walked with whoever is on the line: the next look and why, answers saved as they are given, causes as they move.

use std::sync::Arc;

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{
    advice::Advice,
    ids::RecordId,
    key::{Blocks, Cost, Differential, NextLooks, Observations, Status, StopKind},
    notebook::Record,
    record::Kind,
};
use serde::Deserialize;
use serde_json::json;

use super::{
    causes::{Causes, causes},
    form::{Options, hosts},
    look_view::{self, LookView, look},
    looks::{self, Answer, own_findings},
    open_inquiry, save,
    speech::Speech,
    steps::{Told, is_blocked, told},
    stops::{Halt, halts},
};
use crate::{
    ledger::stops,
    page::{
        day_of,
        frame::{Frame, Here},
        gather::{Whole, reference},
        guard::{Given, Noted},
        observations,
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

/// A plant of the inquiry with what is known of it.
struct Known<'w> {
    plant: &'w Record,
    given: Observations,
    found: Differential,
    next: NextLooks,
    advice: Advice,
}

impl<'w> Known<'w> {
    /// Nothing when the pack does not have the plant's host.
    fn of(desk: &Desk, whole: &'w Whole, plant: &'w Record) -> Result<Option<Self>, Trouble> {
        let host = plant.text("host").unwrap_or_default();
        if desk.pack.host(host).is_none() {
            return Ok(None);
        }
        let findings = whole.of(Kind::Finding);
        let own: Vec<&Record> = findings.into_iter().filter(|f| reference(f, "plant") == Some(plant.id)).collect();
        let (given, _) = observations(&desk.pack, host, day_of(whole), &own);
        let found = desk.pack.differential(&given)?;
        let advice = Advice::of(&desk.pack, &given, &found, &situation(whole, Some(plant.id)));
        let next = desk.pack.next_looks(&given)?;
        Ok(Some(Self { plant, given, found, next, advice }))
    }

    /// Looks that can be asked, best first: nobody took them, and no stop forbids them.
    fn open<'k>(&'k self, desk: &'k Desk) -> impl Iterator<Item = &'k str> {
        let rest = self.next.looks.iter().map(|l| l.character.as_str()).filter(|c| !self.next.first.iter().any(|f| f == c));
        let no_digging = is_blocked(&self.advice, Blocks::Digging);
        let may = move |c: &&str| !no_digging || desk.pack.character(c).is_some_and(|c| c.cost != Cost::Dig);
        self.next.first.iter().map(String::as_str).chain(rest).filter(may)
    }

    fn passed_over(&self, character: &str) -> bool {
        self.given.findings.iter().any(|f| f.character == character && f.status == Status::NotLooked)
    }
}

/// The plant that is meant: the one named, or else the one written down first.
pub(super) fn plant_of<'w>(whole: &'w Whole, named: &str) -> Result<Option<&'w Record>, Trouble> {
    let plants = whole.of(Kind::Plant);
    if named.is_empty() {
        return Ok(plants.first().copied());
    }
    let id = record_id(named)?;
    plants.into_iter().find(|p| p.id == id).map(Some).ok_or(Trouble::NotHere)
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
    let asked = if at.look.is_empty() {
        known.open(desk).find(|c| !known.passed_over(c))
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
                (*mark, state.map_or_else(|| word.clone(), |state| format!("{state} ({})", word.to_lowercase())))
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

pub(in crate::page) async fn walk_answer(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    act(desk, who, id, given, |desk, whole, given, frame, who| {
        let plant = plant_of(whole, given.text("plant"))?.ok_or(Trouble::NotHere)?;
        let character = desk.pack.character(given.text("look")).ok_or(Trouble::BadForm)?;
        let known = |id: &str| character.state_index(id).is_some();
        let mut said = Answer { seen: Vec::new(), absent: Vec::new(), whole: None, comfort: given.text("comfort").parse().ok() };
        said.comfort = said.comfort.filter(|c| (1..=3).contains(c));
        if character.multi {
            let ticked = |s: &&dooryard_core::key::State| given.text(&format!("seen_{}", s.id)) == "yes";
            said.seen = character.states.iter().filter(ticked).map(|s| s.id.clone()).collect();
            let normal = character.states.get(character.normal).map(|s| s.id.clone());
            if said.seen.len() > 1 && normal.is_some_and(|n| said.seen.contains(&n)) {
                return Err(Trouble::NotDone(frame.say("desk-problem-normal-alone")));
            }
        }
        match given.text("state") {
            // Ticked states say more than the answer that stands there from the start.
            _ if !said.seen.is_empty() => {}
            "could_not_tell" => said.whole = Some(Status::Unsure),
            "not_looked" | "" => said.whole = Some(Status::NotLooked),
            state if !character.multi && known(state) => said.seen = vec![state.to_owned()],
            _ => return Err(Trouble::BadForm),
        }
        looks::answer(desk.notebook(), whole, who, plant.id, character, &said, &desk.pack.content_version())?;
        Ok(format!("plant={}&answered={}", plant.id, character.id))
    })
    .await
}

pub(in crate::page) async fn walk_undo(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    act(desk, who, id, given, |desk, whole, given, frame, _| {
        let plant = plant_of(whole, given.text("plant"))?.ok_or(Trouble::NotHere)?;
        let character = desk.pack.character(given.text("look")).ok_or(Trouble::BadForm)?;
        if !looks::take_back(desk.notebook(), whole, plant.id, &character.id)? {
            return Err(Trouble::NotDone(frame.say("desk-nothing-to-take-back")));
        }
        Ok(format!("plant={}&look={}", plant.id, character.id))
    })
    .await
}

pub(in crate::page) async fn walk_host(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    act(desk, who, id, given, |desk, whole, given, _, _| {
        let plant = plant_of(whole, given.text("plant"))?;
        let host = desk.pack.host(given.text("host")).ok_or(Trouble::BadForm)?;
        let mut fields = json!({ "inquiry": whole.inquiry.id.to_string(), "host": host.id });
        if let Some(site) = &whole.site {
            fields["site"] = json!(site.id.to_string());
        }
        let plant = save(desk.notebook(), Kind::Plant, plant.map(|p| p.id), fields)?;
        Ok(format!("plant={plant}"))
    })
    .await
}

pub(in crate::page) async fn walk_read(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who), Here::Desk, move |desk, _| {
        let whole = open_inquiry(desk, &id)?;
        let plant = plant_of(&whole, given.text("plant"))?.map_or_else(String::new, |p| format!("?plant={}", p.id));
        Ok(Redirect::to(&format!("/inquiries/{}/walk{plant}", whole.inquiry.id)).into_response())
    })
    .await
}

/// Does one thing in a walk, writes down the stops that stand after it, and goes on; to a new stop before anything else.
async fn act(
    desk: Arc<Desk>,
    who: Visitor,
    id: String,
    given: Given,
    act: impl FnOnce(&Desk, &Whole, &Given, &Frame, &Visitor) -> Result<String, Trouble> + Send + 'static,
) -> Response {
    answer(desk, Some(who.clone()), Here::Desk, move |desk, frame| {
        let whole = open_inquiry(desk, &id)?;
        let id: RecordId = whole.inquiry.id;
        let mut to = act(desk, &whole, &given, &frame, &who)?;
        if record_stops(desk, id)? {
            to.push_str("&stop=new");
        }
        Ok(Redirect::to(&format!("/inquiries/{id}/walk?{to}")).into_response())
    })
    .await
}

/// Writes down every stop that stands. Gives whether one is new.
pub(super) fn record_stops(desk: &Desk, id: RecordId) -> Result<bool, Trouble> {
    let whole = Whole::read(desk.notebook(), id)?;
    let mut held: Vec<String> = stops(whole.inquiry.get("stops")).into_iter().map(str::to_owned).collect();
    let known = held.len();
    let mut raised = situation(&whole, None).stops(&desk.pack);
    for plant in whole.of(Kind::Plant) {
        raised.extend(Known::of(desk, &whole, plant)?.into_iter().flat_map(|known| known.advice.stops));
    }
    for stop in raised.into_iter().filter(|s| s.kind != StopKind::Note) {
        if !held.iter().any(|id| dooryard_core::key::stop_id(id) == stop.id) {
            held.push(stop.id);
        }
    }
    if held.len() > known {
        save(desk.notebook(), Kind::Inquiry, Some(id), json!({ "stops": held }))?;
    }
    Ok(held.len() > known)
}
