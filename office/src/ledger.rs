//! What the office reads to make a list or a count: inquiries with their sites, plants, visits and diagnoses, joined.
//!
//! Sealed inquiries are known here and are left out of everything that lists or counts.

use std::collections::{BTreeMap, BTreeSet};

pub use dooryard_core::inquiry::{named_causes, stops};
use dooryard_core::{
    Result,
    ids::RecordId,
    key::under_seal,
    notebook::{Notebook, Query, Record, Summary},
    record::Kind,
};
use serde_json::Value as Json;

/// All that is not sealed, joined by inquiry.
pub struct Ledger {
    /// Inquiries that are not sealed, newest first by the day they were opened.
    pub inquiries: Vec<Summary>,
    /// Sites by id.
    pub sites: BTreeMap<RecordId, Summary>,
    /// Plants by inquiry.
    pub plants: BTreeMap<RecordId, Vec<Summary>>,
    /// Diagnoses by inquiry, newest first, without withdrawn and superseded ones.
    pub diagnoses: BTreeMap<RecordId, Vec<Summary>>,
    /// Sealed inquiries.
    pub sealed: BTreeSet<RecordId>,
    /// Sealed records in all, also those that belong to no inquiry.
    pub sealed_records: usize,
    owners: BTreeMap<RecordId, RecordId>,
    links: BTreeMap<RecordId, Vec<RecordId>>,
}

impl Ledger {
    /// Reads it from a notebook. `suspect` are findings, as (character, state), that seal an inquiry when seen.
    ///
    /// # Errors
    /// Of the notebook.
    pub fn read(notebook: &Notebook, suspect: &[(String, String)]) -> Result<Self> {
        let mut rows = every(notebook, &Query { kind: Some(Kind::Alert), with_hidden: true, ..Query::default() })?;
        for kind in [Kind::Inquiry, Kind::Site, Kind::Plant, Kind::Visit, Kind::Sample, Kind::Diagnosis] {
            rows.extend(every(notebook, &Query { kind: Some(kind), ..Query::default() })?);
        }
        for pair in suspect {
            let equals = seen(pair).map(|(field, value)| (field.to_owned(), Json::from(value))).to_vec();
            rows.extend(every(notebook, &Query { kind: Some(Kind::Finding), equals, ..Query::default() })?);
        }
        Ok(Self::of_rows(rows, suspect))
    }

    /// Makes it of rows, each given once: all that belongs to some inquiries, with the plants, visits, samples and diagnoses
    /// through which it does. Hidden ones count for nothing, but for alerts.
    pub fn of_rows(rows: Vec<Summary>, suspect: &[(String, String)]) -> Self {
        let mut of: BTreeMap<Kind, Vec<Summary>> = BTreeMap::new();
        for row in rows.into_iter().filter(|row| !row.hidden || row.kind == Kind::Alert) {
            of.entry(row.kind).or_default().push(row);
        }
        let mut take = |kind| of.remove(&kind).unwrap_or_default();
        let (inquiries, sites, plants) = (take(Kind::Inquiry), take(Kind::Site), take(Kind::Plant));
        let (visits, samples, diagnoses) = (take(Kind::Visit), take(Kind::Sample), take(Kind::Diagnosis));
        let mut ledger = Self::join(inquiries, sites, plants, &visits, &samples, diagnoses);
        let is_suspect = |finding: &&Summary| {
            suspect.iter().any(|pair| seen(pair).iter().all(|(field, value)| finding.text(field) == Some(*value)))
        };
        let suspects = take(Kind::Finding).iter().filter(is_suspect).filter_map(|f| ledger.owner(f)).collect();
        ledger.seal(&take(Kind::Alert), suspects);
        ledger
    }

    /// Joins the rows.
    fn join(
        mut inquiries: Vec<Summary>,
        sites: Vec<Summary>,
        plants: Vec<Summary>,
        visits: &[Summary],
        samples: &[Summary],
        diagnoses: Vec<Summary>,
    ) -> Self {
        let mut owners = BTreeMap::new();
        for row in plants.iter().chain(visits).chain(&diagnoses) {
            owners.extend(reference(row, "inquiry").map(|inquiry| (row.id, inquiry)));
        }
        for row in samples {
            let through = |name| reference(row, name).and_then(|id| owners.get(&id).copied());
            let owner = reference(row, "inquiry").or_else(|| through("plant")).or_else(|| through("visit"));
            owners.extend(owner.map(|inquiry| (row.id, inquiry)));
        }
        let mut links: BTreeMap<RecordId, Vec<RecordId>> = BTreeMap::new();
        for i in &inquiries {
            for target in ["site", "contact"].into_iter().filter_map(|field| reference(i, field)) {
                links.entry(target).or_default().push(i.id);
            }
        }
        inquiries.sort_by_key(|i| std::cmp::Reverse((opened_ms(i), i.id)));
        Self {
            inquiries,
            sites: sites.into_iter().map(|s| (s.id, s)).collect(),
            plants: by_inquiry(plants),
            diagnoses: in_force(by_inquiry(diagnoses)),
            sealed: BTreeSet::new(),
            sealed_records: 0,
            owners,
            links,
        }
    }

    /// Takes sealed inquiries out: those of an alert that the authority has not released, and regulated suspects also
    /// while nobody has written the alert yet.
    fn seal(&mut self, alerts: &[Summary], suspects: Vec<RecordId>) {
        let released = |a: &&Summary| a.fields.contains_key("released");
        let open: BTreeSet<_> = alerts.iter().filter(released).filter_map(|a| reference(a, "inquiry")).collect();
        let shut: Vec<&Summary> = alerts.iter().filter(|a| !released(a)).collect();
        self.sealed = shut.iter().filter_map(|a| reference(a, "inquiry")).collect();
        let alone = alerts.iter().filter(|a| seals_alone(a)).count();
        let stopped = self.inquiries.iter().filter(|i| under_seal(stops(i.fields.get("stops")))).map(|i| i.id);
        self.sealed.extend(stopped.chain(suspects).filter(|id| !open.contains(id)));
        self.sealed_records = self.sealed.len() + alone;
        self.inquiries.retain(|i| !self.sealed.contains(&i.id));
    }

    /// The inquiries a record belongs to, sealed ones too. A site or a contact may belong to several, an hour of work to
    /// none.
    pub fn inquiries_of(&self, row: &Summary) -> Vec<RecordId> {
        match row.kind {
            Kind::Inquiry => vec![row.id],
            Kind::Site | Kind::Contact => self.links.get(&row.id).cloned().unwrap_or_default(),
            _ => self.owner(row).into_iter().collect(),
        }
    }

    /// The one inquiry that a record of field work or of the office belongs to.
    pub fn owner(&self, row: &Summary) -> Option<RecordId> {
        let through = |name| reference(row, name).and_then(|id| self.owners.get(&id).copied());
        reference(row, "inquiry")
            .or_else(|| self.owners.get(&row.id).copied())
            .or_else(|| ["plant", "visit", "sample", "diagnosis"].into_iter().find_map(through))
    }

    /// The site of an inquiry.
    pub fn site_of(&self, inquiry: &Summary) -> Option<&Summary> {
        self.sites.get(&reference(inquiry, "site")?)
    }

    /// Hosts of an inquiry's plants, each once, in the order of the plants.
    pub fn hosts_of(&self, inquiry: RecordId) -> Vec<&str> {
        let mut hosts: Vec<&str> = Vec::new();
        for host in self.plants.get(&inquiry).into_iter().flatten().filter_map(|p| p.text("host")) {
            if !hosts.contains(&host) {
                hosts.push(host);
            }
        }
        hosts
    }

    /// The causes that the newest diagnosis of an inquiry names, with the chance of each in a hundred.
    pub fn causes_of(&self, inquiry: RecordId) -> Vec<(String, Option<u8>)> {
        let newest = self.diagnoses.get(&inquiry).and_then(|d| d.first());
        newest.map_or_else(Vec::new, |d| named_causes(d.fields.get("causes")))
    }
}

/// Whether an alert seals something that belongs to no inquiry.
pub fn seals_alone(alert: &Summary) -> bool {
    !alert.fields.contains_key("released") && reference(alert, "inquiry").is_none()
}

/// What the fields of a finding say when a state of a character was seen.
fn seen((character, state): &(String, String)) -> [(&'static str, &str); 3] {
    [("character", character), ("state", state), ("status", "seen")]
}

/// Every row that a query finds, whatever the size of a page.
///
/// # Errors
/// Of the notebook.
pub fn every(notebook: &Notebook, query: &Query) -> Result<Vec<Summary>> {
    Ok(notebook.list(&Query { offset: 0, limit: 1_000_000, ..query.clone() })?.rows)
}

/// A record as a row, to ask what it belongs to.
pub fn row_of(record: &Record) -> Summary {
    let shown = record.fields.iter().filter_map(|f| Some((f.name.clone(), f.shown.value.clone()?)));
    let changed_ms = record.fields.iter().map(|f| f.shown.at_ms).max().unwrap_or(0);
    let conflicts = record.in_conflict().count();
    Summary {
        id: record.id,
        kind: record.kind,
        hidden: record.hidden,
        fields: shown.collect(),
        changed_ms,
        conflicts: u32::try_from(conflicts).unwrap_or(u32::MAX),
    }
}

/// The record that a field of a row refers to.
pub fn reference(row: &Summary, field: &str) -> Option<RecordId> {
    row.text(field)?.parse().ok()
}

/// When an inquiry was opened, milliseconds since 1970; when nobody wrote it down, when it was last changed.
pub fn opened_ms(inquiry: &Summary) -> i64 {
    inquiry.text("opened").and_then(crate::page::instant_ms).unwrap_or(inquiry.changed_ms)
}

/// Where an inquiry stands; with no word from the office, it is open.
pub fn status(inquiry: &Summary) -> &str {
    inquiry.text("status").unwrap_or("open")
}

fn by_inquiry(rows: Vec<Summary>) -> BTreeMap<RecordId, Vec<Summary>> {
    let mut map: BTreeMap<RecordId, Vec<Summary>> = BTreeMap::new();
    for row in rows {
        if let Some(inquiry) = reference(&row, "inquiry") {
            map.entry(inquiry).or_default().push(row);
        }
    }
    for rows in map.values_mut() {
        rows.sort_by_key(|r| r.id);
    }
    map
}

fn in_force(mut map: BTreeMap<RecordId, Vec<Summary>>) -> BTreeMap<RecordId, Vec<Summary>> {
    for rows in map.values_mut() {
        let replaced: Vec<RecordId> = rows.iter().filter_map(|d| reference(d, "supersedes")).collect();
        rows.retain(|d| d.text("status") != Some("withdrawn") && !replaced.contains(&d.id));
        let at = |d: &Summary| d.text("at").and_then(crate::page::instant_ms).unwrap_or(d.changed_ms);
        rows.sort_by_key(|d| std::cmp::Reverse((at(d), d.id)));
    }
    map
}
