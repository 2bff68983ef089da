//! One inquiry with all that belongs to it, read from the notebook when its turn comes.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Query, Summary},
    record::Kind,
};
use serde_json::Value as Json;

use super::Audience;
use crate::ledger::{Ledger, every, reference};

/// Kinds that hang on an inquiry and may leave the office, in the order in which they stand in it.
pub(super) const KINDS: [Kind; 11] = [
    Kind::SiteNote,
    Kind::Plant,
    Kind::Visit,
    Kind::Finding,
    Kind::Photo,
    Kind::Sample,
    Kind::Custody,
    Kind::Diagnosis,
    Kind::Advice,
    Kind::FollowUp,
    Kind::Review,
];

/// Fields by which a record hangs on another one of the same inquiry.
const HANGS_BY: [&str; 5] = ["inquiry", "plant", "visit", "sample", "diagnosis"];

/// An inquiry with its records. A character without a finding was not looked at: no row says so, and none says absent.
pub struct Case<'a> {
    /// The inquiry.
    pub inquiry: &'a Summary,
    /// Its site.
    pub site: Option<&'a Summary>,
    /// What it is joined by.
    pub ledger: &'a Ledger,
    records: BTreeMap<RecordId, Summary>,
}

impl<'a> Case<'a> {
    /// Reads it.
    ///
    /// # Errors
    /// Of the notebook.
    pub fn read(notebook: &Notebook, ledger: &'a Ledger, inquiry: &'a Summary, audience: Audience) -> Result<Self> {
        let mut records = BTreeMap::new();
        // Findings hang on plants and visits, hand-overs on samples, reviews on diagnoses: three steps reach them all.
        let mut front = vec![inquiry.id];
        for _ in 0..3 {
            let mut next = Vec::new();
            for target in front {
                for row in every(notebook, &Query { refers_to: Some(target), ..Query::default() })? {
                    if KINDS.contains(&row.kind) && !row.fields.is_empty() && !records.contains_key(&row.id) {
                        next.push(row.id);
                        records.insert(row.id, row);
                    }
                }
            }
            front = next;
        }
        drop_strangers(inquiry.id, &mut records);
        let in_force: BTreeSet<RecordId> =
            ledger.diagnoses.get(&inquiry.id).into_iter().flatten().map(|d| d.id).collect();
        let photos = consent(notebook, inquiry, "photo")?;
        records.retain(|id, row| match row.kind {
            Kind::Diagnosis => in_force.contains(id),
            Kind::Photo => may_show(photos, row, audience),
            _ => true,
        });
        let kept: BTreeSet<RecordId> = records.keys().copied().collect();
        for row in records.values_mut() {
            // A finding names only photos that leave with it.
            if let Some(Json::Array(photos)) = row.fields.get_mut("photos") {
                photos.retain(|p| p.as_str().and_then(|p| p.parse().ok()).is_some_and(|id| kept.contains(&id)));
            }
        }
        Ok(Self { inquiry, site: ledger.site_of(inquiry), ledger, records })
    }

    /// Its records of one kind, oldest number first; for inquiries the one itself.
    pub fn of(&self, kind: Kind) -> Vec<&Summary> {
        match kind {
            Kind::Inquiry => vec![self.inquiry],
            Kind::Site => self.site.into_iter().collect(),
            _ => self.records.values().filter(|r| r.kind == kind).collect(),
        }
    }

    /// One of its records.
    pub fn get(&self, id: RecordId) -> Option<&Summary> {
        self.records.get(&id)
    }

    /// The record of this case that a field of a row refers to.
    pub fn linked(&self, row: &Summary, field: &str) -> Option<&Summary> {
        self.get(reference(row, field)?)
    }
}

/// Takes out what also hangs on a record of another inquiry, which may be a sealed one.
fn drop_strangers(inquiry: RecordId, records: &mut BTreeMap<RecordId, Summary>) {
    loop {
        let before = records.len();
        let known: BTreeSet<RecordId> = records.keys().copied().chain([inquiry]).collect();
        records.retain(|_, row| HANGS_BY.iter().filter_map(|f| reference(row, f)).all(|id| known.contains(&id)));
        if records.len() == before {
            return;
        }
    }
}

/// Whether a photo may be told of: never against the resident's wish; to the public only where the resident said yes and
/// somebody looked for faces, house numbers and plates.
fn may_show(agreed: Option<bool>, photo: &Summary, audience: Audience) -> bool {
    match audience {
        Audience::Office => agreed != Some(false),
        Audience::Public => {
            agreed == Some(true) && photo.fields.get("people_checked").and_then(Json::as_bool) == Some(true)
        }
    }
}

/// What the resident said to one question of consent; nothing when nobody wrote it down. Where phones disagree, a no counts.
///
/// # Errors
/// Of the notebook.
pub fn consent(notebook: &Notebook, inquiry: &Summary, to: &str) -> Result<Option<bool>> {
    let said = |value: &Json| value.get(to).and_then(Json::as_bool);
    let shown = inquiry.fields.get("consent").and_then(said);
    if inquiry.conflicts == 0 || shown == Some(false) {
        return Ok(shown);
    }
    let record = notebook.show(inquiry.id)?;
    let others = record.fields.iter().filter(|f| f.name == "consent").flat_map(|f| &f.others);
    let no = others.filter_map(|other| other.value.as_ref().and_then(said)).any(|yes| !yes);
    Ok(if no { Some(false) } else { shown })
}
