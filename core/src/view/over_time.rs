//! One place over time: the visits to it, whichever inquiry they belong to, and a new inquiry about the same plants.

use std::collections::BTreeMap;

use serde_json::{Map, Value as Json, json};

use super::{
    ask::begun,
    reader::View,
    records::is_sealed as is_row_sealed,
    resume::{Screen, keep_place},
    tell::is_sealed,
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{Whole, save},
    notebook::Summary,
    record::Kind,
};

/// A visit to a place.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PastVisit {
    /// The inquiry that it belongs to, to go there.
    pub inquiry: RecordId,
    /// It is the inquiry that is shown.
    pub here: bool,
    /// The day.
    pub day: String,
    /// What was found, in words; that nothing was written down as seen.
    pub found: String,
}

/// Visits that are shown at most, the newest.
const SHOWN: usize = 20;
/// Findings that are named of one visit.
const NAMED: usize = 4;
/// What is known of a plant and is still so at another visit.
const KEPT: [&str; 11] = [
    "host",
    "scientific_name",
    "cultivar",
    "host_comfort",
    "present",
    "trunk",
    "height",
    "planted",
    "stock",
    "tag",
    "edible",
];

/// The visits to the place of an inquiry, the newest first. What is under seal is not among them, and has none.
pub(super) fn visits(view: &View<'_>, whole: &Whole) -> Result<Vec<PastVisit>> {
    let Some(site) = whole.site.as_ref().filter(|_| !is_sealed(whole)) else { return Ok(Vec::new()) };
    view.notebook.refresh()?;
    let referring = view.notebook.rows_referring(&[site.id])?;
    let of_site = referring.into_iter().filter(|row| row.kind == Kind::Inquiry && !row.hidden);
    let of_site: Vec<Summary> = of_site.collect();
    let ids: Vec<RecordId> = of_site.iter().map(|row| row.id).collect();
    let mut of: BTreeMap<RecordId, Vec<Summary>> = BTreeMap::new();
    for row in view.notebook.rows_referring(&ids)?.into_iter().filter(|row| !row.hidden) {
        if let Some(inquiry) = row.text("inquiry").and_then(|id| id.parse().ok()) {
            of.entry(inquiry).or_default().push(row);
        }
    }
    let mut visits: Vec<(String, RecordId, RecordId)> = Vec::new();
    for inquiry in of_site {
        let own = of.remove(&inquiry.id).unwrap_or_default();
        if !is_row_sealed(&inquiry, &own) {
            let own = own.iter().filter(|row| row.kind == Kind::Visit);
            visits.extend(own.filter_map(|row| Some((row.text("start")?.to_owned(), row.id, inquiry.id))));
        }
    }
    // Times of one county: as text they stand in their order.
    visits.sort_by(|a, b| b.cmp(a));
    visits.truncate(SHOWN);
    let ids: Vec<RecordId> = visits.iter().map(|(_, id, _)| *id).collect();
    let mut found: BTreeMap<RecordId, Vec<Summary>> = BTreeMap::new();
    let referring = view.notebook.rows_referring(&ids)?;
    for row in referring.into_iter().filter(|row| row.kind == Kind::Finding && !row.hidden) {
        if let Some(visit) = row.text("visit").and_then(|id| id.parse().ok()) {
            found.entry(visit).or_default().push(row);
        }
    }
    let rows = visits.into_iter().map(|(start, visit, inquiry)| PastVisit {
        inquiry,
        here: inquiry == whole.inquiry.id,
        day: view.when.day(&start),
        found: told(view, found.get(&visit).map_or(&[], Vec::as_slice)),
    });
    Ok(rows.collect())
}

/// What was seen in one visit: `Leaf spots: round; Trunk: cracked, and 3 more`.
fn told(view: &View<'_>, findings: &[Summary]) -> String {
    let seen = findings.iter().filter(|row| row.text("status") == Some("seen"));
    let named: Vec<String> = seen
        .map(|row| {
            let (about, found) = view.names.finding(row.text("character").unwrap_or_default(), row.text("state"));
            found.map_or_else(|| about.clone(), |found| format!("{about}: {found}"))
        })
        .collect();
    if named.is_empty() {
        return view.say("phone-past-none");
    }
    let text = named.iter().take(NAMED).cloned().collect::<Vec<_>>().join("; ");
    match named.len().saturating_sub(NAMED) {
        0 => text,
        n => view.with("phone-past-more", [("text", &text), ("n", &n)]),
    }
}

/// Begins an inquiry about the same plants at the same place: another visit. The place is the same record; each plant is written
/// down anew with what is still so of it. Who asked, what they said, what they agreed to and what was found stay with the first
/// one: another person may ask this time.
///
/// # Errors
/// `FORBIDDEN_FIELD` for an inquiry under seal; [`Error::NotFound`]; as [`crate::notebook::Notebook::save`].
pub fn again(view: &View<'_>, inquiry: RecordId) -> Result<RecordId> {
    let whole = view.whole(inquiry)?;
    if is_sealed(&whole) {
        return Err(Error::refused(Code::ForbiddenField, "an inquiry under seal is not begun again"));
    }
    let mut fields = Map::new();
    if let Some(site) = &whole.site {
        fields.insert("site".into(), json!(site.id.to_string()));
    }
    let new = begun(view, "yard", fields.clone())?;
    for plant in whole.of(Kind::Plant) {
        let mut of_plant = fields.clone();
        of_plant.insert("inquiry".into(), json!(new.to_string()));
        of_plant.extend(KEPT.iter().filter_map(|name| Some(((*name).to_owned(), plant.get(name)?.clone()))));
        save(view.notebook, Kind::Plant, None, Json::Object(of_plant))?;
    }
    keep_place(view, Screen::Ask, new, None, "")?;
    Ok(new)
}
