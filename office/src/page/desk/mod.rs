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

use dooryard_core::{inquiry::save, tell::stops};

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
use crate::people::Visitor;

/// Most that is sent of a call or a letter, bytes: sixteen thousand letters of any script, each as `%xx%xx%xx%xx`.
pub(super) const WORDS: usize = 256 << 10;

/// Role and number of who writes, as records hold it: never a name.
fn signed_as(who: &Visitor) -> String {
    format!("{} {}", super::words::sentence_case(who.role.name()), who.account)
}

/// An inquiry outside the seal, with all that belongs to it.
fn open_inquiry(desk: &Desk, id: &str) -> Result<Whole, Trouble> {
    let id = super::reading::record_id(id)?;
    if desk.ledger()?.sealed.contains(&id) {
        return Err(Trouble::Sealed);
    }
    Ok(Whole::read(desk.notebook(), id)?)
}
