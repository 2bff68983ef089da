//! `dooryard pack learn`: from a table of coded cases to a pack, or from confirmed cases to a proposal.

use std::{
    fs,
    path::{Path, PathBuf},
};

use anyhow::{Context, Result, bail};
use clap::Args;
use dooryard_core::{
    durable,
    learn::{Calibration, LearnSettings, Outcome, Proposal},
    table::{Figures, Schema, Table, TablePack, TableSettings, cross_validate},
};
use serde_json::json;

use super::tell::Tell;

/// Chance at which the figures stop asking.
const ASK_UNTIL: f64 = 0.9;

/// What to learn from, and where to put it.
#[derive(Args)]
pub struct Learn {
    /// A table of coded cases, CSV, one a row.
    #[arg(long, requires = "class", requires = "schema", required_unless_present = "outcomes")]
    table: Option<PathBuf>,
    /// The table's column with the class.
    #[arg(long, requires = "table")]
    class: Option<String>,
    /// What the table's columns can hold, JSON.
    #[arg(long, requires = "table")]
    schema: Option<PathBuf>,
    /// Confirmed cases, one JSON object a line.
    #[arg(long, conflicts_with = "table")]
    outcomes: Option<PathBuf>,
    /// The pack that the proposal is for: its folder, its file, or a shelf; without it the starter pack.
    #[arg(long, requires = "outcomes")]
    pack: Option<PathBuf>,
    /// Where the learned pack or the proposal goes.
    #[arg(long)]
    out: PathBuf,
}

/// Learns.
pub fn run(learn: &Learn, tell: &Tell) -> Result<()> {
    match (&learn.table, &learn.class, &learn.schema, &learn.outcomes) {
        (Some(table), Some(class), Some(schema), _) => from_table(table, class, schema, &learn.out, tell),
        (_, _, _, Some(outcomes)) => from_outcomes(outcomes, learn.pack.as_deref(), &learn.out, tell),
        _ => bail!("nothing to learn from: give --table with --class and --schema, or --outcomes"),
    }
}

fn from_table(table: &Path, class: &str, schema: &Path, out: &Path, tell: &Tell) -> Result<()> {
    let schema = Schema::from_json(&read(schema)?).with_context(|| schema.display().to_string())?;
    let table_name = || table.display().to_string();
    let table = Table::to_learn(&read(table)?, class, &schema).with_context(table_name)?;
    let settings = TableSettings::default();
    let pack = TablePack::learn(&table, next_version(out)?, &settings).with_context(table_name)?;
    let folds = table.rows.len().min(10);
    let figures = if folds < 2 { None } else { Some(cross_validate(&table, &settings, folds, 1, Some(ASK_UNTIL))?) };
    put(out, &pack.to_json())?;
    tell.say(
        || {
            format!(
                "{}: version {}, learned from {} cases of {} classes",
                out.display(),
                pack.version,
                pack.source.rows,
                pack.schema.classes.len()
            )
        },
        || {
            json!({
                "pack": out, "version": pack.version, "rows": pack.source.rows, "source": pack.source.hash,
                "held_out": figures.as_ref().map(figures_json),
            })
        },
    );
    if let Some(f) = figures {
        tell.say_words(|| {
            format!(
                "Each case judged by what the others teach, {folds} folds: first choice right {:.3}, among the first three \
                 {:.3}, log loss {:.3}, Brier {:.3}.\nAsking until {ASK_UNTIL}: {:.1} questions a case, right {:.3}.",
                f.first, f.three, f.log_loss, f.brier, f.questions, f.right_at_stop
            )
        });
    }
    Ok(())
}

fn figures_json(f: &Figures) -> serde_json::Value {
    json!({
        "judged": f.judged, "first": f.first, "three": f.three, "log_loss": f.log_loss, "brier": f.brier,
        "questions": f.questions, "right_at_stop": f.right_at_stop,
    })
}

fn from_outcomes(outcomes: &Path, pack: Option<&Path>, out: &Path, tell: &Tell) -> Result<()> {
    let pack = crate::pack::load(pack)?;
    let outcomes = Outcome::read_lines(&read(outcomes)?).with_context(|| outcomes.display().to_string())?;
    let proposal = Proposal::for_pack(&pack, &outcomes, &LearnSettings::default());
    put(out, &serde_json::to_string_pretty(&proposal)?)?;
    let calibration = Calibration::of(&outcomes);
    tell.say(
        || format!("{proposal}\n{calibration}"),
        || {
            json!({
                "proposal": out, "changes": proposal.changes, "effect": proposal.effect, "unknown": proposal.unknown,
                "calibration": calibration,
            })
        },
    );
    Ok(())
}

fn read(path: &Path) -> Result<String> {
    fs::read_to_string(path).with_context(|| format!("reading {}", path.display()))
}

/// One more than the version of the learned pack that is there, or 1. Another file is never overwritten.
fn next_version(out: &Path) -> Result<u32> {
    if !out.exists() {
        return Ok(1);
    }
    let there = TablePack::from_json(&read(out)?)
        .with_context(|| format!("{} is there and is no learned pack; give another --out", out.display()))?;
    there.version.checked_add(1).context("the version cannot count up any further")
}

fn put(path: &Path, text: &str) -> Result<()> {
    durable::write_whole(path, text.as_bytes()).with_context(|| format!("writing {}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    const SCHEMA: &str = r#"{"attributes": {"sky": ["clear", "dark"], "wind": ["still", "strong"]}}"#;
    const TABLE: &str = "sky,wind,kind\nclear,still,calm\nclear,,calm\ndark,strong,storm\ndark,strong,storm\n";

    struct Files(tempfile::TempDir);

    impl Files {
        fn new() -> Self {
            let files = Self(tempfile::tempdir().unwrap());
            files.write("schema.json", SCHEMA);
            files.write("table.csv", TABLE);
            files
        }

        fn at(&self, name: &str) -> PathBuf {
            self.0.path().join(name)
        }

        fn write(&self, name: &str, text: &str) {
            fs::write(self.at(name), text).unwrap();
        }

        fn learn(&self) -> Result<()> {
            let (table, schema, out) = (self.at("table.csv"), self.at("schema.json"), self.at("pack.json"));
            from_table(&table, "kind", &schema, &out, &Tell::new(true))
        }
    }

    #[test]
    fn learning_again_counts_the_version_up() {
        let files = Files::new();
        for version in 1..=2 {
            files.learn().unwrap();
            let pack = TablePack::from_json(&read(&files.at("pack.json")).unwrap()).unwrap();
            assert_eq!((pack.version, pack.schema.classes.len()), (version, 2));
        }
        assert_eq!(fs::read_dir(files.0.path()).unwrap().count(), 3, "nothing is left beside it");
    }

    #[test]
    fn a_wrong_table_is_named_and_nothing_is_overwritten() {
        let files = Files::new();
        files.write("table.csv", &TABLE.replace("dark,strong", "dark,loud"));
        let e = files.learn().unwrap_err();
        assert!(
            format!("{e:#}").ends_with("table.csv: row 2: wind cannot be \"loud\"; row 3: wind cannot be \"loud\"")
        );
        assert!(!files.at("pack.json").exists());
        files.write("table.csv", TABLE);
        files.write("pack.json", "my letter");
        assert!(format!("{:#}", files.learn().unwrap_err()).contains("give another --out"));
        assert_eq!(read(&files.at("pack.json")).unwrap(), "my letter");
    }

    #[test]
    fn confirmed_cases_become_a_proposal() {
        let files = Files::new();
        let line = |i: usize| {
            format!(
                r#"{{"id":"{i}","host":"maple","date":"2026-06-{:02}","causes":[{{"cause":"tar_spot","basis":"reviewed"}}],
                "findings":[{{"character":"leaf_spot","state":"none","status":"seen"}}]}}"#,
                i + 1
            )
            .replace('\n', "")
        };
        files.write("cases.jsonl", &(0..20).map(line).collect::<Vec<_>>().join("\n"));
        from_outcomes(&files.at("cases.jsonl"), None, &files.at("proposal.json"), &Tell::new(true)).unwrap();
        let proposal: Proposal = serde_json::from_str(&read(&files.at("proposal.json")).unwrap()).unwrap();
        assert_eq!(proposal.outcomes, 20);
        assert!(!proposal.changes.is_empty());
        assert!(proposal.effect.is_some());
    }
}
