//! The first screen: what is due, what was begun, how much was not handed over and since when.

use super::{
    Resume,
    conflicts::count_words,
    content::outdated,
    later::{LaterRow, rows as later_rows},
    reader::View,
    records::{InquiryFilter, InquiryRow, inquiries},
    resume::resume,
};
use crate::{
    Error, Result,
    notebook::{DueAsk, Unhanded},
    words::sentence_case,
};

/// The first screen.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Today {
    /// `Monday 20 July`
    pub date: String,
    /// `4 inquiries on this phone, not handed over.`, and since when; that nothing waits.
    pub waiting: String,
    /// Something waits to be handed over.
    pub waits: bool,
    /// Where somebody was; nothing at the first screen.
    pub resume: Option<Resume>,
    /// What is to be asked today or was before, the oldest first.
    pub due: Vec<LaterRow>,
    /// `and 3 more`; empty where these are all.
    pub due_more: String,
    /// What was begun and not put down, newest first.
    pub unfinished: Vec<InquiryRow>,
    /// There is more of that.
    pub unfinished_more: bool,
    /// That two wrote otherwise; empty where none did.
    pub conflicts: String,
    /// That there is no office yet, or it has not answered yet, or the pack is old; empty where there is nothing to say.
    pub notes: Vec<String>,
}

/// Rows of each part.
const SHOWN: usize = 5;

/// The first screen.
///
/// # Errors
/// Of SQLite.
pub fn today(view: &View<'_>) -> Result<Today> {
    let day = view.when.today();
    let weekday = view.say(&format!("time-weekday-{}", day.weekday().to_monday_one_offset()));
    let ask = DueAsk { until: day.to_string(), limit: SHOWN, ..DueAsk::default() };
    let (due, more) = view.notebook.follow_ups(&ask)?;
    let unfinished = inquiries(view, InquiryFilter::Unfinished, "", "", 3)?;
    let (waiting, waits) = waiting(view, &view.notebook.unhanded()?);
    Ok(Today {
        date: sentence_case(&view.with("time-of-week", [("weekday", &weekday), ("day", &view.when.date(day))])),
        waiting,
        waits,
        resume: resume(view)?,
        due: later_rows(view, &due)?,
        due_more: if more.is_some() { view.say("phone-due-more") } else { String::new() },
        unfinished_more: !unfinished.next.is_empty(),
        unfinished: unfinished.rows,
        conflicts: count_words(view)?,
        notes: notes(view)?,
    })
}

/// What waits to be handed over, in a sentence.
pub(super) fn waiting(view: &View<'_>, unhanded: &Unhanded) -> (String, bool) {
    if unhanded.changes == 0 {
        return (view.say("phone-waits-nothing"), false);
    }
    let what = match unhanded.inquiries {
        0 => view.with("phone-waits-changes", [("n", &unhanded.changes)]),
        n => view.with("phone-waits-inquiries", [("n", &n)]),
    };
    let oldest = unhanded.since_ms.and_then(|ms| view.when.day_of_ms(ms));
    let days = oldest.map_or(0, |day| i64::from((view.when.today() - day).get_days()).max(0));
    let since = view.with("phone-waits-since", [("n", &days)]);
    (format!("{what} {since}"), true)
}

fn notes(view: &View<'_>) -> Result<Vec<String>> {
    let mut notes = Vec::new();
    if view.notebook.card().is_err_and(|e| matches!(e, Error::NotEnrolled)) {
        notes.push(view.say("phone-no-office"));
    }
    if view.notebook.invited()?.is_some() {
        notes.push(view.say("phone-not-answered-yet"));
    }
    notes.extend(Some(outdated(view)).filter(|text| !text.is_empty()));
    Ok(notes)
}
