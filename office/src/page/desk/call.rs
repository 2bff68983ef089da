//! A call as it is taken down: the fields of the form, what keeps them while they are typed, and the records they become.

use std::collections::BTreeMap;

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Query, Record},
    record::Kind,
};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value as Json, json};

use crate::{
    desk::Office,
    ledger::{every, stops},
    page::{gather::reference, guard::Given},
};

/// How the drafts of calls begin that somebody takes down, and of those that are over.
const UNDER_WAY: &str = "desk ";
const OVER: &str = "called ";

/// The fields of the form, with how many characters each may have. The answer to each safety question comes besides.
const FIELDS: [(&str, usize); 23] = [
    ("channel", 20),
    ("language", 10),
    ("words", 16_000),
    ("name", 400),
    ("phone", 100),
    ("email", 400),
    ("preferred", 20),
    ("minor", 3),
    ("reach_note", 2_000),
    ("township", 100),
    ("address", 1_000),
    ("host", 100),
    ("host_comfort", 1),
    ("affected", 7),
    ("present", 7),
    ("planted", 40),
    ("wish", 40),
    ("urgency", 20),
    ("may_visit", 3),
    ("may_cut", 3),
    ("may_photo", 3),
    ("may_count", 3),
    ("may_contact_back", 3),
];

/// What is asked whether the resident agrees to, as the registry names it.
pub(super) const CONSENTS: [&str; 5] = ["visit", "cut", "photo", "count", "contact_back"];

/// A call.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct Call {
    fields: BTreeMap<String, String>,
    /// Answers to the safety questions, `yes` or `no`, by id of the question.
    asked: BTreeMap<String, String>,
    /// Nobody is taking it down any more.
    pub(super) finished: bool,
}

/// What is wrong with a field, as the id of a sentence.
pub(super) type Problem = (&'static str, &'static str);

impl Call {
    /// As a form was sent. `questions` are the ids of the safety questions.
    pub(super) fn given<'q>(given: &Given, questions: impl Iterator<Item = &'q str>) -> Self {
        let fields = FIELDS.iter().map(|(name, _)| ((*name).to_owned(), given.text(name).to_owned()));
        let asked = questions.map(|id| (id.to_owned(), given.text(&format!("asked_{id}")).to_owned()));
        let asked = asked.filter(|(_, answer)| matches!(answer.as_str(), "yes" | "no")).collect();
        Self { fields: fields.filter(|(_, text)| !text.trim().is_empty()).collect(), asked, finished: false }
    }

    /// As the records of an inquiry say.
    pub(super) fn of_records(notebook: &Notebook, inquiry: &Record) -> Result<Self> {
        let mut call = Self::default();
        let linked = |field| reference(inquiry, field).and_then(|id| notebook.show(id).ok()).filter(|r| !r.hidden);
        let plant = first_plant(notebook, inquiry.id)?;
        call.copy(
            Some(inquiry),
            &[
                ("channel", "channel"),
                ("language", "language"),
                ("words", "question"),
                ("wish", "wish"),
                ("urgency", "urgency"),
            ],
        );
        call.copy(linked("site").as_ref(), &[("township", "township"), ("address", "address")]);
        call.copy(plant.as_ref(), &[("host", "host"), ("planted", "planted")]);
        for name in ["host_comfort", "affected", "present"] {
            let number = plant.as_ref().and_then(|p| p.get(name)).and_then(Json::as_u64);
            number.map(|n| call.fields.insert(name.into(), n.to_string()));
        }
        if let Some(contact) = linked("contact") {
            call.copy(Some(&contact), &[("reach_note", "note")]);
            for name in ["name", "phone", "email", "preferred"] {
                let text = contact.get("reach").and_then(|r| r.get(name)).and_then(Json::as_str);
                text.map(|t| call.fields.insert(name.into(), t.to_owned()));
            }
            if contact.get("minor").and_then(Json::as_bool) == Some(true) {
                call.fields.insert("minor".into(), "yes".into());
            }
        }
        for name in CONSENTS {
            if inquiry.get("consent").and_then(|c| c.get(name)).and_then(Json::as_bool) == Some(true) {
                call.fields.insert(format!("may_{name}"), "yes".into());
            }
        }
        Ok(call)
    }

    fn copy(&mut self, record: Option<&Record>, pairs: &[(&str, &str)]) {
        for (name, field) in pairs {
            let text = record.and_then(|r| r.text(field)).filter(|t| !t.is_empty());
            text.map(|t| self.fields.insert((*name).to_owned(), t.to_owned()));
        }
    }

    /// What stands in a field.
    pub(super) fn text(&self, name: &str) -> &str {
        self.fields.get(name).map_or("", String::as_str)
    }

    /// What a safety question was answered with.
    pub(super) fn answer(&self, question: &str) -> &str {
        self.asked.get(question).map_or("", String::as_str)
    }

    /// Takes over what was asked before, from another state of the same call.
    pub(super) fn with_answers_of(mut self, other: &Self) -> Self {
        self.asked.clone_from(&other.asked);
        self
    }

    /// Whether nothing was written down.
    pub(super) fn is_empty(&self) -> bool {
        self.asked.is_empty() && self.fields.keys().all(|name| ["channel", "language"].contains(&name.as_str()))
    }

    /// What cannot go into the book as it stands.
    pub(super) fn problems(&self) -> Vec<Problem> {
        let mut problems = Vec::new();
        for (name, most) in FIELDS {
            if self.text(name).chars().count() > most {
                problems.push((name, "desk-problem-long"));
            }
        }
        for name in ["affected", "present"] {
            if !self.text(name).is_empty() && self.number(name).is_none_or(|n| n > 1_000_000) {
                problems.push((name, "desk-problem-number"));
            }
        }
        if let (Some(affected), Some(present)) = (self.number("affected"), self.number("present"))
            && affected > present
        {
            problems.push(("affected", "desk-problem-more-than-all"));
        }
        problems
    }

    fn number(&self, name: &str) -> Option<u64> {
        self.text(name).trim().parse().ok()
    }

    /// Only what no record has room for: kept after the call.
    fn rest(&self) -> Self {
        Self { asked: self.asked.clone(), finished: true, ..Self::default() }
    }

    /// Keeps it as it is being typed.
    pub(super) fn keep_typed(&self, notebook: &Notebook, inquiry: RecordId) -> Result<()> {
        notebook.keep_draft(&key(UNDER_WAY, inquiry), Some(&self.as_text()))
    }

    /// As it was being typed, or what was kept once it was over; nothing where nobody took one.
    pub(super) fn typed(notebook: &Notebook, inquiry: RecordId) -> Result<Option<Self>> {
        let text = match notebook.draft(&key(UNDER_WAY, inquiry))? {
            None => notebook.draft(&key(OVER, inquiry))?,
            text => text,
        };
        Ok(text.and_then(|text| serde_json::from_str(&text).ok()))
    }

    /// Calls that somebody began and nobody finished, the one written to last first.
    pub(super) fn under_way(notebook: &Notebook) -> Result<Vec<(RecordId, Self)>> {
        let mut found = Vec::new();
        for draft in notebook.drafts(UNDER_WAY)? {
            let Some(id) = draft.strip_prefix(UNDER_WAY).and_then(|id| id.parse().ok()) else { continue };
            found.extend(Self::typed(notebook, id)?.filter(|call| !call.finished).map(|call| (id, call)));
        }
        Ok(found)
    }

    /// Closes it: the records hold it now.
    pub(super) fn finish(&self, notebook: &Notebook, inquiry: RecordId) -> Result<()> {
        notebook.keep_draft(&key(OVER, inquiry), Some(&self.rest().as_text()))?;
        notebook.keep_draft(&key(UNDER_WAY, inquiry), None)
    }

    fn as_text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// Writes it into the records of an inquiry. `raised` are the stops that stand, by id.
    pub(super) fn write(&self, office: &Office, inquiry: RecordId, raised: &[String]) -> Result<()> {
        let notebook = office.notebook();
        let record = notebook.show(inquiry)?;
        let mut fields = Map::new();
        for (name, field) in
            [("channel", "channel"), ("language", "language"), ("wish", "wish"), ("urgency", "urgency")]
        {
            self.put(name, field, &mut fields);
        }
        put_text(&record, "question", self.text("words"), &mut fields);
        let mut held: Vec<String> = stops(record.get("stops")).into_iter().map(str::to_owned).collect();
        let known = held.len();
        held.extend(raised.iter().filter(|id| !held.contains(id)).cloned().collect::<Vec<_>>());
        if held.len() > known {
            fields.insert("stops".into(), json!(held));
        }
        let agreed: Map<String, Json> = CONSENTS
            .iter()
            .map(|name| ((*name).to_owned(), json!(self.text(&format!("may_{name}")) == "yes")))
            .collect();
        if record.get("consent").is_some() || agreed.values().any(|yes| yes == &json!(true)) {
            fields.insert("consent".into(), Json::Object(agreed));
        }
        if let Some(contact) = self.write_contact(office, reference(&record, "contact"))? {
            fields.insert("contact".into(), json!(contact.to_string()));
        }
        let site = self.write_site(notebook, reference(&record, "site"))?;
        if let Some(site) = site {
            fields.insert("site".into(), json!(site.to_string()));
        }
        if !fields.is_empty() {
            notebook.save(Kind::Inquiry, Some(inquiry), &fields)?;
        }
        self.write_plant(notebook, inquiry, site)
    }

    fn put(&self, name: &str, field: &str, into: &mut Map<String, Json>) {
        if !self.text(name).is_empty() {
            into.insert(field.to_owned(), json!(self.text(name)));
        }
    }

    fn write_contact(&self, office: &Office, known: Option<RecordId>) -> Result<Option<RecordId>> {
        let notebook = office.notebook();
        let held = known.map(|id| notebook.show(id)).transpose()?;
        if self.text("minor") == "yes" {
            // A child asked: nothing else is kept, and what was typed before goes.
            let gone: Vec<&str> =
                ["reach", "note"].into_iter().filter(|f| held.as_ref().is_some_and(|r| r.get(f).is_some())).collect();
            if let (Some(id), false) = (known, gone.is_empty()) {
                office.erase_fields(id, &gone)?;
            }
            return super::save(notebook, Kind::Contact, known, json!({ "minor": true })).map(Some);
        }
        let mut fields = Map::new();
        let mut reach = Map::new();
        for name in ["phone", "email", "preferred"] {
            self.put(name, name, &mut reach);
        }
        let had = held.as_ref().is_some_and(|r| r.get("reach").is_some());
        if had || !reach.is_empty() || !self.text("name").is_empty() {
            reach.insert("name".into(), json!(self.text("name")));
            fields.insert("reach".into(), Json::Object(reach));
        }
        if let Some(held) = &held {
            put_text(held, "note", self.text("reach_note"), &mut fields);
            if held.get("minor").and_then(Json::as_bool) == Some(true) {
                fields.insert("minor".into(), json!(false));
            }
        } else {
            self.put("reach_note", "note", &mut fields);
        }
        if fields.is_empty() { Ok(known) } else { notebook.save(Kind::Contact, known, &fields).map(Some) }
    }

    fn write_site(&self, notebook: &Notebook, known: Option<RecordId>) -> Result<Option<RecordId>> {
        let held = known.map(|id| notebook.show(id)).transpose()?;
        let mut fields = Map::new();
        for name in ["township", "address"] {
            match &held {
                Some(held) => put_text(held, name, self.text(name), &mut fields),
                None => self.put(name, name, &mut fields),
            }
        }
        if fields.is_empty() { Ok(known) } else { notebook.save(Kind::Site, known, &fields).map(Some) }
    }

    fn write_plant(&self, notebook: &Notebook, inquiry: RecordId, site: Option<RecordId>) -> Result<()> {
        let held = first_plant(notebook, inquiry)?;
        let mut fields = Map::new();
        self.put("host", "host", &mut fields);
        self.put("planted", "planted", &mut fields);
        for name in ["host_comfort", "affected", "present"] {
            self.number(name).map(|n| fields.insert(name.to_owned(), json!(n)));
        }
        if fields.is_empty() {
            return Ok(());
        }
        fields.entry("host").or_insert_with(|| json!("unknown"));
        fields.insert("inquiry".into(), json!(inquiry.to_string()));
        site.map(|site| fields.insert("site".into(), json!(site.to_string())));
        notebook.save(Kind::Plant, held.map(|p| p.id), &fields).map(drop)
    }
}

/// A text that a record holds is written over also with nothing.
fn put_text(record: &Record, field: &str, text: &str, into: &mut Map<String, Json>) {
    if !text.is_empty() || record.text(field).is_some_and(|held| !held.is_empty()) {
        into.insert(field.to_owned(), json!(text));
    }
}

fn key(beginning: &str, inquiry: RecordId) -> String {
    format!("{beginning}{inquiry}")
}

/// The plant of an inquiry; of several the one written down first.
pub(super) fn first_plant(notebook: &Notebook, inquiry: RecordId) -> Result<Option<Record>> {
    let query = Query { kind: Some(Kind::Plant), refers_to: Some(inquiry), ..Query::default() };
    every(notebook, &query)?.into_iter().map(|row| row.id).min().map(|id| notebook.show(id)).transpose()
}
