//! Which records decide about an inquiry, and which inquiries a record that changed may touch.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Summary},
    record::Kind,
};

use crate::ledger::{Ledger, reference};

/// Rows each once.
#[derive(Default)]
struct Rows(BTreeMap<RecordId, Summary>);

impl Rows {
    /// Adds rows; returns the ids of new ones through which others belong to an inquiry.
    fn add(&mut self, rows: Vec<Summary>) -> Vec<RecordId> {
        let mut carriers = Vec::new();
        for row in rows {
            if is_carrier(row.kind) && !row.hidden && !self.0.contains_key(&row.id) {
                carriers.push(row.id);
            }
            self.0.entry(row.id).or_insert(row);
        }
        carriers
    }

    /// Adds what the rows name as plant, visit, sample or diagnosis, and what those samples name.
    fn add_carriers(&mut self, notebook: &Notebook) -> Result<()> {
        for _ in 0..2 {
            let named = self.0.values().flat_map(|row| CARRIERS.iter().filter_map(|field| reference(row, field)));
            let missing: BTreeSet<RecordId> = named.filter(|id| !self.0.contains_key(id)).collect();
            if missing.is_empty() {
                return Ok(());
            }
            self.add(notebook.rows_of(&Vec::from_iter(missing))?);
        }
        Ok(())
    }
}

/// The fields through which a record belongs to an inquiry, beside `inquiry` itself.
const CARRIERS: [&str; 4] = ["plant", "visit", "sample", "diagnosis"];

fn is_carrier(kind: Kind) -> bool {
    matches!(kind, Kind::Plant | Kind::Visit | Kind::Sample | Kind::Diagnosis)
}

/// Every row that decides about these inquiries: themselves, their sites and contacts, all that belongs to them, and what
/// decides to whom that belongs. Hidden ones are among them.
///
/// # Errors
/// Of the notebook.
pub fn rows_around(notebook: &Notebook, inquiries: &[RecordId]) -> Result<Vec<Summary>> {
    let mut rows = Rows::default();
    let themselves = notebook.rows_of(inquiries)?;
    let linked: Vec<RecordId> = themselves
        .iter()
        .flat_map(|row| ["site", "contact"].into_iter().filter_map(|field| reference(row, field)))
        .collect();
    rows.add(themselves);
    rows.add(notebook.rows_of(&linked)?);
    let mut front = rows.add(notebook.rows_referring(inquiries)?);
    // Samples hang on plants and visits, hand-overs on samples.
    for _ in 0..3 {
        if front.is_empty() {
            break;
        }
        front = rows.add(notebook.rows_referring(&front)?);
    }
    rows.add_carriers(notebook)?;
    Ok(rows.0.into_values().collect())
}

/// A record that changed, with what it may have carried along.
pub(super) struct Touched {
    /// Inquiries that something belongs to now.
    pub(super) inquiries: BTreeSet<RecordId>,
    /// Records whose place may have changed with it.
    pub(super) records: BTreeSet<RecordId>,
    /// Alerts among the changed records, as they stand.
    pub(super) alerts: Vec<Summary>,
}

/// What changed records touch, as the notebook stands.
pub(super) fn touched(notebook: &Notebook, changed: &[(RecordId, Kind)]) -> Result<Touched> {
    let ids: Vec<RecordId> = changed.iter().map(|(id, _)| *id).collect();
    let own = notebook.rows_of(&ids)?;
    let alerts = own.iter().filter(|row| row.kind == Kind::Alert).cloned().collect();
    let carry = changed.iter().filter(|(_, kind)| is_carrier(*kind) || matches!(kind, Kind::Site | Kind::Contact));
    let carry: Vec<RecordId> = carry.map(|(id, _)| *id).collect();
    let mut rows = Rows::default();
    rows.add(own);
    rows.add(notebook.rows_referring(&carry)?);
    let records: BTreeSet<RecordId> = rows.0.keys().copied().chain(ids).collect();
    rows.add_carriers(notebook)?;
    let all: Vec<Summary> = rows.0.into_values().collect();
    let mut inquiries: BTreeSet<RecordId> =
        changed.iter().filter(|(_, kind)| *kind == Kind::Inquiry).map(|(id, _)| *id).collect();
    let ledger = Ledger::of_rows(all.clone(), &[]);
    for row in all.iter().filter(|row| records.contains(&row.id)) {
        match row.kind {
            Kind::Inquiry => drop(inquiries.insert(row.id)),
            Kind::Site | Kind::Contact => {}
            Kind::Alert => inquiries.extend(reference(row, "inquiry")),
            _ => inquiries.extend(ledger.owner(row)),
        }
    }
    Ok(Touched { inquiries, records, alerts })
}
