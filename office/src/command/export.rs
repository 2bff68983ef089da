//! `dooryard export`: what a filter finds, as a file in an open form.

use std::path::PathBuf;

use anyhow::{Context, Result, bail};
use clap::{Args, Subcommand, ValueEnum};
use jiff::civil::Date;
use serde_json::{Value as Json, json};

use super::{office::open, pack_choice::PackChoice, tell::Tell};
use crate::{
    desk::Office,
    export::{Ask, Audience, By, Denominators, Form, Licence, Scope, Table, Written, outlines},
    index::Index,
    page::{Filter, Names, count, number},
};

const EXAMPLES: &str = "\
Examples:
  dooryard export csv county --out findings.csv --table findings --host tomato_family
  dooryard export xlsx county --out open.xlsx --for office --status open
  dooryard export geojson county --out map.geojson --by township --outline larkspur.geojson
  dooryard export darwin-core county --out scouting.zip --licence cc-by
  dooryard export dump county --out county.json
  dooryard export state-report county --out march.csv

Without a filter it is all of it. Every file says what it was filtered by and out of how many.
Sealed inquiries are in no export, nor what the resident did not agree to, nor what was erased.";

/// Forms of export.
#[derive(Subcommand)]
#[command(after_help = EXAMPLES)]
pub enum Export {
    /// Tables as CSV: one with --table, with NAME.about.json beside it; all of them in a zip without.
    Csv {
        #[command(flatten)]
        what: What,
        /// Who reads it.
        #[arg(long = "for", value_enum, default_value = "public")]
        audience: Audience,
        /// Only this table, as it is.
        #[arg(long, value_enum)]
        table: Option<Table>,
        /// Begin with a byte order mark, by which some spreadsheets know Unicode.
        #[arg(long)]
        bom: bool,
    },
    /// The same tables as a spreadsheet.
    Xlsx {
        #[command(flatten)]
        what: What,
        /// Who reads it.
        #[arg(long = "for", value_enum, default_value = "public")]
        audience: Audience,
    },
    /// Counts by coarse area, for a map. For the public it waits two weeks and hides counts under five.
    Geojson {
        #[command(flatten)]
        what: What,
        /// Who reads it.
        #[arg(long = "for", value_enum, default_value = "public")]
        audience: Audience,
        /// What it is counted by.
        #[arg(long, value_enum, default_value = "cell")]
        by: AreaChoice,
        /// Outlines of the townships: GeoJSON whose features have a name. Without it they have no shape.
        #[arg(long)]
        outline: Option<PathBuf>,
    },
    /// A Darwin Core Archive for the public, which waits two weeks: visits, living causes present or looked for and absent,
    /// effort, photos.
    DarwinCore {
        #[command(flatten)]
        what: What,
        /// Under which terms it may be used.
        #[arg(long, value_enum, default_value = "cc-by")]
        licence: Licence,
        /// With the photos themselves, without metadata, of who agreed.
        #[arg(long)]
        photos: bool,
    },
    /// Everything of class P0 and P1 as JSON, for the office's own use.
    Dump {
        #[command(flatten)]
        what: What,
    },
    /// Counts by month, each out of how many: as CSV, and as JSON beside it. For the public it hides counts under five.
    StateReport {
        #[command(flatten)]
        what: What,
        /// Who reads it.
        #[arg(long = "for", value_enum, default_value = "public")]
        audience: Audience,
    },
}

/// What a map is counted by.
#[derive(Clone, Copy, ValueEnum)]
pub enum AreaChoice {
    /// Public cells about five miles across.
    Cell,
    /// Townships.
    Township,
}

/// Of which inquiries, and where to.
#[derive(Args)]
pub struct What {
    /// The office's folder.
    dir: PathBuf,
    /// File to write. What stands there is replaced when all of the new one is written.
    #[arg(long)]
    out: PathBuf,
    /// Only where these words stand, as the list of inquiries finds them.
    #[arg(long, default_value = "", hide_default_value = true)]
    words: String,
    /// Only what stands so: open, waiting, answered or closed.
    #[arg(long, value_parser = ["open", "waiting", "answered", "closed"])]
    status: Option<String>,
    /// Only with a plant of this host, an id of the pack.
    #[arg(long, default_value = "", hide_default_value = true)]
    host: String,
    /// Only in this township.
    #[arg(long, default_value = "", hide_default_value = true)]
    township: String,
    /// Only what was taken by this role and number.
    #[arg(long, default_value = "", hide_default_value = true)]
    scout: String,
    /// Only where the newest answer names this cause, an id of the pack.
    #[arg(long, default_value = "", hide_default_value = true)]
    cause: String,
    /// Only what was opened on this day or later, such as 2026-07-01.
    #[arg(long)]
    since: Option<Date>,
    /// Only what was opened on this day or earlier.
    #[arg(long)]
    until: Option<Date>,
    /// Only where the newest answer is so far confirmed.
    #[arg(long, value_parser = ["presumptive", "reviewed", "laboratory", "authority"])]
    answer: Option<String>,
    /// Only where a stop was raised.
    #[arg(long)]
    stop: bool,
    /// Only where phones disagree.
    #[arg(long)]
    conflict: bool,
    #[command(flatten)]
    pack: PackChoice,
}

impl What {
    fn filter(&self) -> Filter {
        let yes = |on: bool| if on { "yes".to_owned() } else { String::new() };
        Filter {
            q: self.words.clone(),
            status: self.status.clone().unwrap_or_default(),
            host: self.host.clone(),
            township: self.township.clone(),
            scout: self.scout.clone(),
            cause: self.cause.clone(),
            since: self.since.map(|day| day.to_string()).unwrap_or_default(),
            until: self.until.map(|day| day.to_string()).unwrap_or_default(),
            answer: self.answer.clone().unwrap_or_default(),
            stop: yes(self.stop),
            conflict: yes(self.conflict),
            ..Filter::default()
        }
    }

    /// Opens the office, chooses, writes, and says what was written.
    fn write(self, form: &Form, audience: Audience, tell: &Tell) -> Result<()> {
        let office: Office = open(&self.dir)?;
        let pack = self.pack.load()?;
        let names = Names::of(&pack);
        let index = Index::open(office.folder(), &names)?;
        let audience = form.audience(audience);
        let ask = Ask { filter: self.filter(), audience, delay_days: form.delay_days(audience), names_only: false };
        let scope = Scope::choose(&office, &index, &names, &ask)?;
        let written = form.write(&scope, &pack, &self.out).with_context(|| self.out.display().to_string())?;
        let out = self.out.display().to_string();
        tell.say(
            || words(&out, &written, &scope.out_of),
            || json!({ "file": out, "bytes": written.bytes, "about": written.about }),
        );
        Ok(())
    }
}

/// Runs one of them.
pub fn run(command: Export, tell: &Tell) -> Result<()> {
    let public = Audience::Public;
    let (what, audience, form) = match command {
        Export::Csv { what, audience, table, bom } => (what, audience, Form::Csv { table, bom }),
        Export::Xlsx { what, audience } => (what, audience, Form::Xlsx),
        Export::Geojson { what, audience, by, outline } => {
            let by = match by {
                AreaChoice::Cell => By::Cell,
                AreaChoice::Township => By::Township(outline.as_deref().map(outlines).transpose()?.unwrap_or_default()),
            };
            (what, audience, Form::Geojson(by))
        }
        Export::DarwinCore { what, licence, photos } => (what, public, Form::DarwinCore { licence, photos }),
        Export::Dump { what } => (what, Audience::Office, Form::Dump),
        Export::StateReport { what, audience } => {
            if what.out.extension().is_some_and(|e| e == "json") {
                bail!("{} is the name of the JSON beside it: name the CSV", what.out.display());
            }
            (what, audience, Form::StateReport)
        }
    };
    what.write(&form, audience, tell)
}

/// What was written, for people.
fn words(out: &str, written: &Written, n: &Denominators) -> String {
    let mut lines = vec![format!(
        "{out} is written: {} of {} that the filter finds, out of {}. {} bytes.",
        number(n.written),
        number(n.matching),
        count(n.inquiries, "inquiry", "inquiries"),
        number(written.bytes)
    )];
    let mut left = |n: u64, why: &str| {
        if n > 0 {
            lines.push(format!("  {} left out: {why}.", count(n, "inquiry is", "inquiries are")));
        }
    };
    left(n.left_out_at_the_residents_wish, "the resident does not agree to be counted");
    left(n.left_out_without_a_yes, "nobody wrote down whether the resident agrees to be counted");
    left(n.left_out_erased, "all of it was erased");
    left(n.left_out_too_recent, "it is younger than two weeks");
    if let Json::Object(rows) = &written.about["rows"] {
        lines.extend(rows.iter().map(|(table, n)| format!("  {table}: {n}")));
    }
    lines.join("\n")
}
