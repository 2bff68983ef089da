//! The Swift tests: Swift Testing over the real library. The toolchain comes into `.build/swift` of the clone.

use std::process::Command;

use anyhow::{Result, bail};

use crate::{
    bindings, machine, phones,
    shell::{command, root, run, run_heard, say, target},
    tally::Tally,
    test::Outcome,
};

/// Exit status of the toolchain's script for "not to be had on this machine".
const UNAVAILABLE: i32 = 77;

/// Gets Swift, checks form, runs the tests.
pub fn tests() -> Result<Outcome> {
    let (status, said) = fetch()?;
    match status {
        Some(0) => {}
        Some(UNAVAILABLE) => return Ok(Outcome::Skipped(last_line(&said))),
        _ => bail!("the Swift toolchain: {}", last_line(&said)),
    }
    run(toolchain("run")
        .args(["swift-format", "lint", "--strict", "--recursive", "--configuration", "ios/.swift-format"])
        .args(["ios/Package.swift", "ios/Tests"]))?;

    let alone = target().join("swift-lib");
    bindings::library_alone(&alone)?;
    // -rpath: the test program finds the library by itself.
    // --allow-shlib-undefined: a library of this Swift names a function that only its own last words would call.
    // --disable-xctest: there is none here, and its "Executed 0 tests" would be printed.
    let (went_well, output) = run_heard(
        toolchain("run")
            .args(["swift", "test", "--package-path", "ios", "--disable-xctest"])
            .args(["-Xlinker", &format!("-L{}", alone.display()), "-Xlinker", "-rpath"])
            .args(["-Xlinker", &alone.display().to_string(), "-Xlinker", "--allow-shlib-undefined"])
            .env("DOORYARD_COMMAND", phones::office_command())
            .env("DOORYARD_PHONES_DIR", phones::folder()),
    )?;
    let Some(tally) = Tally::of_swift(&output) else { bail!("the Swift tests did not run") };
    // `swift test` also ends well when it found no test.
    if tally.passed + tally.failed == 0 {
        bail!("no test ran");
    }
    if !went_well && tally.failed == 0 {
        bail!("the Swift tests did not get to their end");
    }
    Ok(Outcome::Ran(tally))
}

/// Gets the toolchain where it is not there (a second caller waits for the first); the script's exit status and what it said.
///
/// # Errors
/// When the script cannot be started.
pub fn fetch() -> Result<(Option<i32>, String)> {
    let got = toolchain("ensure").output()?;
    let said = String::from_utf8_lossy(&got.stderr).into_owned();
    say(&said);
    Ok((got.status.code(), said))
}

fn toolchain(verb: &str) -> Command {
    let mut script = command(root().join("ios/scripts/swift.sh"));
    script.arg(verb);
    if machine::is_ci() {
        script.env("SWIFT_REQUIRED", "1");
    }
    if !target().starts_with(root()) {
        script.env("SWIFT_BINDS", target());
    }
    script
}

fn last_line(text: &str) -> String {
    text.lines().last().unwrap_or("no reason given").to_owned()
}
