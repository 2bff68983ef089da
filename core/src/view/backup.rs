//! A backup of the whole notebook, bringing one back, and one's own data in open formats: when it was last done, and what it came to.

use std::path::Path;

use serde_json::json;

use super::{reader::View, tell::is_sealed};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    job::Job,
    notebook::Merged,
    own_data::{self, Exported, Imported},
    words::size,
};

/// Backups.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BackupScreen {
    /// When the last backup was made; that none was.
    pub last: String,
    /// That one is due; empty where it is not.
    pub due: String,
    /// Who can open it, and where to keep it.
    pub notes: Vec<String>,
    /// What one's own data holds, and that it is not sealed.
    pub own_data: Vec<String>,
}

const KEY: &str = "backed up";
/// Changes after which a backup is asked for.
const CHANGES: u64 = 200;
/// Days after which one is.
const DAYS: i64 = 30;

#[derive(serde::Serialize, serde::Deserialize)]
struct Kept {
    at_ms: i64,
    changes: u64,
}

fn kept(view: &View<'_>) -> Result<Option<Kept>> {
    Ok(view.notebook.draft(KEY)?.and_then(|text| serde_json::from_str(&text).ok()))
}

fn changes(view: &View<'_>) -> Result<u64> {
    Ok(view.notebook.own_logs()?.iter().map(|log| log.tip).sum())
}

/// Backups.
///
/// # Errors
/// Of SQLite.
pub fn backup(view: &View<'_>) -> Result<BackupScreen> {
    let (kept, now) = (kept(view)?, changes(view)?);
    let since = now.saturating_sub(kept.as_ref().map_or(0, |kept| kept.changes));
    let old = kept.as_ref().is_some_and(|kept| view.now_ms() - kept.at_ms > DAYS * 86_400_000) && since > 0;
    Ok(BackupScreen {
        last: match &kept {
            Some(kept) => view.with("phone-backup-last", [("day", &view.when.day_ms(kept.at_ms))]),
            None => view.say("phone-backup-never"),
        },
        due: if old || since >= CHANGES { view.with("phone-backup-due", [("n", &since)]) } else { String::new() },
        notes: ["phone-backup-note-1", opened_by(view), "phone-backup-note-3"].map(|name| view.say(name)).to_vec(),
        own_data: (1..=2).map(|n| view.say(&format!("phone-own-data-{n}"))).collect(),
    })
}

/// Who can open a backup.
fn opened_by(view: &View<'_>) -> &'static str {
    if view.notebook.card().is_ok() { "phone-backup-note-2" } else { "phone-backup-note-alone" }
}

/// Writes a backup and says what is in it.
///
/// # Errors
/// As [`crate::notebook::Notebook::back_up`].
pub fn back_up(view: &View<'_>, out: &Path, job: &Job) -> Result<Vec<String>> {
    super::ask_write::settle_all(view)?;
    let made = view.notebook.back_up(out, job)?;
    let kept = json!({ "at_ms": view.now_ms(), "changes": changes(view)? });
    view.notebook.keep_draft(KEY, Some(&kept.to_string()))?;
    let bytes = size(made.bytes, view.words);
    Ok(vec![view.with("phone-backup-made", [("photos", &made.photos), ("size", &bytes)]), view.say(opened_by(view))])
}

/// Merges a backup into the notebook and says what it brought. Nothing of either is lost.
///
/// # Errors
/// As [`crate::notebook::Notebook::merge_backup`].
pub fn merge_backup(view: &View<'_>, file: &Path, job: &Job) -> Result<Vec<String>> {
    Ok(merged(view, &view.notebook.merge_backup(file, job)?))
}

fn merged(view: &View<'_>, merged: &Merged) -> Vec<String> {
    let mut lines = vec![
        view.with("phone-merged-new", [("n", &merged.changes)]),
        view.with("phone-merged-here", [("n", &merged.here)]),
        view.with("phone-merged-photos", [("n", &merged.photos)]),
    ];
    if merged.drafts_aside > 0 {
        lines.push(view.with("phone-merged-drafts", [("n", &merged.drafts_aside)]));
    }
    lines
}

/// Writes one's own data into a zip file and says what is in it.
///
/// # Errors
/// As [`own_data::export`].
pub fn write_own_data(view: &View<'_>, out: &Path, job: &Job) -> Result<Vec<String>> {
    super::ask_write::settle_all(view)?;
    Ok(made(view, &own_data::export(view.notebook, out, job)?))
}

/// Writes one inquiry with all that belongs to it into a zip file, in the form of one's own data, and says what is in it.
///
/// # Errors
/// `FORBIDDEN_FIELD` of an inquiry under seal; [`crate::Error::NotFound`]; as [`own_data::export`].
pub fn write_inquiry(view: &View<'_>, inquiry: RecordId, out: &Path, job: &Job) -> Result<Vec<String>> {
    super::ask_write::settle_all(view)?;
    let whole = view.whole(inquiry)?;
    if is_sealed(&whole) {
        return Err(Error::refused(Code::ForbiddenField, "an inquiry under seal goes to the office alone"));
    }
    let linked = [&whole.site, &whole.contact].into_iter().flatten().map(|record| record.id);
    let ids = whole.records.keys().copied().chain(linked).chain([inquiry]).collect();
    Ok(made(view, &own_data::export_these(view.notebook, &ids, out, job)?))
}

fn made(view: &View<'_>, made: &Exported) -> Vec<String> {
    let bytes = size(made.bytes, view.words);
    let given = [("records", &made.records as &dyn crate::words::Argument), ("photos", &made.photos), ("size", &bytes)];
    let mut lines = vec![view.with("phone-own-data-made", given)];
    if made.photos_elsewhere > 0 {
        lines.push(view.with("phone-own-data-elsewhere", [("n", &made.photos_elsewhere)]));
    }
    lines.push(view.say("phone-own-data-2"));
    lines
}

/// Brings one's own data into the notebook and says what it brought.
///
/// # Errors
/// As [`own_data::import`].
pub fn bring_own_data(view: &View<'_>, file: &Path, job: &Job) -> Result<Vec<String>> {
    let Imported { values, here, not_yours, erased, photos, .. } = own_data::import(view.notebook, file, job)?;
    let mut lines = vec![
        view.with("phone-brought-new", [("n", &values)]),
        view.with("phone-brought-here", [("n", &here)]),
        view.with("phone-merged-photos", [("n", &photos)]),
    ];
    if not_yours > 0 {
        lines.push(view.with("phone-brought-not-yours", [("n", &not_yours)]));
    }
    if erased > 0 {
        lines.push(view.with("phone-brought-erased", [("n", &erased)]));
    }
    Ok(lines)
}
