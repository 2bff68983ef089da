//! What a notebook shows: lists, one record, its history.

use anyhow::Result;
use dooryard_core::{
    ids::RecordId,
    notebook::{Notebook as Store, Query, Summary},
    words::Words,
};

use super::tell::Tell;
use crate::page::{Names, Say, When, clash, count};

/// Lists records.
pub fn list(notebook: &Store, query: &Query, tell: &Tell) -> Result<()> {
    let page = notebook.list(query)?;
    for row in &page.rows {
        tell.say(|| row_words(row), || serde_json::to_value(row).unwrap_or_default());
    }
    tell.say_words(|| format!("{} of {}.", page.rows.len(), count(page.total as u64, "record", "records")));
    Ok(())
}

fn row_words(row: &Summary) -> String {
    let said =
        ["summary", "question", "character", "host", "township", "observer", "caption", "plant_part", "by", "suspect"];
    let words: Vec<&str> = said.iter().filter_map(|field| row.text(field)).collect();
    let short: String = words.join(", ").replace('\n', " ").chars().take(90).collect();
    let mut notes = String::new();
    if row.conflicts > 0 {
        notes.push_str(" (phones disagree)");
    }
    if row.hidden {
        notes.push_str(" (deleted)");
    }
    format!("{}  {:<10} {short}{notes}", row.id, row.kind.name())
}

/// Shows one record.
pub fn show(notebook: &Store, id: RecordId, tell: &Tell) -> Result<()> {
    let record = notebook.show(id)?;
    if tell.is_json() {
        tell.say(String::new, || serde_json::to_value(&record).unwrap_or_default());
        return Ok(());
    }
    let (names, when) = (Names::of(&crate::pack::starter()?), When::now());
    let say = Say { names: &names, when: &when, words: Words::default() };
    println!("{} {}{}", record.kind, record.id, if record.hidden { " (deleted)" } else { "" });
    for field in &record.fields {
        let value = match &field.shown.value {
            Some(value) => say.value(record.kind, &field.name, value),
            None => "(not here)".into(),
        };
        println!("  {:<16} {value}  ({}, {})", field.name, field.shown.author.label, when.full_ms(field.shown.at_ms));
    }
    for conflict in notebook.conflicts()?.iter().filter(|c| c.record == id) {
        if let Some(said) = clash(conflict, say, true) {
            println!("  {}", said.sentence(say.words));
        }
    }
    Ok(())
}

/// Shows every save of one record.
pub fn history(notebook: &Store, id: RecordId, tell: &Tell) -> Result<()> {
    let kind = notebook.show(id)?.kind;
    let (names, when) = (Names::of(&crate::pack::starter()?), When::now());
    let say = Say { names: &names, when: &when, words: Words::default() };
    for entry in notebook.history(id)? {
        tell.say(
            || {
                let wrote =
                    entry.wrote.iter().filter(|(name, _)| name != "existence").map(|(name, value)| match value {
                        Some(value) => format!("{name} {}", say.value(kind, name, value)),
                        None => format!("{name} (erased)"),
                    });
                let wrote: Vec<String> = wrote.collect();
                let waits =
                    entry.waiting.as_ref().map_or_else(String::new, |code| format!(" (does not count: {code})"));
                let wrote = if wrote.is_empty() { "whether it is there".into() } else { wrote.join("; ") };
                format!("{}  {}: {wrote}{waits}", when.full_ms(entry.at_ms), entry.author.label)
            },
            || serde_json::to_value(&entry).unwrap_or_default(),
        );
    }
    Ok(())
}
