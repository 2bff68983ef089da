//! `dooryard office`: the office's folder, its phones, its page.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use anyhow::{Context, Result};
use clap::Subcommand;
use dooryard_core::{
    Code, Error,
    clock::Env,
    ids::{DeviceId, LogId},
    record::Role,
};
use serde_json::json;

use super::{
    decide::{self, Decide},
    enrol::{self, Enrol},
    keys::{self, Keys},
    notebook::record_id,
    pack_choice::PackChoice,
    tell::Tell,
};
use crate::{
    desk::Office as Desk,
    page::{Names, When, count, serve},
    report::Whole,
};

/// Commands on an office.
#[derive(Subcommand)]
pub enum Office {
    /// Make a new office in a folder, with its keys.
    New {
        /// Folder that does not hold one yet.
        dir: PathBuf,
        /// What people call the office.
        #[arg(long)]
        name: String,
    },
    /// Take a phone on: reads its request, writes the answer file for it.
    AddDevice {
        /// The office's folder.
        dir: PathBuf,
        /// The request that `dooryard notebook request` wrote.
        #[arg(long)]
        request: PathBuf,
        /// Role of whoever carries it: scout, lead, educator or office.
        #[arg(long)]
        role: Role,
        /// What people call it, such as "Scout 3". Never a person's name.
        #[arg(long)]
        label: String,
        /// Answer file to write; hand it to the phone.
        #[arg(long)]
        out: PathBuf,
    },
    /// List the phones, and what the office has of each.
    Devices {
        /// The office's folder.
        dir: PathBuf,
    },
    /// Cut a phone off: what it wrote and handed over stays, what it writes from now on waits for a person.
    Revoke {
        /// The office's folder.
        dir: PathBuf,
        /// The phone's label or id.
        #[arg(long)]
        device: String,
    },
    /// Say how things stand: what disagrees, what waits, what has not come, counts per plant and cause.
    Status {
        /// The office's folder.
        dir: PathBuf,
        #[command(flatten)]
        pack: PackChoice,
    },
    /// Serve the office page on this machine, until Ctrl-C.
    Serve {
        /// The office's folder.
        dir: PathBuf,
        /// Port; 0 takes a free one and prints it.
        #[arg(long, default_value_t = 8080)]
        port: u16,
        #[command(flatten)]
        pack: PackChoice,
    },
    /// Erase a record's words here, on every phone with its next reply, and in every copy that comes later. For good.
    Erase {
        /// The office's folder.
        dir: PathBuf,
        /// The record's number.
        record: String,
        /// Say yes: this cannot be undone.
        #[arg(long)]
        yes: bool,
    },
    /// Correct the times of a phone whose clock was wrong. The times as it wrote them are kept.
    CorrectClock {
        /// The office's folder.
        dir: PathBuf,
        /// The phone's label or id.
        #[arg(long)]
        device: String,
        /// How many seconds its clock ran ahead; negative when it ran behind.
        #[arg(long, allow_negative_numbers = true)]
        ahead_seconds: i64,
        /// First save to correct, counted from 1.
        #[arg(long, default_value_t = 1)]
        from: u64,
        /// Last save to correct; without it the newest that is here.
        #[arg(long)]
        to: Option<u64>,
    },
    #[command(flatten)]
    Enrol(Enrol),
    #[command(flatten)]
    Decide(Decide),
    #[command(flatten)]
    Keys(Keys),
}

/// Opens the office in a folder, with the folder's name in whatever goes wrong.
pub fn open(dir: &Path) -> Result<Desk> {
    Desk::open(dir, Env::system()).with_context(|| dir.display().to_string())
}

/// Runs one of them.
pub fn run(command: Office, tell: &Tell) -> Result<()> {
    match command {
        Office::New { dir, name } => {
            let office = Desk::create(&dir, &name, Env::system()).with_context(|| dir.display().to_string())?;
            let id = office.card().office();
            tell.say(
                || {
                    format!(
                        "{name} stands in {}. Its keys are in that folder: keep a copy of it in a safe place.\n\
                         Next: `dooryard office put-away` moves the two that belong in a drawer onto a stick.",
                        dir.display()
                    )
                },
                || json!({ "office": id.to_string(), "name": name }),
            );
        }
        Office::AddDevice { dir, request, role, label, out } => {
            let given = std::fs::read(&request).with_context(|| format!("reading {}", request.display()))?;
            let answer = open(&dir)?.add_device(&given, role, &label).with_context(|| request.display().to_string())?;
            std::fs::write(&out, answer).with_context(|| format!("writing {}", out.display()))?;
            tell.say(
                || format!("{label} is taken on as {}. Hand {} to the phone.", role.name(), out.display()),
                || json!({ "label": label, "role": role.name(), "answer": out.display().to_string() }),
            );
        }
        Office::Devices { dir } => devices(&open(&dir)?, tell)?,
        Office::Revoke { dir, device } => {
            let office = open(&dir)?;
            office.revoke(office.device(&device)?)?;
            tell.say(
                || format!("{device} is cut off. What was taken in stays; what it writes now waits for a person."),
                || json!({ "revoked": device }),
            );
        }
        Office::Status { dir, pack } => status(&open(&dir)?, &pack, tell)?,
        Office::Serve { dir, port, pack } => {
            let pack = pack.load()?;
            serve(Arc::new(open(&dir)?), Arc::new(pack), port)?;
        }
        Office::Enrol(command) => enrol::run(command, tell)?,
        Office::Decide(command) => decide::run(command, tell)?,
        Office::Keys(command) => keys::run(command, tell)?,
        Office::Erase { dir, record, yes } => {
            let (office, id) = (open(&dir)?, record_id(&record)?);
            let kind = office.notebook().show(id)?.kind;
            if !yes {
                anyhow::bail!("erasing a {kind} cannot be undone. If it is meant, run it again with --yes");
            }
            office.erase(id)?;
            tell.say(
                || format!("The words of the {kind} are erased here. Make a reply for each phone, so that they go there too."),
                || json!({ "erased": id.to_string(), "kind": kind.name() }),
            );
        }
        Office::CorrectClock { dir, device, ahead_seconds, from, to } => {
            let office = open(&dir)?;
            let id = office.device(&device)?;
            let corrected = correct_clock(&office, id, ahead_seconds, from, to)?;
            tell.say(
                || {
                    format!(
                        "{} of {device} are shown {ahead_seconds} seconds earlier now.",
                        count(corrected, "save", "saves")
                    )
                },
                || json!({ "device": device, "corrected": corrected, "ahead_seconds": ahead_seconds }),
            );
        }
    }
    Ok(())
}

fn correct_clock(office: &Desk, device: DeviceId, ahead: i64, from: u64, to: Option<u64>) -> Result<u64> {
    let mut ends: Vec<(LogId, u64)> = Vec::new();
    for (log, run) in office.notebook().runs_of(&device)? {
        match ends.iter_mut().find(|(known, _)| *known == log) {
            Some((_, end)) => *end = run.to.max(*end),
            None => ends.push((log, run.to)),
        }
    }
    let skew = ahead.checked_mul(1000).ok_or_else(|| Error::refused(Code::Clock, "a correction beyond all time"))?;
    let mut corrected = 0;
    for (log, end) in ends {
        let last = to.unwrap_or(end).min(end);
        if from <= last {
            office.correct_clock(log, from, last, skew)?;
            corrected += last - from + 1;
        }
    }
    if corrected == 0 {
        return Err(Error::NotFound("save of that phone in that range".into()).into());
    }
    Ok(corrected)
}

fn devices(office: &Desk, tell: &Tell) -> Result<()> {
    let rows = office.devices()?;
    for d in &rows {
        tell.say(
            || {
                let mut notes = Vec::new();
                if d.waiting > 0 {
                    notes.push(format!("{} set aside", d.waiting));
                }
                if d.logs > 1 {
                    notes.push(format!("{} logs", d.logs));
                }
                if d.revoked {
                    notes.push("cut off".into());
                }
                let notes = if notes.is_empty() { String::new() } else { format!(" ({})", notes.join(", ")) };
                format!("{:<14} {:<9} {}{notes}  {}", d.label, d.role, count(d.changes, "change", "changes"), d.device)
            },
            || serde_json::to_value(d).unwrap_or_default(),
        );
    }
    Ok(())
}

fn status(office: &Desk, pack: &PackChoice, tell: &Tell) -> Result<()> {
    let names = Names::of(&pack.load()?);
    let whole = Whole::of(office, &names, &When::now())?;
    if tell.is_json() {
        for object in whole.objects() {
            tell.say(String::new, || object);
        }
        return Ok(());
    }
    let phones = office.devices()?.len().saturating_sub(1) as u64;
    let files = office.intake_log()?.len() as u64;
    println!(
        "{}: {}, {} taken in or refused.",
        office.card().name,
        count(phones, "phone", "phones"),
        count(files, "file", "files")
    );
    println!("{}", whole.words());
    if !names.notice.is_empty() {
        println!("\n{}", names.notice);
    }
    Ok(())
}
