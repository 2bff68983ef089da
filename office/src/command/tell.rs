//! What a command says: words for people, or one JSON object a line; progress only where somebody watches.

use std::io::{self, Write};

use dooryard_core::job::Job;
use indicatif::{ProgressBar, ProgressStyle};
use serde_json::{Value as Json, json};

use super::refusal::Refusal;

/// Puts out a line. Whoever reads may stop reading: then there is nothing more to say.
pub fn put(line: &str) {
    if writeln!(io::stdout(), "{line}").is_err() {
        std::process::exit(0);
    }
}

/// Where a command says things.
pub struct Tell {
    json: bool,
}

impl Tell {
    /// Words, or JSON.
    pub fn new(json: bool) -> Self {
        Self { json }
    }

    /// Whether JSON is wanted.
    pub fn is_json(&self) -> bool {
        self.json
    }

    /// One line: `words` for people, `object` for programs.
    pub fn say(&self, words: impl FnOnce() -> String, object: impl FnOnce() -> Json) {
        if self.json {
            put(&object().to_string());
        } else {
            let words = words();
            if !words.is_empty() {
                put(&words);
            }
        }
    }

    /// A line for people only, such as a sum of what was said before.
    pub fn say_words(&self, words: impl FnOnce() -> String) {
        if !self.json {
            put(&words());
        }
    }

    /// Why it was not done, and what to do.
    pub fn refused(&self, e: &anyhow::Error) {
        let refusal = Refusal::of(e);
        if self.json {
            eprintln!("{}", json!({ "refused": refusal.why, "code": refusal.code, "what_to_do": refusal.to_do }));
        } else {
            eprintln!("Not done: {}", refusal.why);
            if !refusal.to_do.is_empty() {
                eprintln!("What to do: {}", refusal.to_do);
            }
        }
    }

    /// A job that shows how far it is on a terminal, and nothing elsewhere.
    pub fn job(&self, what: &str) -> (Job, ProgressBar) {
        let bar = if self.json { ProgressBar::hidden() } else { ProgressBar::new(0) };
        if let Ok(style) = ProgressStyle::with_template("{msg} {wide_bar} {percent} of 100") {
            bar.set_style(style.progress_chars("=> "));
        }
        bar.set_message(what.to_owned());
        let shown = bar.clone();
        let job = Job::watched(move |done, total| {
            shown.set_length(total);
            shown.set_position(done);
        });
        (job, bar)
    }
}
