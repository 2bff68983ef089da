//! The generated Kotlin and Swift of the boundary: written anew, or compared with what is committed.

use std::{
    fs,
    path::{Path, PathBuf},
};

use anyhow::{Context, Result, bail};

use crate::{
    rust,
    shell::{built, command, root, run, target},
    tally::Tally,
    test::Outcome,
};

/// What the generator calls a file, and where it stands in the clone. The module map is our own: the generated one names
/// a module that only a Mac has.
const FILES: [(&str, &str); 3] = [
    ("org/dooryard/core/dooryard_ffi.kt", "android/bindings/src/main/kotlin/org/dooryard/core/dooryard_ffi.kt"),
    ("DooryardCore.swift", "ios/Sources/DooryardCore/DooryardCore.swift"),
    ("DooryardCoreFFI.h", "ios/Sources/DooryardCoreFFI/DooryardCoreFFI.h"),
];

/// `cargo xtask bindings`.
///
/// # Errors
/// When the library or the generator does not build.
pub fn write() -> Result<()> {
    let made = generate()?;
    for (name, place) in FILES {
        let place = root().join(place);
        fs::create_dir_all(place.parent().context("a folder")?)?;
        let new = fs::read(made.join(name)).with_context(|| format!("the generator wrote no {name}"))?;
        // An untouched time stamp spares a rebuild.
        if fs::read(&place).ok().as_ref() != Some(&new) {
            fs::write(&place, new)?;
            println!("written: {}", place.display());
        }
    }
    Ok(())
}

/// `cargo xtask bindings --check`.
///
/// # Errors
/// Naming each committed file that differs from what the core would give.
pub fn check() -> Result<()> {
    compared().map(|_| ())
}

/// The comparison as a part of the whole run.
pub fn compared() -> Result<Outcome> {
    let made = generate()?;
    let differ = |name: &str, place: &str| fs::read(made.join(name)).ok() != fs::read(root().join(place)).ok();
    let differing: Vec<&str> = FILES.into_iter().filter(|(name, place)| differ(name, place)).map(|f| f.1).collect();
    if !differing.is_empty() {
        bail!("differ from what core/ffi gives (run `cargo xtask bindings`): {}", differing.join(", "));
    }
    Ok(Outcome::Ran(Tally::default()))
}

/// Generates into a folder under `target` and gives it.
fn generate() -> Result<PathBuf> {
    rust::build()?;
    let out = target().join("bindings");
    if out.exists() {
        fs::remove_dir_all(&out)?;
    }
    run(command(built("dooryard-bindgen"))
        .arg("generate")
        .arg(library())
        .args(["--language", "kotlin", "--language", "swift", "--no-format", "--out-dir"])
        .arg(&out))?;
    Ok(out)
}

/// The library that the phones load, as built for this machine.
pub fn library() -> PathBuf {
    built(LIBRARY)
}

/// Its file name.
pub const LIBRARY: &str = "libdooryard_ffi.so";

/// Puts the library alone into a folder, for a linker that must find nothing else there.
///
/// # Errors
/// Of the file system.
pub fn library_alone(folder: &Path) -> Result<()> {
    fs::create_dir_all(folder)?;
    let new = fs::read(library()).context("the library is not built")?;
    let place = folder.join(LIBRARY);
    if fs::read(&place).ok().as_ref() != Some(&new) {
        fs::write(&place, new)?;
    }
    Ok(())
}
