//! The Kotlin tests: JUnit on the JVM over the real library, run by Maven.

use std::fs;

use anyhow::{Context, Result, bail};

use crate::{
    phones,
    shell::{built, command, root, run_heard},
    tally::Tally,
    test::Outcome,
};

/// Modules of `android/` that have tests.
const MODULES: [&str; 2] = ["kit", "app"];

/// Runs them and counts from the reports.
pub fn tests() -> Result<Outcome> {
    for module in MODULES {
        let reports = root().join("android").join(module).join("target/surefire-reports");
        if reports.exists() {
            fs::remove_dir_all(reports)?;
        }
    }
    let mut maven = command("mvn");
    // As far as the jars, so that the app's file is packed from what was tested.
    maven.current_dir(root().join("android")).args(["-B", "-ntp", "-Papk", "package"]);
    for (name, value) in [
        ("dooryard.lib.dir", built("")),
        ("dooryard.command", phones::office_command()),
        ("dooryard.phones.dir", phones::folder()),
    ] {
        maven.arg(format!("-D{name}={}", value.display()));
    }
    let (went_well, _) = run_heard(&mut maven)?;
    let tally = counts()?;
    if !went_well && tally.failed == 0 {
        bail!("Maven did not get to the end of the tests");
    }
    if tally.passed + tally.failed == 0 {
        bail!("no test ran");
    }
    Ok(Outcome::Ran(tally))
}

fn counts() -> Result<Tally> {
    let mut sum = Tally::default();
    for module in MODULES {
        let reports = root().join("android").join(module).join("target/surefire-reports");
        let Ok(files) = fs::read_dir(&reports) else { continue };
        for file in files {
            let path = file?.path();
            if path.extension().is_some_and(|e| e == "xml") {
                let report = fs::read_to_string(&path)?;
                sum += Tally::of_junit(&report).with_context(|| format!("{} is no report", path.display()))?;
            }
        }
    }
    Ok(sum)
}
