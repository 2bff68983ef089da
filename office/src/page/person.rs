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
    say::Say,
    trouble::Trouble,
    words::When,
};
use crate::{
    desk::Erased,
    people::{Act, Person, Visitor, find},
};

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
            (row.id.to_string(), if parts.is_empty() { frame.say("person-no-name") } else { parts.join(", ") })
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
    facts: Vec<(String, String)>,
    gone: bool,
    inquiries: Vec<(String, String, String)>,
    line: String,
    /// What erasing takes.
    private: String,
    sealed: String,
    shared: String,
}

fn read(desk: &Desk, id: &str) -> Result<Person, Trouble> {
    Ok(Person::read(desk.notebook(), &*desk.index()?, record_id(id)?)?)
}

fn inquiry(record: &Record, when: &When, frame: &Frame) -> (String, String, String) {
    let words = ["summary", "question"]
        .into_iter()
        .find_map(|field| record.text(field))
        .map_or_else(|| frame.say("person-no-words"), str::to_owned);
    let day = record.text("opened").map_or_else(String::new, |at| when.day(at));
    (record.id.to_string(), day, words.chars().take(160).collect())
}

pub(super) async fn one(State(desk): Shared, Extension(who): Extension<Visitor>, Path(id): Path<String>) -> Response {
    answer(desk, Some(who), Here::People, move |desk, frame| {
        let (person, when) = (read(desk, &id)?, frame.when());
        let say = Say { names: desk.names_in(frame.words.0), when: &when, words: frame.words };
        let asked = Asked::of(Some(&person.contact), Shown::Full, say);
        let private = person.private();
        let fields: usize = private.iter().map(|(_, fields)| fields.len()).sum();
        let minor = person.contact.get("minor").and_then(Json::as_bool) == Some(true);
        Ok(html(&PersonPage {
            id,
            gone: asked.private.is_empty() && !minor,
            facts: asked.private,
            inquiries: person.inquiries.iter().map(|record| inquiry(record, &when, &frame)).collect(),
            line: frame.with(
                "person-line",
                [
                    ("inquiries", &person.inquiries.len()),
                    ("records", &(person.records.len() + person.sites.len())),
                    ("photos", &person.photos().count()),
                ],
            ),
            private: frame.with("person-erase-about", [("fields", &fields), ("records", &private.len())]),
            sealed: match person.sealed {
                0 => String::new(),
                n => frame.with("person-sealed", [("n", &n)]),
            },
            shared: match person.shared_sites {
                0 => String::new(),
                n => frame.with("person-shared", [("n", &n)]),
            },
            frame,
        }))
    })
    .await
}

pub(super) async fn export(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
) -> Response {
    answer(desk, Some(who), Here::People, move |desk, frame| {
        let person = read(desk, &id)?;
        let json = serde_json::to_string_pretty(&person.export(desk.notebook()))
            .map_err(|_| Trouble::Inside(frame.say("person-file-failed")))?;
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
    /// What else went, and what is left to decide.
    pub(super) beside: Vec<String>,
}

/// What an erasure took beside the records, and what it leaves to a person, in sentences.
pub(super) fn beside(erased: Erased, frame: &Frame) -> Vec<String> {
    let said = [("erased-views", erased.views), ("erased-to-decide", erased.to_decide)];
    said.into_iter().filter(|(_, n)| *n > 0).map(|(name, n)| frame.with(name, [("n", &n)])).collect()
}

pub(super) async fn erase(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::People, move |desk, frame| {
        let person = read(desk, &id)?;
        if given.text("sure") != "yes" {
            return Err(Trouble::NotDone(frame.say("person-not-ticked")));
        }
        // Noted before it is done: it cannot be taken back.
        desk.people.note(&who, Act::ErasedPerson, Some(&person.contact.id.to_string()))?;
        let (touched, erased) = person.erase(&desk.office)?;
        let page = DonePage {
            head: frame.say("erased"),
            words: frame.with("erased-person", [("n", &touched)]),
            beside: beside(erased, &frame),
            frame,
        };
        Ok(Noted::on(html(&page), Vec::new()))
    })
    .await
}
