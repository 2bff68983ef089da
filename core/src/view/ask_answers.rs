//! Answers to the safety questions: kept beside the records while somebody answers, and written as one change when they go on. What
//! an answer raises does not wait: the stop is in the records at once.

use std::collections::BTreeMap;

use super::{ask::AskScreen, reader::View};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{Whole, asked, write_asked},
};

/// The beginning of the keys under which answers are kept.
const KEPT: &str = "answers ";

fn key(inquiry: RecordId) -> String {
    format!("{KEPT}{inquiry}")
}

/// What was answered and is in no record yet: by question, empty where an answer was taken back.
fn kept(view: &View<'_>, inquiry: RecordId) -> Result<BTreeMap<String, String>> {
    let text = view.notebook.draft(&key(inquiry))?;
    Ok(text.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
}

/// What the safety questions are answered with: what stands in the record, and what was touched since.
pub(super) fn answers(view: &View<'_>, whole: &Whole) -> Result<BTreeMap<String, String>> {
    let mut answers = asked(&whole.inquiry);
    answers.extend(kept(view, whole.inquiry.id)?);
    answers.retain(|_, answer| !answer.is_empty());
    Ok(answers)
}

/// Answers a safety question: `yes`, `unsure` or `no`; empty takes the answer back. Not sure counts as yes. A stop that was
/// raised stays, whatever is answered afterwards.
///
/// # Errors
/// `SCHEMA` for a question or an answer that there is not; as [`crate::notebook::Notebook::save`].
pub fn answer_question(view: &View<'_>, inquiry: RecordId, question: &str, answer: &str) -> Result<AskScreen> {
    let known = view.pack.questions.iter().any(|q| q.id == question);
    if !known || !matches!(answer, "yes" | "unsure" | "no" | "") {
        return Err(Error::refused(Code::Schema, "that is no answer to a safety question"));
    }
    let whole = view.whole(inquiry)?;
    let mut kept = kept(view, inquiry)?;
    kept.insert(question.to_owned(), answer.to_owned());
    let mut answers = asked(&whole.inquiry);
    answers.extend(kept.clone());
    // First the stop that it raises: stopped in between, that stands and the question is asked again.
    super::ask_write::raise(view, &whole, &answers)?;
    view.notebook.keep_draft(&key(inquiry), Some(&serde_json::to_string(&kept).unwrap_or_default()))?;
    super::ask(view, inquiry)
}

/// Writes the answers of an inquiry into its record: one change, or none where nothing is other than it stands there. Stopped in
/// between, it is written again the same.
///
/// # Errors
/// [`Error::NotFound`]; as [`crate::notebook::Notebook::save`].
pub(super) fn settle_answers(view: &View<'_>, whole: &Whole) -> Result<()> {
    let inquiry = whole.inquiry.id;
    if view.notebook.draft(&key(inquiry))?.is_none() {
        return Ok(());
    }
    let answers = answers(view, whole)?;
    if answers != asked(&whole.inquiry) {
        write_asked(view.notebook, inquiry, &answers)?;
    }
    view.notebook.keep_draft(&key(inquiry), None)
}

/// Inquiries of which answers are in no record yet.
pub(super) fn unsettled(view: &View<'_>) -> Result<Vec<RecordId>> {
    Ok(view.notebook.drafts_after(KEPT)?.into_iter().filter_map(|(id, _)| id.parse().ok()).collect())
}

/// Writes the answers of every inquiry into its record: somebody went on to something else.
///
/// # Errors
/// As [`settle_answers`].
pub(super) fn settle_all_answers(view: &View<'_>) -> Result<()> {
    for inquiry in unsettled(view)? {
        match view.whole(inquiry).and_then(|whole| settle_answers(view, &whole)) {
            Err(Error::NotFound(_)) | Ok(()) => {}
            Err(e) => return Err(e),
        }
    }
    Ok(())
}
