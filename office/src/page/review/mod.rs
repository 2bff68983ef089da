//! The review: what awaits a reviewer, one answer with the reviewer's own written first, values that two phones wrote apart,
//! inquiries that look alike, several at once, and taking back.
//!
//! In comes what scouts answered; out go records of the office (`review`, `diagnosis`, `follow_up`, `sample`) through its
//! notebook. The scout's answer is not in the page before the reviewer's own is kept.

mod alike;
mod around;
mod choose;
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
mod typed;
mod undo;
mod view;
mod why;

use super::guard::Row;
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
