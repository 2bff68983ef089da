//! `dooryard pack publish`: the next revision of a pack from a proposal that a person has said yes to.

use std::{fs, path::PathBuf};

use anyhow::{Context, Result, anyhow, bail};
use clap::Args;
use dooryard_core::{
    key::{Pack, Source},
    learn::{NotPublished, Proposal, publish},
};
use jiff::{ZonedDateTime, civil::Date};
use serde_json::json;

use super::tell::Tell;

/// Which proposal, for which pack, and where to.
#[derive(Args)]
pub struct Publish {
    /// A proposal that `dooryard pack learn --outcomes` wrote.
    proposal: PathBuf,
    /// Folder of the pack that it was made for.
    #[arg(long)]
    pack: PathBuf,
    /// Folder for the next revision; it must not be there yet.
    #[arg(long)]
    out: PathBuf,
    /// Day of the revision; without it today.
    #[arg(long)]
    date: Option<Date>,
    /// A person has read the proposal and says yes. Without it the proposal is only shown.
    #[arg(long)]
    yes: bool,
}

/// Writes the next revision, or shows what it would be.
pub fn run(args: &Publish, tell: &Tell) -> Result<()> {
    let text = fs::read_to_string(&args.proposal).with_context(|| format!("reading {}", args.proposal.display()))?;
    let proposal: Proposal = serde_json::from_str(&text).with_context(|| args.proposal.display().to_string())?;
    let wrong = |e: dooryard_core::key::PackProblems| anyhow!("{}: {e}", args.pack.display());
    let files = Source::files_of(&args.pack).map_err(wrong)?;
    let pack = Source::from_files(&files).and_then(Pack::from_source).map_err(wrong)?;
    if args.out.exists() {
        bail!("{} is there already; give another --out", args.out.display());
    }
    let date = args.date.unwrap_or_else(|| ZonedDateTime::now().date());
    match publish(&pack, &files, &proposal, date, args.yes) {
        Ok((next, changed)) => {
            let made = Source::from_files(&next).and_then(Pack::from_source).map_err(wrong)?;
            for (path, text) in &next {
                let path = args.out.join(path);
                if let Some(folder) = path.parent() {
                    fs::create_dir_all(folder).with_context(|| format!("making {}", folder.display()))?;
                }
                fs::write(&path, text).with_context(|| format!("writing {}", path.display()))?;
            }
            let version = made.content_version();
            tell.say(
                || format!("{}: {version}, {changed} words changed", args.out.display()),
                || json!({ "out": args.out, "version": version, "changed": changed }),
            );
            Ok(())
        }
        Err(NotPublished::NoYes) => {
            tell.say(|| proposal.to_string(), || json!({ "proposal": proposal }));
            bail!("nothing was published: read the proposal, then say --yes")
        }
        Err(other) => Err(other.into()),
    }
}
