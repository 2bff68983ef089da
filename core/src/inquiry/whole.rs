//! Everything that belongs to one inquiry, read from a notebook.

use std::collections::{BTreeMap, btree_map::Entry};

use serde_json::Value as Json;

use crate::{
    Error, Result,
    ids::RecordId,
    notebook::{Notebook, Record},
    record::Kind,
};

/// One inquiry with all that refers to it.
#[derive(Clone, Debug)]
pub struct Whole {
    /// The inquiry itself.
    pub inquiry: Record,
    /// Its site.
    pub site: Option<Record>,
    /// Who asked.
    pub contact: Option<Record>,
    /// Plants, visits, findings, photos and so on, by id.
    pub records: BTreeMap<RecordId, Record>,
    /// Kinds of those that were deleted.
    pub gone: BTreeMap<RecordId, Kind>,
}

impl Whole {
    /// Reads it.
    ///
    /// # Errors
    /// [`Error::NotFound`] when no inquiry has this id; others of the notebook.
    pub fn read(notebook: &Notebook, id: RecordId) -> Result<Self> {
        notebook.refresh()?;
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
        let (mut records, mut gone) = (BTreeMap::new(), BTreeMap::new());
        // Findings hang on plants and visits, hand-overs on samples, reviews on diagnoses: three steps reach them all.
        let mut front = vec![id];
        for _ in 0..3 {
            let mut next = Vec::new();
            for row in notebook.rows_referring(&front)?.into_iter().filter(|row| belongs(row.kind)) {
                if row.hidden {
                    gone.insert(row.id, row.kind);
                } else if let Entry::Vacant(place) = records.entry(row.id) {
                    place.insert(notebook.show(row.id)?);
                    next.push(row.id);
                }
            }
            front = next;
        }
        if let Some(site) = &site {
            for row in notebook.rows_referring(&[site.id])? {
                // A note of a visit for another inquiry stays with that one.
                let visit = row.text("visit").and_then(|visit| visit.parse().ok());
                let own = visit.is_none_or(|visit: RecordId| records.contains_key(&visit));
                if row.kind == Kind::SiteNote && !row.hidden && own {
                    records.insert(row.id, notebook.show(row.id)?);
                }
            }
        }
        Ok(Self { inquiry, site, contact, records, gone })
    }

    /// The records of one kind, oldest id first; photos in the order that somebody gave them, newer ones after them.
    pub fn of(&self, kind: Kind) -> Vec<&Record> {
        let mut of: Vec<&Record> = self.records.values().filter(|r| r.kind == kind).collect();
        if kind == Kind::Photo {
            of.sort_by_key(|photo| photo.get("order").and_then(Json::as_u64).unwrap_or(u64::MAX));
        }
        of
    }

    /// The findings on one plant, oldest id first.
    pub fn findings_on(&self, plant: RecordId) -> Vec<&Record> {
        self.of(Kind::Finding).into_iter().filter(|f| reference(f, "plant") == Some(plant)).collect()
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

/// Ids of stops out of the field `stops` of an inquiry.
pub fn stops(field: Option<&Json>) -> Vec<&str> {
    field.and_then(Json::as_array).into_iter().flatten().filter_map(Json::as_str).collect()
}
