//! The rule of keeping: the private fields of closed inquiries go after some months. Counted first, then done by a person.

use std::collections::BTreeSet;

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Summary},
};
use jiff::{Timestamp, ToSpan, ZonedDateTime, tz::TimeZone};

use super::person::{Private, erase_private, hanging_on, inquiries_with, private_fields};
use crate::{
    desk::Office,
    ledger::{Ledger, reference},
};

/// What the rule erases now.
#[derive(Default)]
pub struct Due {
    /// The inquiries.
    pub inquiries: Vec<RecordId>,
    private: Private,
}

impl Due {
    /// What is due under a rule of so many months, at a moment (milliseconds since 1970). A contact or a site goes once
    /// every inquiry with it is due. What is under seal is never due.
    ///
    /// # Errors
    /// Of the notebook.
    pub fn read(notebook: &Notebook, ledger: &Ledger, months: u16, now_ms: i64) -> Result<Self> {
        let Some(before) = months_before(now_ms, months) else { return Ok(Self::default()) };
        let closed: BTreeSet<RecordId> =
            ledger.inquiries.iter().filter(|i| is_closed_before(i, before)).map(|i| i.id).collect();
        let (mut inquiries, mut private, mut seen) = (Vec::new(), Private::new(), BTreeSet::new());
        for row in ledger.inquiries.iter().filter(|i| closed.contains(&i.id)) {
            let mut records = hanging_on(notebook, row.id)?;
            records.push(notebook.show(row.id)?);
            for id in ["contact", "site"].into_iter().filter_map(|field| reference(row, field)) {
                let record = notebook.show(id).ok().filter(|_| seen.insert(id));
                if inquiries_with(notebook, id)?.iter().all(|inquiry| closed.contains(inquiry)) {
                    records.extend(record);
                }
            }
            let due: Private =
                records.iter().map(|r| (r.id, private_fields(r))).filter(|(_, f)| !f.is_empty()).collect();
            if !due.is_empty() {
                inquiries.push(row.id);
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
    pub fn erase(&self, office: &Office) -> Result<()> {
        erase_private(office, &self.private)
    }
}

fn is_closed_before(inquiry: &Summary, before_ms: i64) -> bool {
    // Closed long ago and written to since is still being worked on.
    let closed = inquiry.text("closed").and_then(crate::page::instant_ms).unwrap_or(inquiry.changed_ms);
    inquiry.text("status") == Some("closed") && closed.max(inquiry.changed_ms) < before_ms
}

fn months_before(now_ms: i64, months: u16) -> Option<i64> {
    let now = ZonedDateTime::new(Timestamp::from_millisecond(now_ms).ok()?, TimeZone::UTC);
    Some(now.checked_sub(i32::from(months).months()).ok()?.timestamp().as_millisecond())
}
