//! Answering a caller: the call is taken down, the key is walked with them, the letter goes out, and what is to be asked
//! later is on a list. The morning page says where all of it stands.
//!
//! Comes in: forms, one a save, and what is being typed. Goes out: records of the office's own notebook, and pages. Words
//! are read for danger whenever they are saved; what is under seal is not shown, not even to whoever raised it.

mod call;
mod follow_ups;
mod form;
mod known;
mod later;
mod letter;
mod looks;
mod morning;
mod photos;
mod sent;
mod speech;
mod take;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_letter;
#[cfg(test)]
mod tests_walk;
mod walk;
mod walk_acts;
mod writing;

use dooryard_core::{Result, ids::RecordId, inquiry::save, tell::stops};

pub(super) use self::{
    follow_ups::{follow_up_new, follow_up_write, follow_ups},
    letter::{letter, letter_write},
    morning::morning,
    photos::{BYTES as PHOTOS, add as add_photos},
    take::{desk, desk_begin, desk_one, desk_save, desk_typed, desk_typed_first},
    walk::walk,
    walk_acts::{walk_answer, walk_host, walk_read, walk_undo},
};
use super::{gather::Whole, routes::Desk, trouble::Trouble};
use crate::{index::rows_listed, ledger::Ledger, people::Visitor};

/// Most that is sent of a call or a letter, bytes: sixteen thousand letters of any script, each as `%xx%xx%xx%xx`.
pub(super) const WORDS: usize = 256 << 10;

/// Role and number of who writes, as records hold it: never a name.
fn signed_as(who: &Visitor) -> String {
    later::as_records(who.role, who.account)
}

/// Of these inquiries, which the index says may be listed: themselves, their sites and plants.
fn listed(desk: &Desk, inquiries: &[RecordId]) -> Result<Ledger> {
    Ok(Ledger::of_rows(rows_listed(desk.notebook(), inquiries)?, &[]))
}

/// Hosts and township of an inquiry.
fn about(ledger: &Ledger, inquiry: RecordId, speech: &speech::Speech<'_>) -> String {
    let hosts: Vec<String> = ledger.hosts_of(inquiry).into_iter().map(|h| speech.host(h)).collect();
    let what = if hosts.is_empty() { speech.frame.say("desk-no-plant") } else { hosts.join("; ") };
    let site = ledger.inquiries.iter().find(|i| i.id == inquiry).and_then(|i| ledger.site_of(i));
    match site.and_then(|s| s.text("township")) {
        Some(township) => format!("{what}, {township}"),
        None => what,
    }
}

/// An inquiry outside the seal, with all that belongs to it.
fn open_inquiry(desk: &Desk, id: &str) -> Result<Whole, Trouble> {
    let id = super::reading::record_id(id)?;
    if desk.index()?.is_sealed(id)? {
        return Err(Trouble::Sealed);
    }
    Ok(Whole::read(desk.notebook(), id)?)
}
