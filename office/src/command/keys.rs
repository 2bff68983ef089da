//! `dooryard office put-away`, `rotate`, `recover`: the office's keys over the years, and when they are lost.

use std::path::PathBuf;

use anyhow::{Context, Result, bail};
use clap::Subcommand;
use dooryard_core::clock::Env;
use serde_json::json;

use super::{office::open, tell::Tell};
use crate::{
    desk::{Office as Desk, Outcome},
    page::{When, count},
    report,
};

const YEARS: &str = "\
Example, once when the office begins and once a year:
  dooryard office put-away county --to /media/stick     two sticks are better than one: run `cp` for the second
  dooryard office rotate county --drawer /media/stick

When the office's keys are lost, with a copy of the folder's notebook still there:
  dooryard office rotate county --drawer /media/stick
  dooryard office recover county --key /media/stick/recovery.key s3.yard

Without the root key no new keys can be given: begin a new office and invite every phone again. Without the recovery key too,
bundles sealed to the lost key can be opened by nobody; phones make them again while they still have what is in them.";

/// Commands on the office's keys.
#[derive(Subcommand)]
pub enum Keys {
    /// Move the root and recovery keys out of the office's folder, onto a stick for the drawer.
    #[command(after_help = YEARS)]
    PutAway {
        /// The office's folder.
        dir: PathBuf,
        /// Folder to put them into: root.key and recovery.key.
        #[arg(long)]
        to: PathBuf,
    },
    /// Give the office new signing and sealing keys, once a year or when they are lost. Phones learn them with their next reply.
    #[command(after_help = YEARS)]
    Rotate {
        /// The office's folder.
        dir: PathBuf,
        /// Folder with root.key; without it the root key is looked for in the office's folder.
        #[arg(long)]
        drawer: Option<PathBuf>,
    },
    /// Take bundles in with the recovery key alone: those that were sealed to a key that is lost.
    #[command(after_help = YEARS)]
    Recover {
        /// The office's folder.
        dir: PathBuf,
        /// The file recovery.key from the drawer.
        #[arg(long)]
        key: PathBuf,
        /// The bundles.
        #[arg(required = true)]
        files: Vec<PathBuf>,
    },
}

/// Runs one of them.
pub fn run(command: Keys, tell: &Tell) -> Result<()> {
    match command {
        Keys::PutAway { dir, to } => {
            open(&dir)?.put_away(&to).with_context(|| to.display().to_string())?;
            tell.say(
                || {
                    format!(
                        "The root and recovery keys are in {} now, and not in {} any more. Make a second copy, and keep both where \
                         nobody works. Copies of the folder made before today still hold them.",
                        to.display(),
                        dir.display()
                    )
                },
                || json!({ "put_away": to.display().to_string() }),
            );
        }
        Keys::Rotate { dir, drawer } => {
            let office =
                Desk::change_keys(&dir, drawer.as_deref(), Env::system()).with_context(|| dir.display().to_string())?;
            let serial = office.card().serial;
            tell.say(
                || {
                    format!(
                        "The office has new keys, its card is number {serial}. Bundles sealed to the old one are taken in for 24 \
                         months. Make a reply for each phone, so that it learns the new ones; start `dooryard office serve` again."
                    )
                },
                || json!({ "serial": serial }),
            );
        }
        Keys::Recover { dir, key, files } => {
            let office = open(&dir)?;
            let mut refused = 0;
            for file in &files {
                let (job, bar) = tell.job(&file.display().to_string());
                let taken = office.recover(&key, file, &job);
                bar.finish_and_clear();
                let taken = taken.with_context(|| file.display().to_string())?;
                refused += u64::from(taken.outcome != Outcome::TakenIn);
                let at = i64::try_from(office.notebook().env().now_ms()).unwrap_or(i64::MAX);
                tell.say(|| report::of_file(at, &taken, &When::now()), || report::of_file_json(at, &taken));
            }
            if refused > 0 {
                bail!("{} not taken in; the reasons stand above.", count(refused, "file was", "files were"));
            }
        }
    }
    Ok(())
}
