//! Which phone has handed over what.

use dooryard_core::{Result, ids::LogId, log::Run, record::Role};

use super::words::{When, count, list};
use crate::desk::{Asked, Office, Outcome};

/// One phone.
pub struct Phone {
    /// Its label, such as `Scout 3`.
    pub label: String,
    /// The role of whoever carries it.
    pub role: String,
    /// Changes of it that are here.
    pub changes: u64,
    /// Which saves of its logs are here: `1 to 50`.
    pub held: String,
    /// Its last bundle.
    pub last: String,
    /// What is open: gaps, forks, changes that wait.
    pub open: String,
}

/// A phone that came with an invitation and waits for a person.
pub struct Asking {
    /// The label of its invitation.
    pub label: String,
    /// The role of its invitation.
    pub role: &'static str,
    /// The six words, in both languages.
    pub words: [String; 2],
    /// Its sealed bundles.
    pub bundles: String,
    /// Whether another phone came with the same code.
    pub frozen: bool,
}

/// Phones that wait to be admitted.
///
/// # Errors
/// Of the file system.
pub fn asking(office: &Office) -> Result<Vec<Asking>> {
    let files = office.waiting()?;
    let phone = |asked: Asked| {
        let device = asked.device().to_string();
        let bundles = files.iter().filter(|file| file.device == device).count() as u64;
        Asking {
            label: asked.label,
            role: asked.role.name(),
            words: [asked.words.english(), asked.words.spanish()],
            bundles: count(bundles, "sealed bundle", "sealed bundles"),
            frozen: asked.frozen,
        }
    };
    Ok(office.asking()?.into_iter().map(phone).collect())
}

/// All phones, with a line over them.
///
/// # Errors
/// Of the stores.
pub fn phones(office: &Office, when: &When) -> Result<(String, Vec<Phone>)> {
    let notebook = office.notebook();
    let (log, gaps) = (office.intake_log()?, notebook.gaps()?);
    let mut phones = Vec::new();
    let mut heard = 0;
    for device in office.devices()? {
        let own = log.iter().filter(|(_, row)| row.outcome == Outcome::TakenIn && row.report.from == device.label);
        let last = own.map(|(at, _)| *at).max();
        if device.role == Role::Office.name() {
            continue;
        }
        heard += u64::from(last.is_some());
        let mut open = Vec::new();
        let absent = |lost: bool| -> u64 {
            let own = gaps.iter().filter(|g| g.label == device.label && g.lost == lost);
            own.map(|g| g.to - g.from + 1).sum()
        };
        if absent(false) > 0 {
            open.push(format!("{} not come", count(absent(false), "change has", "changes have")));
        }
        if absent(true) > 0 {
            open.push(format!("{} lost on the phone", count(absent(true), "change", "changes")));
        }
        if device.waiting > 0 {
            open.push(format!("{} set aside", count(device.waiting, "change", "changes")));
        }
        if device.logs > 1 {
            open.push(format!("{} logs, for it was restored from a backup", device.logs));
        }
        if device.revoked {
            open.push("closed: what it writes now waits for the educator".into());
        }
        phones.push(Phone {
            label: device.label,
            role: device.role,
            changes: device.changes,
            held: held(&notebook.runs_of(&device.device.parse()?)?),
            last: last.map_or_else(|| "none yet".into(), |at| when.full_ms(at)),
            open: if open.is_empty() { "nothing".into() } else { list(&open) },
        });
    }
    let line = format!("{heard} of {} handed over so far.", count(phones.len() as u64, "phone has", "phones have"));
    Ok((line, phones))
}

/// Unbroken runs of saves, log by log. Two runs over the same places of one log are two stories: both are kept.
fn held(runs: &[(LogId, Run)]) -> String {
    let logs: Vec<String> = runs
        .chunk_by(|a, b| a.0 == b.0)
        .map(|runs| list(&runs.iter().map(|(_, run)| span(run.from, run.to)).collect::<Vec<_>>()))
        .collect();
    if logs.is_empty() { "none".into() } else { logs.join("; then, in a new log, ") }
}

fn span(from: u64, to: u64) -> String {
    if from == to { from.to_string() } else { format!("{from} to {to}") }
}

#[cfg(test)]
mod tests {
    use dooryard_core::ids::{DeviceId, Hash32};

    use super::*;

    #[test]
    fn what_is_held_is_said_run_by_run_and_log_by_log() {
        let log = |incarnation| LogId { device: DeviceId([1; 16]), incarnation };
        let run = |from, to| Run { from, to, tip: Hash32([0; 32]) };
        assert_eq!(held(&[]), "none");
        assert_eq!(
            held(&[(log(1), run(1, 24)), (log(1), run(38, 50)), (log(2), run(1, 1))]),
            "1 to 24 and 38 to 50; then, in a new log, 1"
        );
    }
}
