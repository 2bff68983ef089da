//! Fuzzing: what comes from outside, changed in a million ways, guided by the branches that it reaches.
//!
//! The targets of `tests/fuzz` are built with counters in every branch, by flags that the stable compiler takes. The core has no
//! unsafe code of its own, so that no memory checker is needed to see a fault: it panics.

use std::{fs, thread};

use anyhow::{Result, anyhow, bail};

use crate::{
    shell::{self, cargo, command, root, run, target},
    tally::Tally,
    test::Outcome,
};

const TARGETS: [&str; 6] = ["parts", "cbor", "frames", "signed", "pack", "exif"];
const TRIPLE: &str = "x86_64-unknown-linux-gnu";
const FLAGS: &str = "-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
    -Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
    -Cllvm-args=-sanitizer-coverage-trace-compares";

/// Seconds for each target among all the tests.
const SECONDS: u64 = 60;

/// The targets as one part of all the tests.
///
/// # Errors
/// As [`fuzz`].
pub fn tests() -> Result<Outcome> {
    fuzz(SECONDS)?;
    Ok(Outcome::Ran(Tally { passed: TARGETS.len() as u64, ..Tally::default() }))
}

/// Builds the targets and runs each for so many seconds, two at a time, from the committed corpus. What is found is kept in
/// the target folder.
///
/// # Errors
/// When they do not build, or one of them fails: the input that made it fail is named by the target itself.
pub fn fuzz(seconds: u64) -> Result<()> {
    let built = target().join("fuzz");
    let mut build = cargo();
    build.args(["build", "--release", "--target", TRIPLE, "--manifest-path", "tests/fuzz/Cargo.toml", "--target-dir"]);
    run(build.arg(&built).env("RUSTFLAGS", FLAGS))?;
    let log = shell::log();
    let one = |name: &str| -> Result<()> {
        shell::write_to(log.clone());
        let (found, failed) = (built.join("found").join(name), built.join("failed"));
        fs::create_dir_all(&found)?;
        fs::create_dir_all(&failed)?;
        let mut target = command(built.join(TRIPLE).join("release").join(name));
        target.arg(format!("-max_total_time={seconds}")).args(["-max_len=65536", "-print_final_stats=1"]);
        target.arg(format!("-artifact_prefix={}/{name}-", failed.display()));
        run(target.arg(&found).arg(root().join("tests/fuzz/corpus").join(name)))
    };
    for pair in TARGETS.chunks(2) {
        let results: Vec<Result<()>> = thread::scope(|scope| {
            let running: Vec<_> = pair.iter().map(|name| scope.spawn(|| one(name))).collect();
            running
                .into_iter()
                .map(|r| r.join().unwrap_or_else(|_| Err(anyhow!("a target could not be run"))))
                .collect()
        });
        let failed: Vec<String> = results.into_iter().filter_map(|r| r.err().map(|e| format!("{e:#}"))).collect();
        if !failed.is_empty() {
            bail!("{}", failed.join("; "));
        }
    }
    Ok(())
}
