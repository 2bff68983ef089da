//! The office's exports, opened by readers of another language that know nothing of us.

use std::fs;

use anyhow::{Result, bail};

use crate::{
    rust::over_workspace,
    shell::{command, root, run, run_heard, target},
    tally::Tally,
    test::Outcome,
};

/// Writes the exports anew, fetches the readers, lets them read, and counts.
///
/// # Errors
/// When the exports were not written or the readers did not get to their end.
pub fn tests() -> Result<Outcome> {
    let (exports, venv) = (target().join("tmp/exports"), target().join("readers"));
    let folder = root().join("tests/readers");
    let wanted = fs::read(folder.join("requirements.txt"))?;
    if fs::read(venv.join("requirements.txt")).ok().as_ref() != Some(&wanted) {
        let fetched = run(command("python3").args(["-m", "venv", "--clear"]).arg(&venv)).and_then(|()| {
            let mut pip = command(venv.join("bin/pip"));
            run(pip
                .args(["install", "--quiet", "--disable-pip-version-check", "--requirement"])
                .arg(folder.join("requirements.txt")))
        });
        if let Err(e) = fetched {
            return Ok(Outcome::Skipped(format!("the readers of tests/readers cannot be fetched: {e}")));
        }
        // Last, so that a fetch that was cut is done again.
        fs::write(venv.join("requirements.txt"), &wanted)?;
    }
    if exports.exists() {
        fs::remove_dir_all(&exports)?;
    }
    run(over_workspace("test").args(["--test", "export"]))?;
    let mut readers = command(venv.join("bin/python"));
    let (went_well, output) = run_heard(readers.arg(folder.join("read_exports.py")).env("EXPORTS", &exports))?;
    let Some(tally) = Tally::of_unittest(&output) else { bail!("the readers did not get to their end") };
    if tally.passed + tally.failed == 0 {
        bail!("no test ran");
    }
    if !went_well && tally.failed == 0 {
        bail!("the readers did not end well");
    }
    Ok(Outcome::Ran(tally))
}
