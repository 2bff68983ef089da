//! Which inquiries an export is of, and out of how many.

use std::collections::BTreeMap;

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Summary},
};
use jiff::{Timestamp, civil::Date, tz::TimeZone};
use serde::Serialize;
use serde_json::{Value as Json, json};

use super::{
    Audience,
    case::{Case, consent},
    ids::Ids,
};
use crate::{
    desk::Office,
    index::{Ask as IndexAsk, Index, rows_around},
    ledger::{Ledger, opened_ms},
    page::{Filter, Names},
};

/// Days after which an inquiry shows to the public where it has a shape on a map.
pub const MAP_DELAY_DAYS: i64 = 14;

const DAY_MS: i64 = 86_400_000;
/// Inquiries of which the records are in memory at one time.
const BATCH: usize = 100;

/// What is asked for.
#[derive(Clone, Default)]
pub struct Ask {
    /// The filter of the list of inquiries.
    pub filter: Filter,
    /// Who reads it.
    pub audience: Audience,
    /// Leave out inquiries younger than so many days.
    pub delay_days: i64,
    /// Words find by the names of plants and causes alone: for who must not see what is private.
    pub names_only: bool,
}

/// Out of how many an export is, with what was left out and why. Sealed inquiries are in none of the numbers.
#[derive(Clone, Copy, Default, PartialEq, Eq, Debug, Serialize)]
pub struct Denominators {
    /// Inquiries of the office that are not sealed.
    pub inquiries: u64,
    /// Of these, those that the filter finds.
    pub matching: u64,
    /// Found, left out because the resident does not agree to be counted.
    pub left_out_at_the_residents_wish: u64,
    /// Found, left out because nobody wrote down whether the resident agrees; only where the public reads.
    pub left_out_without_a_yes: u64,
    /// Found, left out because all of it was erased.
    pub left_out_erased: u64,
    /// Found, left out because it is too young for a public map.
    pub left_out_too_recent: u64,
    /// Written.
    pub written: u64,
}

/// What an export is of.
pub struct Scope<'a> {
    /// The office's notebook.
    pub notebook: &'a Notebook,
    /// Names of the pack.
    pub names: &'a Names,
    /// Numbers of records.
    pub ids: Ids,
    /// Who reads it.
    pub audience: Audience,
    /// The inquiries to write, newest first.
    pub chosen: Vec<RecordId>,
    /// Out of how many.
    pub out_of: Denominators,
    /// The office's name.
    pub office: String,
    /// Now, milliseconds since 1970.
    pub now_ms: i64,
    filter: Filter,
}

impl<'a> Scope<'a> {
    /// Chooses what the list of inquiries finds, by its index, which is brought up to the notebook first.
    ///
    /// # Errors
    /// Of the stores.
    pub fn choose(office: &'a Office, index: &Index, names: &'a Names, ask: &Ask) -> Result<Self> {
        let notebook = office.notebook();
        index.follow(notebook)?;
        let found = index.ids(&IndexAsk { names_only: ask.names_only, ..ask.filter.ask() })?;
        let now_ms = i64::try_from(notebook.env().now_ms()).unwrap_or(i64::MAX);
        let newest = now_ms.saturating_sub(ask.delay_days * DAY_MS);
        let all = index.inquiries()?;
        let mut out_of = Denominators { inquiries: all, matching: found.len() as u64, ..Denominators::default() };
        let mut chosen = Vec::new();
        for inquiry in rows_in_order(notebook, &found) {
            let inquiry = &inquiry?;
            let counted = consent(notebook, inquiry, "count")?;
            if inquiry.fields.is_empty() {
                out_of.left_out_erased += 1;
            } else if counted == Some(false) {
                out_of.left_out_at_the_residents_wish += 1;
            } else if ask.audience == Audience::Public && counted.is_none() {
                out_of.left_out_without_a_yes += 1;
            } else if ask.delay_days > 0 && opened_ms(inquiry) > newest {
                out_of.left_out_too_recent += 1;
            } else {
                chosen.push(inquiry.id);
            }
        }
        out_of.written = chosen.len() as u64;
        Ok(Self {
            notebook,
            names,
            ids: Ids::new(office, ask.audience)?,
            audience: ask.audience,
            chosen,
            out_of,
            office: office.card().name.clone(),
            now_ms,
            filter: ask.filter.clone(),
        })
    }

    /// Reads one inquiry after the other, each with all that belongs to it; at no time more than a few. One that was sealed
    /// or erased since it was chosen is left out.
    ///
    /// # Errors
    /// Of the notebook, and whatever `take` gives.
    pub fn each(&self, mut take: impl FnMut(&Case<'_>) -> Result<()>) -> Result<()> {
        for batch in self.chosen.chunks(BATCH) {
            let ledger = Ledger::of_rows(rows_around(self.notebook, batch)?, &self.names.suspect);
            let rows: BTreeMap<RecordId, &Summary> = ledger.inquiries.iter().map(|row| (row.id, row)).collect();
            for inquiry in batch.iter().filter_map(|id| rows.get(id)) {
                take(&Case::read(self.notebook, &ledger, inquiry, self.audience)?)?;
            }
        }
        Ok(())
    }

    /// What the export says of itself: of what, for whom, filtered how, out of how many, with how many rows.
    pub fn about(&self, form: &str, rows: &Json) -> Json {
        let mut mind = vec![
            "Not looked is not absent: a character without a row was not looked at.",
            "People report what they see, value and have heard of; none reported is not none.",
        ];
        if self.audience == Audience::Public {
            mind.push(
                "Places are county, township and a cell about 5 miles across. Numbers of records are keyed hashes.",
            );
        }
        let mut about = json!({
            "form": form,
            "office": self.office,
            "made": self.made().map(|day| day.to_string()).unwrap_or_default(),
            "for": self.audience.name(),
            "pack": self.names.pack,
            "filter": self.filter_told(),
            "inquiries": self.out_of,
            "rows": rows,
            "mind": mind,
        });
        if !self.names.notice.is_empty() {
            about["notice"] = json!(self.names.notice);
        }
        about
    }

    /// The day on which it is made.
    pub fn made(&self) -> Option<Date> {
        Timestamp::from_millisecond(self.now_ms).ok().map(|t| TimeZone::UTC.to_datetime(t).date())
    }

    /// The filter in force. Words and who took an inquiry are the office's own: the public hears only that it was narrowed.
    fn filter_told(&self) -> Json {
        let filter = Filter { page: 0, after: None, before: None, ..self.filter.clone() };
        let mut told = serde_json::to_value(filter).unwrap_or_default();
        if self.audience == Audience::Public {
            for name in ["q", "scout"] {
                if let Some(value) = told.get_mut(name) {
                    *value = json!("narrowed by this; not repeated here");
                }
            }
        }
        told
    }
}

/// The rows of these inquiries in this order, read a few at a time.
fn rows_in_order(notebook: &Notebook, ids: &[RecordId]) -> impl Iterator<Item = Result<Summary>> {
    ids.chunks(BATCH).flat_map(|batch| match notebook.rows_of(batch) {
        Err(e) => vec![Err(e)],
        Ok(rows) => {
            let mut rows: BTreeMap<RecordId, Summary> = rows.into_iter().map(|row| (row.id, row)).collect();
            batch.iter().filter_map(|id| rows.remove(id)).map(Ok).collect()
        }
    })
}
