//! What is kept elsewhere and brought back: backups of a notebook, of an office; what a phone lets go of.

use std::path::Path;

use anyhow::{Context, Result, bail};
use dooryard_core::{
    Error,
    clock::Env,
    notebook::{LetGo, Merged, Notebook, OwnerOnlyFile},
};
use serde_json::json;

use super::{notebook::open, tell::Tell};
use crate::{
    desk::{Erased, LedgerChoice, Office, recovery_key},
    page::count,
};

/// Backs a notebook up.
pub fn back_up(dir: &Path, out: &Path, tell: &Tell) -> Result<()> {
    let (job, bar) = tell.job("Backing up");
    let made = open(dir)?.back_up(out, &job).with_context(|| out.display().to_string())?;
    bar.finish_and_clear();
    tell.say(
        || {
            let photos = count(made.photos, "photo or thumbnail", "photos and thumbnails");
            format!("{} holds the notebook with {photos}, and was read back.", out.display())
        },
        || json!({ "backup": out.display().to_string(), "photos": made.photos, "bytes": made.bytes }),
    );
    Ok(())
}

/// Brings a backup back.
pub fn restore(file: &Path, dir: &Path, tell: &Tell) -> Result<()> {
    let (job, bar) = tell.job("Restoring");
    if !dir.join("notebook.db").exists() {
        let notebook =
            Notebook::restore_backup(dir, file, Env::system(), &job).with_context(|| file.display().to_string())?;
        bar.finish_and_clear();
        let records = notebook.list(&Default::default())?.total as u64;
        tell.say(
            || format!("{} holds {} again.", dir.display(), count(records, "record", "records")),
            || json!({ "restored": dir.display().to_string(), "records": records }),
        );
        return Ok(());
    }
    let merged = open(dir)?.merge_backup(file, &job).with_context(|| file.display().to_string())?;
    bar.finish_and_clear();
    say_merged(&merged, tell);
    Ok(())
}

/// Goes on under a new key where the old one is gone for good.
pub fn new_key(dir: &Path, gone_on_its_phone: bool, tell: &Tell) -> Result<()> {
    let protected = |e: &Error| matches!(e, Error::Io { source, .. } if source.kind() == std::io::ErrorKind::NotFound);
    if !gone_on_its_phone && Notebook::open(dir, Env::system()).err().as_ref().is_some_and(protected) {
        bail!(
            "{}: a phone protects this notebook's key, and only that phone can say whether it is gone. If it is, say so with \
             --gone-on-its-phone. Nothing was changed.",
            dir.display()
        );
    }
    let notebook =
        Notebook::open_with_new_key(dir, Env::system(), &OwnerOnlyFile).with_context(|| dir.display().to_string())?;
    let waits = notebook.unhanded()?.changes;
    let again = notebook.must_enrol_again()?;
    tell.say(
        || {
            let next = if again {
                "The office has to take it on again before anything can be handed over"
            } else {
                "It belongs to no office yet"
            };
            format!(
                "{0} has a new key now, in a file that only you can read (mode 0600). What was written with the old one is all here; \
                 {1} in no bundle yet. The old key's file, where there was one, stands beside it as device.key.lost-1.\n\
                 {next}. Next: dooryard notebook join {0} with an office's invitation, or dooryard notebook request {0} --out {0}.request",
                dir.display(),
                count(waits, "save is", "saves are")
            )
        },
        || json!({ "notebook": dir.display().to_string(), "unhanded": waits, "must_enrol_again": again }),
    );
    Ok(())
}

fn say_merged(merged: &Merged, tell: &Tell) {
    tell.say(
        || {
            format!(
                "Brought {} and {}; {} were here already.",
                count(merged.changes, "save", "saves"),
                count(merged.photos, "photo or thumbnail", "photos and thumbnails"),
                count(merged.here, "save", "saves")
            )
        },
        || json!(merged),
    );
    if merged.drafts_aside > 0 {
        tell.say_words(|| {
            format!("{} stand beside what is typed here.", count(merged.drafts_aside, "draft", "drafts"))
        });
    }
}

/// Sets what may be let go of, where a rule is given, and lets go.
pub fn let_go(dir: &Path, rule: Option<LetGo>, tell: &Tell) -> Result<()> {
    let notebook = open(dir)?;
    if let Some(rule) = rule {
        notebook.set_letting_go(rule)?;
    }
    let gone = notebook.let_go()?;
    tell.say(
        || match gone.rule {
            LetGo::Nothing => "Everything is kept: that is the rule of this notebook.".to_owned(),
            _ => format!(
                "Let go of {} ({} bytes) and {}. {} stay, because no receipt proves that they are safe.",
                count(gone.originals, "original", "originals"),
                gone.bytes,
                count(gone.contact_values, "value of a contact", "values of contacts"),
                count(gone.originals_kept, "original", "originals"),
            ),
        },
        || json!(gone),
    );
    Ok(())
}

/// Backs an office up.
pub fn back_up_office(office: &Office, out: &Path, off_machine: bool, tell: &Tell) -> Result<()> {
    let (job, bar) = tell.job("Backing up");
    let made = office.back_up(out, off_machine, &job).with_context(|| out.display().to_string())?;
    bar.finish_and_clear();
    tell.say(
        || {
            let photos = count(made.photos, "photo or thumbnail", "photos and thumbnails");
            let safe = if off_machine { " What it holds counts as safe." } else { "" };
            format!(
                "{} holds the office with {photos}, and was read back.{safe}\nKeep {} beside it: it says what was erased.",
                out.display(),
                made.ledger
            )
        },
        || json!(made),
    );
    for name in &made.left_out {
        tell.say_words(|| format!("{name} is too large for a backup and is not in it: keep a copy of it elsewhere."));
    }
    Ok(())
}

/// Brings an office's backup back.
pub fn restore_office(
    file: &Path,
    dir: &Path,
    key: &Path,
    ledger: &LedgerChoice,
    drawer: Option<&Path>,
    tell: &Tell,
) -> Result<()> {
    let key = recovery_key(key).with_context(|| key.display().to_string())?;
    let (job, bar) = tell.job("Restoring");
    let restored = Office::restore(file, dir, &key, ledger, drawer, Env::system(), &job)
        .with_context(|| file.display().to_string())?;
    bar.finish_and_clear();
    if let Some(merged) = &restored.merged {
        say_merged(merged, tell);
    }
    tell.say(
        || {
            let keys = restored.new_keys.map_or_else(String::new, |serial| {
                format!(" Its keys were changed after this backup: it got new ones, and its card is number {serial}.")
            });
            format!(
                "{} stands in {}.{keys} It asks every phone to offer again: make a reply for each.",
                restored.name,
                dir.display()
            )
        },
        || json!(restored),
    );
    if restored.accounts {
        tell.say_words(|| "The accounts of its page came back too. Everybody signs in anew.".into());
    }
    if restored.county_files > 0 {
        tell.say_words(|| {
            "The county's own lines came back too. A base map is in no backup: put it there again.".into()
        });
    }
    if !restored.ledger_follows {
        tell.say_words(|| "The erasure ledger beside this backup stays as it is: make a new backup soon.".into());
    }
    Ok(())
}

/// Takes in a lost phone's backup.
pub fn take_backup(office: &Office, file: &Path, key: Option<&Path>, tell: &Tell) -> Result<()> {
    let key = key.map(|key| recovery_key(key).with_context(|| key.display().to_string())).transpose()?;
    let (job, bar) = tell.job("Taking in");
    let merged = office.take_backup_of_phone(file, key.as_ref(), &job).with_context(|| file.display().to_string())?;
    bar.finish_and_clear();
    say_merged(&merged, tell);
    Ok(())
}

/// Names the backups whose ledger could not be renewed.
pub fn say_behind(office: &Office, tell: &Tell) -> Result<()> {
    for file in office.backups_behind()? {
        tell.say(
            || format!("The ledger beside {} could not be renewed. Reach it and back up again.", file.display()),
            || json!({ "ledger_behind": file.display().to_string() }),
        );
    }
    Ok(())
}

/// Lists the files in quarantine, and those of phones to be admitted that name what was erased; or throws one away.
pub fn quarantine(office: &Office, drop: Option<&str>, tell: &Tell) -> Result<()> {
    if let Some(id) = drop {
        let waits = office.waiting()?.iter().any(|waiting| waiting.id == id && waiting.holds_erased);
        if waits {
            office.drop_waiting(id)?
        } else {
            office.drop_quarantined(id)?
        }
        tell.say(|| format!("{id} is gone."), || json!({ "dropped": id }));
        return Ok(());
    }
    for kept in office.quarantined()? {
        tell.say(
            || {
                let erased = if kept.holds_erased { " It names a record that was erased." } else { "" };
                format!("{}  {} {}{erased}", kept.id, kept.code, kept.reason)
            },
            || json!(kept),
        );
    }
    for waiting in office.waiting()?.into_iter().filter(|waiting| waiting.holds_erased) {
        let (id, code) = (&waiting.id, &waiting.code);
        let of = if waiting.label.is_empty() { &waiting.device } else { &waiting.label };
        tell.say(
            || format!("{id}  {code} It waits until {of} is admitted. It names a record that was erased."),
            || json!(waiting),
        );
    }
    Ok(())
}

/// Says what an erasure took beside the records, and what it leaves to a person.
pub fn say_erased(erased: Erased, tell: &Tell) {
    let Erased { views, to_decide } = erased;
    if views > 0 {
        let views = count(views as u64, "saved view", "saved views");
        tell.say_words(|| format!("{views} of the office page went with them: their words stood nowhere else."));
    }
    if to_decide > 0 {
        let files = count(to_decide as u64, "sealed file", "sealed files");
        tell.say_words(|| format!("{files} kept here named what is erased. Decide: `dooryard office quarantine`."));
    }
}

/// Lists the damaged files of a notebook, or erases one.
pub fn damaged(notebook: &Notebook, erase: Option<&str>, tell: &Tell) -> Result<()> {
    if let Some(name) = erase {
        notebook.erase_damaged(name)?;
        tell.say(|| format!("{name} is erased."), || json!({ "erased": name }));
        return Ok(());
    }
    for file in notebook.damaged_files()? {
        tell.say(
            || {
                let erased = if file.holds_erased { " It holds a record that was erased." } else { "" };
                format!("{}  {} bytes.{erased}", file.name, file.bytes)
            },
            || json!(file),
        );
    }
    Ok(())
}
