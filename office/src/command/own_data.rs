//! One's own data out of a notebook, and into another.

use std::path::Path;

use anyhow::{Context, Result};
use dooryard_core::{notebook::Notebook, own_data};
use serde_json::json;

use super::tell::Tell;
use crate::page::count;

/// Writes it out.
pub fn export(notebook: &Notebook, out: &Path, tell: &Tell) -> Result<()> {
    let (job, bar) = tell.job("Writing");
    let made = own_data::export(notebook, out, &job).with_context(|| out.display().to_string())?;
    bar.finish_and_clear();
    tell.say(
        || {
            format!(
                "{} holds {} and {}. It is not sealed: whoever has it can read it.",
                out.display(),
                count(made.records, "record", "records"),
                count(made.photos, "photo or thumbnail", "photos and thumbnails")
            )
        },
        || json!(made),
    );
    if made.photos_elsewhere > 0 {
        let n = count(made.photos_elsewhere, "photo is", "photos are");
        tell.say_words(|| format!("{n} not on this device."));
    }
    Ok(())
}

/// Reads it in.
pub fn import(zip: &Path, notebook: &Notebook, tell: &Tell) -> Result<()> {
    let (job, bar) = tell.job("Reading");
    let got = own_data::import(notebook, zip, &job).with_context(|| zip.display().to_string())?;
    bar.finish_and_clear();
    tell.say(
        || {
            format!(
                "Saved {} of {} and {}; {} were here.",
                count(got.values, "value", "values"),
                count(got.records, "record", "records"),
                count(got.photos, "photo or thumbnail", "photos and thumbnails"),
                count(got.here, "value", "values")
            )
        },
        || json!(got),
    );
    if got.not_yours + got.erased > 0 {
        tell.say_words(|| {
            format!(
                "Left out: {} that another role writes, {} of which something was erased.",
                count(got.not_yours, "value", "values"),
                count(got.erased, "record", "records")
            )
        });
    }
    Ok(())
}
