//! What is kept of a notebook elsewhere, and brought back: backups.

use std::path::Path;

use anyhow::{Context, Result};
use dooryard_core::{clock::Env, notebook::Notebook};
use serde_json::json;

use super::{notebook::open, tell::Tell};
use crate::page::count;

/// Backs a notebook up.
pub fn back_up(dir: &Path, out: &Path, tell: &Tell) -> Result<()> {
    let (job, bar) = tell.job("Backing up");
    let made = open(dir)?.back_up(out, &job).with_context(|| out.display().to_string())?;
    bar.finish_and_clear();
    tell.say(
        || {
            let photos = count(made.photos, "photo or thumbnail", "photos and thumbnails");
            format!("{} holds the notebook with {photos}, and was read back.", out.display())
        },
        || json!({ "backup": out.display().to_string(), "photos": made.photos, "bytes": made.bytes }),
    );
    Ok(())
}

/// Brings a backup back.
pub fn restore(file: &Path, dir: &Path, tell: &Tell) -> Result<()> {
    let (job, bar) = tell.job("Restoring");
    if !dir.join("notebook.db").exists() {
        let notebook =
            Notebook::restore_backup(dir, file, Env::system(), &job).with_context(|| file.display().to_string())?;
        bar.finish_and_clear();
        let records = notebook.list(&Default::default())?.total as u64;
        tell.say(
            || format!("{} holds {} again.", dir.display(), count(records, "record", "records")),
            || json!({ "restored": dir.display().to_string(), "records": records }),
        );
        return Ok(());
    }
    let merged = open(dir)?.merge_backup(file, &job).with_context(|| file.display().to_string())?;
    bar.finish_and_clear();
    tell.say(
        || {
            format!(
                "Brought {} and {}; {} were here already.",
                count(merged.changes, "save", "saves"),
                count(merged.photos, "photo or thumbnail", "photos and thumbnails"),
                count(merged.here, "save", "saves")
            )
        },
        || json!(merged),
    );
    if merged.drafts_aside > 0 {
        tell.say_words(|| {
            format!("{} stand beside what is typed here.", count(merged.drafts_aside, "draft", "drafts"))
        });
    }
    Ok(())
}
