//! What each bundle brought: the sum, what was set aside and why, what has not come.

use dooryard_core::{Code, Result, bundle::TakeIn, notebook::Gap};

use super::words::{When, count, list};
use crate::desk::{Office, Outcome, Quarantined, Taken};

/// The log of bundles as the page shows it.
pub struct Log {
    /// How many bundles, how many changes.
    pub line: String,
    /// The bundles, newest first.
    pub bundles: Vec<Bundle>,
    /// What waits, by reason.
    pub waiting: Vec<Waits>,
    /// How much waits.
    pub waiting_line: String,
    /// What has not come.
    pub missing: Vec<Waits>,
    /// How much has not come.
    pub missing_line: String,
}

/// One bundle.
#[derive(Clone, PartialEq, Debug)]
pub struct Bundle {
    /// Its number in the log, from 1.
    pub number: usize,
    /// The day it was taken in.
    pub day: String,
    /// The time of day.
    pub clock: String,
    /// From whom.
    pub head: String,
    /// File, when taken in, when made.
    pub line: String,
    /// What it brought, in a few words.
    pub sum: String,
    /// Lines below: (reason, words).
    pub reasons: Vec<(String, String)>,
    /// It was taken in.
    pub kept: bool,
    /// Changes in it: new, already here and set aside add up to it.
    pub came: u64,
    /// New ones that count.
    pub new: u64,
    /// Those that were here already.
    pub repeated: u64,
    /// New ones that wait.
    pub set_aside: u64,
    /// What the sum means.
    pub said: String,
    /// What waits, by reason.
    pub waiting: Vec<Waits>,
    /// What has not come.
    pub missing: Vec<Waits>,
}

/// Something that waits or has not come.
#[derive(Clone, PartialEq, Debug)]
pub struct Waits {
    /// How many.
    pub count: u64,
    /// Of what.
    pub what: String,
    /// Why.
    pub why: String,
    /// What to do, or what happens by itself.
    pub to_do: String,
}

/// The whole log.
///
/// # Errors
/// Of the stores.
pub fn log(office: &Office, when: &When) -> Result<Log> {
    let rows = office.intake_log()?;
    let numbers = (1..=rows.len()).rev();
    let bundles: Vec<Bundle> = rows.iter().zip(numbers).map(|((at, row), n)| bundle(n, *at, row, when)).collect();
    let waiting = waiting(office, when)?;
    let missing = missing(&office.notebook().gaps()?, office.notebook().blobs_awaited()?.len() as u64);
    let sum = |rows: &[Waits]| rows.iter().map(|w| w.count).sum::<u64>();
    let changes: u64 = waiting.iter().filter(|w| w.what.starts_with("change")).map(|w| w.count).sum();
    let files = waiting.iter().filter(|w| w.what == "file").count() as u64;
    Ok(Log {
        line: format!(
            "{}. Taking a file in again changes nothing.",
            count(bundles.len() as u64, "file was handed in", "files were handed in")
        ),
        waiting_line: match (changes, files) {
            (0, 0) => "nothing".into(),
            (n, 0) => format!("{}, kept unchanged", count(n, "change", "changes")),
            (n, f) => format!("{} and {}, kept unchanged", count(n, "change", "changes"), count(f, "file", "files")),
        },
        missing_line: match sum(&missing) {
            0 => "nothing".into(),
            _ => list(&missing.iter().map(|m| format!("{} {}", m.count, m.what)).collect::<Vec<_>>()),
        },
        bundles,
        waiting,
        missing,
    })
}

/// One bundle by its number in the log.
///
/// # Errors
/// Of the stores.
pub fn one(office: &Office, number: usize, when: &When) -> Result<Option<Bundle>> {
    let rows = office.intake_log()?;
    // The log comes newest first, and numbers count from the oldest.
    let row = rows.len().checked_sub(number).filter(|_| number > 0).and_then(|at| rows.get(at));
    Ok(row.map(|(at, row)| bundle(number, *at, row, when)))
}

/// What waits: changes by sender and reason, then whole files in quarantine.
///
/// # Errors
/// Of the stores.
pub fn waiting(office: &Office, when: &When) -> Result<Vec<Waits>> {
    let mut rows = Vec::new();
    for device in office.devices()? {
        let waiting = office.notebook().waiting_of(&device.device.parse()?)?;
        let mut codes: Vec<String> = waiting.into_iter().map(|(.., code)| code).collect();
        codes.sort();
        for code in codes.chunk_by(|a, b| a == b) {
            let row = waits(&code[0], code.len() as u64);
            rows.push(Waits { why: format!("From {}. {}", device.label, row.why), ..row });
        }
    }
    rows.extend(office.quarantined()?.iter().map(|q| quarantined(q, when)));
    Ok(rows)
}

fn quarantined(q: &Quarantined, when: &When) -> Waits {
    let row = waits(&q.code, 1);
    let at = i64::try_from(q.at_ms).unwrap_or(i64::MAX);
    let kept = format!("{} Kept sealed since {} under {}.", row.why, when.day_ms(at), &q.id[..q.id.len().min(8)]);
    Waits { what: "file".into(), why: kept, ..row }
}

/// One bundle in words.
pub fn bundle(number: usize, at_ms: i64, taken: &Taken, when: &When) -> Bundle {
    let (file, t) = (&taken.file, &taken.report);
    let code = taken.code.as_deref();
    let set_aside: u64 = t.waiting.values().sum();
    let new = t.new.saturating_sub(set_aside);
    let came = new + set_aside + t.repeated;
    let from = if t.from.is_empty() { "somebody not known here" } else { &t.from };
    let mut waiting: Vec<Waits> = t.waiting.iter().map(|(code, n)| waits(code, *n)).collect();
    waiting.extend(t.segments_refused.iter().map(|(code, n)| Waits {
        what: if *n == 1 { "piece of a log" } else { "pieces of a log" }.into(),
        ..waits(code, *n)
    }));
    let kept = taken.outcome == Outcome::TakenIn;
    let mut line = vec![format!("Taken in at {}", when.full_ms(at_ms))];
    if t.made_ms > 0 {
        let made = i64::try_from(t.made_ms).unwrap_or(i64::MAX);
        line.push(format!("made on the phone at {} by its own clock", when.full_ms(made)));
    }
    line.push(format!("file {file}"));
    Bundle {
        number,
        day: when.day_ms(at_ms),
        clock: when.clock_ms(at_ms),
        head: if kept { format!("Bundle from {from}") } else { format!("File {file}") },
        line: line.join(" · "),
        sum: if kept { sum_words(new, t.repeated, set_aside, t) } else { "not taken in.".into() },
        reasons: code.map_or_else(|| reasons(t), |code| vec![("Why:".into(), sentence(code))]),
        kept,
        came,
        new,
        repeated: t.repeated,
        set_aside,
        said: code.map_or_else(|| said(t, came), |code| refused(code, taken.outcome)),
        waiting,
        missing: missing_of(t),
    }
}

fn sum_words(new: u64, repeated: u64, set_aside: u64, t: &TakeIn) -> String {
    let mut parts = vec![format!("{} new, {repeated} already here", count(new, "change", "changes"))];
    if set_aside > 0 {
        parts.push(format!("{set_aside} set aside"));
    }
    if t.photos > 0 {
        parts.push(count(t.photos, "picture", "pictures"));
    }
    format!("{}.", parts.join(", "))
}

fn refused(code: &str, outcome: Outcome) -> String {
    let kept = if outcome == Outcome::Kept { " The file is kept sealed until someone decides." } else { "" };
    format!("Nothing of it was taken in, and nothing here was changed. {}{kept}", sentence(code))
}

fn said(t: &TakeIn, came: u64) -> String {
    if came == 0 {
        return "No change came with it.".into();
    }
    if !t.brought_anything() {
        return "The office had all of it already. Nothing changed.".into();
    }
    format!(
        "Nothing is unaccounted for. {} here for the first time, {} grew. Taking the same file in again changes nothing.",
        count(t.new_records, "record is", "records are"),
        count(t.changed_records, "record", "records"),
    )
}

fn reasons(t: &TakeIn) -> Vec<(String, String)> {
    let mut lines: Vec<(String, String)> = Vec::new();
    for (code, n) in &t.waiting {
        lines.push((format!("{} set aside:", count(*n, "change", "changes")), sentence(code)));
    }
    for (code, n) in &t.segments_refused {
        lines.push((format!("{} of a log set aside:", count(*n, "piece", "pieces")), sentence(code)));
    }
    if t.forks > 0 {
        let places = count(t.forks, "place", "places");
        lines.push((format!("One log, two stories at {places}."), sentence("FORK")));
    }
    if t.cut {
        lines.push((
            "Its end is missing.".into(),
            "What is whole was used; ask for the file again to get the rest.".into(),
        ));
    }
    if t.parts_damaged > 0 {
        lines.push((format!("{} damaged.", count(t.parts_damaged, "part", "parts")), sentence("PART_HASH")));
    }
    if t.photos_missing > 0 {
        lines.push((
            format!("{} not come.", count(t.photos_missing, "picture has", "pictures have")),
            "They are still on the phone.".into(),
        ));
    }
    if t.clock_ahead {
        lines.push(("The phone's clock runs ahead.".into(), sentence("CLOCK")));
    }
    if !t.brought_anything() {
        lines.push(("Nothing new.".into(), "The office had all of it already.".into()));
    }
    lines
}

fn missing_of(t: &TakeIn) -> Vec<Waits> {
    let mut rows = Vec::new();
    if t.photos_missing > 0 {
        rows.push(pictures(t.photos_missing));
    }
    if t.cut {
        rows.push(Waits {
            count: 1,
            what: "end".into(),
            why: "The file stops before its end.".into(),
            to_do: "Ask for the file again. What is whole was used.".into(),
        });
    }
    rows
}

/// What has not come: holes in logs, and pictures.
pub fn missing(gaps: &[Gap], awaited: u64) -> Vec<Waits> {
    let mut rows: Vec<Waits> = gaps
        .iter()
        .map(|gap| {
            let n = gap.to - gap.from + 1;
            Waits {
                count: n,
                what: if n == 1 { "change" } else { "changes" }.into(),
                why: format!("Of {}, saves {} to {} of log {}.", gap.label, gap.from, gap.to, gap.log),
                to_do: "They are still on the phone. It offers them again by itself at the next hand-over.".into(),
            }
        })
        .collect();
    if awaited > 0 {
        rows.push(pictures(awaited));
    }
    rows
}

fn pictures(n: u64) -> Waits {
    Waits {
        count: n,
        what: if n == 1 { "picture" } else { "pictures" }.into(),
        why: "Announced by a phone, and not here.".into(),
        to_do: "They are still on the phone. It offers them again by itself at the next hand-over.".into(),
    }
}

fn waits(code: &str, n: u64) -> Waits {
    let whole = sentence(code);
    // The first sentence of a code says what happened, the rest what to do.
    let (why, to_do) = whole.split_once(". ").map_or((whole.as_str(), "Nothing; it is kept."), |(a, b)| (a, b));
    Waits {
        count: n,
        what: if n == 1 { "change" } else { "changes" }.into(),
        why: format!("{}.", why.trim_end_matches('.')),
        to_do: to_do.to_owned(),
    }
}

/// A code of the wire in plain words.
pub fn sentence(code: &str) -> String {
    Code::from_name(code)
        .map_or_else(|| format!("A newer version calls it {code}. It is kept."), |c| c.sentence().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taken(outcome: Outcome, code: Option<&str>, report: TakeIn) -> Taken {
        Taken { file: "s3.yard".into(), outcome, code: code.map(str::to_owned), report }
    }

    #[test]
    fn the_sum_adds_up() {
        let report = TakeIn {
            from: "Scout 3".into(),
            new: 181,
            repeated: 31,
            waiting: [("REVOKED".to_owned(), 4), ("FORBIDDEN_FIELD".to_owned(), 1)].into(),
            ..TakeIn::default()
        };
        let at = 1_784_600_000_000;
        let b = bundle(1, at, &taken(Outcome::TakenIn, None, report), &When::at_ms(at));
        assert_eq!((b.came, b.new, b.repeated, b.set_aside), (212, 176, 31, 5));
        assert_eq!(b.came, b.new + b.repeated + b.set_aside);
        assert_eq!(b.waiting.iter().map(|w| w.count).sum::<u64>(), 5);
        assert_eq!(b.waiting[1].why, "This phone was revoked.");
    }

    #[test]
    fn a_file_that_was_not_taken_in_says_why_and_claims_nothing() {
        let b = bundle(2, 0, &taken(Outcome::Refused, Some("NOT_FOR_US"), TakeIn::default()), &When::at_ms(0));
        assert!(!b.kept && b.came == 0);
        assert_eq!(b.reasons[0].1, "It is sealed to another office. Hand it to the office it was made for.");
    }
}
