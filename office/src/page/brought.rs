//! What a bundle brought, by inquiry; and what of it disagrees with another phone.

use std::collections::BTreeMap;

use dooryard_core::{bundle::TakeIn, ids::RecordId, record::Kind};

use super::{
    clash::{Clash, clash},
    frame::Frame,
    routes::Desk,
    say::Say,
    trouble::Trouble,
};
use crate::{
    index::rows_around,
    ledger::{Ledger, opened_ms},
};

/// Inquiries of one bundle that are shown at most.
const MOST_SHOWN: usize = 100;

/// What a bundle brought.
#[derive(Default)]
pub(super) struct Brought {
    /// Inquiries of which something came, newest first.
    pub(super) inquiries: Vec<Part>,
    /// Records that belong to no inquiry, such as hours of work.
    pub(super) others: u64,
    /// Something of it is under seal.
    pub(super) sealed: bool,
    /// Inquiries beyond those that are shown.
    pub(super) more_inquiries: u64,
    /// More records came than are named in the log.
    pub(super) more: u64,
}

/// What came of one inquiry.
pub(super) struct Part {
    pub(super) href: String,
    pub(super) day: String,
    pub(super) township: String,
    pub(super) plants: String,
    pub(super) findings: u64,
    pub(super) photos: u64,
    /// The inquiry itself was not here before.
    pub(super) new: bool,
}

/// Reads it. `report` names records alone: what they say is read now.
pub(super) fn brought(desk: &Desk, report: &TakeIn, frame: &Frame) -> Result<Brought, Trouble> {
    let (index, ids) = (desk.index()?, ids(report));
    let mut brought = Brought::default();
    let mut counts: BTreeMap<RecordId, (u64, u64, bool)> = BTreeMap::new();
    // Erased, hidden or waiting since: there is nothing to show of it.
    let kinds: BTreeMap<RecordId, Kind> = desk.notebook().rows_of(&ids)?.iter().map(|row| (row.id, row.kind)).collect();
    for (at, (id, kind)) in ids.iter().enumerate().filter_map(|(at, id)| Some((at, (id, kinds.get(id)?)))) {
        if index.is_under_seal(*id)? {
            brought.sealed = true;
            continue;
        }
        let inquiries = index.inquiries_of(*id)?;
        brought.others += u64::from(inquiries.is_empty());
        for inquiry in inquiries {
            let (findings, photos, new) = counts.entry(inquiry).or_default();
            *findings += u64::from(*kind == Kind::Finding);
            *photos += u64::from(*kind == Kind::Photo);
            *new |= *kind == Kind::Inquiry && (at as u64) < report.new_records;
        }
    }
    // Ids are made in order of time: the newest come last.
    let shown: Vec<RecordId> = counts.keys().rev().take(MOST_SHOWN).copied().collect();
    brought.more_inquiries = (counts.len() - shown.len()) as u64;
    let ledger = Ledger::of_rows(rows_around(desk.notebook(), &shown)?, &[]);
    let (when, names) = (frame.when(), desk.names_in(frame.words.0));
    for inquiry in ledger.inquiries.iter().filter(|inquiry| shown.contains(&inquiry.id)) {
        let (findings, photos, new) = counts.get(&inquiry.id).copied().unwrap_or_default();
        let hosts = ledger.hosts_of(inquiry.id).into_iter().map(|host| names.host(host));
        let site = ledger.site_of(inquiry).and_then(|site| site.text("township"));
        brought.inquiries.push(Part {
            href: format!("/inquiries/{}", inquiry.id),
            day: when.day_ms(opened_ms(inquiry)),
            township: site.map_or_else(|| frame.say("take-in-no-township"), str::to_owned),
            plants: hosts.collect::<Vec<_>>().join(", "),
            findings,
            photos,
            new,
        });
    }
    let named = ids.len() as u64;
    brought.more = (report.new_records + report.changed_records).saturating_sub(named) * u64::from(named > 0);
    Ok(brought)
}

/// The records that a report names.
fn ids(report: &TakeIn) -> Vec<RecordId> {
    report.records.iter().filter_map(|id| id.parse().ok()).collect()
}

/// The open conflicts of what came with a bundle, outside the seal, each with the address of its inquiry.
pub(super) fn disagreements(desk: &Desk, report: &TakeIn, say: Say<'_>) -> Result<Vec<(Clash, String)>, Trouble> {
    let index = desk.index()?;
    let mut shown = Vec::new();
    for conflict in desk.notebook().conflicts_in(&ids(report))? {
        if index.is_under_seal(conflict.record)? {
            continue;
        }
        let inquiry = index.inquiries_of(conflict.record)?.into_iter().next();
        let href = inquiry.map_or_else(String::new, |id| format!("/inquiries/{id}"));
        shown.extend(clash(&conflict, say, false).map(|c| (c, href)));
    }
    Ok(shown)
}
