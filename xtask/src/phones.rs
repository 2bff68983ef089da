//! What the Kotlin and the Swift tests share: one office that certifies both, and the test that takes both bundles in.

use std::{fs, path::PathBuf};

use anyhow::{Context, Result, bail};

use crate::{
    rust,
    shell::{built, command, run, target},
    tally::Tally,
    test::Outcome,
};

/// The folder in which the phones' tests find the office and leave their notebooks and bundles.
pub fn folder() -> PathBuf {
    target().join("phones")
}

/// The office's command, which the phones' tests run to be enrolled.
pub fn office_command() -> PathBuf {
    built("dooryard")
}

/// Makes the folder anew, with an office in it.
pub fn new_office() -> Result<Outcome> {
    let folder = folder();
    if folder.exists() {
        fs::remove_dir_all(&folder).context("removing the phones of the run before")?;
    }
    fs::create_dir_all(&folder)?;
    run(command(office_command())
        .args(["office", "new"])
        .arg(folder.join("office"))
        .args(["--name", "Larkspur County"]))?;
    Ok(Outcome::Ran(Tally::default()))
}

/// Takes the bundles that the phones' tests left in at their one office.
pub fn end_to_end() -> Result<Outcome> {
    let phones: Vec<&str> = ["kotlin", "swift"].into_iter().filter(|p| bundle_of(p).exists()).collect();
    if phones.is_empty() {
        bail!("neither the Kotlin nor the Swift tests left a bundle");
    }
    let env = [("DOORYARD_PHONES_DIR", folder().display().to_string()), ("DOORYARD_PHONES", phones.join(","))];
    rust::one_target("phones", &env)
}

fn bundle_of(phone: &str) -> PathBuf {
    folder().join(format!("{phone}.yard"))
}
