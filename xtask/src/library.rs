//! Libraries of others that the office page serves: what stands in `office/web/library` is what their npm packages hold.

use std::{fs, path::PathBuf};

use anyhow::{Context, Result, bail};

use crate::{
    machine::{self, NODE, NPM},
    shell::{command, root, run, target},
    tally::Tally,
    test::Outcome,
};

/// What a file is called in its package, and here.
const FILES: [(&str, &str); 5] = [
    ("maplibre-gl/dist/maplibre-gl.mjs", "maplibre-gl.mjs"),
    ("maplibre-gl/dist/maplibre-gl-worker.mjs", "maplibre-gl-worker.mjs"),
    ("maplibre-gl/LICENSE.txt", "maplibre-gl-LICENSE.txt"),
    ("pmtiles/dist/pmtiles.js", "pmtiles.js"),
    ("fflate/LICENSE", "fflate-LICENSE.txt"),
];

fn here() -> PathBuf {
    root().join("office/web/library")
}

/// `cargo xtask library`: copies them out of the packages that `package-lock.json` names.
///
/// # Errors
/// When the packages cannot be fetched.
pub fn write() -> Result<()> {
    let packages = fetch()?;
    for (there, name) in FILES {
        let place = here().join(name);
        fs::copy(packages.join(there), &place).with_context(|| format!("copying {there}"))?;
        println!("written: {}", place.display());
    }
    Ok(())
}

/// `cargo xtask library --check`.
///
/// # Errors
/// Naming each file that differs from its package.
pub fn check() -> Result<()> {
    compare(fetch()?)
}

/// The comparison as a part of the whole run.
///
/// # Errors
/// Naming each file that differs from its package.
pub fn compared() -> Result<Outcome> {
    match fetch() {
        Ok(packages) => compare(packages).map(|()| Outcome::Ran(Tally::default())),
        Err(e) => Ok(Outcome::Skipped(format!("the packages of office/web/library cannot be fetched: {e}"))),
    }
}

fn compare(packages: PathBuf) -> Result<()> {
    let mut differ = Vec::new();
    for (there, name) in FILES {
        let package = fs::read(packages.join(there)).with_context(|| format!("the packages hold no {there}"))?;
        if fs::read(here().join(name)).ok().as_ref() != Some(&package) {
            differ.push(name);
        }
    }
    if !differ.is_empty() {
        bail!("differ from their npm packages (run `cargo xtask library`): {}", differ.join(", "));
    }
    Ok(())
}

/// Fetches the packages into a folder under `target` and gives it. npm compares each with the hash in the lock file.
fn fetch() -> Result<PathBuf> {
    machine::ensure(&[&NODE, &NPM]).map_err(anyhow::Error::msg)?;
    let folder = target().join("library");
    fs::create_dir_all(&folder)?;
    for name in ["package.json", "package-lock.json"] {
        fs::copy(here().join(name), folder.join(name)).with_context(|| format!("copying {name}"))?;
    }
    run(command("npm").current_dir(&folder).args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"]))?;
    Ok(folder.join("node_modules"))
}
