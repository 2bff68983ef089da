//! `dooryard key score`: the key's answer to every described case of a file, for scorers.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result, anyhow, bail};
use clap::Args;
use dooryard_core::key::{Case, Differential, NextLooks, Pack};
use serde_json::{Value, json};

use super::{pack_choice::PackChoice, table_score, tell::Tell};

/// What to answer.
#[derive(Args)]
pub struct Score {
    /// Described cases, YAML.
    #[arg(required_unless_present = "table")]
    cases: Option<PathBuf>,
    /// A table of coded cases, CSV, one a row; the class may be missing. It needs a pack that `dooryard pack learn` wrote.
    #[arg(long, requires = "pack", conflicts_with = "cases")]
    table: Option<PathBuf>,
    /// The table's column with the class, where it has another name than the pack gives it.
    #[arg(long, requires = "table")]
    class: Option<String>,
    /// Put questions one by one, until one class has this chance or no question brings more.
    #[arg(long, requires = "table")]
    ask: Option<f64>,
    #[command(flatten)]
    pack: PackChoice,
    /// Also what speaks for and against each cause (with --json).
    #[arg(long, conflicts_with = "table")]
    why: bool,
}

/// Answers.
///
/// # Errors
/// A file that cannot be read or is not in its form; a case with a name that the pack does not have.
pub fn run(score: &Score, tell: &Tell) -> Result<()> {
    match (&score.cases, &score.table, score.pack.place()) {
        (Some(cases), ..) => described(cases, &score.pack.load()?, score.why, tell),
        (None, Some(table), Some(pack)) => table_score::run(table, score.class.as_deref(), pack, score.ask, tell),
        _ => bail!("nothing to answer: give a file of cases, or --table with --pack"),
    }
}

fn described(cases: &Path, pack: &Pack, why: bool, tell: &Tell) -> Result<()> {
    let text = std::fs::read_to_string(cases).with_context(|| format!("reading {}", cases.display()))?;
    let cases = Case::read(&text).map_err(|e| anyhow!("{}: {e}", cases.display()))?;
    for case in &cases {
        let given = case.observations()?;
        let found = pack.differential(&given).map_err(|e| anyhow!("{}: {e}", case.id))?;
        let next = pack.next_looks(&given)?;
        tell.say(|| line(case, &found, &next), || answer(&case.id, &found, &next, why));
    }
    Ok(())
}

fn answer(id: &str, found: &Differential, next: &NextLooks, why: bool) -> Value {
    let ranked = found.ranked.iter();
    let mut answer = json!({
        "id": id,
        "ranked": ranked.map(|r| json!({"cause": r.cause, "share": r.share, "probability": r.probability})).collect::<Vec<_>>(),
        "named": found.named,
        "sets": found.sets,
        "advice": found.advice,
        "look_again": found.look_again,
        "ask_first": next.first,
        "next": next.looks.iter().map(|l| json!({"character": l.character, "gain": l.gain})).collect::<Vec<_>>(),
        "enough": next.enough,
        "stops": found.stops.iter().map(|s| &s.id).collect::<Vec<_>>(),
    });
    if why {
        answer["why"] = json!(found.ranked);
    }
    answer
}

fn line(case: &Case, found: &Differential, next: &NextLooks) -> String {
    let first: Vec<String> =
        found.ranked.iter().take(3).map(|r| format!("{} {:.0} in 100", r.cause, 100.0 * r.probability)).collect();
    let look = next.looks.first().map_or("nothing", |l| l.character.as_str());
    let settled = if found.look_again { "look again" } else { "settled" };
    format!("{}: {}; {settled}; next look: {look}", case.id, first.join(", "))
}
