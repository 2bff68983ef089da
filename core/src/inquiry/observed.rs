//! What the findings of one plant say to the key.

use jiff::civil::Date;

use super::Whole;
use crate::{
    key::{Observation, Observations, Pack, Status},
    notebook::Record,
    record::Kind,
    words::{When, instant_ms},
};

/// What the findings of one plant say to the key, and how many of them this pack does not know.
pub fn observations(pack: &Pack, host: &str, day: Date, findings: &[&Record]) -> (Observations, u64) {
    let mut unknown = 0;
    let known = findings.iter().filter_map(|finding| {
        let observation = observation(pack, finding);
        unknown += u64::from(observation.is_none());
        observation
    });
    let findings = known.collect();
    let date = (day.month().unsigned_abs(), day.day().unsigned_abs());
    (Observations { host: host.to_owned(), date, findings }, unknown)
}

fn observation(pack: &Pack, finding: &Record) -> Option<Observation> {
    let character = pack.character(finding.text("character")?)?;
    let status = match finding.text("status") {
        Some("seen") => Status::Seen,
        Some("absent") => Status::Absent,
        Some("could_not_tell") => Status::Unsure,
        _ => Status::NotLooked,
    };
    let state = finding.text("state").map(|s| s.strip_prefix(&format!("{}.", character.id)).unwrap_or(s));
    let state = match (state, status) {
        (Some(id), _) => Some(character.states.get(character.state_index(id)?)?.id.clone()),
        (None, Status::Unsure | Status::NotLooked) => None,
        (None, Status::Seen | Status::Absent) => return None,
    };
    Some(Observation { character: character.id.clone(), state, status })
}

/// The day of the look: of the first visit, or else when the inquiry was opened; today when neither was written down.
pub fn day_of(whole: &Whole, now: &When) -> Date {
    let visits = whole.of(Kind::Visit);
    let started = visits.iter().filter_map(|v| v.text("start")).min().or_else(|| whole.inquiry.text("opened"));
    started.and_then(instant_ms).and_then(|ms| now.day_of_ms(ms)).unwrap_or_else(|| now.today())
}
