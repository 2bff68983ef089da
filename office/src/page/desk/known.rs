//! What is known of one plant of an inquiry, and the stops that stand in all of it.

use dooryard_core::{
    advice::Advice,
    ids::RecordId,
    key::{Blocks, Cost, Differential, NextLooks, Observations, Status, StopKind, stop_id},
    notebook::Record,
    record::Kind,
};
use serde_json::json;

use super::{save, steps::is_blocked};
use crate::{
    ledger::stops,
    page::{
        day_of,
        gather::{Whole, reference},
        observations,
        reading::record_id,
        routes::Desk,
        situation,
        trouble::Trouble,
    },
};

/// A plant of the inquiry with what is known of it.
pub(super) struct Known<'w> {
    pub(super) plant: &'w Record,
    pub(super) given: Observations,
    pub(super) found: Differential,
    pub(super) next: NextLooks,
    pub(super) advice: Advice,
}

impl<'w> Known<'w> {
    /// Nothing when the pack does not have the plant's host.
    pub(super) fn of(desk: &Desk, whole: &'w Whole, plant: &'w Record) -> Result<Option<Self>, Trouble> {
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
    pub(super) fn open<'k>(&'k self, desk: &'k Desk) -> impl Iterator<Item = &'k str> {
        let rest =
            self.next.looks.iter().map(|l| l.character.as_str()).filter(|c| !self.next.first.iter().any(|f| f == c));
        let no_digging = is_blocked(&self.advice, Blocks::Digging);
        let may = move |c: &&str| !no_digging || desk.pack.character(c).is_some_and(|c| c.cost != Cost::Dig);
        self.next.first.iter().map(String::as_str).chain(rest).filter(may)
    }

    pub(super) fn passed_over(&self, character: &str) -> bool {
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
        if !held.iter().any(|id| stop_id(id) == stop.id) {
            held.push(stop.id);
        }
    }
    if held.len() > known {
        save(desk.notebook(), Kind::Inquiry, Some(id), json!({ "stops": held }))?;
    }
    Ok(held.len() > known)
}
