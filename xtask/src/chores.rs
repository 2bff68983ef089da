//! The small chores: demo, benchmarks, generated files, clearing up.

use std::{ffi::OsString, fs, path::PathBuf};

use anyhow::{Context, Result};

use crate::{
    bindings, rust,
    shell::{built, cargo, command, root, run, target},
    strings,
};

/// Builds what the demo needs and runs it.
///
/// # Errors
/// When the build or the demo fails.
pub fn demo(args: &[OsString]) -> Result<()> {
    rust::build()?;
    run(command(built("dooryard-demo")).args(args))
}

/// Runs a benchmark of the core, or of the office where it has one of this name; it exits 1 itself when a goal does not hold.
///
/// # Errors
/// When it does not build, or a goal does not hold.
pub fn bench(name: &str, json: bool, args: &[OsString]) -> Result<()> {
    let mut bench = cargo();
    let of_office = ["index", "office"].contains(&name);
    let package = if of_office { "dooryard-office" } else { "dooryard-core" };
    bench.args(["bench", "--package", package, "--bench", name]);
    bench.arg("--").args(json.then_some("--json"));
    if name == "phone" {
        let [demo, library] = [demo_phone()?, weighed_library()?];
        bench.arg("--demo").arg(demo).arg("--library").arg(library);
    }
    run(bench.args(args))
}

/// A phone of the demo county, made anew.
fn demo_phone() -> Result<PathBuf> {
    let folder = target().join("bench-demo");
    let mut demo = cargo();
    demo.args([
        "run",
        "--release",
        "--package",
        "dooryard-fixtures",
        "--bin",
        "dooryard-demo",
        "--",
        "--no-serve",
        "--dir",
    ]);
    run(demo.arg(&folder))?;
    Ok(folder.join("phone-1"))
}

/// The library of the core as a phone would carry it, but for this machine's processor: for release, without symbols.
fn weighed_library() -> Result<PathBuf> {
    run(cargo().args(["build", "--release", "--package", "dooryard-ffi", "--lib"]))?;
    let (built, stripped) = (target().join("release/libdooryard_ffi.so"), target().join("libdooryard_ffi.stripped.so"));
    run(command("strip").arg("-o").arg(&stripped).arg(built))?;
    Ok(stripped)
}

/// Plays random histories; the program exits 1 at the first that breaks a rule, and names its seed.
///
/// # Errors
/// When it does not build, or a rule does not hold.
pub fn torture(seeds: u64, first_seed: u64) -> Result<()> {
    let mut torture = cargo();
    torture.args(["run", "--release", "--package", "dooryard-tests", "--bin", "torture", "--"]);
    run(torture.args(["--seeds", &seeds.to_string(), "--first-seed", &first_seed.to_string()]))
}

/// Runs the tests that compare generated files (their names say `drifted`) so that they write instead, then the bindings.
///
/// # Errors
/// When one of them cannot be written.
pub fn fixtures() -> Result<()> {
    run(rust::over_workspace("test").arg("drifted").env("UPDATE", "1"))?;
    strings::write()?;
    bindings::write()
}

/// Removes what was built and fetched.
///
/// # Errors
/// Of the file system.
pub fn clean() -> Result<()> {
    let android = ["bindings", "kit", "app"].map(|module| root().join("android").join(module).join("target"));
    let others = ["ios/.build", ".build", "tests/browser/node_modules"].map(|folder| root().join(folder));
    for folder in android.into_iter().chain(others).chain([target()]).filter(|f: &PathBuf| f.exists()) {
        println!("removing {}", folder.display());
        fs::remove_dir_all(&folder).with_context(|| format!("removing {}", folder.display()))?;
    }
    Ok(())
}
