//! Earlier inquiries around a place.

use std::collections::BTreeMap;

use super::{
    reader::View,
    records::{is_sealed, title},
    scene::{Spot, direction, offset},
};
use crate::{Result, ids::RecordId, notebook::Summary, record::Kind};

/// Earlier records shown, at most, and how far off in meters.
const NEAR: (usize, f64) = (12, 3_200.0);

/// An earlier record near by.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Near {
    /// Its inquiry.
    pub inquiry: RecordId,
    /// `0.3 mi northeast`
    pub way: String,
    /// Host and township.
    pub head: String,
    /// The day.
    pub day: String,
}

/// Earlier inquiries around a place, the nearest first. What is under seal is not among them.
pub(super) fn near(view: &View<'_>, own: RecordId, spot: &Spot) -> Result<Vec<(Spot, Near)>> {
    let middle = (spot.latitude, spot.longitude);
    // More of them than are shown: some have no inquiry, or one under seal.
    let sites = view.notebook.sites_near(middle.0, middle.1, NEAR.1, NEAR.0 * 4)?;
    let ids: Vec<RecordId> = sites.iter().map(|(row, ..)| row.id).collect();
    let referring = view.notebook.rows_referring(&ids)?;
    let mut inquiries: Vec<(f64, &Summary, &Summary, (f64, f64))> = Vec::new();
    for row in referring.iter().filter(|row| row.kind == Kind::Inquiry && !row.hidden && row.id != own) {
        let site = row.text("site").and_then(|id| id.parse::<RecordId>().ok());
        let Some((site, lat, lon)) = sites.iter().find(|(s, ..)| Some(s.id) == site) else { continue };
        let (east, north) = offset(middle, (*lat, *lon));
        inquiries.push((east.hypot(north), row, site, (*lat, *lon)));
    }
    inquiries.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.id.cmp(&b.1.id)));
    inquiries.truncate(NEAR.0 * 2);
    let ids: Vec<RecordId> = inquiries.iter().map(|(_, row, ..)| row.id).collect();
    let mut of: BTreeMap<RecordId, Vec<Summary>> = BTreeMap::new();
    for row in view.notebook.rows_referring(&ids)?.into_iter().filter(|row| !row.hidden) {
        if let Some(id) = row.text("inquiry").and_then(|id| id.parse().ok()) {
            of.entry(id).or_default().push(row);
        }
    }
    let told = inquiries.into_iter().filter_map(|(far, row, site, at)| {
        let own = of.get(&row.id).map_or(&[][..], Vec::as_slice);
        if far > NEAR.1 || is_sealed(row, own) {
            return None;
        }
        let head = title(view, own, Some(site));
        let day = row.text("opened").map_or_else(|| view.when.day_ms(row.changed_ms), |at| view.when.day(at));
        let spot = Spot { latitude: at.0, longitude: at.1, accuracy_m: 0.0, text: head.clone() };
        Some((spot, Near { inquiry: row.id, way: direction(view, middle, at), head, day }))
    });
    Ok(told.take(NEAR.0).collect())
}
