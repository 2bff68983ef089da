//! What is known of one plant of an inquiry, and the stops that stand in all of it.

use serde_json::json;

use super::{Whole, day_of, observations, save, situation, stops};
use crate::{
    Result,
    advice::Advice,
    ids::RecordId,
    key::{Blocks, Cost, Differential, NextLooks, Observations, Pack, RaisedStop, Status, StopKind, stop_id},
    notebook::{Notebook, Record},
    record::Kind,
    words::When,
};

/// A plant of the inquiry with what is known of it.
#[derive(Debug)]
pub struct Known<'w> {
    /// The plant.
    pub plant: &'w Record,
    /// What its findings say to the key.
    pub given: Observations,
    /// Findings that this pack does not know.
    pub unknown: u64,
    /// What it could be.
    pub found: Differential,
    /// What to look at.
    pub next: NextLooks,
    /// What to tell.
    pub advice: Advice,
}

impl<'w> Known<'w> {
    /// Nothing when the pack does not have the plant's host.
    ///
    /// # Errors
    /// Of the key.
    pub fn of(pack: &Pack, whole: &'w Whole, plant: &'w Record, now: &When) -> Result<Option<Self>> {
        let host = plant.text("host").unwrap_or_default();
        if pack.host(host).is_none() {
            return Ok(None);
        }
        let (given, unknown) = observations(pack, host, day_of(whole, now), &whole.findings_on(plant.id));
        let found = pack.differential(&given)?;
        let advice = Advice::of(pack, &given, &found, &situation(whole, Some(plant.id)));
        let next = pack.next_looks(&given)?;
        Ok(Some(Self { plant, given, unknown, found, next, advice }))
    }

    /// Looks that can be asked, best first: nobody took them, and no stop forbids them.
    pub fn open<'k>(&'k self, pack: &'k Pack) -> impl Iterator<Item = &'k str> {
        let rest =
            self.next.looks.iter().map(|l| l.character.as_str()).filter(|c| !self.next.first.iter().any(|f| f == c));
        self.next.first.iter().map(String::as_str).chain(rest).filter(|c| self.may_look(pack, c))
    }

    /// Whether no stop forbids this look.
    pub fn may_look(&self, pack: &Pack, character: &str) -> bool {
        !self.holds_back(Blocks::Digging) || pack.character(character).is_some_and(|c| c.cost != Cost::Dig)
    }

    /// Whether a stop holds this back.
    pub fn holds_back(&self, what: Blocks) -> bool {
        self.advice.stops.iter().any(|s| s.blocks.contains(&what))
    }

    /// Whether somebody said that they do not look here.
    pub fn passed_over(&self, character: &str) -> bool {
        self.given.findings.iter().any(|f| f.character == character && f.status == Status::NotLooked)
    }

    /// How many findings it rests on: looks that were taken, whatever they found.
    pub fn looks(&self) -> usize {
        self.given.findings.iter().filter(|f| f.status != Status::NotLooked).count()
    }
}

/// Every stop that stands in an inquiry, in the order in which they are shown: of its record, of its words, of findings on any
/// plant, of a suspect among the causes.
///
/// # Errors
/// Of the key.
pub fn raised(pack: &Pack, whole: &Whole, now: &When) -> Result<Vec<RaisedStop>> {
    let mut raised: Vec<(String, String)> = Vec::new();
    let mut add = |stops: Vec<RaisedStop>| {
        for stop in stops {
            raised.extend(stop.because.into_iter().map(|why| (stop.id.clone(), why)));
        }
    };
    add(situation(whole, None).stops(pack));
    for plant in whole.of(Kind::Plant) {
        add(on_plant(pack, whole, plant, now)?);
    }
    // What raised a stop is told once, whichever plant told it.
    let mut once: Vec<(&str, String)> = Vec::new();
    for (id, why) in &raised {
        if !once.iter().any(|(known, because)| known == id && because == why) {
            once.push((id, why.clone()));
        }
    }
    Ok(pack.stops_for(&once))
}

fn on_plant(pack: &Pack, whole: &Whole, plant: &Record, now: &When) -> Result<Vec<RaisedStop>> {
    let host = plant.text("host").unwrap_or_default();
    let (given, _) = observations(pack, host, day_of(whole, now), &whole.findings_on(plant.id));
    if pack.host(host).is_none() {
        // Which plant it is need not be known for a finding to be dangerous.
        return Ok(pack.raise_stops(&given.findings));
    }
    let found = pack.differential(&given)?;
    Ok(Advice::of(pack, &given, &found, &situation(whole, Some(plant.id))).stops)
}

/// Writes down every stop that stands. Gives whether one is new. None is ever taken out.
///
/// # Errors
/// Of the key; as [`Notebook::save`].
pub fn record_stops(notebook: &Notebook, pack: &Pack, id: RecordId, now: &When) -> Result<bool> {
    let whole = Whole::read(notebook, id)?;
    let mut held: Vec<String> = stops(whole.inquiry.get("stops")).into_iter().map(str::to_owned).collect();
    let known = held.len();
    for stop in raised(pack, &whole, now)?.into_iter().filter(|s| s.kind != StopKind::Note) {
        if !held.iter().any(|id| stop_id(id) == stop.id) {
            held.push(stop.id);
        }
    }
    if held.len() > known {
        save(notebook, Kind::Inquiry, Some(id), json!({ "stops": held }))?;
    }
    Ok(held.len() > known)
}
