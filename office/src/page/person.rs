//! One person's data: found by the contact, looked at, handed out, erased. Every step is in the audit.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, State},
    http::header,
    response::{IntoResponse, Response},
};
use dooryard_core::notebook::Record;
use serde_json::Value as Json;

use super::{
    frame::{Frame, Here},
    guard::{Given, Noted},
    place::{Asked, Shown},
    reading::record_id,
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
    words::{When, count},
};
use crate::people::{Act, Person, Visitor, find};

#[derive(Template)]
#[template(path = "person_find.html")]
struct FindPage {
    frame: Frame,
    words: String,
    asked: bool,
    found: Vec<(String, String)>,
}

pub(super) async fn page(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    let frame = desk.frame(Some(&who), Here::People);
    html(&FindPage { frame, words: String::new(), asked: false, found: Vec::new() })
}

/// The words come in a form: in an address they would stay in the browser's history.
pub(super) async fn search(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who), Here::People, move |desk, frame| {
        let words = given.text("words").to_owned();
        let found = find(desk.notebook(), &words)?.into_iter().map(|row| {
            let reach = row.fields.get("reach");
            let part = |name: &str| reach?.get(name)?.as_str().map(str::to_owned);
            let parts = [part("name"), part("phone"), part("email")].into_iter().flatten().collect::<Vec<_>>();
            (row.id.to_string(), if parts.is_empty() { "a contact without a name".into() } else { parts.join(", ") })
        });
        let found = found.collect();
        Ok(html(&FindPage { frame, words, asked: true, found }))
    })
    .await
}

#[derive(Template)]
#[template(path = "person.html")]
struct PersonPage {
    frame: Frame,
    id: String,
    facts: Vec<(&'static str, String)>,
    gone: bool,
    inquiries: Vec<(String, String, String)>,
    line: String,
    /// What erasing takes.
    private: String,
    sealed: String,
    shared: String,
}

fn read(desk: &Desk, id: &str) -> Result<Person, Trouble> {
    Ok(Person::read(desk.notebook(), &desk.ledger()?, record_id(id)?)?)
}

fn inquiry(record: &Record, when: &When) -> (String, String, String) {
    let words = ["summary", "question"].into_iter().find_map(|field| record.text(field)).unwrap_or("no words are kept");
    let day = record.text("opened").map_or_else(String::new, |at| when.day(at));
    (record.id.to_string(), day, words.chars().take(160).collect())
}

pub(super) async fn one(State(desk): Shared, Extension(who): Extension<Visitor>, Path(id): Path<String>) -> Response {
    answer(desk, Some(who), Here::People, move |desk, frame| {
        let (person, when) = (read(desk, &id)?, When::now());
        let asked = Asked::of(Some(&person.contact), Shown::Full, &when);
        let private = person.private();
        let fields: usize = private.iter().map(|(_, fields)| fields.len()).sum();
        let minor = person.contact.get("minor").and_then(Json::as_bool) == Some(true);
        Ok(html(&PersonPage {
            frame,
            id,
            gone: asked.private.is_empty() && !minor,
            facts: asked.private,
            inquiries: person.inquiries.iter().map(|record| inquiry(record, &when)).collect(),
            line: format!(
                "{} with this contact, {} besides, {} among them.",
                count(person.inquiries.len() as u64, "inquiry", "inquiries"),
                count((person.records.len() + person.sites.len()) as u64, "record", "records"),
                count(person.photos().count() as u64, "photo", "photos")
            ),
            private: format!(
                "{} on {}",
                count(fields as u64, "private field", "private fields"),
                count(private.len() as u64, "record", "records")
            ),
            sealed: match person.sealed {
                0 => String::new(),
                n => format!(
                    "{} of this person under seal. Nothing of it is shown, handed out or erased here, and the contact stays \
                     until the authority releases it.",
                    count(n as u64, "inquiry is", "inquiries are")
                ),
            },
            shared: match person.shared_sites {
                0 => String::new(),
                n => format!(
                    "{} also in inquiries of others, and not among this.",
                    count(n as u64, "site is", "sites are")
                ),
            },
        }))
    })
    .await
}

pub(super) async fn export(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
) -> Response {
    answer(desk, Some(who), Here::People, move |desk, _| {
        let person = read(desk, &id)?;
        let json = serde_json::to_string_pretty(&person.export(desk.notebook()))
            .map_err(|_| Trouble::Inside("The file could not be written.".into()))?;
        let name = format!("attachment; filename=\"person-{}.json\"", person.contact.id);
        let headers = [(header::CONTENT_TYPE, "application/json"), (header::CONTENT_DISPOSITION, name.as_str())];
        Ok((headers, json).into_response())
    })
    .await
}

#[derive(Template)]
#[template(path = "done.html")]
pub(super) struct DonePage {
    pub(super) frame: Frame,
    pub(super) head: String,
    pub(super) words: String,
    pub(super) after: &'static str,
}

/// What is said after something was erased for good.
pub(super) const AFTER: &str = "Make a reply for each phone, so that it goes there too. Backups of before still hold it; their \
     ledgers see to it that it does not come back.";

pub(super) async fn erase(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::People, move |desk, frame| {
        let person = read(desk, &id)?;
        if given.text("sure") != "yes" {
            return Err(Trouble::NotDone("Erasing cannot be undone, and the box that says so was not ticked.".into()));
        }
        // Noted before it is done: it cannot be taken back.
        desk.people.note(&who, Act::ErasedPerson, Some(&person.contact.id.to_string()))?;
        let touched = person.erase(&desk.office)?;
        let page = DonePage {
            frame,
            head: "Erased".into(),
            words: format!("The words of {} are gone from this office.", count(touched as u64, "record", "records")),
            after: AFTER,
        };
        Ok(Noted::on(html(&page), Vec::new()))
    })
    .await
}
