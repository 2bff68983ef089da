//! `dooryard office`: the office's folder, its phones, its page.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use anyhow::{Context, Result};
use clap::Subcommand;
use dooryard_core::{clock::Env, notebook::write_secret, record::Role};
use serde_json::json;

use super::{
    account::{self, Account},
    decide::{self, Decide},
    enrol::{self, Enrol},
    kept,
    keys::{self, Keys},
    notebook::record_id,
    office_look,
    pack_choice::PackChoice,
    tell::Tell,
};
use crate::{
    desk::{LedgerChoice, Office as Desk},
    page::{count, serve},
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
    /// Accounts of the office page: who may sign in, and as what.
    #[command(subcommand)]
    Account(Account),
    /// Serve the office page on this machine, until Ctrl-C. While nobody has an account, it prints a link to make the first.
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
    /// Back the whole office up into one sealed file, which is read back before it counts. The erasure ledger goes beside it.
    /// The county's outline and townships are in it; a base map (basemap.pmtiles) is not: keep a copy of it.
    Backup {
        /// The office's folder.
        dir: PathBuf,
        /// File to write.
        #[arg(long)]
        out: PathBuf,
        /// The file's place is off this machine: phones may let go of what is in it, where their person lets them.
        #[arg(long)]
        off_machine: bool,
    },
    /// Bring a backup back: into an empty folder, or merged into the same office. Phones are asked to offer again.
    Restore {
        /// The backup.
        file: PathBuf,
        /// Folder of the office, empty or with that office.
        dir: PathBuf,
        /// File with the recovery key.
        #[arg(long)]
        key: PathBuf,
        /// Erasure ledger to go by instead of the one beside the backup.
        #[arg(long, conflicts_with = "without_ledger")]
        ledger: Option<PathBuf>,
        /// Go by no ledger: what was erased after the backup was made comes back.
        #[arg(long)]
        without_ledger: bool,
        /// Folder with root.key: when the office's keys were changed after the backup and the root key was put away.
        #[arg(long)]
        drawer: Option<PathBuf>,
    },
    /// Write the recovery key into a file, to be kept in a drawer: it opens backups when this machine is gone.
    RecoveryKey {
        /// The office's folder.
        dir: PathBuf,
        /// File to write.
        #[arg(long)]
        out: PathBuf,
    },
    /// Take in the backup of a phone of this office that is lost: what it wrote, and its photos.
    TakeBackup {
        /// The office's folder.
        dir: PathBuf,
        /// The phone's backup.
        file: PathBuf,
        /// File with the recovery key, when it was put away.
        #[arg(long)]
        key: Option<PathBuf>,
    },
    /// List the files in quarantine; one that names an erased record waits for a decision, as does a bundle of a phone that
    /// nobody admitted yet.
    Quarantine {
        /// The office's folder.
        dir: PathBuf,
        /// Throw this file away, by its number.
        #[arg(long)]
        drop: Option<String>,
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
        Office::Devices { dir } => office_look::devices(&open(&dir)?, tell)?,
        Office::Revoke { dir, device } => {
            let office = open(&dir)?;
            office.revoke(office.device(&device)?)?;
            tell.say(
                || format!("{device} is cut off. What was taken in stays; what it writes now waits for a person."),
                || json!({ "revoked": device }),
            );
        }
        Office::Status { dir, pack } => office_look::status(&open(&dir)?, &pack, tell)?,
        Office::Serve { dir, port, pack } => {
            let pack = pack.load()?;
            let (office, people) = (open(&dir)?, account::people(&dir)?);
            serve(Arc::new(office), Arc::new(people), Arc::new(pack), port)?;
        }
        Office::Account(command) => account::run(command, tell)?,
        Office::Enrol(command) => enrol::run(command, tell)?,
        Office::Decide(command) => decide::run(command, tell)?,
        Office::Keys(command) => keys::run(command, tell)?,
        Office::Erase { dir, record, yes } => {
            let (office, id) = (open(&dir)?, record_id(&record)?);
            let kind = office.notebook().show(id)?.kind;
            if !yes {
                anyhow::bail!("erasing a {kind} cannot be undone. If it is meant, run it again with --yes");
            }
            let erased = office.erase(id)?;
            kept::say_behind(&office, tell)?;
            let (views, files) = (erased.views, erased.to_decide);
            tell.say(
                || format!("The words of the {kind} are erased here. Make a reply for each phone, so that they go there too."),
                || json!({ "erased": id.to_string(), "kind": kind.name(), "saved_views": views, "files_to_decide": files }),
            );
            kept::say_erased(erased, tell);
        }
        Office::Backup { dir, out, off_machine } => kept::back_up_office(&open(&dir)?, &out, off_machine, tell)?,
        Office::Restore { file, dir, key, ledger, without_ledger, drawer } => {
            let ledger = match ledger {
                _ if without_ledger => LedgerChoice::None,
                Some(ledger) => LedgerChoice::File(ledger),
                None => LedgerChoice::Beside,
            };
            kept::restore_office(&file, &dir, &key, &ledger, drawer.as_deref(), tell)?;
        }
        Office::RecoveryKey { dir, out } => {
            write_secret(&out, open(&dir)?.recovery_key()?.as_bytes())?;
            tell.say(
                || {
                    format!(
                        "{} holds the recovery key. Keep it apart from this machine and from the backups.",
                        out.display()
                    )
                },
                || json!({ "recovery_key": out.display().to_string() }),
            );
        }
        Office::TakeBackup { dir, file, key } => kept::take_backup(&open(&dir)?, &file, key.as_deref(), tell)?,
        Office::Quarantine { dir, drop } => kept::quarantine(&open(&dir)?, drop.as_deref(), tell)?,
        Office::CorrectClock { dir, device, ahead_seconds, from, to } => {
            let office = open(&dir)?;
            let id = office.device(&device)?;
            let corrected = office_look::correct_clock(&office, id, ahead_seconds, from, to)?;
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
