//! `dooryard pack take`: the shelf of a device.

use std::path::PathBuf;

use anyhow::{Context, Result, bail};
use clap::Args;
use dooryard_core::key::{
    file::{Key, PackFile},
    shelf::{Shelf, Taken},
};
use serde_json::json;

use super::tell::Tell;

/// What to take, and where.
#[derive(Args)]
pub struct Take {
    /// The pack file. With --roll-back it may be left out, and is the pack before if it is given.
    #[arg(required_unless_present = "roll_back")]
    file: Option<PathBuf>,
    /// Folder of the shelf; it is made when it is not there.
    #[arg(long)]
    shelf: PathBuf,
    /// Keys that a new shelf trusts, 64 hexadecimal digits each. A shelf that is there has its own, and follows their
    /// replacement.
    #[arg(long, value_delimiter = ',', value_parser = crate::pack::key, value_name = "KEYS")]
    trust: Vec<Key>,
    /// Go back to the pack before.
    #[arg(long)]
    roll_back: bool,
}

/// Takes a pack, or goes back.
pub fn run(take: &Take, tell: &Tell) -> Result<()> {
    let mut shelf = Shelf::open(&take.shelf, &take.trust).with_context(|| take.shelf.display().to_string())?;
    let given = match &take.file {
        Some(file) => Some(PackFile::read(file).with_context(|| file.display().to_string())?),
        None => None,
    };
    let done = if take.roll_back {
        if let (Some(given), Some(before)) = (&given, shelf.previous()?)
            && given.hash() != before.hash()
        {
            bail!(
                "this is not the pack before, which is version {}: only that one can be gone back to",
                before.manifest.version
            );
        }
        shelf.roll_back()?;
        "rolled_back"
    } else {
        let name = take.file.as_ref().map(|f| f.display().to_string()).unwrap_or_default();
        let Some(given) = given else { bail!("no pack file given") };
        match shelf.take(&given).context(name)? {
            Taken::Current => "taken",
            Taken::AlreadyThere => "already_there",
        }
    };
    let Some(current) = shelf.current()? else { bail!("no pack on this shelf") };
    let before = shelf.previous()?.map(|f| f.manifest.version);
    let of = &current.manifest;
    tell.say(
        || {
            let did = match done {
                "rolled_back" => "Gone back to",
                "taken" => "Taken:",
                _ => "Already there:",
            };
            let before = before.map_or_else(String::new, |v| format!("; version {v} is kept beside it"));
            let notices = crate::pack::notices(of).into_iter().map(|n| format!("\n{n}"));
            format!("{did} {} version {}{before}.{}", of.id, of.version, notices.collect::<String>())
        },
        || {
            json!({
                "done": done, "id": of.id, "version": of.version, "before": before,
                "trusted": shelf.trusted(), "highest": shelf.highest(), "notices": crate::pack::notices(of),
            })
        },
    );
    Ok(())
}
