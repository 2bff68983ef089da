//! `dooryard key`: what the key makes of an inquiry.

use std::path::{Path, PathBuf};

use anyhow::{Result, bail};
use clap::Subcommand;
use dooryard_core::{key::Pack, record::Kind};
use serde_json::json;

use super::{key_score, notebook, pack_choice::PackChoice, tell::Tell};
use crate::page::{Names, Reasons, Whole, day_of, observations, reasons, reference};

/// Commands on the key.
#[derive(Subcommand)]
pub enum Key {
    /// Print the first differential of each plant of an inquiry: causes in words and numbers, for and against.
    First {
        /// Folder of a notebook; of an office, its folder "notebook".
        dir: PathBuf,
        /// The inquiry's number.
        inquiry: String,
        #[command(flatten)]
        pack: PackChoice,
    },
    /// Answer every described case of a file: ranked causes, what would be named, next looks, stops.
    Score {
        /// Cases in YAML.
        cases: PathBuf,
        /// Also what speaks for and against each cause (with --json).
        #[arg(long)]
        why: bool,
        #[command(flatten)]
        pack: PackChoice,
    },
}

/// Runs one of them.
pub fn run(command: Key, tell: &Tell) -> Result<()> {
    match command {
        Key::First { dir, inquiry, pack } => first(&dir, &inquiry, &pack.load()?, tell),
        Key::Score { cases, why, pack } => key_score::score(&cases, &pack.load()?, why, tell),
    }
}

fn first(dir: &Path, inquiry: &str, pack: &Pack, tell: &Tell) -> Result<()> {
    let names = Names::of(pack);
    let whole = Whole::read(&notebook::open(dir)?, notebook::record_id(inquiry)?)?;
    let (plants, findings) = (whole.of(Kind::Plant), whole.of(Kind::Finding));
    if plants.is_empty() {
        bail!("no plant is written down in this inquiry yet. Save a plant with its host, and what was seen on it");
    }
    for plant in plants {
        let host = plant.text("host").unwrap_or_default();
        let own: Vec<_> = findings.iter().copied().filter(|f| reference(f, "plant") == Some(plant.id)).collect();
        let (given, unknown) = observations(pack, host, day_of(&whole), &own);
        for stop in pack.raise_stops(&given.findings) {
            tell.say(
                || format!("{}\n  {}", stop.title.en(), stop.text.en()),
                || json!({ "stop": stop.id, "text": stop.text.en() }),
            );
        }
        if pack.host(host).is_none() {
            bail!("{}: the pack {} has no host {host:?}. Correct the plant's host", names.host(host), names.pack);
        }
        let found = reasons(pack, &names, &given, unknown)?;
        if tell.is_json() {
            let object = pack.differential(&given)?;
            tell.say(String::new, || json!({ "plant": plant.id.to_string(), "host": host, "differential": object }));
        } else {
            print(&names.host(host), &found);
        }
    }
    Ok(())
}

fn print(host: &str, r: &Reasons) {
    println!("{host}, pack {}", r.pack);
    if !r.notice.is_empty() {
        println!("{}", r.notice);
    }
    r.said.iter().for_each(|words| println!("{words}"));
    for row in &r.rows {
        let role = if row.role.is_empty() { String::new() } else { format!(" ({})", row.role) };
        println!("  {}: {}, {} in 100{role}", row.name, row.word, row.percent);
        row.reasons_for.iter().for_each(|(mark, words)| println!("      for, {}: {words}", looked(mark)));
        row.against.iter().for_each(|(mark, words)| println!("      against, {}: {words}", looked(mark)));
        if !row.unlooked.is_empty() {
            println!("      not looked, would say more: {}", row.unlooked);
        }
    }
    r.after.iter().for_each(|words| println!("{words}"));
    println!("This list is a thinking aid; a person decides.");
}

fn looked(mark: &str) -> &'static str {
    if mark == "seen" { "seen" } else { "looked, not there" }
}
