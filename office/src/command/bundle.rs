//! `dooryard bundle`: the sealed files between phones and office.

use std::path::PathBuf;

use anyhow::{Context, Result, bail};
use clap::Subcommand;
use dooryard_core::bundle::look_inside;
use serde_json::json;

use super::{notebook, office, pack_choice::PackChoice, tell::Tell};
use crate::{
    desk::Outcome,
    page::{Names, When, count, number},
    report::{self, Whole},
};

/// Commands on bundles.
#[derive(Subcommand)]
pub enum Bundle {
    /// Make a bundle of everything the office has not confirmed yet, sealed so that only the office can open it.
    Make {
        /// The notebook's folder.
        dir: PathBuf,
        /// Bundle to write, ending in .yard.
        #[arg(long)]
        out: PathBuf,
        /// Words only; photos stay offered for the next bundle.
        #[arg(long)]
        without_photos: bool,
    },
    /// Take bundles in at the office, and say what each brought. Taking a file in again changes nothing.
    TakeIn {
        /// The office's folder.
        #[arg(long)]
        office: PathBuf,
        /// The bundles, in any order.
        #[arg(required_unless_present = "set_aside")]
        files: Vec<PathBuf>,
        /// Try again what was kept in quarantine.
        #[arg(long)]
        set_aside: bool,
        #[command(flatten)]
        pack: PackChoice,
    },
    /// Make the office's reply for one phone: what the office has, and what the phone may hold.
    Reply {
        /// The office's folder.
        #[arg(long)]
        office: PathBuf,
        /// The phone's label or id.
        #[arg(long)]
        device: String,
        /// Reply to write, ending in .yard.
        #[arg(long)]
        out: PathBuf,
    },
    /// Take the office's reply on a phone.
    TakeReply {
        /// The notebook's folder.
        dir: PathBuf,
        /// The reply.
        file: PathBuf,
    },
    /// Say what can be seen of a bundle without any key: version, parts, sizes, whether it is whole.
    LookInside {
        /// The bundle.
        file: PathBuf,
    },
}

/// Runs one of them.
pub fn run(command: Bundle, tell: &Tell) -> Result<()> {
    match command {
        Bundle::Make { dir, out, without_photos } => {
            let book = notebook::open(&dir)?;
            let (job, bar) = tell.job("Sealing");
            let made = if without_photos { book.make_text_bundle(&out, &job) } else { book.make_bundle(&out, &job) };
            bar.finish_and_clear();
            let made = made.with_context(|| out.display().to_string())?;
            tell.say(
                || {
                    let mut left = String::new();
                    if made.left > 0 {
                        let changes = count(made.left, "change", "changes");
                        left = format!("\n{changes} did not fit: make another after the office's reply.");
                    }
                    if made.photos_left > 0 {
                        let pictures = count(made.photos_left, "picture", "pictures");
                        left += &format!("\n{pictures} did not fit: make another bundle now, into another file.");
                    }
                    format!(
                        "{}: {}, {}, {} bytes. Only the office can open it. It is kept here until the office replies.{left}",
                        out.display(),
                        count(made.changes, "change", "changes"),
                        count(made.photos, "picture", "pictures"),
                        number(made.bytes),
                    )
                },
                || serde_json::to_value(&made).unwrap_or_default(),
            );
        }
        Bundle::TakeIn { office, files, set_aside, pack } => take_in(&office, &files, set_aside, &pack, tell)?,
        Bundle::Reply { office: dir, device, out } => {
            let desk = office::open(&dir)?;
            let (job, bar) = tell.job("Sealing the reply");
            let made = desk.make_reply(desk.device(&device)?, &out, &job);
            bar.finish_and_clear();
            let made = made.with_context(|| out.display().to_string())?;
            tell.say(
                || {
                    format!(
                        "{}: reply {} for {}, {}, {} bytes. Only that phone can open it.",
                        out.display(),
                        made.number,
                        made.to,
                        count(made.records, "record", "records"),
                        number(made.bytes)
                    )
                },
                || serde_json::to_value(&made).unwrap_or_default(),
            );
        }
        Bundle::TakeReply { dir, file } => {
            let book = notebook::open(&dir)?;
            let (job, bar) = tell.job("Taking the reply");
            let taken = book.take_reply(&file, &job);
            bar.finish_and_clear();
            let taken = taken.with_context(|| file.display().to_string())?;
            tell.say(
                || {
                    let mut lines = vec![format!(
                        "Office has it: {} and {} of this phone. It shows this phone {}.",
                        count(taken.received, "change", "changes"),
                        count(taken.photos_received, "picture", "pictures"),
                        count(taken.records, "record", "records")
                    )];
                    if !taken.waiting.is_empty() {
                        lines.push(format!("{} there for a person's decision; you need do nothing.", count(taken.waiting.len() as u64, "change waits", "changes wait")));
                    }
                    if taken.restored {
                        lines.push("This notebook was restored from a backup. Nothing is lost: what nobody has confirmed is offered again.".into());
                    }
                    lines.join("\n")
                },
                || serde_json::to_value(&taken).unwrap_or_default(),
            );
        }
        Bundle::LookInside { file } => {
            let look = look_inside(&file).with_context(|| file.display().to_string())?;
            tell.say(
                || {
                    let mut lines = vec![format!(
                        "{}: a bundle of wire version {}, {}. {}",
                        file.display(),
                        look.version,
                        count(look.parts.len() as u64, "part", "parts"),
                        if look.whole { "It is whole." } else { "Its end is missing or wrong." }
                    )];
                    for (at, part) in look.parts.iter().enumerate() {
                        let state = if part.sound { "sealed" } else { "damaged on the way" };
                        lines.push(format!("  part {}: {}, {} bytes, {state}", at + 1, part.kind, number(part.bytes)));
                    }
                    lines.push("Who sent it, and what it says, only the office can read.".into());
                    lines.join("\n")
                },
                || serde_json::to_value(&look).unwrap_or_default(),
            );
        }
    }
    Ok(())
}

fn take_in(dir: &std::path::Path, files: &[PathBuf], set_aside: bool, pack: &PackChoice, tell: &Tell) -> Result<()> {
    let names = Names::of(&pack.load()?);
    let desk = office::open(dir)?;
    let mut refused = 0u64;
    let mut said = |taken: &crate::desk::Taken| {
        let at = i64::try_from(desk.notebook().env().now_ms()).unwrap_or(i64::MAX);
        refused += u64::from(taken.outcome != Outcome::TakenIn);
        tell.say(|| report::of_file(at, taken, &When::now()), || report::of_file_json(at, taken));
    };
    for file in files {
        let (job, bar) = tell.job(&file.display().to_string());
        let taken = desk.take_in(file, &job);
        bar.finish_and_clear();
        said(&taken.with_context(|| file.display().to_string())?);
    }
    if set_aside {
        let (job, bar) = tell.job("What was kept");
        let again = desk.retry_quarantined(&job);
        bar.finish_and_clear();
        again.context("what was kept")?.iter().for_each(said);
    }
    let whole = Whole::of(&desk, &names, &When::now())?;
    tell.say_words(|| whole.words());
    if !names.notice.is_empty() {
        tell.say_words(|| format!("\n{}", names.notice));
    }
    if tell.is_json() {
        for object in whole.objects() {
            tell.say(String::new, || object);
        }
        tell.say(String::new, || json!({ "notice": names.notice }));
    }
    if refused > 0 {
        let others = if files.len() as u64 > refused { " The others were" } else { "" };
        bail!("{} not taken in; the reasons stand above.{others}", count(refused, "file was", "files were"));
    }
    Ok(())
}
