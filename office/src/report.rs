//! The report after taking bundles in: what each brought, what disagrees, what waits, what has not come; then counts per
//! host and cause, each with what it was counted out of.

use dooryard_core::{Result, notebook::Notebook, words::Words};
use serde_json::{Value as Json, json};

use crate::{
    counts::Counts,
    desk::{Office, Outcome, Taken},
    ledger::{Ledger, row_of},
    page::{Clash, Names, Say, Waits, When, bundle, clash, count, missing, sealed_words, waiting},
};

/// What one file brought, in lines for people.
pub fn of_file(at_ms: i64, taken: &Taken, when: &When) -> String {
    let b = bundle(0, at_ms, taken, when, Words::default());
    let mut lines = vec![taken.file.clone()];
    if b.kept {
        lines.push(format!("  From {}: {}", taken.report.from, b.sum));
        if b.came > 0 {
            let came = count(b.came, "change", "changes");
            lines.push(format!(
                "  {came} in it = {} new + {} already here + {} set aside.",
                b.new, b.repeated, b.set_aside
            ));
            let (new, grew) = (taken.report.new_records, taken.report.changed_records);
            lines.push(format!(
                "  {} for the first time, {} grew.",
                count(new, "record", "records"),
                count(grew, "record", "records")
            ));
        }
    } else {
        lines.push(match taken.outcome {
            Outcome::Kept => "  Not taken in; nothing here was changed. A copy is kept, sealed.".into(),
            _ => "  Not taken in; nothing here was changed.".into(),
        });
    }
    lines.extend(b.reasons.iter().map(|(head, words)| format!("  {head} {words}")));
    lines.join("\n")
}

/// What one file brought, for programs.
pub fn of_file_json(at_ms: i64, taken: &Taken) -> Json {
    let mut object = serde_json::to_value(taken).unwrap_or_default();
    object["at_ms"] = json!(at_ms);
    object
}

/// The state of the whole after taking in.
pub struct Whole {
    /// Open conflicts outside the seal.
    pub clashes: Vec<Clash>,
    /// Changes and files that are kept and do not count.
    pub waiting: Vec<Waits>,
    /// What has not come, in lines.
    pub missing: Vec<String>,
    /// Counts per host and cause.
    pub counts: Counts,
    /// That something is sealed; empty when nothing is.
    pub sealed: String,
}

impl Whole {
    /// Reads it from an office.
    ///
    /// # Errors
    /// Of the stores.
    pub fn of(office: &Office, names: &Names, when: &When) -> Result<Self> {
        let notebook = office.notebook();
        let ledger = Ledger::read(notebook, &names.suspect)?;
        let rows = missing(&notebook.gaps()?, notebook.blobs_awaited()?.len() as u64, Words::default());
        Ok(Self {
            clashes: clashes(notebook, &ledger, Say { names, when, words: Words::default() })?,
            waiting: waiting(office, when, Words::default())?,
            missing: rows.into_iter().map(|m| format!("{} {}: {} {}", m.count, m.what, m.why, m.to_do)).collect(),
            counts: Counts::of(&ledger, names),
            sealed: sealed_words(ledger.sealed_records, Words::default()),
        })
    }

    /// For people.
    pub fn words(&self) -> String {
        let mut lines = vec![heading("Phones disagree", self.clashes.len(), "nowhere")];
        lines.extend(self.clashes.iter().map(|c| format!("  {}", c.sentence(Words::default()))));
        lines.push(heading("Set aside, waiting", self.waiting.len(), "nothing"));
        lines.extend(self.waiting.iter().map(|w| format!("  {} {}: {} {}", w.count, w.what, w.why, w.to_do)));
        lines.push(heading("Has not come", self.missing.len(), "nothing is missing"));
        lines.extend(self.missing.iter().map(|m| format!("  {m}")));
        if !self.sealed.is_empty() {
            lines.push(format!("\n{}", self.sealed));
        }
        lines.push(String::new());
        lines.push(self.counts.words());
        lines.join("\n")
    }

    /// For programs: one object a line.
    pub fn objects(&self) -> Vec<Json> {
        let mut objects: Vec<Json> = self
            .clashes
            .iter()
            .map(|c| json!({ "conflict": c.sentence(Words::default()), "record": c.record }))
            .collect();
        objects.extend(
            self.waiting
                .iter()
                .map(|w| json!({ "waiting": w.count, "of": w.what, "why": w.why, "what_to_do": w.to_do })),
        );
        objects.extend(self.missing.iter().map(|m| json!({ "has_not_come": m })));
        if !self.sealed.is_empty() {
            objects.push(json!({ "sealed": self.sealed }));
        }
        objects.extend(self.counts.objects());
        objects
    }
}

/// Conflicts outside the seal, in sentences.
///
/// # Errors
/// Of the notebook.
pub fn clashes(notebook: &Notebook, ledger: &Ledger, say: Say<'_>) -> Result<Vec<Clash>> {
    let mut found = Vec::new();
    for conflict in notebook.conflicts()? {
        let row = row_of(&notebook.show(conflict.record)?);
        if !ledger.inquiries_of(&row).iter().any(|id| ledger.sealed.contains(id)) {
            found.extend(clash(&conflict, say, false));
        }
    }
    Ok(found)
}

fn heading(words: &str, n: usize, none: &str) -> String {
    if n == 0 { format!("\n{words}: {none}.") } else { format!("\n{words}: {n}") }
}
