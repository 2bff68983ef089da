//! The office's exports, opened by readers of another language that know nothing of us.

use std::{fs, path::PathBuf};

use anyhow::{Result, bail};

use crate::{
    machine,
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
    let (exports, venv) = (target().join("tmp/exports"), venv());
    let folder = root().join("tests/readers");
    if let Err(e) = fetch() {
        return Ok(Outcome::Skipped(format!("the readers of tests/readers cannot be fetched: {e}")));
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

/// Fetches the readers where those that are there are not the ones that are asked for.
///
/// # Errors
/// When they cannot be fetched.
pub fn fetch() -> Result<()> {
    let _alone = machine::fetching();
    let (list, have) = (root().join("tests/readers/requirements.txt"), venv().join("requirements.txt"));
    let wanted = fs::read(&list)?;
    if fs::read(&have).ok().as_ref() == Some(&wanted) {
        return Ok(());
    }
    run(command("python3").args(["-m", "venv", "--clear"]).arg(venv()))?;
    let mut pip = command(venv().join("bin/pip"));
    run(pip.args(["install", "--quiet", "--disable-pip-version-check", "--requirement"]).arg(list))?;
    // Last, so that a fetch that was cut is done again.
    Ok(fs::write(have, wanted)?)
}

fn venv() -> PathBuf {
    target().join("readers")
}
