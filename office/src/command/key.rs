//! `dooryard key`: what the key makes of an inquiry.

use std::path::{Path, PathBuf};

use anyhow::{Result, bail};
use clap::Subcommand;
use dooryard_core::{key::Pack, record::Kind};
use serde_json::json;

use super::{
    key_letter::{self, Writing},
    key_score, messages, notebook,
    pack_choice::PackChoice,
    tell::Tell,
    walk::Walk,
};
use crate::page::{Names, Reasons, Say, When, Whole, day_of, observations, reasons, reference};

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
    /// Answer every described case of a file, or every row of a table: ranked causes, what would be named, next looks, stops.
    Score(key_score::Score),
    /// Read messages for danger: the stops that each raises, and the words that raise them.
    Stops {
        /// Table with the columns id, language and text; others are left alone.
        #[arg(long)]
        csv: PathBuf,
    },
    /// Walk through the key in a conversation: safety questions, looks, causes as they move, advice, letter.
    Walk(Walk),
    /// Write the letter for the resident of an inquiry.
    Letter {
        /// Folder of a notebook; of an office, its folder "notebook".
        dir: PathBuf,
        /// The inquiry's number.
        inquiry: String,
        /// Number of the plant, when the inquiry has several.
        #[arg(long)]
        plant: Option<String>,
        #[command(flatten)]
        writing: Writing,
    },
    /// Say what to tell in a described case, and write its letter.
    Advise {
        /// Cases in YAML.
        cases: PathBuf,
        /// Id of the case.
        #[arg(long)]
        case: String,
        #[command(flatten)]
        writing: Writing,
    },
}

/// Runs one of them.
pub fn run(command: Key, tell: &Tell) -> Result<()> {
    match command {
        Key::First { dir, inquiry, pack } => first(&dir, &inquiry, &pack.load()?, tell),
        Key::Score(score) => key_score::run(&score, tell),
        Key::Stops { csv } => messages::read(&csv, tell),
        Key::Walk(walk) => {
            let pack = walk.pack.load()?;
            super::walk::walk(walk, &pack, tell)
        }
        Key::Letter { dir, inquiry, plant, writing } => {
            let pack = writing.pack.load()?;
            key_letter::letter(&dir, &inquiry, plant.as_deref(), &writing, &pack, tell)
        }
        Key::Advise { cases, case, writing } => {
            let pack = writing.pack.load()?;
            key_letter::advise(&cases, &case, &writing, &pack, tell)
        }
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
        let say = Say { names: &names, when: &When::now(), words: names.words };
        let found = reasons(pack, say, &given, unknown)?;
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
