//! Conflicts: two wrote otherwise, neither having seen the other. Both are kept until somebody says which one counts.

use serde_json::{Value as Json, json};

use super::{act::Choice, reader::View};
use crate::{
    Code, Error, Result,
    ids::{Hash32, RecordId},
    inquiry::{reference, save},
    notebook::{Conflict, LiveValue, Query, Record},
    record::{Kind, Privacy, Type, fields_of},
    tell::say::Say,
    words::sentence_case,
};

/// A page of conflicts.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ConflictScreen {
    /// The conflicts.
    pub rows: Vec<ConflictRow>,
    /// That there are more; empty where these are all.
    pub more: String,
    /// Said where there is none.
    pub none: String,
}

/// One conflict.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ConflictRow {
    /// The record.
    pub record: RecordId,
    /// Its inquiry, where it belongs to one.
    pub inquiry: Option<RecordId>,
    /// The field, handed back with what is chosen.
    pub field: String,
    /// What it is about: `A plant (tomato): affected`.
    pub about: String,
    /// Who wrote what when, the first first.
    pub wrote: Vec<Wrote>,
    /// That neither had seen the other, and that both are kept.
    pub end: String,
    /// Keep one: the change, and what it would say.
    pub choices: Vec<Choice>,
    /// The other values can be kept as a note.
    pub as_note: bool,
}

/// Who wrote what when.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Wrote {
    /// Who.
    pub who: String,
    /// What, in words.
    pub what: String,
    /// When.
    pub at: String,
}

/// Conflicts shown at once.
const SHOWN: usize = 40;

/// The conflicts of an inquiry, or of everything where it is none. What is sealed is not among them.
///
/// # Errors
/// Of the notebook.
pub fn conflicts(view: &View<'_>, inquiry: Option<RecordId>) -> Result<ConflictScreen> {
    let found = match inquiry {
        Some(inquiry) => {
            let whole = view.whole(inquiry)?;
            let linked = [&whole.site, &whole.contact].into_iter().flatten().map(|r| r.id);
            let ids: Vec<RecordId> = whole.records.keys().copied().chain([inquiry]).chain(linked).collect();
            view.notebook.conflicts_in(&ids)?
        }
        None => {
            let query = Query { in_conflict: true, limit: SHOWN + 1, ..Query::default() };
            let ids: Vec<RecordId> = view.notebook.list(&query)?.rows.into_iter().map(|row| row.id).collect();
            view.notebook.conflicts_in(&ids)?
        }
    };
    let mut rows = Vec::new();
    for conflict in &found {
        rows.extend(row(view, conflict)?);
    }
    let more = rows.len() > SHOWN;
    rows.truncate(SHOWN);
    let none = if rows.is_empty() { view.say("phone-conflict-none") } else { String::new() };
    Ok(ConflictScreen { rows, more: if more { view.say("phone-conflict-more") } else { String::new() }, none })
}

/// How many records two wrote otherwise of, in words; empty where none.
pub(super) fn count_words(view: &View<'_>) -> Result<String> {
    let n = view.notebook.conflicts_counted()?;
    Ok(if n == 0 { String::new() } else { view.with("phone-conflicts", [("n", &n)]) })
}

fn row(view: &View<'_>, conflict: &Conflict) -> Result<Option<ConflictRow>> {
    let field = fields_of(conflict.kind).iter().find(|f| f.name == conflict.field);
    let Some(field) = field.filter(|f| f.class != Privacy::Sealed) else { return Ok(None) };
    let record = view.notebook.show(conflict.record)?;
    let say = view.telling();
    let mut by_time: Vec<&LiveValue> = conflict.values.iter().collect();
    by_time.sort_by_key(|v| (v.at_ms, v.change));
    let said = |v: &LiveValue| match &v.value {
        Some(value) => say.value(conflict.kind, &conflict.field, value),
        None => view.say("phone-conflict-gone"),
    };
    let kept = by_time.iter().filter(|v| v.value.is_some());
    Ok(Some(ConflictRow {
        record: record.id,
        inquiry: if record.kind == Kind::Inquiry { Some(record.id) } else { reference(&record, "inquiry") },
        field: conflict.field.clone(),
        about: format!("{}: {}", sentence_case(&thing(&record, say)), say.field(conflict.kind, &conflict.field)),
        wrote: by_time
            .iter()
            .map(|v| Wrote { who: v.author.label.clone(), what: said(v), at: view.when.full_ms(v.at_ms) })
            .collect(),
        end: view.say(if conflict.values.len() == 2 { "phone-conflict-two" } else { "phone-conflict-many" }),
        choices: kept
            .map(|v| Choice {
                id: v.change.to_hex(),
                text: view.with("phone-conflict-keep", [("what", &said(v))]),
                chosen: false,
            })
            .collect(),
        as_note: note_of(conflict.kind).is_some() && !matches!(field.ty, Type::Ref(_) | Type::Blob),
    }))
}

fn thing(record: &Record, say: Say<'_>) -> String {
    let called = match record.kind {
        Kind::Finding => say.names.label(record.text("character").unwrap_or_default()).to_lowercase(),
        Kind::Plant => say.names.host(record.text("host").unwrap_or_default()).to_lowercase(),
        _ => return say.kind(record.kind, 1),
    };
    format!("{} ({called})", say.kind(record.kind, 1))
}

/// The field of a kind in which a note can stand.
fn note_of(kind: Kind) -> Option<&'static str> {
    fields_of(kind).iter().find(|f| f.name == "note").map(|f| f.name)
}

/// The live values of a field, as they are now, and the one of this change.
fn chosen(view: &View<'_>, record: RecordId, field: &str, change: &str) -> Result<(Record, Json, Vec<LiveValue>)> {
    let record = view.notebook.show(record)?;
    let gone = || Error::NotFound("that conflict: it was settled meanwhile".into());
    let live = record.fields.iter().find(|f| f.name == field).ok_or_else(gone)?;
    let values: Vec<LiveValue> = std::iter::once(&live.shown).chain(&live.others).cloned().collect();
    let change: Hash32 = change.parse().map_err(|_| gone())?;
    let kept = values.iter().find(|v| v.change == change).and_then(|v| v.value.clone()).ok_or_else(gone)?;
    Ok((record, kept, values.into_iter().filter(|v| v.change != change).collect()))
}

/// Keeps one value, of the change given: it is written again, by somebody who saw all. The others stay in the history.
///
/// # Errors
/// [`Error::NotFound`] when it was settled meanwhile; as [`crate::notebook::Notebook::save`].
pub fn keep_one(view: &View<'_>, record: RecordId, field: &str, change: &str) -> Result<()> {
    let (record, kept, _) = chosen(view, record, field, change)?;
    save(view.notebook, record.kind, Some(record.id), json!({ field: kept })).map(drop)
}

/// Keeps one value, and what the others wrote in the record's note, with who wrote it and when.
///
/// # Errors
/// `SCHEMA` where such a record has no note; [`Error::NotFound`] when it was settled meanwhile; as
/// [`crate::notebook::Notebook::save`].
pub fn keep_both(view: &View<'_>, record: RecordId, field: &str, change: &str) -> Result<()> {
    let (record, kept, others) = chosen(view, record, field, change)?;
    let note = note_of(record.kind).ok_or_else(|| Error::refused(Code::Schema, "such a record has no note"))?;
    let say = view.telling();
    let mut text = record.text(note).unwrap_or_default().to_owned();
    for other in others.iter().filter(|v| v.value.is_some()) {
        let what = other.value.as_ref().map_or_else(String::new, |value| say.value(record.kind, field, value));
        let (name, when) = (say.field(record.kind, field), view.when.full_ms(other.at_ms));
        let line = view.with(
            "phone-conflict-note",
            [("who", &other.author.label), ("when", &when), ("field", &name), ("what", &what)],
        );
        if !text.is_empty() {
            text.push('\n');
        }
        text.push_str(&line);
    }
    save(view.notebook, record.kind, Some(record.id), json!({ field: kept, note: text })).map(drop)
}
