//! The report after taking bundles in: what each brought, what disagrees, what waits, what has not come; then counts per
//! host and cause, each with what it was counted out of.

use dooryard_core::{Result, bundle::TakeIn, notebook::Notebook};
use serde_json::{Value as Json, json};

use crate::{
    counts::Counts,
    desk::Office,
    ledger::{Ledger, row_of},
    page::{Clash, Names, When, bundle, clash, count, missing, sealed_words, spaced},
};

/// What one bundle brought, in lines for people.
pub fn of_bundle(file: &str, at_ms: i64, brought: &TakeIn, when: &When) -> String {
    let b = bundle(0, file, at_ms, brought, when);
    let mut lines = vec![format!("{file}")];
    if b.kept {
        lines.push(format!("  From {}: {}", brought.from, b.sum));
        if b.came > 0 {
            lines.push(format!(
                "  {} in it = {} new + {} already here + {} set aside.",
                count(b.came, "change", "changes"),
                b.new,
                b.repeated,
                b.set_aside
            ));
        }
    } else {
        lines.push("  Not taken in; nothing here was changed, and the file is kept.".into());
    }
    lines.extend(b.reasons.iter().map(|(head, words)| format!("  {head} {words}")));
    lines.join("\n")
}

/// What one bundle brought, for programs.
pub fn of_bundle_json(file: &str, at_ms: i64, brought: &TakeIn) -> Json {
    let mut object = serde_json::to_value(brought).unwrap_or_default();
    object["bundle"] = json!(file);
    object["at_ms"] = json!(at_ms);
    object
}

/// The state of the whole after taking in.
pub struct Whole {
    /// Open conflicts outside the seal.
    pub clashes: Vec<Clash>,
    /// Changes that are kept and do not count: (code, how many, from whom).
    pub waiting: Vec<(String, u64, String)>,
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
        let mut waiting = Vec::new();
        for device in office.devices()? {
            let mut codes: Vec<String> = notebook.waiting_of(&device.id)?.into_iter().map(|(.., code)| code).collect();
            codes.sort();
            let rows = codes.chunk_by(|a, b| a == b).map(|c| (c[0].clone(), c.len() as u64, device.label.clone()));
            waiting.extend(rows);
        }
        let rows = missing(&notebook.gaps()?, notebook.blobs_awaited()?.len() as u64);
        Ok(Self {
            clashes: clashes(notebook, &ledger, names, when)?,
            waiting,
            missing: rows.into_iter().map(|m| format!("{} {}: {} {}", m.count, m.what, m.why, m.to_do)).collect(),
            counts: Counts::of(&ledger, names),
            sealed: sealed_words(ledger.sealed_records),
        })
    }

    /// For people.
    pub fn words(&self) -> String {
        let mut lines = vec![heading("Phones disagree", self.clashes.len(), "nowhere")];
        lines.extend(self.clashes.iter().map(|c| format!("  {}", c.sentence())));
        lines.push(heading("Set aside, waiting", self.waiting.len(), "nothing"));
        for (code, n, from) in &self.waiting {
            let sentence = crate::page::sentence(code);
            lines.push(format!("  {} from {from}: {sentence}", count(*n, "change", "changes")));
        }
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
        let mut objects: Vec<Json> =
            self.clashes.iter().map(|c| json!({ "conflict": c.sentence(), "record": c.record })).collect();
        objects.extend(self.waiting.iter().map(|(code, n, from)| {
            json!({ "waiting": n, "code": code, "from": from, "sentence": crate::page::sentence(code) })
        }));
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
pub fn clashes(notebook: &Notebook, ledger: &Ledger, names: &Names, when: &When) -> Result<Vec<Clash>> {
    let mut found = Vec::new();
    for conflict in notebook.conflicts()? {
        let row = row_of(&notebook.show(conflict.record)?);
        if !ledger.inquiries_of(&row).iter().any(|id| ledger.sealed.contains(id)) {
            found.extend(clash(&conflict, names, when, false));
        }
    }
    Ok(found)
}

fn heading(words: &str, n: usize, none: &str) -> String {
    if n == 0 { format!("\n{words}: {none}.") } else { format!("\n{}: {n}", spaced(words)) }
}
