//! `cargo xtask test`: every part, in lanes that run side by side; a table of what ran, the sum in the last line.

use std::{
    fs::{self, File},
    io::{self, Write},
    path::Path,
    sync::Arc,
    time::{Duration, Instant},
};

use anyhow::{Context, Result, bail};

use crate::{
    android, bindings, browser, fuzz, kotlin,
    lanes::{Step, side_by_side},
    library,
    machine::{
        self, APKSIGNER, CC, CHROMIUM, JAVA, MAVEN, NODE, NPM, PDFTOTEXT, PYTHON, STRACE, Tool, UNZIP, ZIP, ZIPALIGN,
    },
    phones, readers, rust, shell, strings, swift,
    tally::Tally,
};

/// How a part went.
pub enum Outcome {
    /// It ran; these are its counts.
    Ran(Tally),
    /// It could not be set up on this machine.
    Skipped(String),
}

/// What runs side by side. Two do the work, for two processors; the third mostly waits for others' machines.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Lane {
    /// Builds in Cargo's target folder, which one Cargo at a time may hold, and what runs what was built there.
    Cargo,
    /// Builds in folders of its own, other languages' tools, the browser. Nothing here may ask Cargo to build in the target
    /// folder.
    Beside,
    /// Gets things from elsewhere.
    Fetch,
}

/// One part of the run. Parts of a lane run in this order, also after one that failed.
struct Part {
    name: &'static str,
    lane: Lane,
    /// Parts of other lanes that have to end first.
    after: &'static [&'static str],
    needs: &'static [&'static Tool],
    run: fn() -> Result<Outcome>,
}

/// A part in the lane of Cargo that waits for no other lane.
const fn in_cargo(name: &'static str, needs: &'static [&'static Tool], run: fn() -> Result<Outcome>) -> Part {
    Part { name, lane: Lane::Cargo, after: &[], needs, run }
}

/// A part beside it, once `after` ended.
const fn beside(
    name: &'static str,
    after: &'static [&'static str],
    needs: &'static [&'static Tool],
    run: fn() -> Result<Outcome>,
) -> Part {
    Part { name, lane: Lane::Beside, after, needs, run }
}

const PARTS: &[Part] = &[
    Part { name: "fetching", lane: Lane::Fetch, after: &[], needs: &[], run: ahead },
    in_cargo("format", &[], rust::format),
    in_cargo("build", &[&CC], rust::build),
    in_cargo("Rust tests", &[&CC, &STRACE], rust::tests),
    beside("fuzzing", &[], &[&CC], fuzz::tests),
    in_cargo("exports in other readers", &[&CC, &PYTHON], readers::tests),
    in_cargo("bindings as committed", &[&CC], bindings::compared),
    // Late: it keeps both processors busy when the other lane is through.
    in_cargo("lints", &[&CC], rust::lints),
    beside("strings as the words give", &[], &[], strings::compared),
    beside("libraries as published", &[], &[&NODE, &NPM], library::compared),
    beside("core for Android's processor", &[], &[&CC], android::checked),
    beside("new office for the phones", &["build"], &[&CC], phones::new_office),
    beside("Kotlin tests", &["build"], &[&CC, &JAVA, &MAVEN], kotlin::tests),
    beside(
        "Android app as a file",
        &["build"],
        &[&CC, &JAVA, &MAVEN, &ZIP, &UNZIP, &ZIPALIGN, &APKSIGNER],
        android::packed,
    ),
    beside("Swift tests", &["build"], &[&CC], swift::tests),
    Part {
        name: "both phones at one office",
        lane: Lane::Cargo,
        after: &["Kotlin tests", "Swift tests"],
        needs: &[&CC],
        run: phones::end_to_end,
    },
    beside("office page in a browser", &["build"], &[&CC, &NODE, &NPM, &CHROMIUM, &PDFTOTEXT], browser::tests),
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
    let begun = Instant::now();
    let logs = shell::target().join("log");
    fs::create_dir_all(&logs)?;
    let steps: Vec<Step<Lane>> = PARTS.iter().map(|p| Step { name: p.name, lane: p.lane, after: p.after }).collect();
    let came = side_by_side(&steps, |at| run_part(&PARTS[at], &logs))?;
    let not_begun = |e| (Duration::ZERO, Err(e));
    let lines = PARTS.iter().zip(came).map(|(part, came)| {
        let (took, went) = came.unwrap_or_else(not_begun);
        Line { name: part.name, took, went }
    });
    told(&lines.collect::<Vec<_>>(), begun.elapsed())
}

/// Prints the table and the sum.
fn told(lines: &[Line], whole: Duration) -> Result<()> {
    let mut sum = Tally::default();
    println!();
    for Line { name, took, went } in lines {
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
    println!("{:<28} {:>5} s", "in all, side by side", whole.as_secs());
    println!("\n{sum}");
    match sum {
        Tally { failed: 1.., .. } => bail!("something failed, see the table"),
        Tally { skipped: 1.., .. } if machine::is_ci() => bail!("with CI=true nothing may be skipped"),
        _ => Ok(()),
    }
}

/// Runs a part, and prints what it wrote, whole, when it ended.
fn run_part(part: &Part, logs: &Path) -> Result<(Duration, Result<Outcome>)> {
    eprintln!(".. {}", part.name);
    let place = logs.join(format!("{}.txt", part.name.replace([' ', '\''], "-")));
    let file = File::create(&place).and_then(|_| File::options().append(true).open(&place));
    shell::write_to(Some(Arc::new(file.with_context(|| place.display().to_string())?)));
    if part.lane == Lane::Cargo {
        shell::stand_back();
    }
    let begun = Instant::now();
    let went = match machine::ensure(part.needs) {
        Ok(()) => (part.run)(),
        Err(why) => Ok(Outcome::Skipped(why)),
    };
    let took = begun.elapsed();
    shell::write_to(None);
    let mut out = io::stdout().lock();
    writeln!(out, "\n== {} ({} s)", part.name, took.as_secs())?;
    io::copy(&mut File::open(&place)?, &mut out)?;
    Ok((took, went))
}

/// Fetches what the parts will want while the first of them build. What cannot be had is for the part that needs it to say.
fn ahead() -> Result<Outcome> {
    let mut tools: Vec<&Tool> = Vec::new();
    for tool in PARTS.iter().flat_map(|part| part.needs) {
        if !tools.iter().any(|t| t.program == tool.program) {
            tools.push(tool);
        }
    }
    for (what, went) in [
        ("programs", machine::ensure(&tools).map_err(anyhow::Error::msg)),
        ("Android's Rust", android::toolchain().map(drop)),
        ("Swift", swift::fetch().map(drop)),
        ("what drives the browser", browser::fetch()),
        ("readers", readers::fetch()),
    ] {
        let said = went.map_or_else(|e| format!("not had yet: {e:#}"), |()| "there".to_owned());
        shell::say(&format!("{what}: {said}\n"));
    }
    Ok(Outcome::Ran(Tally::default()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(name: &'static str, went: Result<Outcome>) -> Line {
        Line { name, took: Duration::ZERO, went }
    }

    #[test]
    fn every_part_stands_once_and_behind_what_it_waits_for() {
        let steps: Vec<Step<Lane>> =
            PARTS.iter().map(|p| Step { name: p.name, lane: p.lane, after: p.after }).collect();
        let came = side_by_side(&steps, |at| Ok(PARTS[at].name)).unwrap();
        let mut names: Vec<&str> = came.into_iter().map(Result::unwrap).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), PARTS.len());
    }

    #[test]
    fn one_failure_in_any_lane_fails_the_whole() {
        let ran = |passed| Ok(Outcome::Ran(Tally { passed, ..Tally::default() }));
        told(&[line("a", ran(3)), line("b", ran(0))], Duration::ZERO).unwrap();
        let failed = Ok(Outcome::Ran(Tally { failed: 1, ..Tally::default() }));
        assert!(told(&[line("a", failed), line("b", ran(3))], Duration::ZERO).is_err());
        assert!(told(&[line("a", ran(3)), line("b", Err(anyhow::anyhow!("it broke")))], Duration::ZERO).is_err());
    }
}
