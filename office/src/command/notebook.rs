//! `dooryard notebook`: write, list, look up, as on a phone.

use std::{
    io::Read,
    path::{Path, PathBuf},
};

use anyhow::{Context, Result, bail};
use clap::Subcommand;
use dooryard_core::{
    clock::Env,
    ids::RecordId,
    notebook::{LetGo, Notebook as Store, Query},
    record::Kind,
};
use serde_json::{Value as Json, json};

use super::{join::join, kept, notebook_look as look, own_data, save::Plan, tell::Tell};
use crate::page::count;

/// Commands on a notebook.
#[derive(Subcommand)]
pub enum Notebook {
    /// Make a new notebook in a folder.
    New {
        /// Folder that does not hold one yet.
        dir: PathBuf,
    },
    /// Write the file by which the notebook asks an office to take it on.
    Request {
        /// The notebook's folder.
        dir: PathBuf,
        /// File to write; hand it to the office.
        #[arg(long)]
        out: PathBuf,
    },
    /// Take the office's answer: from then on the notebook belongs to that office.
    Enrol {
        /// The notebook's folder.
        dir: PathBuf,
        /// The office's answer file.
        file: PathBuf,
    },
    /// Join an office by its invitation: reads its code, shows the phone's own code for the office and the six words to compare.
    ///
    /// What was written before goes over to that office; bundles wait there until the notebook is admitted.
    Join {
        /// The notebook's folder.
        dir: PathBuf,
        /// The office's code as text or in a file (text, PNG, photo), or - for what is piped in.
        code: String,
        /// It is the office's answer: the notebook belongs to the office from then on.
        #[arg(long)]
        answer: bool,
        /// Write the phone's code as a picture too.
        #[arg(long, conflicts_with = "answer")]
        png: Option<PathBuf>,
    },
    /// Save records from a JSON file: one {"kind","id"?,"fields"} or a list of them.
    ///
    /// A step may carry a "label"; later steps refer to it as "@label" wherever a field holds another record. A step
    /// {"photo": "leaf.jpg", "fields": {…}} takes in a photo that stands beside the file. The whole file is checked before
    /// the first record is saved. Kinds and fields: schemas/fields.md.
    Save {
        /// The notebook's folder.
        dir: PathBuf,
        /// The file; - reads what is piped in.
        file: PathBuf,
    },
    /// List records, last changed first.
    List {
        /// The notebook's folder.
        dir: PathBuf,
        /// Only this kind, such as inquiry or finding.
        #[arg(long)]
        kind: Option<String>,
        /// Only records with this value, such as township=Sedge. May be given again.
        #[arg(long = "where", value_name = "FIELD=VALUE")]
        equals: Vec<String>,
        /// Only records in which two phones disagree.
        #[arg(long)]
        conflict: bool,
        /// Deleted ones too.
        #[arg(long)]
        deleted: bool,
        /// Rows at most.
        #[arg(long, default_value_t = 100)]
        limit: usize,
        /// Rows to pass over.
        #[arg(long, default_value_t = 0)]
        offset: usize,
    },
    /// Show one record with all its fields, and what else was written where phones disagree.
    Show {
        /// The notebook's folder.
        dir: PathBuf,
        /// The record's number.
        id: String,
    },
    /// Show every save of one record, oldest first.
    History {
        /// The notebook's folder.
        dir: PathBuf,
        /// The record's number.
        id: String,
    },
    /// Find records by words, as beginnings of words.
    Search {
        /// The notebook's folder.
        dir: PathBuf,
        /// The words; all of them have to stand in a record.
        #[arg(required = true)]
        words: Vec<String>,
    },
    /// Delete a record: it is hidden, and nothing is lost.
    Delete {
        /// The notebook's folder.
        dir: PathBuf,
        /// The record's number.
        id: String,
        /// Bring it back instead.
        #[arg(long)]
        undo: bool,
    },
    /// Back the notebook up, with photos, into one sealed file that this notebook's key opens, and the office's recovery key.
    Backup {
        /// The notebook's folder.
        dir: PathBuf,
        /// File to write.
        #[arg(long)]
        out: PathBuf,
    },
    /// Bring a backup back: into the folder whose notebook file is gone, or merged into the notebook that is there.
    Restore {
        /// The backup.
        file: PathBuf,
        /// The notebook's folder, with its key.
        dir: PathBuf,
    },
    /// Write everything that the notebook shows into a zip file that a person can read: records, tables, photos. Not sealed.
    Export {
        /// The notebook's folder.
        dir: PathBuf,
        /// File to write, such as own-data.zip.
        #[arg(long)]
        out: PathBuf,
    },
    /// Bring what was exported into this notebook, as saves of its own. The same file twice changes nothing.
    Import {
        /// The exported file.
        zip: PathBuf,
        /// The notebook's folder.
        dir: PathBuf,
    },
    /// Go on under a new key where the old one is gone for good: its file is missing, or the phone that could open it forgot how.
    ///
    /// Nothing that is written is lost, and no key that can be read is touched. The office takes the notebook on again as a new
    /// device; after that its bundles bring what was written with the old key too.
    NewKey {
        /// The notebook's folder.
        dir: PathBuf,
        /// A phone protected the key, and it is gone there too: this program cannot look.
        #[arg(long)]
        gone_on_its_phone: bool,
    },
    /// Let go of what a verified backup of the office holds, by the rule of this notebook. Without a rule all is kept.
    LetGo {
        /// The notebook's folder.
        dir: PathBuf,
        /// The rule from now on.
        #[arg(long)]
        rule: Option<Rule>,
    },
    /// List the damaged files that were set aside; one that holds an erased record waits for a decision.
    Damaged {
        /// The notebook's folder.
        dir: PathBuf,
        /// Erase this file, by its name. For good.
        #[arg(long)]
        erase: Option<String>,
    },
    /// Get back what can be read of a damaged notebook file that was set aside. The damaged file is not touched.
    Recover {
        /// The notebook's folder.
        dir: PathBuf,
        /// The damaged file, such as notebook.damaged-1.
        file: PathBuf,
    },
}

/// What may be let go of.
#[derive(Clone, Copy, clap::ValueEnum)]
pub enum Rule {
    /// Nothing.
    Nothing,
    /// Originals of photos; thumbnails stay.
    Originals,
    /// Originals, and names and ways to reach a person.
    OriginalsAndContacts,
}

impl From<Rule> for LetGo {
    fn from(rule: Rule) -> Self {
        match rule {
            Rule::Nothing => Self::Nothing,
            Rule::Originals => Self::Originals,
            Rule::OriginalsAndContacts => Self::OriginalsAndContacts,
        }
    }
}

/// Opens the notebook in a folder, with the folder's name in whatever goes wrong.
pub fn open(dir: &Path) -> Result<Store> {
    Store::open(dir, Env::system()).with_context(|| dir.display().to_string())
}

/// Runs one of them.
pub fn run(command: Notebook, tell: &Tell) -> Result<()> {
    match command {
        Notebook::Backup { dir, out } => kept::back_up(&dir, &out, tell)?,
        Notebook::Restore { file, dir } => kept::restore(&file, &dir, tell)?,
        Notebook::Export { dir, out } => own_data::export(&open(&dir)?, &out, tell)?,
        Notebook::Import { zip, dir } => own_data::import(&zip, &open(&dir)?, tell)?,
        Notebook::NewKey { dir, gone_on_its_phone } => kept::new_key(&dir, gone_on_its_phone, tell)?,
        Notebook::LetGo { dir, rule } => kept::let_go(&dir, rule.map(Into::into), tell)?,
        Notebook::Damaged { dir, erase } => kept::damaged(&open(&dir)?, erase.as_deref(), tell)?,
        Notebook::Recover { dir, file } => {
            let got = open(&dir)?.recover(&file).with_context(|| file.display().to_string())?;
            let (changes, here) = (count(got.changes, "save", "saves"), count(got.here, "save", "saves"));
            tell.say(
                || format!("Got back {changes}; {here} were here already; {} could not be read.", got.unreadable),
                || json!(got),
            );
        }
        Notebook::New { dir } => {
            Store::create(&dir, Env::system()).with_context(|| dir.display().to_string())?;
            tell.say(
                || {
                    format!(
                        "A new notebook stands in {0}. Its key is a file there that only you can read (mode 0600), and nothing else guards it.\nNext: dooryard notebook join {0} with an office's invitation, or dooryard notebook request {0} --out {0}.request",
                        dir.display()
                    )
                },
                || json!({ "notebook": dir.display().to_string() }),
            );
        }
        Notebook::Request { dir, out } => {
            let request = open(&dir)?.enrolment_request();
            std::fs::write(&out, request).with_context(|| format!("writing {}", out.display()))?;
            tell.say(
                || {
                    format!(
                        "{} is written. Hand it to the office; it answers with a file for `dooryard notebook enrol`.",
                        out.display()
                    )
                },
                || json!({ "request": out.display().to_string() }),
            );
        }
        Notebook::Enrol { dir, file } => {
            let answer = std::fs::read(&file).with_context(|| format!("reading {}", file.display()))?;
            let notebook = open(&dir)?;
            notebook.enrol(&answer).with_context(|| file.display().to_string())?;
            let (role, label) = notebook.role()?;
            tell.say(
                || format!("This notebook is {label} now, as {}. What is saved in it can be handed over.", role.name()),
                || json!({ "label": label, "role": role.name() }),
            );
        }
        Notebook::Join { dir, code, answer, png } => join(&dir, &code, answer, png.as_deref(), tell)?,
        Notebook::Save { dir, file } => save(&dir, &file, tell)?,
        Notebook::List { dir, kind, equals, conflict, deleted, limit, offset } => {
            let kind = kind.map(|k| k.parse::<Kind>()).transpose()?;
            let equals = equals.iter().map(|pair| condition(pair)).collect::<Result<_>>()?;
            let query =
                Query { kind, equals, in_conflict: conflict, with_hidden: deleted, limit, offset, ..Query::default() };
            look::list(&open(&dir)?, &query, tell)?;
        }
        Notebook::Search { dir, words } => {
            look::list(&open(&dir)?, &Query { words: words.join(" "), ..Query::default() }, tell)?;
        }
        Notebook::Show { dir, id } => look::show(&open(&dir)?, record_id(&id)?, tell)?,
        Notebook::History { dir, id } => look::history(&open(&dir)?, record_id(&id)?, tell)?,
        Notebook::Delete { dir, id, undo } => {
            let (notebook, id) = (open(&dir)?, record_id(&id)?);
            if undo {
                notebook.restore(id)?
            } else {
                notebook.delete(id)?
            }
            tell.say(
                || {
                    if undo {
                        format!("{id} is back.")
                    } else {
                        format!("{id} is hidden. Its history is kept; --undo brings it back.")
                    }
                },
                || json!({ "id": id.to_string(), "hidden": !undo }),
            );
        }
    }
    Ok(())
}

/// Reads a record's number.
pub fn record_id(text: &str) -> Result<RecordId> {
    text.parse().with_context(|| format!("{text:?} is not a record's number"))
}

fn condition(pair: &str) -> Result<(String, Json)> {
    let Some((field, value)) = pair.split_once('=') else { bail!("--where {pair}: write it as FIELD=VALUE") };
    // Whole numbers and yes or no are meant as such; everything else is text.
    let value = match value {
        "true" | "false" => Json::Bool(value == "true"),
        _ => value.parse::<i64>().map_or_else(|_| Json::from(value), Json::from),
    };
    Ok((field.to_owned(), value))
}

fn save(dir: &Path, file: &Path, tell: &Tell) -> Result<()> {
    let piped = file == Path::new("-");
    let name = if piped { "standard input".to_owned() } else { file.display().to_string() };
    let mut text = String::new();
    if piped {
        std::io::stdin().read_to_string(&mut text).context("reading standard input")?;
    } else {
        text = std::fs::read_to_string(file).with_context(|| format!("reading {name}"))?;
    }
    let folder = if piped { Path::new(".") } else { file.parent().unwrap_or(Path::new(".")) };
    let notebook = open(dir)?;
    let (role, _) = notebook.role()?;
    let plan = Plan::read(&text, folder, role).with_context(|| name.clone())?;
    plan.save(&notebook, |saved| {
        let label = saved.label.as_deref().unwrap_or_default();
        tell.say(
            || format!("{}  {} {label}", saved.id, saved.kind).trim_end().to_owned(),
            || json!({ "id": saved.id.to_string(), "kind": saved.kind.name(), "label": saved.label }),
        );
    })
    .with_context(|| name)?;
    tell.say_words(|| format!("{}, on this notebook.", count(plan.len() as u64, "record saved", "records saved")));
    Ok(())
}
