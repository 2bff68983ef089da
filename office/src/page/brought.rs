//! What a bundle brought, by inquiry; and what of it disagrees with another phone.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{bundle::TakeIn, ids::RecordId, record::Kind};

use super::{
    clash::{Clash, clash},
    frame::Frame,
    routes::Desk,
    trouble::Trouble,
    words::When,
};
use crate::ledger::{Ledger, opened_ms, row_of};

/// What a bundle brought.
#[derive(Default)]
pub(super) struct Brought {
    /// Inquiries of which something came, newest first.
    pub(super) inquiries: Vec<Part>,
    /// Records that belong to no inquiry, such as hours of work.
    pub(super) others: u64,
    /// Something of it is under seal.
    pub(super) sealed: bool,
    /// More records came than are named here.
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
pub(super) fn brought(
    desk: &Desk,
    ledger: &Ledger,
    report: &TakeIn,
    when: &When,
    frame: &Frame,
) -> Result<Brought, Trouble> {
    let mut brought = Brought::default();
    let mut counts: BTreeMap<RecordId, (u64, u64, bool)> = BTreeMap::new();
    for (at, id) in report.records.iter().enumerate() {
        // Erased, hidden or waiting since: there is nothing to show of it.
        let Ok(record) = desk.notebook().show(id.parse()?) else { continue };
        let inquiries = ledger.inquiries_of(&row_of(&record));
        if inquiries.iter().any(|id| ledger.sealed.contains(id)) {
            brought.sealed = true;
            continue;
        }
        brought.others += u64::from(inquiries.is_empty());
        for inquiry in inquiries {
            let (findings, photos, new) = counts.entry(inquiry).or_default();
            *findings += u64::from(record.kind == Kind::Finding);
            *photos += u64::from(record.kind == Kind::Photo);
            *new |= record.kind == Kind::Inquiry && (at as u64) < report.new_records;
        }
    }
    for inquiry in &ledger.inquiries {
        let Some((findings, photos, new)) = counts.get(&inquiry.id).copied() else { continue };
        let hosts = ledger.hosts_of(inquiry.id).into_iter().map(|host| desk.names.host(host));
        let site = ledger.site_of(inquiry).and_then(|site| site.text("township"));
        brought.inquiries.push(Part {
            href: format!("/inquiries/{}", inquiry.id),
            day: when.day_ms(opened_ms(inquiry)),
            township: site.map_or_else(|| frame.words.say("take-in-no-township"), str::to_owned),
            plants: hosts.collect::<Vec<_>>().join(", "),
            findings,
            photos,
            new,
        });
    }
    let named = report.records.len() as u64;
    brought.more = (report.new_records + report.changed_records).saturating_sub(named) * u64::from(named > 0);
    Ok(brought)
}

/// The open conflicts of what came with a bundle, outside the seal, each with the address of its inquiry.
pub(super) fn disagreements(
    desk: &Desk,
    ledger: &Ledger,
    report: &TakeIn,
    when: &When,
) -> Result<Vec<(Clash, String)>, Trouble> {
    let came: BTreeSet<&str> = report.records.iter().map(String::as_str).collect();
    let mut shown = Vec::new();
    for conflict in desk.notebook().conflicts()? {
        if !came.contains(conflict.record.to_string().as_str()) {
            continue;
        }
        let inquiries = ledger.inquiries_of(&row_of(&desk.notebook().show(conflict.record)?));
        if inquiries.iter().any(|id| ledger.sealed.contains(id)) {
            continue;
        }
        let href = inquiries.first().map_or_else(String::new, |id| format!("/inquiries/{id}"));
        shown.extend(clash(&conflict, &desk.names, when, false).map(|c| (c, href)));
    }
    Ok(shown)
}
