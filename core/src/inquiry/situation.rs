//! What is known of an inquiry beside the findings: everything that was written of it, read for danger; the stops of its
//! record; the answer of a laboratory.

use super::{Whole, reference, stops};
use crate::{advice::Situation, ids::RecordId, record::Kind};

/// Texts of an inquiry in which somebody may speak of a danger.
const TEXTS: [(Kind, &str); 5] = [
    (Kind::Visit, "note"),
    (Kind::Finding, "note"),
    (Kind::Photo, "caption"),
    (Kind::FollowUp, "answer"),
    (Kind::FollowUp, "action"),
];

/// The situation of one plant of an inquiry.
pub fn situation(whole: &Whole, plant: Option<RecordId>) -> Situation {
    let texts = TEXTS.iter().flat_map(|(kind, field)| whole.of(*kind).into_iter().filter_map(|r| r.text(field)));
    let mut situation =
        Situation::new(whole.inquiry.text("question").into_iter().chain(texts), stops(whole.inquiry.get("stops")));
    situation.confirmed = plant.and_then(|plant| confirmed(whole, plant));
    situation
}

/// The cause that a laboratory or an authority has confirmed for the plant.
fn confirmed(whole: &Whole, plant: RecordId) -> Option<String> {
    let answers = whole.of(Kind::Diagnosis);
    let mut answers = answers.iter().filter(|d| reference(d, "plant").is_none_or(|p| p == plant));
    let answer = answers.find(|d| matches!(d.text("status"), Some("laboratory" | "authority")))?;
    Some(answer.get("causes")?.get(0)?.get("cause")?.as_str()?.to_owned())
}
