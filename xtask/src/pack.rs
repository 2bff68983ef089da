//! The starter pack as the app ships it: one signed file.

use std::{
    fs,
    path::{Path, PathBuf},
};

use anyhow::{Context, Result, bail};

use crate::{
    rust,
    shell::{built, command, root, run, say, target},
};

/// The pack's folder in the clone.
const FOLDER: &str = "fixtures/packs/landscape";

/// Where it is written: the app's build takes it from here.
pub fn file() -> PathBuf {
    target().join("assets/starter.pack")
}

/// `cargo xtask pack`.
///
/// # Errors
/// When the command does not build; as [`write()`].
pub fn make(key: Option<&Path>) -> Result<()> {
    rust::build()?;
    write(key)
}

/// Signs the starter pack with a key of `dooryard pack key`, or with a new one that is thrown away: phones trust later packs of
/// the key that signed this one, so that a throw-away key is for trying out only. Says in one line which it was.
///
/// # Errors
/// When the command is not built, or the key is none.
pub fn write(key: Option<&Path>) -> Result<()> {
    let out = file();
    let folder = out.parent().context("a folder")?;
    fs::create_dir_all(folder)?;
    let throw_away = folder.join("throw-away.key");
    let signed = match key {
        Some(key) if !key.is_file() => bail!("there is no key at {}", key.display()),
        Some(key) => sign(key, &out),
        None => {
            remove(&throw_away)?;
            run(command(built("dooryard")).args(["pack", "key", "--out"]).arg(&throw_away))
                .and_then(|()| sign(&throw_away, &out))
        }
    };
    // Also when signing failed.
    remove(&throw_away)?;
    signed?;
    let by = key.map_or_else(|| "a throw-away key: for trying out only".to_owned(), |key| key.display().to_string());
    say(&format!("{} is signed by {by}\n", out.display()));
    Ok(())
}

fn sign(key: &Path, out: &Path) -> Result<()> {
    let key = key.canonicalize()?;
    run(command(built("dooryard"))
        .args(["pack", "build"])
        .arg(root().join(FOLDER))
        .arg("--key")
        .arg(key)
        .arg("--out")
        .arg(out))
}

fn remove(file: &Path) -> Result<()> {
    if file.exists() {
        fs::remove_file(file).with_context(|| format!("removing {}", file.display()))?;
    }
    Ok(())
}
