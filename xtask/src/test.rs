//! `cargo xtask test`: every part in turn, a table of what ran, the sum in the last line.

use std::time::{Duration, Instant};

use anyhow::{Result, bail};

use crate::{
    android, bindings, browser, fuzz, kotlin, library,
    machine::{
        self, APKSIGNER, CC, CHROMIUM, JAVA, MAVEN, NODE, NPM, PDFTOTEXT, PYTHON, STRACE, Tool, UNZIP, ZIP, ZIPALIGN,
    },
    phones, readers, rust, strings, swift,
    tally::Tally,
};

/// How a part went.
pub enum Outcome {
    /// It ran; these are its counts.
    Ran(Tally),
    /// It could not be set up on this machine.
    Skipped(String),
}

/// One part of the run. Parts run in this order, also after one that failed.
struct Part {
    name: &'static str,
    needs: &'static [&'static Tool],
    run: fn() -> Result<Outcome>,
}

const PARTS: &[Part] = &[
    Part { name: "format", needs: &[], run: rust::format },
    Part { name: "lints", needs: &[&CC], run: rust::lints },
    Part { name: "build", needs: &[&CC], run: rust::build },
    Part { name: "Rust tests", needs: &[&CC, &STRACE], run: rust::tests },
    Part { name: "planted faults", needs: &[&CC], run: rust::planted_faults },
    Part { name: "fuzzing", needs: &[&CC], run: fuzz::tests },
    Part { name: "exports in other readers", needs: &[&CC, &PYTHON], run: readers::tests },
    Part { name: "bindings as committed", needs: &[&CC], run: bindings::compared },
    Part { name: "strings as the words give", needs: &[], run: strings::compared },
    Part { name: "libraries as published", needs: &[&NODE, &NPM], run: library::compared },
    Part { name: "new office for the phones", needs: &[&CC], run: phones::new_office },
    Part { name: "Kotlin tests", needs: &[&CC, &JAVA, &MAVEN], run: kotlin::tests },
    Part { name: "core for Android's processor", needs: &[&CC], run: android::checked },
    Part {
        name: "Android app as a file",
        needs: &[&CC, &JAVA, &MAVEN, &ZIP, &UNZIP, &ZIPALIGN, &APKSIGNER],
        run: android::packed,
    },
    Part { name: "Swift tests", needs: &[&CC], run: swift::tests },
    Part { name: "both phones at one office", needs: &[&CC], run: phones::end_to_end },
    Part { name: "office page in a browser", needs: &[&CC, &NODE, &NPM, &CHROMIUM, &PDFTOTEXT], run: browser::tests },
];

struct Line {
    name: &'static str,
    took: Duration,
    went: Result<Outcome>,
}

/// Runs every part.
///
/// # Errors
/// When a test failed, when a part broke, or under CI when anything was skipped.
pub fn run() -> Result<()> {
    let lines: Vec<Line> = PARTS.iter().map(run_part).collect();
    let mut sum = Tally::default();
    println!();
    for Line { name, took, went } in &lines {
        let said = match went {
            Ok(Outcome::Ran(tally)) if *tally == Tally::default() => "ok".to_owned(),
            Ok(Outcome::Ran(tally)) => tally.to_string(),
            Ok(Outcome::Skipped(why)) => format!("SKIPPED: {why}"),
            Err(e) => format!("FAILED: {e:#}"),
        };
        println!("{name:<28} {:>5} s  {said}", took.as_secs());
        sum += match went {
            Ok(Outcome::Ran(tally)) => *tally,
            Ok(Outcome::Skipped(_)) => Tally { skipped: 1, ..Tally::default() },
            Err(_) => Tally { failed: 1, ..Tally::default() },
        };
    }
    println!("\n{sum}");
    match sum {
        Tally { failed: 1.., .. } => bail!("something failed, see the table"),
        Tally { skipped: 1.., .. } if machine::is_ci() => bail!("with CI=true nothing may be skipped"),
        _ => Ok(()),
    }
}

fn run_part(part: &Part) -> Line {
    println!("\n== {}", part.name);
    let begun = Instant::now();
    let went = match machine::ensure(part.needs) {
        Ok(()) => (part.run)(),
        Err(why) => Ok(Outcome::Skipped(why)),
    };
    Line { name: part.name, took: begun.elapsed(), went }
}
