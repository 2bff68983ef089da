//! What the office knows of one person, found by the contact: to be looked at, handed out, erased.
//!
//! What is under seal is not among it: the authority's hold comes first. It is counted, so that nobody takes the rest for
//! all.

use std::collections::BTreeSet;

use dooryard_core::{
    Result,
    ids::{BlobId, RecordId},
    notebook::{Notebook, Query, Record, Summary},
    record::{Kind, Privacy, Type},
};
use serde_json::{Map, Value as Json, json};

use crate::{
    desk::{Erased, Office},
    index::Index,
    ledger::every,
};

/// What is known of one person.
pub struct Person {
    /// The contact.
    pub contact: Record,
    /// Inquiries of this contact.
    pub inquiries: Vec<Record>,
    /// Their sites; those that inquiries of other people also have are not among them.
    pub sites: Vec<Record>,
    /// Everything that hangs on the inquiries.
    pub records: Vec<Record>,
    /// Inquiries of this contact under seal.
    pub sealed: usize,
    /// Sites that are also of others.
    pub shared_sites: usize,
}

/// Private fields of records that are there to be erased.
pub type Private = Vec<(RecordId, Vec<&'static str>)>;

/// Contacts in which all these words stand, as beginnings of words. Without words, none.
///
/// # Errors
/// Of the notebook.
pub fn find(notebook: &Notebook, words: &str) -> Result<Vec<Summary>> {
    if words.trim().is_empty() {
        return Ok(Vec::new());
    }
    every(
        notebook,
        &Query { kind: Some(Kind::Contact), words: words.to_owned(), with_hidden: true, ..Query::default() },
    )
}

/// The private fields of a record whose words are here. References to other records are kept: they say nothing by
/// themselves.
pub(super) fn private_fields(record: &Record) -> Vec<&'static str> {
    let here = record.fields.iter().filter(|f| f.shown.value.is_some() || f.others.iter().any(|o| o.value.is_some()));
    let private = here.filter_map(|f| f.field).filter(|f| f.class == Privacy::Private);
    private.filter(|f| !matches!(f.ty, Type::Ref(_))).map(|f| f.name).collect()
}

/// Inquiries that refer to a record, deleted ones too.
pub(super) fn inquiries_with(notebook: &Notebook, record: RecordId) -> Result<Vec<RecordId>> {
    let query = Query { kind: Some(Kind::Inquiry), refers_to: Some(record), with_hidden: true, ..Query::default() };
    Ok(every(notebook, &query)?.into_iter().map(|row| row.id).collect())
}

/// Everything that hangs on an inquiry, however far, but alerts: each once.
pub(super) fn hanging_on(notebook: &Notebook, inquiry: RecordId) -> Result<Vec<Record>> {
    let (mut found, mut seen, mut open) = (Vec::new(), BTreeSet::from([inquiry]), vec![inquiry]);
    while let Some(at) = open.pop() {
        let query = Query { refers_to: Some(at), with_hidden: true, ..Query::default() };
        for row in every(notebook, &query)? {
            let hangs = !matches!(row.kind, Kind::Inquiry | Kind::Contact | Kind::Site | Kind::Alert | Kind::Hours);
            if hangs && seen.insert(row.id) {
                found.push(notebook.show(row.id)?);
                open.push(row.id);
            }
        }
    }
    found.sort_by_key(|record| (record.kind, record.id));
    Ok(found)
}

impl Person {
    /// Reads it; `index` says what is under seal.
    ///
    /// # Errors
    /// `NotFound` when there is no such contact; of the stores.
    pub fn read(notebook: &Notebook, index: &Index, contact: RecordId) -> Result<Self> {
        let contact = notebook.show(contact)?;
        if contact.kind != Kind::Contact {
            return Err(dooryard_core::Error::NotFound("a contact of this number".into()));
        }
        let all: BTreeSet<RecordId> = inquiries_with(notebook, contact.id)?.into_iter().collect();
        let mut open = Vec::new();
        for id in &all {
            if !index.is_sealed(*id)? {
                open.push(*id);
            }
        }
        let (mut inquiries, mut sites, mut records) = (Vec::new(), Vec::new(), Vec::new());
        let (mut known, mut shared_sites) = (BTreeSet::new(), 0);
        for id in &open {
            let inquiry = notebook.show(*id)?;
            let site = inquiry.text("site").and_then(|site| site.parse::<RecordId>().ok());
            if let Some(site) = site.filter(|site| known.insert(*site)) {
                let of_this_person_alone = inquiries_with(notebook, site)?.iter().all(|id| open.contains(id));
                match notebook.show(site) {
                    Ok(site) if of_this_person_alone => sites.push(site),
                    Ok(_) => shared_sites += 1,
                    // The site has not come yet.
                    Err(_) => {}
                }
            }
            records.extend(hanging_on(notebook, *id)?);
            inquiries.push(inquiry);
        }
        Ok(Self { contact, inquiries, sites, records, sealed: all.len() - open.len(), shared_sites })
    }

    fn all(&self) -> impl Iterator<Item = &Record> {
        std::iter::once(&self.contact).chain(&self.inquiries).chain(&self.sites).chain(&self.records)
    }

    /// Photos of it.
    pub fn photos(&self) -> impl Iterator<Item = &Record> {
        self.records.iter().filter(|record| record.kind == Kind::Photo)
    }

    /// Everything as JSON, with a list of the photos. Where a photo was taken is never handed out, nor what is sealed.
    pub fn export(&self, notebook: &Notebook) -> Json {
        let list = |records: &[Record]| records.iter().map(as_json).collect::<Vec<_>>();
        let photo = |record: &Record| {
            let file = |field: &str| {
                let id: BlobId = record.text(field)?.parse().ok()?;
                Some(json!({ "file": id.to_string(), "here": notebook.blob_path(&id).is_file() }))
            };
            json!({ "photo": record.id.to_string(), "image": file("image"), "thumbnail": file("thumbnail") })
        };
        json!({
            "format": "dooryard one person 1",
            "contact": as_json(&self.contact),
            "inquiries": list(&self.inquiries),
            "sites": list(&self.sites),
            "records": list(&self.records),
            "photos": self.photos().map(photo).collect::<Vec<_>>(),
            "sites_shared_with_others": self.shared_sites,
            "under_seal": self.sealed,
        })
    }

    /// What [`Person::erase`] erases, the contact left out.
    pub fn private(&self) -> Private {
        let records = self.all().skip(1).map(|record| (record.id, private_fields(record)));
        records.filter(|(_, fields)| !fields.is_empty()).collect()
    }

    /// Erases the contact, and the private fields of everything else that is known. While something of this person is under
    /// seal, the contact stays. Returns how many records that touched, and what went beside them.
    ///
    /// # Errors
    /// Of the stores: what was erased before stays erased, and doing it again does the rest.
    pub fn erase(&self, office: &Office) -> Result<(usize, Erased)> {
        let private = self.private();
        let first = erase_private(office, &private)?;
        if self.sealed > 0 {
            return Ok((private.len(), first));
        }
        let last = office.erase(self.contact.id)?;
        Ok((private.len() + 1, Erased { views: first.views + last.views, ..last }))
    }
}

/// Erases fields. A record without any is left alone: to erase no field of it would mean the whole.
pub(super) fn erase_private(office: &Office, private: &Private) -> Result<Erased> {
    let some = private.iter().filter(|(_, fields)| !fields.is_empty()).cloned();
    office.erase_each(&some.collect::<Private>())
}

fn as_json(record: &Record) -> Json {
    let mut fields = Map::new();
    for view in &record.fields {
        let kept_back = view.field.is_none_or(|f| f.class == Privacy::Sealed)
            || (record.kind == Kind::Photo && ["place", "bearing"].contains(&view.name.as_str()));
        if kept_back {
            continue;
        }
        let values: Vec<&Json> =
            std::iter::once(&view.shown).chain(&view.others).filter_map(|live| live.value.as_ref()).collect();
        match values.as_slice() {
            [] => {}
            [one] => _ = fields.insert(view.name.clone(), (*one).clone()),
            // Two phones disagree: both are known.
            several => _ = fields.insert(view.name.clone(), json!({ "disagree": several })),
        }
    }
    json!({ "id": record.id.to_string(), "kind": record.kind.name(), "deleted": record.hidden, "fields": fields })
}
