//! One place over time: the visits to it, whichever inquiry they belong to, and a new inquiry about the same plants.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value as Json, json};

use super::{
    ask::begun,
    reader::View,
    resume::{Screen, keep_place},
    tell::is_sealed,
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{Whole, save, stops},
    key::under_seal,
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
    let of_kind = |rows: Vec<Summary>, kind| rows.into_iter().filter(move |row| row.kind == kind && !row.hidden);
    let open = |row: &Summary| !under_seal(stops(row.fields.get("stops")));
    let inquiries: BTreeSet<RecordId> = of_kind(view.notebook.rows_referring(&[site.id])?, Kind::Inquiry)
        .filter(open)
        .map(|row| row.id)
        .collect();
    let ids: Vec<RecordId> = inquiries.iter().copied().collect();
    let of_inquiry = |row: &Summary| row.text("inquiry").and_then(|id| id.parse().ok()).filter(|id| inquiries.contains(id));
    let mut visits: Vec<(String, RecordId, RecordId)> = of_kind(view.notebook.rows_referring(&ids)?, Kind::Visit)
        .filter_map(|row| Some((row.text("start")?.to_owned(), row.id, of_inquiry(&row)?)))
        .collect();
    // Times of one county: as text they stand in their order.
    visits.sort_by(|a, b| b.cmp(a));
    visits.truncate(SHOWN);
    let ids: Vec<RecordId> = visits.iter().map(|(_, id, _)| *id).collect();
    let mut found: BTreeMap<RecordId, Vec<Summary>> = BTreeMap::new();
    for row in of_kind(view.notebook.rows_referring(&ids)?, Kind::Finding) {
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
