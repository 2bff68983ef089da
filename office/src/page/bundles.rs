//! What each bundle brought: the sum, what was set aside and why, what has not come.

use dooryard_core::{
    Code,
    bundle::TakeIn,
    words::{Language, Words},
};

use super::words::When;
use crate::desk::{Outcome, Taken};

/// One bundle.
#[derive(Clone, PartialEq, Debug)]
pub struct Bundle {
    /// Its number in the log, from 1.
    pub number: usize,
    /// The day it was taken in.
    pub day: String,
    /// The time of day.
    pub clock: String,
    /// From whom.
    pub head: String,
    /// File, when taken in, when made.
    pub line: String,
    /// What it brought, in a few words.
    pub sum: String,
    /// Lines below: (reason, words).
    pub reasons: Vec<(String, String)>,
    /// It was taken in.
    pub kept: bool,
    /// What became of it, where it was not.
    pub stands: String,
    /// Changes in it: new, already here and set aside add up to it.
    pub came: u64,
    /// New ones that count.
    pub new: u64,
    /// Those that were here already.
    pub repeated: u64,
    /// New ones that wait.
    pub set_aside: u64,
    /// What the sum means.
    pub said: String,
    /// What waits, by reason.
    pub waiting: Vec<Waits>,
    /// What has not come.
    pub missing: Vec<Waits>,
}

/// Something that waits or has not come.
#[derive(Clone, PartialEq, Debug)]
pub struct Waits {
    /// How many.
    pub count: u64,
    /// Of what.
    pub what: String,
    /// Why.
    pub why: String,
    /// What to do, or what happens by itself.
    pub to_do: String,
}

/// One bundle in words.
pub fn bundle(number: usize, at_ms: i64, taken: &Taken, when: &When, words: Words) -> Bundle {
    let (file, t) = (&taken.file, &taken.report);
    let code = taken.code.as_deref();
    let set_aside: u64 = t.waiting.values().sum();
    let new = t.new.saturating_sub(set_aside);
    let came = new + set_aside + t.repeated;
    let from = if t.from.is_empty() { words.say("take-in-somebody") } else { t.from.clone() };
    let mut waiting: Vec<Waits> = t.waiting.iter().map(|(code, n)| waits(code, *n, words)).collect();
    waiting.extend(
        t.segments_refused
            .iter()
            .map(|(code, n)| Waits { what: words.with("take-in-unit-pieces", [("n", n)]), ..waits(code, *n, words) }),
    );
    let kept = taken.outcome == Outcome::TakenIn;
    let mut line = vec![words.with("take-in-at", [("when", &when.full_ms(at_ms))])];
    if t.made_ms > 0 {
        let made = i64::try_from(t.made_ms).unwrap_or(i64::MAX);
        line.push(words.with("take-in-made-at", [("when", &when.full_ms(made))]));
    }
    line.push(words.with("take-in-of-file", [("file", file)]));
    Bundle {
        number,
        day: when.day_ms(at_ms),
        clock: when.clock_ms(at_ms),
        head: match kept {
            true => words.with("take-in-from", [("who", &from)]),
            false => words.with("take-in-file", [("file", file)]),
        },
        line: line.join(" · "),
        sum: if kept { sum_words(new, t.repeated, set_aside, t, words) } else { words.say("take-in-sum-none") },
        reasons: code.map_or_else(|| reasons(t, words), |code| vec![(words.say("take-in-why"), sentence(code, words))]),
        kept,
        stands: words.say(match taken.outcome {
            Outcome::Kept => "take-in-stands-kept",
            _ => "take-in-stands-refused",
        }),
        came,
        new,
        repeated: t.repeated,
        set_aside,
        said: code.map_or_else(|| said(t, came, words), |code| refused(code, taken.outcome, words)),
        waiting,
        missing: missing_of(t, words),
    }
}

fn sum_words(new: u64, repeated: u64, set_aside: u64, t: &TakeIn, words: Words) -> String {
    let mut parts = vec![words.with("take-in-sum-new", [("n", &new), ("here", &repeated)])];
    if set_aside > 0 {
        parts.push(words.with("take-in-sum-aside", [("n", &set_aside)]));
    }
    if t.photos > 0 {
        parts.push(words.with("take-in-pictures", [("n", &t.photos)]));
    }
    format!("{}.", parts.join(", "))
}

fn refused(code: &str, outcome: Outcome, words: Words) -> String {
    let mut said = vec![words.say("take-in-nothing-taken"), sentence(code, words)];
    if outcome == Outcome::Kept {
        said.push(words.say("take-in-kept-until"));
    }
    said.join(" ")
}

fn said(t: &TakeIn, came: u64, words: Words) -> String {
    if came == 0 && t.photos == 0 {
        return words.say("take-in-no-change");
    }
    if !t.brought_anything() {
        return words.say("take-in-all-here");
    }
    words.with("take-in-accounted", [("new", &t.new_records), ("grew", &t.changed_records)])
}

fn reasons(t: &TakeIn, words: Words) -> Vec<(String, String)> {
    let mut lines: Vec<(String, String)> = Vec::new();
    for (code, n) in &t.waiting {
        lines.push((words.with("take-in-changes-aside", [("n", n)]), sentence(code, words)));
    }
    for (code, n) in &t.segments_refused {
        lines.push((words.with("take-in-pieces-aside", [("n", n)]), sentence(code, words)));
    }
    if t.forks > 0 {
        lines.push((words.with("take-in-forks", [("n", &t.forks)]), sentence("FORK", words)));
    }
    if t.cut {
        lines.push((words.say("take-in-cut"), words.say("take-in-cut-do")));
    }
    if t.parts_damaged > 0 {
        let head = words.with("take-in-damaged-parts", [("n", &t.parts_damaged)]);
        lines.push((head, sentence("PART_HASH", words)));
    }
    if t.photos_missing > 0 {
        let head = words.with("take-in-pictures-missing", [("n", &t.photos_missing)]);
        lines.push((head, words.say("take-in-on-the-phone")));
    }
    if t.clock_ahead {
        lines.push((words.say("take-in-clock-ahead"), sentence("CLOCK", words)));
    }
    if !t.brought_anything() {
        lines.push((words.say("take-in-nothing-new"), words.say("take-in-had-it")));
    }
    lines
}

fn missing_of(t: &TakeIn, words: Words) -> Vec<Waits> {
    let mut rows = Vec::new();
    if t.photos_missing > 0 {
        rows.push(pictures(t.photos_missing, words));
    }
    if t.cut {
        rows.push(Waits {
            count: 1,
            what: words.say("take-in-unit-end"),
            why: words.say("take-in-end-why"),
            to_do: words.say("take-in-end-do"),
        });
    }
    rows
}

/// Pictures that have not come.
pub(super) fn pictures(n: u64, words: Words) -> Waits {
    Waits {
        count: n,
        what: words.with("take-in-unit-pictures", [("n", &n)]),
        why: words.say("take-in-pictures-why"),
        to_do: words.say("take-in-still-on-phone"),
    }
}

/// Changes that wait, by the code that says why.
pub(super) fn waits(code: &str, n: u64, words: Words) -> Waits {
    let (why, to_do) = why_and_what_to_do(code, words);
    Waits { count: n, what: words.with("take-in-unit-changes", [("n", &n)]), why, to_do }
}

/// A code in two: what happened, and what to do.
pub(super) fn why_and_what_to_do(code: &str, words: Words) -> (String, String) {
    let whole = sentence(code, words);
    // The first sentence of a code says what happened, the rest what to do.
    match whole.split_once(". ") {
        Some((why, to_do)) => (format!("{}.", why.trim_end_matches('.')), to_do.to_owned()),
        None => (whole, words.say("take-in-nothing-to-do")),
    }
}

/// A code of the wire in plain words.
pub fn sentence(code: &str, words: Words) -> String {
    match (Code::from_name(code), words.0) {
        (None, _) => words.with("take-in-code-newer", [("code", &code)]),
        (Some(code), Language::En) => code.sentence().to_owned(),
        (Some(code), Language::Es) => code.sentence_es().to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn taken(outcome: Outcome, code: Option<&str>, report: TakeIn) -> Taken {
        Taken { file: "s3.yard".into(), outcome, code: code.map(str::to_owned), report, original: None }
    }

    #[test]
    fn the_sum_adds_up() {
        let report = TakeIn {
            from: "Scout 3".into(),
            new: 181,
            repeated: 31,
            waiting: [("REVOKED".to_owned(), 4), ("FORBIDDEN_FIELD".to_owned(), 1)].into(),
            ..TakeIn::default()
        };
        let at = 1_784_600_000_000;
        let b = bundle(1, at, &taken(Outcome::TakenIn, None, report), &When::at_ms(at), Words::default());
        assert_eq!((b.came, b.new, b.repeated, b.set_aside), (212, 176, 31, 5));
        assert_eq!(b.came, b.new + b.repeated + b.set_aside);
        assert_eq!(b.waiting.iter().map(|w| w.count).sum::<u64>(), 5);
        assert_eq!(b.waiting[1].why, "This phone was revoked.");
    }

    #[test]
    fn a_file_that_was_not_taken_in_says_why_and_claims_nothing() {
        let refused = taken(Outcome::Refused, Some("NOT_FOR_US"), TakeIn::default());
        let b = bundle(2, 0, &refused, &When::at_ms(0), Words::default());
        assert!(!b.kept && b.came == 0);
        assert_eq!(b.reasons[0].1, "It is sealed to another office. Hand it to the office it was made for.");
        let b = bundle(2, 0, &refused, &When::at_ms(0), Words(Language::Es));
        assert_eq!(b.reasons[0].1, "Está sellado para otra oficina. Entréguelo a la oficina para la que se hizo.");
    }
}
