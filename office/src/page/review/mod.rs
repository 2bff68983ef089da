//! The review: what awaits a reviewer, one answer with the reviewer's own written first, values that two phones wrote apart,
//! inquiries that look alike, several at once, and taking back.
//!
//! In comes what scouts answered; out go records of the office (`review`, `diagnosis`, `follow_up`, `sample`) through its
//! notebook. The scout's answer is not in the page before the reviewer's own is kept.

mod alike;
mod around;
mod case;
mod choose;
mod follow;
mod form;
mod keep;
mod list;
mod one;
mod queue;
mod send;
mod several;
mod subject;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_follow;
mod typed;
mod undo;
mod view;
mod why;

use dooryard_core::key::ProbabilityWord;
pub use follow::Queues;

use super::{frame::Frame, guard::Row, routes::Desk, trouble::Trouble};
use crate::people::{Act, Role};

/// Most that a review sends: its words, as the browser writes them in an address's form.
const WORDS: usize = 256 << 10;
/// Most that is sent by a form in which little is written, bytes.
const CHOICE: usize = 32 << 10;

/// Every way to ask for something of the review.
pub(super) fn rows() -> Vec<Row> {
    let (reader, reviewer) = (Some(Role::Reader), Some(Role::Reviewer));
    vec![
        Row::see("/review", reader, list::page),
        Row::see("/review/several", reviewer, several::page),
        Row::send("/review/several", reviewer, several::send).up_to(CHOICE).noting(Act::ReviewedMany),
        Row::send("/review/undo", reviewer, send::undo).up_to(CHOICE).noting(Act::TookBack),
        Row::send("/review/undo/forget", reviewer, send::forget).up_to(CHOICE),
        Row::see("/review/{id}", reader, one::page).noting(Act::SawReview),
        Row::see("/review/{id}/now", reader, one::now),
        Row::send("/review/{id}/own", reviewer, send::own).up_to(WORDS).noting(Act::KeptAnswer),
        Row::send("/review/{id}/decide", reviewer, send::decide).up_to(WORDS).noting(Act::Decided),
        Row::send("/review/{id}/draft", reviewer, send::draft).up_to(WORDS),
        Row::send("/review/{id}/choose", reviewer, choose::send).up_to(WORDS).noting(Act::ChoseValue),
        Row::send("/review/{id}/alike", reviewer, send::alike).up_to(CHOICE).noting(Act::Linked),
    ]
}

/// The first of what awaits a reviewer, how many do, and how many answers nobody has reviewed.
///
/// # Errors
/// Of the stores.
pub(super) fn most_urgent(desk: &Desk, frame: &Frame, most: usize) -> Result<(Vec<list::Row>, usize, usize), Trouble> {
    let (page, due, spared) = desk.queue(|queue| (queue.page(None, None, most), queue.len(), queue.spared()))?;
    Ok((list::rows(desk, frame, &page.rows)?, due, due + spared))
}

/// The keys of a page and what each does; the queue has its own.
pub fn keys(frame: &Frame, queue: bool) -> Vec<(&'static str, String)> {
    let own: &[(&str, &str)] = if queue {
        &[("j", "review-key-next-row"), ("k", "review-key-row-before"), ("x", "review-key-pick")]
    } else {
        &[
            ("n", "review-key-later"),
            ("p", "review-key-earlier"),
            ("o", "review-key-own"),
            ("a", "review-key-agree"),
            ("c", "review-key-correct"),
            ("b", "review-key-ask"),
            ("s", "review-key-sample"),
            ("d", "review-key-unknown"),
            ("w", "review-key-words"),
            ("q", "review-key-queue"),
        ]
    };
    let both = [("u", "review-key-undo"), ("?", "review-key-help")];
    own.iter().copied().chain(both).map(|(key, say)| (key, frame.say(say))).collect()
}

/// Parts that a cause can play, with the sentence of each.
pub const ROLES: [(&str, &str); 5] = [
    ("primary", "review-role-primary"),
    ("stress_triggered", "review-role-stress"),
    ("secondary", "review-role-secondary"),
    ("environment", "review-role-environment"),
    ("harmless", "review-role-harmless"),
];

/// The sentence that says what a looker did.
pub fn status(id: &str) -> &'static str {
    match id {
        "seen" => "review-status-seen",
        "absent" => "review-status-absent",
        "could_not_tell" => "review-status-unclear",
        _ => "review-status-unlooked",
    }
}

/// The name of a numbered field.
pub fn numbered(name: &str, n: &usize) -> String {
    format!("{name}{n}")
}

/// The name of the choice of one field of one record.
pub fn choice_of(record: &str, field: &str) -> String {
    format!("choice-{record}-{field}")
}

/// The words of the scale with the number each begins at, for the page's script: `0 almost no chance|5 very unlikely`.
pub fn scale(frame: &Frame) -> String {
    let begins = [0u8, 5, 20, 45, 55, 80, 95];
    let word = |at: u8| ProbabilityWord::of(f64::from(at) / 100.0, true).text(frame.words.0);
    begins.map(|at| format!("{at} {}", word(at))).join("|")
}
