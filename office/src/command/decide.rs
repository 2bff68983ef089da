//! `dooryard office admit-change`, `refuse-change`, `assign`: what only a person at the office decides about records.

use std::path::PathBuf;

use anyhow::{Context, Result};
use clap::Subcommand;
use dooryard_core::{
    Error,
    ids::{Hash32, RecordId},
};
use serde_json::json;

use super::{notebook::record_id, office::open, tell::Tell};
use crate::desk::Office as Desk;

const CHANGES: &str = "\
Example: what waits stands in the record's history, each save with its number under \"change\":
  dooryard --json notebook history county/notebook 0190c2a4-0000-7000-8000-000000000001
  dooryard office admit-change county 0190c2a4-0000-7000-8000-000000000001 4f1c…

The later of two decisions on one save holds; each phone learns of it with its next reply.";

const ASSIGN: &str = "\
Example: Scout 3 may hold what is private in this inquiry, with its next reply:
  dooryard office assign county 0190c2a4-0000-7000-8000-000000000001 --device \"Scout 3\"";

/// Decisions about records.
#[derive(Subcommand)]
pub enum Decide {
    /// Let one save count that waits, whatever else was said about it.
    #[command(after_help = CHANGES)]
    AdmitChange {
        /// The office's folder.
        dir: PathBuf,
        /// The record's number.
        record: String,
        /// The save's number, 64 letters and digits.
        change: String,
    },
    /// Make one save not count. It is kept and not shown.
    #[command(after_help = CHANGES)]
    RefuseChange {
        /// The office's folder.
        dir: PathBuf,
        /// The record's number.
        record: String,
        /// The save's number, 64 letters and digits.
        change: String,
    },
    /// Let a phone hold what is private in a record, from its next reply on.
    #[command(after_help = ASSIGN)]
    Assign {
        /// The office's folder.
        dir: PathBuf,
        /// The record's number.
        record: String,
        /// The phone's label or id.
        #[arg(long)]
        device: String,
    },
}

/// Runs one of them.
pub fn run(command: Decide, tell: &Tell) -> Result<()> {
    match command {
        Decide::AdmitChange { dir, record, change } => {
            let office = open(&dir)?;
            let (record, change) = known(&office, &record, &change)?;
            office.admit(record, change)?;
            tell.say(
                || "The save counts now.".to_owned(),
                || json!({ "record": record.to_string(), "change": change.to_hex(), "counts": true }),
            );
        }
        Decide::RefuseChange { dir, record, change } => {
            let office = open(&dir)?;
            let (record, change) = known(&office, &record, &change)?;
            office.refuse(record, change)?;
            tell.say(
                || "The save does not count any more. It is kept, and `admit-change` brings it back.".to_owned(),
                || json!({ "record": record.to_string(), "change": change.to_hex(), "counts": false }),
            );
        }
        Decide::Assign { dir, record, device } => {
            let office = open(&dir)?;
            let (record, to) = (record_id(&record)?, office.device(&device)?);
            let kind = office.notebook().show(record)?.kind;
            office.assign(record, to)?;
            tell.say(
                || {
                    format!(
                        "{device} may hold what is private in this {kind}. Make a reply for it, so that it goes there."
                    )
                },
                || json!({ "record": record.to_string(), "device": to.to_string() }),
            );
        }
    }
    Ok(())
}

/// The save of a record, if the office has such a one: a decision about nothing helps nobody.
fn known(office: &Desk, record: &str, change: &str) -> Result<(RecordId, Hash32)> {
    let record = record_id(record)?;
    let hash: Hash32 = change.parse().with_context(|| format!("{change:?} is not a save's number"))?;
    let here = office.notebook().history(record)?.iter().any(|entry| entry.change == hash);
    if here { Ok((record, hash)) } else { Err(Error::NotFound(format!("save {change} of that record")).into()) }
}
