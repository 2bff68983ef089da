//! `dooryard pack to-sdd` and `from-sdd`: the vocabulary of a pack in the open form for descriptions, out and in.

use std::{fs, io::Write, path::PathBuf};

use anyhow::{Context, Result};
use clap::Args;
use dooryard_core::Error;
use serde_json::json;

use super::{pack_choice::PackChoice, tell::Tell};
use crate::{
    export::{
        sdd::{Vocabulary, not_written, read, write},
        whole,
    },
    page::count,
};

/// Which pack, and where to.
#[derive(Args)]
pub struct ToSdd {
    /// File to write.
    #[arg(long)]
    out: PathBuf,
    #[command(flatten)]
    pack: PackChoice,
}

/// Which file, and where to.
#[derive(Args)]
pub struct FromSdd {
    /// An SDD 1.1 document.
    file: PathBuf,
    /// File to write: the vocabulary as JSON, to write a pack from.
    #[arg(long)]
    out: PathBuf,
}

/// Writes the vocabulary of a pack, and says what SDD has no words for.
pub fn to_sdd(args: &ToSdd, tell: &Tell) -> Result<()> {
    let pack = args.pack.load()?;
    let document = write(&Vocabulary::of(&pack), &pack.date.to_string())?;
    let failed = |e| Error::io("writing the vocabulary")(e);
    whole(&args.out, |file| file.write_all(&document).map_err(failed))
        .with_context(|| args.out.display().to_string())?;
    let left = not_written(&pack);
    let out = args.out.display().to_string();
    tell.say(
        || {
            let lines = left.iter().map(|(what, n)| format!("  {n} x {what}"));
            let head = format!(
                "{out} is written: {}, {}, {}. SDD has no words for:",
                count(pack.characters.len() as u64, "character", "characters"),
                count(pack.hosts.len() as u64, "host", "hosts"),
                count(pack.causes.len() as u64, "cause", "causes"),
            );
            [head].into_iter().chain(lines).collect::<Vec<_>>().join("\n")
        },
        || json!({ "file": out, "not_written": left }),
    );
    Ok(())
}

/// Reads a vocabulary, writes it as JSON, and says what was not understood.
pub fn from_sdd(args: &FromSdd, tell: &Tell) -> Result<()> {
    let shown = args.file.display().to_string();
    let text = fs::read_to_string(&args.file).with_context(|| format!("reading {shown}"))?;
    let read = read(&text).with_context(|| shown.clone())?;
    let whole_text =
        serde_json::to_vec_pretty(&json!({ "vocabulary": read.vocabulary, "not_understood": read.not_understood }))?;
    let failed = |e| Error::io("writing the vocabulary")(e);
    whole(&args.out, |file| file.write_all(&whole_text).map_err(failed))
        .with_context(|| args.out.display().to_string())?;
    let v = &read.vocabulary;
    let (out, lines) = (args.out.display().to_string(), read.not_understood.lines());
    tell.say(
        || {
            let head = format!(
                "{out} is written: {}, {}, {} of {shown}.",
                count(v.characters.len() as u64, "character", "characters"),
                count(v.hosts.len() as u64, "host", "hosts"),
                count(v.causes.len() as u64, "description", "descriptions"),
            );
            let told = if lines.is_empty() { "Everything was understood." } else { "Not understood, and left out:" };
            let lines = lines.iter().map(|l| format!("  {l}"));
            [head, told.to_owned()].into_iter().chain(lines).collect::<Vec<_>>().join("\n")
        },
        || json!({ "file": out, "characters": v.characters.len(), "hosts": v.hosts.len(), "causes": v.causes.len(), "not_understood": read.not_understood }),
    );
    Ok(())
}
