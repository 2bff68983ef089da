//! The browser test of the office page: node's test runner, a browser of the machine, the demo county.

use std::{fs, path::PathBuf, process::Command, time::SystemTime};

use anyhow::{Result, bail};

use crate::{
    machine,
    shell::{built, command, found, root, run, run_heard},
    tally::Tally,
    test::Outcome,
};

/// The oldest node that the packages of `tests/browser` run on.
const NODE: u64 = 18;

/// Fetches what the tests need, runs them and counts.
///
/// # Errors
/// When the runner did not get to its end.
pub fn tests() -> Result<Outcome> {
    if let Some(old) = node_version().filter(|version| *version < NODE) {
        return Ok(Outcome::Skipped(format!("node {NODE} or newer is needed, and this machine has {old}")));
    }
    if let Err(e) = fetch() {
        return Ok(Outcome::Skipped(format!("the packages of tests/browser cannot be fetched: {e}")));
    }
    let mut runner = npm();
    runner.args(["--silent", "test"]).env("DOORYARD_BUILT", built(""));
    if let Some(browser) = found(machine::CHROMIUM.program) {
        runner.env("DOORYARD_CHROMIUM", browser);
    }
    let (went_well, output) = run_heard(&mut runner)?;
    let Some(tally) = Tally::of_node(&output) else { bail!("the browser tests did not run to their end") };
    if tally.passed + tally.failed == 0 {
        bail!("no test ran");
    }
    if !went_well && tally.failed == 0 {
        bail!("the browser tests did not end well");
    }
    Ok(Outcome::Ran(tally))
}

/// Fetches the packages where those that are there are older than their list.
///
/// # Errors
/// When they cannot be fetched.
pub fn fetch() -> Result<()> {
    let _alone = machine::fetching();
    let stamp =
        |file: &str| fs::metadata(folder().join(file)).and_then(|m| m.modified()).unwrap_or(SystemTime::UNIX_EPOCH);
    if stamp("node_modules/.package-lock.json") <= stamp("package-lock.json") {
        run(npm().args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"]))?;
    }
    Ok(())
}

fn folder() -> PathBuf {
    root().join("tests/browser")
}

fn npm() -> Command {
    let mut npm = command("npm");
    npm.current_dir(folder());
    npm
}

/// The first number of `v20.1.2`.
fn node_version() -> Option<u64> {
    let out = command("node").arg("--version").output().ok()?;
    String::from_utf8(out.stdout).ok()?.strip_prefix('v')?.split('.').next()?.parse().ok()
}
