//! The rule of keeping: the private fields of closed inquiries go after some months. Counted first, then done by a person.

use std::collections::BTreeSet;

use dooryard_core::{Result, ids::RecordId, notebook::Notebook};
use jiff::{Timestamp, ToSpan, ZonedDateTime, tz::TimeZone};

use super::person::{Private, erase_private, hanging_on, inquiries_with, private_fields};
use crate::{
    desk::{Erased, Office},
    index::Index,
};

/// What the rule erases now.
#[derive(Default)]
pub struct Due {
    /// The inquiries.
    pub inquiries: Vec<RecordId>,
    private: Private,
}

impl Due {
    /// What is due under a rule of so many months, at a moment (milliseconds since 1970): of inquiries that are closed and
    /// were not written to since. A contact or a site goes once every inquiry with it is due. What is under seal is never due.
    ///
    /// # Errors
    /// Of the stores.
    pub fn read(notebook: &Notebook, index: &Index, months: u16, now_ms: i64) -> Result<Self> {
        let Some(before) = months_before(now_ms, months) else { return Ok(Self::default()) };
        let (mut inquiries, mut private, mut seen) = (Vec::new(), Private::new(), BTreeSet::new());
        for inquiry in index.private_before(before)? {
            let mut records = hanging_on(notebook, inquiry)?;
            let row = notebook.show(inquiry)?;
            for id in ["contact", "site"].into_iter().filter_map(|field| row.text(field)?.parse().ok()) {
                if seen.insert(id) && is_due(notebook, index, id, before)? {
                    records.extend(notebook.show(id).ok());
                }
            }
            records.push(row);
            let due: Private =
                records.iter().map(|r| (r.id, private_fields(r))).filter(|(_, f)| !f.is_empty()).collect();
            if !due.is_empty() {
                inquiries.push(inquiry);
                private.extend(due);
            }
        }
        Ok(Self { inquiries, private })
    }

    /// How many fields it erases.
    pub fn fields(&self) -> usize {
        self.private.iter().map(|(_, fields)| fields.len()).sum()
    }

    /// Erases them.
    ///
    /// # Errors
    /// Of the stores: what was erased before stays erased, and what is left is still due.
    pub fn erase(&self, office: &Office) -> Result<Erased> {
        erase_private(office, &self.private)
    }
}

/// Whether every inquiry with a contact or a site is due.
fn is_due(notebook: &Notebook, index: &Index, linked: RecordId, before_ms: i64) -> Result<bool> {
    for inquiry in inquiries_with(notebook, linked)? {
        if !index.is_closed_before(inquiry, before_ms)? {
            return Ok(false);
        }
    }
    Ok(true)
}

fn months_before(now_ms: i64, months: u16) -> Option<i64> {
    let now = ZonedDateTime::new(Timestamp::from_millisecond(now_ms).ok()?, TimeZone::UTC);
    Some(now.checked_sub(i32::from(months).months()).ok()?.timestamp().as_millisecond())
}
