//! Counting tests from what the languages' test tools print.

use std::{fmt, ops::AddAssign};

/// How many tests passed, failed and were skipped.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub struct Tally {
    pub passed: u64,
    pub failed: u64,
    pub skipped: u64,
}

impl AddAssign for Tally {
    fn add_assign(&mut self, other: Self) {
        self.passed += other.passed;
        self.failed += other.failed;
        self.skipped += other.skipped;
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} passed, {} failed", self.passed, self.failed)?;
        if self.skipped > 0 { write!(f, ", {} skipped", self.skipped) } else { Ok(()) }
    }
}

impl Tally {
    /// Sums the `test result:` lines of `cargo test`.
    pub fn of_cargo(output: &str) -> Self {
        let mut sum = Self::default();
        for line in output.lines().filter_map(|line| line.strip_prefix("test result: ")) {
            let counts = line.split_once(". ").map_or(line, |(_, counts)| counts);
            for part in counts.split(';') {
                match part.trim().split_once(' ') {
                    Some((n, "passed")) => sum.passed += number(n),
                    Some((n, "failed")) => sum.failed += number(n),
                    Some((n, "ignored")) => sum.skipped += number(n),
                    _ => {}
                }
            }
        }
        sum
    }

    /// Reads the opening tag of a JUnit report: `<testsuite tests= errors= skipped= failures=`.
    pub fn of_junit(report: &str) -> Option<Self> {
        let tag = &report[report.find("<testsuite ")?..];
        let tag = &tag[..tag.find('>')?];
        let count = |name: &str| {
            let at = tag.find(&format!(" {name}=\""))? + name.len() + 3;
            tag[at..].split('"').next()?.parse::<u64>().ok()
        };
        let (failed, skipped) = (count("failures")? + count("errors")?, count("skipped")?);
        Some(Self { passed: count("tests")?.checked_sub(failed + skipped)?, failed, skipped })
    }

    /// Counts the lines of Swift Testing; `None` when it says of no test run at all.
    pub fn of_swift(output: &str) -> Option<Self> {
        let said = |line: &&str, what: &str| {
            line.contains(" Test ")
                && line.contains(what)
                && !line.contains("Test run with")
                && !line.contains(" case ")
        };
        let count = |what: &str| output.lines().filter(|line| said(line, what)).count() as u64;
        let line = output.lines().find(|line| line.contains("Test run with "))?;
        let total = number(line.split("Test run with ").nth(1)?.split(' ').next()?);
        let (failed, skipped) = (count(" failed after "), count(" skipped"));
        Some(Self { passed: total.checked_sub(failed + skipped)?, failed, skipped })
    }

    /// Reads the closing lines of Python's unittest, `Ran 9 tests in 1.2s` and `OK (skipped=1)` or `FAILED (failures=1)`; `None`
    /// when it did not get to them.
    pub fn of_unittest(output: &str) -> Option<Self> {
        let ran = output.lines().rev().find_map(|line| line.strip_prefix("Ran ")?.split(' ').next()?.parse().ok())?;
        let end = output.lines().rev().find(|line| line.starts_with("OK") || line.starts_with("FAILED"))?;
        let count = |name: &str| {
            end.split(name)
                .nth(1)
                .map_or(0, |rest| number(rest.split(|c: char| !c.is_ascii_digit()).next().unwrap_or_default()))
        };
        let (failed, skipped) = (count("failures=") + count("errors="), count("skipped="));
        Some(Self { passed: u64::checked_sub(ran, failed + skipped)?, failed, skipped })
    }

    /// Reads the closing lines of node's test runner; `None` when it did not get to them.
    pub fn of_node(output: &str) -> Option<Self> {
        // `ℹ pass 3`, or `# pass 3` where it writes TAP.
        let count = |name: &str| {
            let mut counts = output.lines().rev().filter_map(|line| {
                let (mark, rest) = line.split_once(' ')?;
                if !matches!(mark, "ℹ" | "#") {
                    return None;
                }
                rest.strip_prefix(name)?.strip_prefix(' ')?.parse::<u64>().ok()
            });
            counts.next()
        };
        let failed = count("fail")? + count("cancelled")?;
        Some(Self { passed: count("pass")?, failed, skipped: count("skipped")? + count("todo")? })
    }
}

fn number(text: &str) -> u64 {
    text.parse().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cargos_result_lines_are_summed() {
        let output = "running 2 tests\n\
            test result: ok. 12 passed; 0 failed; 1 ignored; 0 measured; 3 filtered out; finished in 0.01s\n\
            test a ... FAILED\n\
            test result: FAILED. 3 passed; 2 failed; 0 ignored; 0 measured; 0 filtered out; finished in 1.00s\n";
        assert_eq!(Tally::of_cargo(output), Tally { passed: 15, failed: 2, skipped: 1 });
        assert_eq!(Tally::of_cargo("error: could not compile"), Tally::default());
    }

    #[test]
    fn a_junit_report_counts_errors_as_failures() {
        let report = r#"<?xml version="1.0"?>
            <testsuite xmlns:x="y" name="org.T" time="0.6" tests="9" errors="1" skipped="2" failures="3">
            <testcase name="tests"/></testsuite>"#;
        assert_eq!(Tally::of_junit(report), Some(Tally { passed: 3, failed: 4, skipped: 2 }));
        assert_eq!(Tally::of_junit("<html>"), None);
    }

    #[test]
    fn swifts_lines_count_each_test_once_however_many_cases_it_has() {
        let output = "◇ Test each(_:) started.\n\
            ✘ Test off() skipped: \"why not\"\n\
            ◇ Passing 1 argument n → 1 to each(_:)\n\
            ✘ Test each(_:) recorded an issue with 1 argument n → 1 at A.swift:4:48: Expectation failed\n\
            ✔ Test right() passed after 0.001 seconds.\n\
            ✘ Test each(_:) failed after 0.020 seconds with 1 issue.\n\
            ✘ Suite Some failed after 0.036 seconds with 1 issue.\n\
            ✘ Test run with 3 tests failed after 0.038 seconds with 1 issue.\n";
        assert_eq!(Tally::of_swift(output), Some(Tally { passed: 1, failed: 1, skipped: 1 }));
        assert_eq!(Tally::of_swift("error: fatalError"), None);
    }

    #[test]
    fn nodes_closing_lines_count_what_was_cancelled_as_failed() {
        let output = "▶ list\n  ✔ pass 7 (1.2ms)\n✔ list (3ms)\n\
            ℹ tests 9\nℹ suites 2\nℹ pass 4\nℹ fail 1\nℹ cancelled 2\nℹ skipped 1\nℹ todo 1\nℹ duration_ms 88.3\n";
        let expected = Some(Tally { passed: 4, failed: 3, skipped: 2 });
        assert_eq!(Tally::of_node(output), expected);
        assert_eq!(Tally::of_node(&output.replace('ℹ', "#")), expected);
        assert_eq!(Tally::of_node("SyntaxError: Unexpected token"), None);
    }

    #[test]
    fn unittests_closing_lines_count_errors_as_failures() {
        let ran = |end: &str| Tally::of_unittest(&format!("......\n-----\nRan 9 tests in 0.141s\n\n{end}\n"));
        assert_eq!(ran("OK"), Some(Tally { passed: 9, failed: 0, skipped: 0 }));
        assert_eq!(ran("OK (skipped=2)"), Some(Tally { passed: 7, failed: 0, skipped: 2 }));
        assert_eq!(ran("FAILED (failures=1, errors=12)"), None);
        assert_eq!(ran("FAILED (failures=1, errors=2)"), Some(Tally { passed: 6, failed: 3, skipped: 0 }));
        assert_eq!(Tally::of_unittest("ModuleNotFoundError"), None);
    }

    #[test]
    fn the_last_line_leaves_out_what_was_not_skipped() {
        assert_eq!(Tally { passed: 3, failed: 0, skipped: 0 }.to_string(), "3 passed, 0 failed");
        assert_eq!(Tally { passed: 3, failed: 1, skipped: 2 }.to_string(), "3 passed, 1 failed, 2 skipped");
    }
}
