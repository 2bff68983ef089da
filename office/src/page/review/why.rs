//! Why an answer needs a reviewer: the rule of the trade notes, section 1.6.
//!
//! Reviewed are all answers below "likely", with a stop, with a spray named, on a food plant, that tell to remove a plant, or
//! that are the first of their cause in the county this season; and one in ten of the rest, drawn by lot.

use std::collections::BTreeSet;

use dooryard_core::{
    danger,
    ids::RecordId,
    key::{Blocks, Observation, Pack, Status, stop_id},
    notebook::Summary,
    record::Kind,
};
use serde::{Deserialize, Serialize};
use serde_json::Value as Json;

use super::around::Around;
use crate::ledger::{named_causes, stops};

/// From this chance in a hundred on an answer is "likely".
const LIKELY: u8 = 55;
/// From this chance in a hundred on a cause is held.
pub(super) const HELD: u8 = 45;
/// One in so many is drawn by lot.
const LOT: u8 = 10;
/// The act of the pack that ends a plant.
const REMOVE: &str = "remove_plant";
/// The act of the pack that names a spray.
const SPRAY: &str = "ask_about_spray";

/// One reason, most urgent first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Why {
    /// A stop was raised.
    Stop,
    /// A spray is named.
    Pesticide,
    /// Much hangs on it: a plant is to be removed.
    HighConsequence,
    /// Somebody means to eat of it.
    Food,
    /// The first of its cause in the county this season.
    FirstReport,
    /// The answer is below "likely", or there is none.
    LowConfidence,
    /// Drawn by lot.
    Random,
}

impl Why {
    /// Every reason, most urgent first.
    pub(super) const ALL: [Self; 7] = [
        Self::Stop,
        Self::Pesticide,
        Self::HighConsequence,
        Self::Food,
        Self::FirstReport,
        Self::LowConfidence,
        Self::Random,
    ];

    /// Its word in the registry.
    pub(super) fn id(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Pesticide => "pesticide",
            Self::HighConsequence => "high_consequence",
            Self::Food => "food",
            Self::FirstReport => "first_report",
            Self::LowConfidence => "low_confidence",
            Self::Random => "random",
        }
    }

    /// The reason with this word.
    pub(super) fn of(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|why| why.id() == id)
    }
}

/// Why an answer needs a reviewer; none when the rule does not ask for one. `diagnosis` is `None` when somebody looked and
/// named no cause. Whether it is the
/// first of its cause is for the queue to say: it knows the others.
pub(super) fn reasons(pack: &Pack, around: &Around, diagnosis: Option<&Summary>) -> BTreeSet<Why> {
    let raised = raised(pack, around);
    let advice = advised(pack, around);
    let sprayed = raised.iter().any(|id| is_of_spray(pack, id))
        || advice.contains(SPRAY)
        || danger::read(&words(around)).iter().any(|found| is_of_spray(pack, found.stop));
    let found = [
        (Why::Stop, !raised.is_empty()),
        (Why::Pesticide, sprayed),
        (Why::HighConsequence, advice.contains(REMOVE)),
        (Why::Food, is_food(pack, around)),
        (Why::LowConfidence, !is_likely(diagnosis)),
        (Why::Random, is_drawn(diagnosis.map_or(around.inquiry.id, |d| d.id))),
    ];
    found.into_iter().filter(|(_, holds)| *holds).map(|(why, _)| why).collect()
}

/// Stops that a person raised and stops that the findings raise, under the names of today.
fn raised(pack: &Pack, around: &Around) -> BTreeSet<String> {
    let seen: Vec<Observation> = around.of(Kind::Finding).filter_map(seen).collect();
    let by_findings = pack.raise_stops(&seen).into_iter().map(|stop| stop.id);
    let by_people = stops(around.inquiry.fields.get("stops")).into_iter().map(|id| stop_id(id).to_owned());
    by_people.chain(by_findings).collect()
}

fn seen(finding: &Summary) -> Option<Observation> {
    let character = finding.text("character")?.to_owned();
    let state = finding.text("state")?;
    let state = state.strip_prefix(&format!("{character}.")).unwrap_or(state).to_owned();
    let seen = finding.text("status") == Some("seen");
    seen.then_some(Observation { character, state: Some(state), status: Status::Seen })
}

fn is_of_spray(pack: &Pack, id: &str) -> bool {
    let blocks = pack.stop(id).map_or(&[][..], |stop| &stop.blocks);
    blocks.iter().any(|b| matches!(b, Blocks::Spray | Blocks::Blame)) || id == "food_contaminated"
}

/// The acts that the advice given asks for. The reminder of the label says nothing: it goes with most letters.
fn advised<'a>(pack: &'a Pack, around: &Around) -> BTreeSet<&'a str> {
    let given = around.of(Kind::Advice).filter_map(|row| row.fields.get("blocks")?.as_array());
    let ids: BTreeSet<&str> = given.flatten().filter_map(|block| block.get("id")?.as_str()).collect();
    let blocks = pack.guidance.blocks.iter().filter(|block| ids.contains(block.id.as_str()));
    blocks.flat_map(|block| &block.acts).filter_map(|at| Some(pack.guidance.acts.get(*at)?.id.as_str())).collect()
}

/// What was said and written freely about it.
fn words(around: &Around) -> String {
    let fields = [(Kind::Advice, "text"), (Kind::Diagnosis, "reasons"), (Kind::Visit, "note"), (Kind::Finding, "note")];
    let written = fields.into_iter().flat_map(|(kind, field)| around.of(kind).filter_map(move |row| row.text(field)));
    let all: Vec<&str> = around.inquiry.text("question").into_iter().chain(written).collect();
    all.join("\n")
}

fn is_food(pack: &Pack, around: &Around) -> bool {
    let eaten = |plant: &Summary| match plant.fields.get("edible").and_then(Json::as_bool) {
        Some(said) => said,
        None => plant.text("host").and_then(|id| pack.host(id)).is_some_and(|host| host.edible),
    };
    around.inquiry.text("wish") == Some("eat_it") || around.of(Kind::Plant).any(eaten)
}

fn is_likely(diagnosis: Option<&Summary>) -> bool {
    let named = diagnosis.map_or_else(Vec::new, |d| named_causes(d.fields.get("causes")));
    named.iter().any(|(_, percent)| percent.is_some_and(|p| p >= LIKELY))
}

/// The lot falls by the record's own number, so that it falls the same way however often it is drawn.
fn is_drawn(id: RecordId) -> bool {
    blake3::hash(&id.0).as_bytes().first().is_some_and(|byte| byte % LOT == 0)
}
