//! The browser test of the office page: node's test runner, a browser of the machine, the demo county.

use std::{fs, time::SystemTime};

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
    let folder = root().join("tests/browser");
    let npm = || {
        let mut npm = command("npm");
        npm.current_dir(&folder);
        npm
    };
    let stamp =
        |file: &str| fs::metadata(folder.join(file)).and_then(|m| m.modified()).unwrap_or(SystemTime::UNIX_EPOCH);
    if stamp("node_modules/.package-lock.json") <= stamp("package-lock.json") {
        let fetched = run(npm().args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"]));
        if let Err(e) = fetched {
            return Ok(Outcome::Skipped(format!("the packages of tests/browser cannot be fetched: {e}")));
        }
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

/// The first number of `v20.1.2`.
fn node_version() -> Option<u64> {
    let out = command("node").arg("--version").output().ok()?;
    String::from_utf8(out.stdout).ok()?.strip_prefix('v')?.split('.').next()?.parse().ok()
}
