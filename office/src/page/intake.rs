//! The log of bundles, and over all of them: what waits, and what has not come.

use dooryard_core::{Error, Result, notebook::Gap, words::Words};

use super::{
    bundles::{Bundle, Waits, bundle, pictures, waits, why_and_what_to_do},
    words::When,
};
use crate::desk::{Office, Taken};

/// Bundles of one page of the log.
const PAGE: usize = 200;

/// The log of bundles as the page shows it.
pub struct Log {
    /// How many bundles.
    pub line: String,
    /// The bundles, newest first.
    pub bundles: Vec<Bundle>,
    /// The number below which the next page begins.
    pub older: Option<usize>,
    /// How many changes and files wait, in a sentence.
    pub waiting_line: String,
    /// Whether any do.
    pub waits: bool,
    /// What has not come.
    pub missing: Vec<Waits>,
    /// How much has not come.
    pub missing_line: String,
}

/// A page of the log: bundles with numbers below `before`.
///
/// # Errors
/// Of the stores.
pub fn log(office: &Office, before: Option<usize>, when: &When, words: Words) -> Result<Log> {
    let rows = office.intake_log()?;
    let all = rows.len();
    let first = before.map_or(0, |before| (all + 1).saturating_sub(before));
    let numbered = rows.iter().zip((1..=all).rev()).skip(first);
    let bundles: Vec<Bundle> = numbered.take(PAGE).map(|((at, row), n)| bundle(n, *at, row, when, words)).collect();
    let missing = missing(&office.notebook().gaps()?, office.notebook().blobs_awaited()?.len() as u64, words);
    let wait = how_many_wait(office)?;
    Ok(Log {
        line: words.with("take-in-files-so-far", [("n", &all)]),
        older: bundles.last().map(|b| b.number).filter(|n| *n > 1),
        waiting_line: said_to_wait(wait, words),
        waits: wait != (0, 0),
        missing_line: missing_line(&missing),
        bundles,
        missing,
    })
}

/// How many changes and how many files wait for a decision.
fn how_many_wait(office: &Office) -> Result<(u64, u64)> {
    let sealed = office.waiting()?.iter().filter(|waiting| waiting.holds_erased).count();
    Ok((office.notebook().waiting()?, (office.quarantined()?.len() + sealed) as u64))
}

/// How much waits, in a sentence.
///
/// # Errors
/// Of the stores.
pub fn waiting_line(office: &Office, words: Words) -> Result<String> {
    Ok(said_to_wait(how_many_wait(office)?, words))
}

fn said_to_wait((changes, files): (u64, u64), words: Words) -> String {
    let name = match (changes, files) {
        (0, 0) => "take-in-waits-nothing",
        (_, 0) => "take-in-waits-changes",
        (0, _) => "take-in-waits-files",
        _ => "take-in-waits-both",
    };
    words.with(name, [("changes", &changes), ("files", &files)])
}

/// How much has not come, in a few words; empty where all has.
fn missing_line(missing: &[Waits]) -> String {
    let parts: Vec<String> = missing.iter().map(|m| format!("{} {}", m.count, m.what)).collect();
    parts.join(", ")
}

/// One bundle by its number in the log, with what became of it and when (milliseconds since 1970).
///
/// # Errors
/// Of the stores.
pub fn one(office: &Office, number: usize, when: &When, words: Words) -> Result<Option<(Bundle, i64, Taken)>> {
    let rows = office.intake_log()?;
    // The log comes newest first, and numbers count from the oldest.
    let row = rows.len().checked_sub(number).filter(|_| number > 0).and_then(|at| rows.into_iter().nth(at));
    Ok(row.map(|(at, row)| (bundle(number, at, &row, when, words), at, row)))
}

/// The number in the log of what was just taken in, and its time.
///
/// # Errors
/// [`Error::NotFound`] when the log does not have it; of the stores.
pub fn number_of(office: &Office, taken: &Taken) -> Result<(usize, i64)> {
    let rows = office.intake_log()?;
    let at = rows.iter().position(|(_, row)| row.is_line_of(taken));
    let found = at.and_then(|at| Some((rows.len() - at, rows.get(at)?.0)));
    found.ok_or_else(|| Error::NotFound("the line of the log that was just written".into()))
}

/// What waits: changes by sender and reason, then whole files in quarantine, then those of phones to be admitted that name what was
/// erased.
///
/// # Errors
/// Of the stores.
pub fn waiting(office: &Office, when: &When, words: Words) -> Result<Vec<Waits>> {
    let mut rows = Vec::new();
    for device in office.devices()? {
        let waiting = office.notebook().waiting_of(&device.device.parse()?)?;
        let mut codes: Vec<String> = waiting.into_iter().map(|(.., code)| code).collect();
        codes.sort();
        for code in codes.chunk_by(|a, b| a == b) {
            let row = waits(&code[0], code.len() as u64, words);
            let why = words.with("take-in-waits-from", [("who", &device.label), ("why", &row.why)]);
            rows.push(Waits { why, ..row });
        }
    }
    let kept = |code: &str, at_ms: u64, id: &str, erased: bool| {
        let (why, to_do) = why_and_what_to_do(code, words);
        let at = when.day_ms(i64::try_from(at_ms).unwrap_or(i64::MAX));
        let id = &id[..id.len().min(8)];
        Waits {
            count: 1,
            what: words.with("take-in-unit-files", [("n", &1_u64)]),
            why: words.with("take-in-kept-since", [("why", &why), ("day", &at), ("id", &id)]),
            to_do: if erased { words.say("take-in-erased-do") } else { to_do },
        }
    };
    rows.extend(office.quarantined()?.iter().map(|q| kept(&q.code, q.at_ms, &q.id, q.holds_erased)));
    let waiting = office.waiting()?.into_iter().filter(|waiting| waiting.holds_erased);
    rows.extend(waiting.map(|waiting| kept(&waiting.code, waiting.at_ms, &waiting.id, true)));
    Ok(rows)
}

/// What has not come: holes in logs, and pictures.
pub fn missing(gaps: &[Gap], awaited: u64, words: Words) -> Vec<Waits> {
    let mut rows: Vec<Waits> = gaps
        .iter()
        .map(|gap| {
            let (n, from, to) = (gap.to - gap.from + 1, gap.from.to_string(), gap.to.to_string());
            let places: [(&str, &dyn dooryard_core::words::Argument); 4] =
                [("who", &gap.label), ("from", &from), ("to", &to), ("log", &gap.log)];
            Waits {
                count: n,
                what: words.with("take-in-unit-changes", [("n", &n)]),
                why: words.with("take-in-gap", places),
                to_do: words.say(if gap.lost { "take-in-gap-lost" } else { "take-in-still-on-phone" }),
            }
        })
        .collect();
    if awaited > 0 {
        rows.push(pictures(awaited, words));
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_phone_reports_lost_is_told_apart_from_what_is_still_to_come() {
        let gap = |lost| Gap { log: "a1b2c3d4.0f0f".into(), label: "Scout 1".into(), from: 2, to: 3, lost };
        let rows = missing(&[gap(false), gap(true)], 0, Words::default());
        assert_eq!(rows.len(), 2);
        assert!(rows[0].to_do.contains("offers them again"), "{}", rows[0].to_do);
        assert!(rows[1].to_do.contains("can no longer read them"), "{}", rows[1].to_do);
        assert_eq!(rows[1].count, 2);
    }
}
