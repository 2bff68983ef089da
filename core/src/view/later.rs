//! What is asked later, by day: the question, the answer, how the plant is.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde_json::{Value as Json, json};

use super::{
    act::Choice,
    reader::View,
    records::{is_sealed, title},
    typing::{Form, done_with, typed_in},
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::save,
    notebook::{DueAsk, Summary},
    record::Kind,
    words::sentence_case,
};

/// A page of follow-ups.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LaterPage {
    /// The rows, the earliest first.
    pub rows: Vec<LaterRow>,
    /// What to hand back for the next page; empty where this is the last.
    pub next: String,
    /// Said where there is none.
    pub none: String,
}

/// One follow-up.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LaterRow {
    /// The follow-up.
    pub id: RecordId,
    /// Its inquiry.
    pub inquiry: RecordId,
    /// `today`, `3 days late`, `Friday`, for the margin.
    pub at: String,
    /// It should have been asked before today.
    pub late: bool,
    /// Host and township; that it is under seal.
    pub head: String,
    /// What to ask, in somebody's words.
    pub question: String,
    /// The answer, in somebody's words, as far as it is typed; empty while there is none.
    pub answer: String,
    /// What the resident did, as far as it is typed; empty while nobody said.
    pub did: String,
    /// How the plant is.
    pub outcomes: Vec<Choice>,
    /// Who asks, by role.
    pub by: String,
}

/// Rows of a page at most.
const MOST: u32 = 50;
/// How a plant can be.
const OUTCOMES: [&str; 5] = ["recovered", "same", "worse", "removed", "unknown"];

/// A page of what is to be asked, or of what was answered.
///
/// # Errors
/// `SCHEMA` for an end of a page that is none; of SQLite.
pub fn later(view: &View<'_>, answered: bool, after: &str, limit: u32) -> Result<LaterPage> {
    let ask = DueAsk {
        done: answered,
        until: String::new(),
        after: Some(after.to_owned()).filter(|a| !a.is_empty()),
        limit: limit.clamp(1, MOST) as usize,
    };
    let (found, next) = view.notebook.follow_ups(&ask)?;
    let rows = rows(view, &found)?;
    let none = if rows.is_empty() { view.say("phone-later-none") } else { String::new() };
    Ok(LaterPage { rows, next: next.unwrap_or_default(), none })
}

/// The rows of these follow-ups.
pub(super) fn rows(view: &View<'_>, found: &[Summary]) -> Result<Vec<LaterRow>> {
    let owner = |row: &Summary| row.text("inquiry").and_then(|id| id.parse::<RecordId>().ok());
    let ids: Vec<RecordId> = found.iter().filter_map(owner).collect();
    let inquiries: BTreeMap<RecordId, Summary> =
        view.notebook.rows_of(&ids)?.into_iter().map(|row| (row.id, row)).collect();
    let sites: Vec<RecordId> = inquiries.values().filter_map(|row| row.text("site")?.parse().ok()).collect();
    let sites: BTreeMap<RecordId, Summary> =
        view.notebook.rows_of(&sites)?.into_iter().map(|row| (row.id, row)).collect();
    let mut of: BTreeMap<RecordId, Vec<Summary>> = BTreeMap::new();
    for row in view.notebook.rows_referring(&ids)?.into_iter().filter(|row| !row.hidden) {
        if let Some(id) = owner(&row) {
            of.entry(id).or_default().push(row);
        }
    }
    let told = found.iter().filter_map(|f| {
        let inquiry = owner(f)?;
        let own = of.get(&inquiry).map_or(&[][..], Vec::as_slice);
        let record = inquiries.get(&inquiry);
        let sealed = record.is_none_or(|record| is_sealed(record, own));
        let site = record.and_then(|r| sites.get(&r.text("site")?.parse().ok()?));
        Some(row(view, f, inquiry, if sealed { view.say("phone-sealed") } else { title(view, own, site) }, sealed))
    });
    told.collect()
}

fn row(view: &View<'_>, f: &Summary, inquiry: RecordId, head: String, sealed: bool) -> Result<LaterRow> {
    let typed = typed_in(view, Form::Answer, f.id)?;
    let due: Option<Date> = f.text("due").and_then(|d| d.parse().ok());
    let text = |name: &str| if sealed { String::new() } else { f.text(name).unwrap_or_default().to_owned() };
    let stands = |name: &str, field: &str| typed.get(name).filter(|_| !sealed).cloned().unwrap_or_else(|| text(field));
    let outcome = typed.get("outcome").map_or(f.text("outcome").unwrap_or_default(), String::as_str);
    Ok(LaterRow {
        id: f.id,
        inquiry,
        at: match (f.text("answered"), due) {
            (Some(day), _) => view.when.day(day),
            (None, Some(due)) => view.when.due(due),
            (None, None) => view.say("phone-no-day"),
        },
        late: f.text("answered").is_none() && due.is_some_and(|due| due < view.when.today()),
        head,
        question: text("question"),
        answer: stands("answer", "answer"),
        did: stands("did", "action"),
        outcomes: OUTCOMES
            .iter()
            .map(|id| Choice {
                id: (*id).to_owned(),
                text: sentence_case(&view.telling().word(id)),
                chosen: *id == outcome,
            })
            .collect(),
        by: f.text("by").unwrap_or_default().to_owned(),
    })
}

/// Writes down an answer: nothing is left to ask then. An answer without words and without how the plant is takes it back.
///
/// # Errors
/// [`Error::NotFound`]; `SCHEMA` for an outcome that is none; as [`crate::notebook::Notebook::save`].
pub fn answer_later(view: &View<'_>, follow_up: RecordId, answer: &str, did: &str, outcome: &str) -> Result<()> {
    let record = view.notebook.show(follow_up)?;
    if record.kind != Kind::FollowUp {
        return Err(Error::NotFound(format!("a follow-up {follow_up}")));
    }
    let mut fields = json!({ "answer": answer.trim(), "done": !(answer.trim().is_empty() && outcome.is_empty()) });
    if !outcome.is_empty() {
        if !OUTCOMES.contains(&outcome) {
            return Err(Error::refused(Code::Schema, "that is not how a plant can be"));
        }
        fields["outcome"] = json!(outcome);
    }
    if record.text("action").is_some_and(|held| held != did.trim()) || !did.trim().is_empty() {
        fields["action"] = json!(did.trim());
    }
    if fields["done"] == Json::Bool(true) {
        fields["answered"] = json!(view.when.today().to_string());
    }
    save(view.notebook, Kind::FollowUp, Some(follow_up), fields)?;
    done_with(view, Form::Answer, follow_up)?;
    // What somebody answers is read for danger too.
    let inquiry = record.text("inquiry").and_then(|id| id.parse().ok());
    inquiry.map_or(Ok(false), |inquiry| super::stops::record(view, inquiry)).map(drop)
}

/// Puts down a question for a day. Whoever holds this phone asks.
///
/// # Errors
/// `SCHEMA` for a day that is past or none; as [`crate::notebook::Notebook::save`].
pub fn ask_later(view: &View<'_>, inquiry: RecordId, due: &str, question: &str) -> Result<RecordId> {
    let day: Option<Date> = due.parse().ok();
    if day.is_none_or(|day| day < view.when.today()) {
        return Err(Error::refused(Code::Schema, "a follow-up is due today or later"));
    }
    let question: String = question.trim().chars().take(2_000).collect();
    let fields = json!({ "inquiry": inquiry.to_string(), "due": due, "question": question, "by": view.own_label()? });
    let made = save(view.notebook, Kind::FollowUp, None, fields)?;
    done_with(view, Form::Question, inquiry)?;
    Ok(made)
}
