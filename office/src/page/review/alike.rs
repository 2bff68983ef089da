//! Inquiries that may be about the same trouble, each with its reasons. A person links them or says that they are apart; each
//! inquiry stays as it is, and both words can be taken back.
//!
//! The rule: the same contact, or the same telephone or e-mail; the same site or the same address, with a common host and
//! opened within [`DAYS`] days; the same photo. None of it reads the whole notebook: each is found through a link or a word.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    ids::RecordId,
    notebook::{Notebook, Query, Record, Summary},
    record::Kind,
};
use serde_json::Value as Json;

use super::around::Around;
use crate::{
    ledger::{every, opened_ms, reference},
    page::{gather::Whole, routes::Desk, trouble::Trouble},
};

/// Inquiries about one place that were opened further apart are two troubles, days.
const DAYS: i64 = 14;
/// Most that are suggested at once.
const MOST: usize = 8;
/// Rows that one question may find: what is that common says nothing.
const COMMON: usize = 200;

/// Why two inquiries look alike.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub(super) enum Like {
    /// The same photo.
    Photo,
    /// The same contact.
    Contact,
    /// The same place, host and days.
    Place,
}

/// What stands between one inquiry and others.
#[derive(Default)]
pub(super) struct Alike {
    /// Linked by a person.
    pub(super) linked: Vec<RecordId>,
    /// Suggested, with the reasons.
    pub(super) suggested: Vec<(RecordId, Vec<Like>)>,
}

/// The references in a list field.
pub(super) fn listed(record: &Record, field: &str) -> Vec<RecordId> {
    let items = record.get(field).and_then(Json::as_array).into_iter().flatten();
    items.filter_map(|id| id.as_str()?.parse().ok()).collect()
}

/// What looks like this inquiry.
///
/// # Errors
/// Of the stores.
pub(super) fn alike(desk: &Desk, whole: &Whole) -> Result<Alike, Trouble> {
    let (notebook, index, own) = (desk.notebook(), desk.index()?, whole.inquiry.id);
    let mut found: BTreeMap<RecordId, BTreeSet<Like>> = BTreeMap::new();
    for photo in whole.of(Kind::Photo) {
        for other in same_photo(notebook, photo)? {
            for id in index.inquiries_of(other.id)? {
                found.entry(id).or_default().insert(Like::Photo);
            }
        }
    }
    if let Some(contact) = &whole.contact {
        for id in inquiries_of(notebook, same_contact(notebook, contact)?)? {
            found.entry(id).or_default().insert(Like::Contact);
        }
    }
    if let Some(site) = &whole.site {
        for id in inquiries_of(notebook, same_site(notebook, site)?)? {
            found.entry(id).or_default().insert(Like::Place);
        }
    }
    let (linked, apart) = said(notebook, &whole.inquiry)?;
    let known: Vec<RecordId> = found.keys().chain(&linked).chain([&own]).copied().collect();
    // What is sealed or taken away is not among them.
    let all = Around::all(notebook, &known, &desk.names)?;
    let around = |id: RecordId| all.iter().find(|around| around.inquiry.id == id);
    let mut suggested = Vec::new();
    for (id, mut likes) in found {
        let (Some(mine), Some(other)) = (around(own), around(id)) else { continue };
        if !is_of_same_days(mine, other) {
            likes.remove(&Like::Place);
        }
        if id != own && !likes.is_empty() && !linked.contains(&id) && !apart.contains(&id) {
            suggested.push((id, likes.into_iter().collect::<Vec<_>>()));
        }
    }
    suggested.sort_by(|a, b| a.1.cmp(&b.1).then(b.0.cmp(&a.0)));
    suggested.truncate(MOST);
    Ok(Alike { linked: linked.into_iter().filter(|id| around(*id).is_some()).collect(), suggested })
}

/// Whether two inquiries of one place may be about one trouble: within so many days, with a host in common where both have
/// one.
fn is_of_same_days(a: &Around, b: &Around) -> bool {
    let near = (opened_ms(&a.inquiry) - opened_ms(&b.inquiry)).abs() <= DAYS * 86_400_000;
    let (mine, theirs) = (a.hosts(), b.hosts());
    near && (mine.is_empty() || theirs.is_empty() || theirs.iter().any(|host| mine.contains(host)))
}

/// What people said: linked with, apart from. Either of the two inquiries may say it.
fn said(notebook: &Notebook, inquiry: &Record) -> Result<(Vec<RecordId>, Vec<RecordId>), Trouble> {
    let (mut linked, mut apart) = (listed(inquiry, "same_as"), listed(inquiry, "apart_from"));
    for row in few(notebook, Query { kind: Some(Kind::Inquiry), refers_to: Some(inquiry.id), ..Query::default() })? {
        let names = |field: &str| {
            let items = row.fields.get(field).and_then(Json::as_array).into_iter().flatten();
            items.filter_map(Json::as_str).any(|id| id == inquiry.id.to_string())
        };
        linked.extend(names("same_as").then_some(row.id));
        apart.extend(names("apart_from").then_some(row.id));
    }
    for ids in [&mut linked, &mut apart] {
        ids.sort_unstable();
        ids.dedup();
    }
    Ok((linked, apart))
}

/// Rows of a question; none of one that finds too much.
fn few(notebook: &Notebook, query: Query) -> Result<Vec<Summary>, Trouble> {
    let page = notebook.list(&Query { limit: COMMON, ..query })?;
    Ok(if page.total > COMMON { Vec::new() } else { page.rows })
}

/// A photo is found by when it was taken and known by its content.
fn same_photo(notebook: &Notebook, photo: &Record) -> Result<Vec<Summary>, Trouble> {
    let (Some(image), Some(taken)) = (photo.text("image"), photo.text("taken")) else { return Ok(Vec::new()) };
    let rows = few(notebook, Query { kind: Some(Kind::Photo), words: taken.to_owned(), ..Query::default() })?;
    Ok(rows.into_iter().filter(|row| row.id != photo.id && row.text("image") == Some(image)).collect())
}

/// Contacts with the same telephone or e-mail, and this one.
fn same_contact(notebook: &Notebook, contact: &Record) -> Result<Vec<RecordId>, Trouble> {
    let mut found = vec![contact.id];
    let reach = |fields: Option<&Json>, part: &str| {
        let text = fields.and_then(|r| r.get(part)).and_then(Json::as_str).unwrap_or_default();
        text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect::<String>()
    };
    for part in ["phone", "email"] {
        let own = contact.get("reach").and_then(|r| r.get(part)).and_then(Json::as_str).unwrap_or_default();
        let plain = reach(contact.get("reach"), part);
        if plain.chars().count() < 6 {
            continue;
        }
        let rows = few(notebook, Query { kind: Some(Kind::Contact), words: own.to_owned(), ..Query::default() })?;
        found.extend(rows.iter().filter(|r| reach(r.fields.get("reach"), part) == plain).map(|r| r.id));
    }
    Ok(found)
}

/// Sites with the same address, and this one.
fn same_site(notebook: &Notebook, site: &Record) -> Result<Vec<RecordId>, Trouble> {
    let mut found = vec![site.id];
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    if let Some(own) = site.text("address").filter(|a| !a.trim().is_empty()) {
        let rows = few(notebook, Query { kind: Some(Kind::Site), words: own.to_owned(), ..Query::default() })?;
        found.extend(rows.iter().filter(|r| r.text("address").is_some_and(|a| plain(a) == plain(own))).map(|r| r.id));
    }
    Ok(found)
}

/// Inquiries that name one of these sites or contacts.
fn inquiries_of(notebook: &Notebook, targets: Vec<RecordId>) -> Result<Vec<RecordId>, Trouble> {
    let mut found = Vec::new();
    for target in targets {
        let query = Query { kind: Some(Kind::Inquiry), refers_to: Some(target), ..Query::default() };
        let names = |row: &Summary| ["site", "contact"].into_iter().any(|f| reference(row, f) == Some(target));
        found.extend(every(notebook, &query)?.iter().filter(|row| names(row)).map(|row| row.id));
    }
    Ok(found)
}
