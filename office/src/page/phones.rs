//! Which phone has handed over what.

use dooryard_core::{Result, record::Role};

use super::words::{When, count, list};
use crate::desk::{Office, Outcome};

/// One phone.
pub struct Phone {
    /// Its label, such as `Scout 3`.
    pub label: String,
    /// The role of whoever carries it.
    pub role: String,
    /// Changes of it that are here.
    pub changes: u64,
    /// Its last bundle.
    pub last: String,
    /// What is open: gaps, forks, changes that wait.
    pub open: String,
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
        let missing: u64 = gaps.iter().filter(|g| g.label == device.label).map(|g| g.to - g.from + 1).sum();
        if missing > 0 {
            open.push(format!("{} not come", count(missing, "change has", "changes have")));
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
            last: last.map_or_else(|| "none yet".into(), |at| when.full_ms(at)),
            open: if open.is_empty() { "nothing".into() } else { list(&open) },
        });
    }
    let line = format!("{heard} of {} handed over so far.", count(phones.len() as u64, "phone has", "phones have"));
    Ok((line, phones))
}
