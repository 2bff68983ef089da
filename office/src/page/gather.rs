//! Everything that belongs to one inquiry, read from a notebook.

use std::collections::{BTreeMap, btree_map::Entry};

use dooryard_core::{
    Error, Result,
    ids::RecordId,
    notebook::{Conflict, HistoryEntry, Notebook, Query, Record},
    record::Kind,
};

use super::words::{When, day_of_ms, instant_ms};
use crate::ledger::every;

/// One inquiry with all that refers to it.
pub struct Whole {
    /// The inquiry itself.
    pub inquiry: Record,
    /// Its site.
    pub site: Option<Record>,
    /// Who asked.
    pub contact: Option<Record>,
    /// Plants, visits, findings, photos and so on, by id.
    pub records: BTreeMap<RecordId, Record>,
    /// Conflicts in any of these, the site and the contact.
    pub conflicts: Vec<Conflict>,
    /// Every save of any of these but the contact, by record.
    pub history: Vec<(RecordId, Kind, Vec<HistoryEntry>)>,
}

impl Whole {
    /// Reads it.
    ///
    /// # Errors
    /// [`Error::NotFound`] when no inquiry has this id; others of the notebook.
    pub fn read(notebook: &Notebook, id: RecordId) -> Result<Self> {
        let inquiry = notebook.show(id)?;
        if inquiry.kind != Kind::Inquiry {
            return Err(Error::NotFound(format!("an inquiry {id}")));
        }
        let linked = |field| match reference(&inquiry, field) {
            None => Ok(None),
            Some(id) => match notebook.show(id) {
                Ok(record) => Ok(Some(record).filter(|r| !r.hidden)),
                Err(Error::NotFound(_)) => Ok(None),
                Err(e) => Err(e),
            },
        };
        let (site, contact) = (linked("site")?, linked("contact")?);
        let mut records = BTreeMap::new();
        let mut gone = BTreeMap::new();
        // Findings hang on plants and visits, hand-overs on samples, reviews on diagnoses: three steps reach them all.
        let mut front = vec![id];
        for _ in 0..3 {
            let mut next = Vec::new();
            for target in front {
                let query = Query { refers_to: Some(target), with_hidden: true, ..Query::default() };
                for row in every(notebook, &query)?.into_iter().filter(|row| belongs(row.kind)) {
                    if row.hidden {
                        gone.insert(row.id, row.kind);
                    } else if let Entry::Vacant(place) = records.entry(row.id) {
                        place.insert(notebook.show(row.id)?);
                        next.push(row.id);
                    }
                }
            }
            front = next;
        }
        if let Some(site) = &site {
            for row in
                every(notebook, &Query { kind: Some(Kind::SiteNote), refers_to: Some(site.id), ..Query::default() })?
            {
                // A note of a visit for another inquiry stays with that one.
                if crate::ledger::reference(&row, "visit").is_none_or(|visit| records.contains_key(&visit)) {
                    records.insert(row.id, notebook.show(row.id)?);
                }
            }
        }
        let mut kinds: BTreeMap<RecordId, Kind> = records.iter().map(|(id, r)| (*id, r.kind)).collect();
        kinds.insert(id, Kind::Inquiry);
        kinds.extend(site.as_ref().map(|s| (s.id, Kind::Site)));
        let with_conflicts: Vec<RecordId> = kinds.keys().copied().chain(contact.as_ref().map(|c| c.id)).collect();
        Ok(Self {
            conflicts: notebook.conflicts_in(&with_conflicts)?,
            history: kinds
                .into_iter()
                .chain(gone)
                .map(|(id, kind)| Ok((id, kind, notebook.history(id)?)))
                .collect::<Result<_>>()?,
            inquiry,
            site,
            contact,
            records,
        })
    }

    /// The records of one kind, oldest id first.
    pub fn of(&self, kind: Kind) -> Vec<&Record> {
        self.records.values().filter(|r| r.kind == kind).collect()
    }
}

/// Kinds that hang on an inquiry. A sealed alert never does, here.
fn belongs(kind: Kind) -> bool {
    !matches!(kind, Kind::Inquiry | Kind::Contact | Kind::Site | Kind::Alert | Kind::Hours)
}

/// Whether a field was written and its words are gone: erased, or withheld.
pub fn is_gone(record: &Record, field: &str) -> bool {
    record.fields.iter().any(|f| f.name == field && f.shown.value.is_none())
}

/// The record that a field of a record refers to.
pub fn reference(record: &Record, field: &str) -> Option<RecordId> {
    record.text(field)?.parse().ok()
}

/// The day of the look: of the first visit, or else when the inquiry was opened; today when neither was written down.
pub fn day_of(whole: &Whole) -> jiff::civil::Date {
    let visits = whole.of(Kind::Visit);
    let started = visits.iter().filter_map(|v| v.text("start")).min().or_else(|| whole.inquiry.text("opened"));
    started.and_then(instant_ms).and_then(day_of_ms).unwrap_or_else(|| When::now().today())
}
