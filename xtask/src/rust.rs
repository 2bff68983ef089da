//! The Rust parts: formatting, lints, builds, tests.

use std::process::Command;

use anyhow::{Result, bail};

use crate::{
    shell::{cargo, run, run_heard},
    tally::Tally,
    test::Outcome,
};

/// What chooses programs and libraries as they are built for the tests: Cargo gives dependencies the features that tests want as
/// soon as tests, benchmarks or examples are asked for. There is no example here.
const AS_FOR_TESTS: [&str; 3] = ["--lib", "--bins", "--examples"];

/// `cargo xtask check`.
///
/// # Errors
/// At the first thing that does not hold.
pub fn check() -> Result<()> {
    format()?;
    lints()?;
    run(cargo().args(["test", "--package", "dooryard-core", "--lib"]))
}

/// Formatting as rustfmt gives it.
pub fn format() -> Result<Outcome> {
    run(cargo().args(["fmt", "--all", "--check"]))?;
    Ok(Outcome::Ran(Tally::default()))
}

/// Lints as errors, tests included; documentation that links nowhere is one.
///
/// Without the generator of the bindings: what is ours of it is one line, and the compiler looks at what stands behind it for
/// two minutes.
pub fn lints() -> Result<Outcome> {
    let over_ours = |subcommand| {
        let mut command = over_workspace(subcommand);
        command.args(["--exclude", "dooryard-bindgen"]);
        command
    };
    run(over_ours("clippy").args(["--all-targets", "--", "-D", "warnings"]))?;
    run(over_ours("doc").arg("--no-deps").args(AS_FOR_TESTS).env("RUSTDOCFLAGS", "-D warnings"))?;
    Ok(Outcome::Ran(Tally::default()))
}

/// What the phones' and the browser's tests run on: the library and all programs.
pub fn build() -> Result<Outcome> {
    run(over_workspace("build").args(AS_FOR_TESTS))?;
    Ok(Outcome::Ran(Tally::default()))
}

/// Every Rust test, those in the documentation too.
pub fn tests() -> Result<Outcome> {
    counted(over_workspace("test").arg("--no-fail-fast")).map(Outcome::Ran)
}

/// Runs one test target of the end-to-end tests that the whole run leaves out.
pub fn one_target(name: &str, env: &[(&str, String)]) -> Result<Outcome> {
    let mut command = over_workspace("test");
    counted(command.args(["--test", name]).envs(env.iter().map(|(k, v)| (k, v)))).map(Outcome::Ran)
}

fn counted(command: &mut Command) -> Result<Tally> {
    let (went_well, output) = run_heard(command)?;
    let tally = Tally::of_cargo(&output);
    if !went_well && tally.failed == 0 {
        bail!("the tests did not run to their end");
    }
    if tally.passed + tally.failed == 0 {
        bail!("no test ran");
    }
    Ok(tally)
}

/// A Cargo command over the whole workspace. The same choice everywhere: another one gives the dependencies other features, and
/// builds them again.
pub fn over_workspace(subcommand: &str) -> Command {
    let mut command = cargo();
    command.args([subcommand, "--workspace"]);
    command
}
