//! `dooryard pack check`: what a person should look at in a pack.

use std::path::PathBuf;

use anyhow::{Context, Result, bail};
use clap::Args;
use dooryard_core::key::{
    Source,
    check::{Finding, Severity, check, of_problems},
    file::PackFile,
};
use serde_json::json;

use super::tell::Tell;
use crate::page::count;

/// Findings of one kind that are listed without `--all`.
const LISTED: usize = 6;

/// What to check.
#[derive(Args)]
pub struct Check {
    /// The pack's folder or its file.
    pack: PathBuf,
    /// List every finding, not only the first ones of each kind.
    #[arg(long)]
    all: bool,
}

/// Checks a pack.
///
/// # Errors
/// A file that is refused; a pack with errors.
pub fn run(given: &Check, tell: &Tell) -> Result<()> {
    let findings = if given.pack.is_file() {
        let file = PackFile::read(&given.pack).with_context(|| given.pack.display().to_string())?;
        check(&file.source().with_context(|| given.pack.display().to_string())?)
    } else {
        Source::from_folder(&given.pack).map_or_else(of_problems, |source| check(&source))
    };
    if tell.is_json() {
        for finding in &findings {
            tell.say(String::new, || json!(finding));
        }
    } else {
        for group in findings.chunk_by(|a, b| (a.severity, a.kind) == (b.severity, b.kind)) {
            tell.say_words(|| words(group, if given.all { usize::MAX } else { LISTED }));
        }
    }
    let of = |severity| findings.iter().filter(|f| f.severity == severity).count() as u64;
    let [errors, warnings, notes] = [Severity::Error, Severity::Warning, Severity::Note].map(of);
    tell.say(
        || {
            let sums = [count(errors, "error", "errors"), count(warnings, "warning", "warnings")];
            format!("{}, {}, {}", sums[0], sums[1], count(notes, "note", "notes"))
        },
        || json!({ "pack": given.pack, "errors": errors, "warnings": warnings, "notes": notes }),
    );
    if errors > 0 {
        bail!("the pack has {}: it must not be given out like this", count(errors, "error", "errors"));
    }
    Ok(())
}

/// The findings of one kind: in one line where they all say the same, else one a line.
fn words(group: &[Finding], most: usize) -> String {
    let Some(first) = group.first() else { return String::new() };
    let severity = match first.severity {
        Severity::Error => "Error",
        Severity::Warning => "Warning",
        Severity::Note => "Note",
    };
    let mut said = format!("{severity}, {} ({})", first.kind.heading(), group.len());
    let shown = &group[..group.len().min(most)];
    if group.iter().all(|f| f.text == first.text) {
        let places: Vec<&str> = shown.iter().map(|f| f.place.as_str()).collect();
        said += &format!("\n  {}\n  {}", first.text, places.join(", "));
    } else {
        for finding in shown {
            let place = if finding.place.is_empty() { String::new() } else { format!("{}: ", finding.place) };
            said += &format!("\n  {place}{}", finding.text);
        }
    }
    if shown.len() < group.len() {
        said += &format!("\n  and {} more (--all lists them)", group.len() - shown.len());
    }
    said
}
