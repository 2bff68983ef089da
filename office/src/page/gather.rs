//! Everything that belongs to one inquiry, with its conflicts and its history, read from a notebook.

use std::ops::Deref;

pub use dooryard_core::inquiry::{is_gone, reference};
use dooryard_core::{
    Result,
    ids::RecordId,
    inquiry,
    notebook::{Conflict, HistoryEntry, Notebook},
    record::Kind,
};

use super::words::When;

/// One inquiry with all that refers to it.
pub struct Whole {
    all: inquiry::Whole,
    /// Conflicts in any of these, the site and the contact.
    pub conflicts: Vec<Conflict>,
    /// Every save of any of these but the contact, by record.
    pub history: Vec<(RecordId, Kind, Vec<HistoryEntry>)>,
}

impl Deref for Whole {
    type Target = inquiry::Whole;

    fn deref(&self) -> &inquiry::Whole {
        &self.all
    }
}

impl Whole {
    /// Reads it.
    ///
    /// # Errors
    /// As [`inquiry::Whole::read`].
    pub fn read(notebook: &Notebook, id: RecordId) -> Result<Self> {
        let all = inquiry::Whole::read(notebook, id)?;
        let mut kinds: Vec<(RecordId, Kind)> = all.records.iter().map(|(id, r)| (*id, r.kind)).collect();
        kinds.push((id, Kind::Inquiry));
        kinds.extend(all.site.as_ref().map(|s| (s.id, Kind::Site)));
        kinds.sort_unstable();
        let with_conflicts: Vec<RecordId> =
            kinds.iter().map(|(id, _)| *id).chain(all.contact.as_ref().map(|c| c.id)).collect();
        Ok(Self {
            conflicts: notebook.conflicts_in(&with_conflicts)?,
            history: kinds
                .into_iter()
                .chain(all.gone.iter().map(|(id, kind)| (*id, *kind)))
                .map(|(id, kind)| Ok((id, kind, notebook.history(id)?)))
                .collect::<Result<_>>()?,
            all,
        })
    }
}

/// The day of the look: of the first visit, or else when the inquiry was opened; today when neither was written down.
pub fn day_of(whole: &Whole) -> jiff::civil::Date {
    inquiry::day_of(whole, &When::now())
}
