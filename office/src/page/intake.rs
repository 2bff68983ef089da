//! The log of bundles, and over all of them: what waits, and what has not come.

use dooryard_core::{Result, notebook::Gap};

use super::{
    bundles::{Bundle, Waits, bundle, pictures, waits},
    words::{When, count, list},
};
use crate::desk::{Office, Quarantined};

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
    let to_do = match q.holds_erased {
        true => "It names a record that was erased: decide whether it is kept, with dooryard office quarantine.".into(),
        false => row.to_do,
    };
    Waits { what: "file".into(), why: kept, to_do, ..row }
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
                to_do: if gap.lost {
                    "The phone can no longer read them and says so. Only an older bundle or a backup of it may have them.".into()
                } else {
                    "They are still on the phone. It offers them again by itself at the next hand-over.".into()
                },
            }
        })
        .collect();
    if awaited > 0 {
        rows.push(pictures(awaited));
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_phone_reports_lost_is_told_apart_from_what_is_still_to_come() {
        let gap = |lost| Gap { log: "a1b2c3d4.0f0f".into(), label: "Scout 1".into(), from: 2, to: 3, lost };
        let rows = missing(&[gap(false), gap(true)], 0);
        assert_eq!(rows.len(), 2);
        assert!(rows[0].to_do.contains("offers them again"), "{}", rows[0].to_do);
        assert!(rows[1].to_do.contains("can no longer read them"), "{}", rows[1].to_do);
        assert_eq!(rows[1].count, 2);
    }
}
