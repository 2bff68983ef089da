//! Who has an inquiry, until when, and what has to come first: shown, and changed by whoever may.
//!
//! The form carries the changes that it was made from. When another person changed it meanwhile, nothing is written: the
//! page comes back with both, and what was typed is still in the form.

use std::collections::BTreeMap;

use axum::{
    Extension,
    extract::{Path, State},
    http::StatusCode,
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{ids::Hash32, notebook::Record, record::Role as PhoneRole, words::Argument};
use jiff::civil::Date;
use serde_json::{Map, Value as Json, json};

use super::{
    frame::Here,
    guard::{Given, Noted},
    inquiry::Unveil,
    inquiry_page::{open, saying, shown},
    reading::record_id,
    routes::{Desk, Shared, answer},
    say::Say,
    trouble::Trouble,
};
use crate::people::{Act, Role, Visitor};

/// Who may change it: whoever leads scouts.
pub(super) const LEAST: Role = Role::ScoutLead;

/// Longest role and number, letters, as the registry has it.
const BY: usize = 100;
/// Longest reason to wait, letters, as the registry has it.
const WAITING_ON: usize = 400;

/// Who has an inquiry.
#[derive(Clone, Default, PartialEq, Debug)]
pub struct Held {
    /// Role and number, such as `Scout 3`; empty: nobody.
    pub by: String,
    /// The day as a form holds it; empty: none.
    pub due: String,
    /// What has to come first.
    pub waiting_on: String,
    /// The day in words, and how it lies to today.
    pub due_words: String,
    /// The day is over and the inquiry is neither answered nor closed.
    pub late: bool,
    /// Who said so, and when.
    pub said_by: String,
    /// The changes that were live when it was shown, for the form.
    pub seen: String,
    /// What was typed and not saved, with the reasons.
    pub tried: Option<Tried>,
}

/// What was typed and not saved.
#[derive(Clone, Default, PartialEq, Debug)]
pub struct Tried {
    /// As in [`Held::by`].
    pub by: String,
    /// As in [`Held::due`].
    pub due: String,
    /// As in [`Held::waiting_on`].
    pub waiting_on: String,
    /// What is wrong with each of the three; empty: nothing.
    pub problems: [String; 3],
    /// Somebody changed it meanwhile.
    pub meanwhile: bool,
}

impl Held {
    /// Of an inquiry.
    pub fn of(inquiry: &Record, say: Say<'_>) -> Self {
        let Some(field) = inquiry.fields.iter().find(|f| f.name == "held") else { return Self::default() };
        let value = &field.shown;
        let part = |name: &str| value.value.as_ref()?.get(name)?.as_str().map(str::to_owned);
        let due = part("due").unwrap_or_default();
        let day = due.parse::<Date>().ok();
        let done = matches!(inquiry.text("status"), Some("answered" | "closed"));
        let live = field.others.iter().chain([value]).map(|v| v.change.to_string());
        let given: [(&str, &dyn Argument); 2] = [("who", &value.author.label), ("at", &say.when.full_ms(value.at_ms))];
        Self {
            by: part("by").unwrap_or_default(),
            due_words: day.map_or_else(String::new, |day| {
                let given: [(&str, &dyn Argument); 2] = [("day", &say.when.date(day)), ("due", &say.when.due(day))];
                if done { say.when.date(day) } else { say.words.with("inquiry-held-due-words", given) }
            }),
            late: !done && day.is_some_and(|day| day < say.when.today()),
            due,
            waiting_on: part("waiting_on").unwrap_or_default(),
            said_by: say.words.with("inquiry-held-said-by", given),
            seen: live.collect::<Vec<_>>().join(" "),
            tried: None,
        }
    }

    /// What stands in the form: what was typed, or else what holds: who, day, what has to come first.
    pub fn typed(&self) -> [&str; 3] {
        match &self.tried {
            Some(tried) => [&tried.by, &tried.due, &tried.waiting_on],
            None => [&self.by, &self.due, &self.waiting_on],
        }
    }

    /// What is wrong with what was typed in one of the three; empty: nothing.
    pub fn problem(&self, at: usize) -> &str {
        self.tried.as_ref().map_or("", |tried| &tried.problems[at])
    }

    /// Whether somebody changed it meanwhile.
    pub fn meanwhile(&self) -> bool {
        self.tried.as_ref().is_some_and(|tried| tried.meanwhile)
    }
}

/// Whom an inquiry can be given to: phones, and the office's own people by role.
pub(super) fn hands(desk: &Desk, say: Say<'_>) -> Result<Vec<String>, Trouble> {
    let devices = desk.office.devices()?.into_iter();
    let open = devices.filter(|d| !d.revoked && d.role != PhoneRole::Office.name()).map(|d| d.label);
    Ok([say.say("inquiry-held-educator"), say.say("inquiry-office")].into_iter().chain(open).collect())
}

impl Tried {
    fn read(given: &Given, say: Say<'_>) -> Self {
        let text = |field: &str| given.text(field).trim().to_owned();
        let mut tried = Self { by: text("by"), due: text("due"), waiting_on: text("waiting_on"), ..Self::default() };
        let too_long = |words: &str, most: usize| {
            let given: [(&str, &dyn Argument); 2] = [("n", &words.chars().count()), ("most", &most)];
            let long = words.chars().count() > most;
            if long { say.words.with("inquiry-held-long", given) } else { String::new() }
        };
        let wrong_day = !tried.due.is_empty() && tried.due.parse::<Date>().is_err();
        let day = if wrong_day { say.say("inquiry-held-no-day") } else { String::new() };
        tried.problems = [too_long(&tried.by, BY), day, too_long(&tried.waiting_on, WAITING_ON)];
        tried
    }

    fn fields(&self) -> Map<String, Json> {
        let mut held = Map::from_iter([("by".to_owned(), json!(self.by))]);
        for (name, words) in [("due", &self.due), ("waiting_on", &self.waiting_on)] {
            if !words.is_empty() {
                held.insert(name.into(), json!(words));
            }
        }
        Map::from_iter([("held".to_owned(), Json::Object(held))])
    }
}

/// The changes that a form was made from.
fn seen(given: &Given) -> BTreeMap<String, Vec<Hash32>> {
    let hashes = given.text("seen").split_whitespace().filter_map(|hash| hash.parse().ok());
    BTreeMap::from([("held".to_owned(), hashes.collect())])
}

/// Saves who has it.
pub(super) async fn set(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
    Path(id): Path<String>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Inquiries, move |desk, frame| {
        let id = record_id(&id)?;
        open(desk, id)?;
        saying(desk, &frame, |say| {
            let mut tried = Tried::read(&given, say);
            let sound = tried.problems.iter().all(String::is_empty);
            let notebook = desk.notebook();
            if sound && notebook.save_if_seen(id, &tried.fields(), &seen(&given))? {
                let back = Redirect::to(&format!("/inquiries/{id}#held")).into_response();
                return Ok(Noted::on(back, vec![Act::ChangedHolder]));
            }
            tried.meanwhile = sound;
            let status = if sound { StatusCode::CONFLICT } else { StatusCode::UNPROCESSABLE_ENTITY };
            let (page, seen) = shown(desk, frame.clone(), &who, id, Unveil::default(), Some(tried))?;
            // An answer of this status is not noted by the guard, and the page shows an inquiry all the same.
            for act in seen {
                desk.people.note(&who, act, Some(&id.to_string()))?;
            }
            Ok((status, page).into_response())
        })
    })
    .await
}
