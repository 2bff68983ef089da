//! Handing over: what goes, how large it is, where each inquiry is on its way, what a reply brought.

use std::path::Path;

use super::{
    ask_write::settle_all,
    reader::View,
    records::{InquiryFilter, inquiries},
    today::waiting,
};
use crate::{
    Code, Error, Result,
    bundle::{BundleSummary, ReplyTaken},
    ids::RecordId,
    job::Job,
    notebook::Way,
    words::size,
};

/// Handing over.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HandOverScreen {
    /// Who holds this phone, by role.
    pub who: String,
    /// What waits: `6 inquiries, 46 photos, 61 MB`; that nothing does.
    pub what: String,
    /// Since when.
    pub since: String,
    /// Something waits.
    pub waits: bool,
    /// That there is no office yet to hand over to, first; who can read it, and what stays out of it.
    pub notes: Vec<String>,
    /// Where each inquiry is, newest first.
    pub rows: Vec<WayRow>,
    /// What to hand back for the next page of them; empty where this is the last.
    pub next: String,
}

/// Where one inquiry is on its way.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct WayRow {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Host and township, and the day; that it is under seal.
    pub head: String,
    /// How far it is: 1 on this phone, 2 handed over, 3 the office has it, 4 reviewed.
    pub step: u32,
    /// The same in words.
    pub words: String,
    /// That no word came back yet, and that it is kept until then; else empty.
    pub note: String,
}

/// A bundle that was made.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HandedOver {
    /// Path of the file.
    pub path: String,
    /// What is in it, and what to do with it.
    pub lines: Vec<String>,
    /// Something did not fit: make another one after the office's reply.
    pub more: bool,
}

/// What a reply brought.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ReplyTold {
    /// In plain sentences.
    pub lines: Vec<String>,
    /// Changes of this phone that wait at the office, and why.
    pub waiting: Vec<String>,
}

/// Handing over, with a page of where each inquiry is. `after` is the end of the page before, empty for the first.
///
/// # Errors
/// `SCHEMA` for an end that is none; of SQLite.
pub fn hand_over_screen(view: &View<'_>, after: &str, limit: u32) -> Result<HandOverScreen> {
    let unhanded = view.notebook.unhanded()?;
    let (since, waits) = waiting(view, &unhanded);
    let page = inquiries(view, InquiryFilter::All, "", after, limit)?;
    let mut notes = vec![view.say("phone-hand-sealed"), view.say("phone-hand-kept")];
    if view.notebook.card().is_err_and(|e| matches!(e, Error::NotEnrolled)) {
        notes.insert(0, view.say("phone-hand-no-office"));
    }
    if view.notebook.must_enrol_again()? {
        notes.insert(0, view.say("phone-first-new-key"));
    }
    if view.notebook.invited()?.is_some() {
        notes.push(view.say("phone-not-answered-yet"));
    }
    Ok(HandOverScreen {
        who: view.own_label()?,
        what: if waits || unhanded.bytes > 0 {
            let bytes = size(unhanded.bytes, view.words);
            view.with("phone-hand-what", [("n", &unhanded.inquiries), ("photos", &unhanded.photos), ("size", &bytes)])
        } else {
            view.say("phone-waits-nothing")
        },
        since,
        waits,
        notes,
        rows: page
            .rows
            .into_iter()
            .map(|row| WayRow {
                inquiry: row.id,
                head: format!("{}, {}", row.head, row.day),
                step: match row.way {
                    Way::OnThisPhone => 1,
                    Way::HandedOver => 2,
                    Way::OfficeHasIt => 3,
                    Way::Reviewed => 4,
                },
                words: row.way_words,
                note: if row.way == Way::HandedOver { view.say("phone-way-no-word") } else { String::new() },
            })
            .collect(),
        next: page.next,
    })
}

/// Writes what is typed into the records, and then everything that the office has not confirmed into a sealed file.
///
/// # Errors
/// As [`crate::notebook::Notebook::make_bundle`]; [`Error::NotEnrolled`] where no office's code was taken, and what is typed is
/// written all the same.
pub fn hand_over(view: &View<'_>, out: &Path, job: &Job) -> Result<HandedOver> {
    settle_all(view)?;
    let made = view.notebook.make_bundle(out, job)?;
    Ok(handed_over(view, &made, out))
}

/// What a bundle holds, told.
fn handed_over(view: &View<'_>, made: &BundleSummary, out: &Path) -> HandedOver {
    let mut lines = vec![
        view.with("phone-handed-holds", [("photos", &made.photos), ("size", &size(made.bytes, view.words))]),
        view.say("phone-handed-next"),
    ];
    let more = made.left > 0 || made.photos_left > 0;
    if more {
        lines.push(view.with("phone-handed-more", [("n", &made.photos_left)]));
    }
    HandedOver { path: out.display().to_string(), lines, more }
}

/// What a reply brought, told.
pub fn reply_told(view: &View<'_>, taken: &ReplyTaken) -> ReplyTold {
    let mut lines = vec![
        view.with("phone-reply-received", [("n", &taken.received)]),
        view.with("phone-reply-photos", [("n", &taken.photos_received)]),
        view.with("phone-reply-shows", [("n", &taken.records)]),
    ];
    if taken.restored {
        lines.push(view.say("phone-reply-restored"));
    }
    let mut waiting: Vec<String> = Vec::new();
    for (_, code) in &taken.waiting {
        let said = Code::from_name(code).map_or_else(|| code.clone(), |code| sentence(view, code));
        if !waiting.contains(&said) {
            waiting.push(said);
        }
    }
    if !waiting.is_empty() {
        lines.push(view.with("phone-reply-waiting", [("n", &taken.waiting.len())]));
    }
    ReplyTold { lines, waiting }
}

fn sentence(view: &View<'_>, code: Code) -> String {
    match view.words.0 {
        crate::words::Language::En => code.sentence(),
        crate::words::Language::Es => code.sentence_es(),
    }
    .to_owned()
}
