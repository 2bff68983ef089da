//! The plant that is meant, what is known of it, and the stops that stand in all of an inquiry.

use dooryard_core::{ids::RecordId, inquiry, notebook::Record, record::Kind};

use crate::page::{gather::Whole, reading::record_id, routes::Desk, trouble::Trouble, words::When};

pub(super) use dooryard_core::inquiry::Known;

/// What is known of a plant; nothing when the pack does not have its host.
pub(super) fn known<'w>(desk: &Desk, whole: &'w Whole, plant: &'w Record) -> Result<Option<Known<'w>>, Trouble> {
    Ok(Known::of(&desk.pack, whole, plant, &When::now())?)
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
    Ok(inquiry::record_stops(desk.notebook(), &desk.pack, id, &When::now())?)
}
