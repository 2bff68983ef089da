//! The records that a call becomes: only what was touched is written.

use serde_json::{Map, Value as Json, json};

use super::{CONSENTS, Call, first_plant, reference, save, stops};
use crate::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Record},
    record::Kind,
};

/// Makes fields of a record go.
pub type Forget<'f> = &'f dyn Fn(RecordId, &[&str]) -> Result<()>;

impl Call {
    /// Writes it into the records of an inquiry: the fields that were `touched`, by name, and no others, since writing a value
    /// again would settle what others wrote meanwhile. `raised` are the stops that stand, by id; `forget` makes fields of the
    /// contact and of the place go that must not be kept, because a child asked.
    ///
    /// # Errors
    /// As [`Notebook::save`]; of `forget`.
    pub fn write(
        &self,
        notebook: &Notebook,
        inquiry: RecordId,
        raised: &[String],
        touched: &dyn Fn(&str) -> bool,
        forget: Forget<'_>,
    ) -> Result<()> {
        let record = notebook.show(inquiry)?;
        let mut fields = Map::new();
        for name in ["channel", "language", "wish", "urgency"].into_iter().filter(|name| touched(name)) {
            self.put(name, name, &mut fields);
        }
        if touched("words") {
            put_text(&record, "question", self.text("words"), &mut fields);
        }
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
        let asked = CONSENTS.iter().any(|name| touched(&format!("may_{name}")));
        if asked && (record.get("consent").is_some() || agreed.values().any(|yes| yes == &json!(true))) {
            fields.insert("consent".into(), Json::Object(agreed));
        }
        let (contact, site) = (reference(&record, "contact"), reference(&record, "site"));
        let written = self.write_contact(notebook, contact, touched, forget)?;
        if let Some(new) = written.filter(|new| contact != Some(*new)) {
            fields.insert("contact".into(), json!(new.to_string()));
        }
        let written = self.write_site(notebook, inquiry, site, touched, forget)?;
        if let Some(new) = written.filter(|new| site != Some(*new)) {
            fields.insert("site".into(), json!(new.to_string()));
        }
        if !fields.is_empty() {
            notebook.save(Kind::Inquiry, Some(inquiry), &fields)?;
        }
        self.write_plant(notebook, inquiry, written, touched)
    }

    fn put(&self, name: &str, field: &str, into: &mut Map<String, Json>) {
        if !self.text(name).is_empty() {
            into.insert(field.to_owned(), json!(self.text(name)));
        }
    }

    fn write_contact(
        &self,
        notebook: &Notebook,
        known: Option<RecordId>,
        touched: &dyn Fn(&str) -> bool,
        forget: Forget<'_>,
    ) -> Result<Option<RecordId>> {
        let held = known.map(|id| notebook.show(id)).transpose()?;
        if self.text("minor") == "yes" {
            // A child asked: nothing else is kept, and what was typed before goes.
            let gone: Vec<&str> =
                ["reach", "note"].into_iter().filter(|f| held.as_ref().is_some_and(|r| r.get(f).is_some())).collect();
            if let (Some(id), false) = (known, gone.is_empty()) {
                forget(id, &gone)?;
            }
            return save(notebook, Kind::Contact, known, json!({ "minor": true })).map(Some);
        }
        let mut fields = Map::new();
        let mut reach = Map::new();
        for name in ["phone", "email", "preferred"] {
            self.put(name, name, &mut reach);
        }
        let had = held.as_ref().is_some_and(|r| r.get("reach").is_some());
        let asked = ["name", "phone", "email", "preferred"].into_iter().any(touched);
        if asked && (had || !reach.is_empty() || !self.text("name").is_empty()) {
            reach.insert("name".into(), json!(self.text("name")));
            fields.insert("reach".into(), Json::Object(reach));
        }
        match &held {
            Some(held) if touched("reach_note") => put_text(held, "note", self.text("reach_note"), &mut fields),
            None if touched("reach_note") => self.put("reach_note", "note", &mut fields),
            _ => {}
        }
        if touched("minor") && held.as_ref().and_then(|r| r.get("minor")?.as_bool()) == Some(true) {
            fields.insert("minor".into(), json!(false));
        }
        if fields.is_empty() { Ok(known) } else { notebook.save(Kind::Contact, known, &fields).map(Some) }
    }

    fn write_site(
        &self,
        notebook: &Notebook,
        inquiry: RecordId,
        known: Option<RecordId>,
        touched: &dyn Fn(&str) -> bool,
        forget: Forget<'_>,
    ) -> Result<Option<RecordId>> {
        let held = known.map(|id| notebook.show(id)).transpose()?;
        let mut fields = Map::new();
        let of_child = self.text("minor") == "yes";
        if let (true, Some(held)) = (of_child && touched("minor"), &held) {
            // Where a child lives goes, closer than the township; a place at which others are stays theirs.
            let gone: Vec<&str> = LIVES.into_iter().filter(|name| held.get(name).is_some()).collect();
            if !gone.is_empty() && is_shared(notebook, held.id, inquiry)? {
                return save(notebook, Kind::Site, None, json!({ "township": self.text("township") })).map(Some);
            }
            if !gone.is_empty() {
                forget(held.id, &gone)?;
            }
        }
        let names = ["township", "address"].into_iter().filter(|name| !(of_child && LIVES.contains(name)));
        for name in names.filter(|name| touched(name)) {
            match &held {
                Some(held) => put_text(held, name, self.text(name), &mut fields),
                None => self.put(name, name, &mut fields),
            }
        }
        if fields.is_empty() { Ok(known) } else { notebook.save(Kind::Site, known, &fields).map(Some) }
    }

    fn write_plant(
        &self,
        notebook: &Notebook,
        inquiry: RecordId,
        site: Option<RecordId>,
        touched: &dyn Fn(&str) -> bool,
    ) -> Result<()> {
        let held = first_plant(notebook, inquiry)?;
        let mut fields = Map::new();
        for name in ["host", "planted"].into_iter().filter(|name| touched(name)) {
            self.put(name, name, &mut fields);
        }
        for name in ["host_comfort", "affected", "present"].into_iter().filter(|name| touched(name)) {
            self.number(name).map(|n| fields.insert(name.to_owned(), json!(n)));
        }
        let Some(held) = held else {
            if fields.is_empty() {
                return Ok(());
            }
            fields.entry("host").or_insert_with(|| json!("unknown"));
            fields.insert("inquiry".into(), json!(inquiry.to_string()));
            site.map(|site| fields.insert("site".into(), json!(site.to_string())));
            return notebook.save(Kind::Plant, None, &fields).map(drop);
        };
        if let Some(site) = site.filter(|site| reference(&held, "site") != Some(*site)) {
            fields.insert("site".into(), json!(site.to_string()));
        }
        if fields.is_empty() { Ok(()) } else { notebook.save(Kind::Plant, Some(held.id), &fields).map(drop) }
    }
}

/// What says of a place where somebody lives, closer than the township.
pub const LIVES: [&str; 3] = ["address", "access", "point"];

/// Another inquiry than this is at that place.
///
/// # Errors
/// Of SQLite.
pub fn is_shared(notebook: &Notebook, place: RecordId, inquiry: RecordId) -> Result<bool> {
    let there = notebook.rows_referring(&[place])?;
    Ok(there.iter().any(|row| row.kind == Kind::Inquiry && !row.hidden && row.id != inquiry))
}

/// A text that a record holds is written over also with nothing.
fn put_text(record: &Record, field: &str, text: &str, into: &mut Map<String, Json>) {
    if !text.is_empty() || record.text(field).is_some_and(|held| !held.is_empty()) {
        into.insert(field.to_owned(), json!(text));
    }
}
