//! One inquiry as the queue holds it: its answers, how far the review of each is, and why each needs one.

use std::collections::BTreeMap;

use dooryard_core::{
    Result,
    ids::RecordId,
    key::Pack,
    notebook::{Notebook, Summary},
    record::Kind,
};
use serde::{Deserialize, Serialize};

use super::{around::Around, queue::Entry, why};
use crate::{
    ledger::{named_causes, opened_ms, reference},
    page::{Names, instant_ms, words::day_of_ms},
};

/// One answer, or that somebody looked and named no cause.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub(super) struct Answer {
    /// The diagnosis, or the inquiry where no cause was named.
    pub(super) id: RecordId,
    /// When it was given, milliseconds since 1970.
    pub(super) at_ms: i64,
    /// The causes it holds, each with its season, a year. None that is regulated.
    pub(super) held: Vec<(i16, String)>,
    /// It waits for a scout's or a laboratory's word.
    pub(super) asked: bool,
    /// What stands in the queue of it while nobody has reviewed it; the first of a cause is told by the queue.
    pub(super) entry: Option<Entry>,
}

/// How far the review of an answer is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Stage {
    /// Nobody has decided; somebody may have kept an answer of their own.
    Open(Option<String>),
    /// Something was asked of the scout or the laboratory, and no word has come.
    Asked,
    /// Decided.
    Done,
}

/// The answers of these inquiries; none of one that lists may not show.
///
/// # Errors
/// Of the notebook.
pub(super) fn answers(
    notebook: &Notebook,
    inquiries: &[RecordId],
    pack: &Pack,
    names: &Names,
) -> Result<Vec<(RecordId, Vec<Answer>)>> {
    let all = Around::all(notebook, inquiries, names)?;
    let mut found: BTreeMap<RecordId, Vec<Answer>> = inquiries.iter().map(|id| (*id, Vec::new())).collect();
    found.extend(all.iter().map(|around| (around.inquiry.id, of(around, pack, names))));
    Ok(found.into_iter().collect())
}

fn of(around: &Around, pack: &Pack, names: &Names) -> Vec<Answer> {
    if around.answers.is_empty() {
        let looked = around.of(Kind::Visit).next().is_some() && is_open(&around.inquiry);
        return looked.then(|| answer(around, None, pack, names)).into_iter().collect();
    }
    around.answers.iter().map(|diagnosis| answer(around, Some(diagnosis), pack, names)).collect()
}

fn answer(around: &Around, diagnosis: Option<&Summary>, pack: &Pack, names: &Names) -> Answer {
    let inquiry = &around.inquiry;
    let id = diagnosis.map_or(inquiry.id, |d| d.id);
    let at_ms = diagnosis.map_or_else(|| opened_ms(inquiry), at_ms);
    let asked = around.of(Kind::FollowUp).any(|f| !f.is_done());
    let sampled = around.of(Kind::Sample).any(|s| s.text("result").is_none());
    let about =
        |review: &&Summary| reference(review, "diagnosis").map_or(diagnosis.is_none(), |reviewed| reviewed == id);
    let reviews: Vec<&Summary> = around.of(Kind::Review).filter(about).collect();
    let stage = if diagnosis.is_none_or(is_presumptive) { stage(&reviews, asked, sampled) } else { Stage::Done };
    let entry = match &stage {
        Stage::Open(begun) => Some(Entry {
            id,
            inquiry: inquiry.id,
            since_ms: at_ms,
            reasons: why::reasons(pack, around, diagnosis),
            urgency: inquiry.text("urgency").unwrap_or_default().to_owned(),
            begun: begun.clone(),
        }),
        Stage::Asked | Stage::Done => None,
    };
    Answer {
        id,
        at_ms,
        held: diagnosis.map_or_else(Vec::new, |d| held(d, at_ms, names)),
        asked: stage == Stage::Asked,
        entry,
    }
}

/// How far it is: what was decided says so. `asked` says that a question is not answered yet, `sampled` that a laboratory's
/// result has not come; once they have, it is open again.
pub(super) fn stage(reviews: &[&Summary], asked: bool, sampled: bool) -> Stage {
    let mut stage = Stage::Open(None);
    for review in reviews {
        match review.text("decision") {
            Some("ask_back") if asked => stage = Stage::Asked,
            Some("sample") if sampled => stage = Stage::Asked,
            Some("ask_back" | "sample") => {}
            Some(_) => return Stage::Done,
            None if review.fields.contains_key("agrees") => return Stage::Done,
            // A review from before decisions were written down, with words alone.
            None if !review.fields.contains_key("blind") => return Stage::Done,
            None if stage == Stage::Open(None) => {
                stage = Stage::Open(Some(review.text("reviewer").unwrap_or_default().to_owned()));
            }
            None => {}
        }
    }
    stage
}

fn is_open(inquiry: &Summary) -> bool {
    !matches!(inquiry.text("status"), Some("answered" | "closed"))
}

fn is_presumptive(diagnosis: &Summary) -> bool {
    matches!(diagnosis.text("status"), None | Some("presumptive"))
}

/// When an answer was given, milliseconds since 1970.
fn at_ms(diagnosis: &Summary) -> i64 {
    diagnosis.text("at").and_then(instant_ms).unwrap_or(diagnosis.changed_ms)
}

fn held(diagnosis: &Summary, at_ms: i64, names: &Names) -> Vec<(i16, String)> {
    let Some(year) = day_of_ms(at_ms).map(jiff::civil::Date::year) else { return Vec::new() };
    let named = named_causes(diagnosis.fields.get("causes")).into_iter();
    let open =
        named.filter(|(cause, percent)| !names.regulated.contains(cause) && percent.is_some_and(|p| p >= why::HELD));
    open.map(|(cause, _)| (year, cause)).collect()
}
