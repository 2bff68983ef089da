//! Keeps a walk in a notebook: inquiry, plant, visit and findings, each as soon as it is known.

use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
};

use anyhow::{Context, Result, bail};
use dooryard_core::{
    advice::Advice,
    ids::RecordId,
    key::{Observation, Pack, Status},
    notebook::{Notebook, Record},
    record::Kind,
};
use jiff::civil::Date;
use serde_json::{Map, Value as Json, json};

use super::session::{Answer, Session};
use crate::{
    command::notebook,
    ledger::stops,
    page::{When, Whole, observations, percent, reference},
};

/// Where a walk is kept.
pub struct Saver {
    notebook: Notebook,
    dir: PathBuf,
    observer: String,
    inquiry: Option<RecordId>,
    /// Stops that the record holds.
    stops: Vec<String>,
    /// Whether the inquiry was there before the walk: what it says of itself stays.
    resumed: bool,
    plant: Option<RecordId>,
    visit: Option<RecordId>,
    /// Records of each answer, by its serial.
    findings: BTreeMap<u32, Vec<RecordId>>,
}

/// What an inquiry holds already.
pub struct Resumed {
    /// The resident's own words.
    pub question: String,
    /// Id of its plant's host.
    pub host: Option<String>,
    /// Its findings.
    pub findings: Vec<Observation>,
    /// Stops that were shown.
    pub stops: Vec<String>,
}

impl Saver {
    /// Opens the notebook in a folder. Nothing is written before there is something to keep.
    ///
    /// # Errors
    /// A folder without a notebook.
    pub fn open(dir: &Path) -> Result<Self> {
        let notebook = notebook::open(dir)?;
        let (_, observer) = notebook.role().with_context(|| dir.display().to_string())?;
        Ok(Self {
            notebook,
            dir: dir.to_owned(),
            observer,
            inquiry: None,
            stops: Vec::new(),
            resumed: false,
            plant: None,
            visit: None,
            findings: BTreeMap::new(),
        })
    }

    /// Goes on with an inquiry: this walk becomes a new visit to its plant.
    ///
    /// # Errors
    /// No such inquiry; one with several plants.
    pub fn resume(&mut self, id: RecordId, pack: &Pack, date: Date) -> Result<Resumed> {
        let whole = Whole::read(&self.notebook, id)?;
        let plants = whole.of(Kind::Plant);
        let plant = match plants.as_slice() {
            [] => None,
            [one] => Some(*one),
            several => bail!(
                "the inquiry has {} plants, and a walk is about one. Save a new inquiry for the plant that is meant",
                several.len()
            ),
        };
        self.inquiry = Some(whole.inquiry.id);
        self.resumed = true;
        self.plant = plant.map(|p| p.id);
        self.stops = stops(whole.inquiry.get("stops")).into_iter().map(str::to_owned).collect();
        let host = plant.and_then(|p| p.text("host")).filter(|h| pack.host(h).is_some()).map(str::to_owned);
        let own: Vec<&Record> =
            whole.of(Kind::Finding).into_iter().filter(|f| reference(f, "plant") == self.plant).collect();
        // What nobody looked at is asked again.
        let (known, _) = observations(pack, host.as_deref().unwrap_or_default(), date, &own);
        let findings = known.findings.into_iter().filter(|f| f.status != Status::NotLooked).collect();
        let question = whole.inquiry.text("question").unwrap_or_default().to_owned();
        Ok(Resumed { question, host, findings, stops: self.stops.clone() })
    }

    /// The folder.
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// Number of the inquiry, once there was something to keep.
    pub fn inquiry(&self) -> Option<RecordId> {
        self.inquiry
    }

    /// Name of the office that the notebook belongs to; empty before it belongs to one.
    pub fn office(&self) -> String {
        self.notebook.card().map(|card| card.name).unwrap_or_default()
    }

    /// Brings the notebook to where the session is: what is new is saved, what was taken back is deleted.
    ///
    /// # Errors
    /// Of the notebook. What was saved before stays saved.
    pub fn sync(&mut self, s: &Session) -> Result<()> {
        if s.question.is_empty() && s.stops().is_empty() && s.host.is_none() {
            return Ok(());
        }
        let inquiry = self.keep_inquiry(s)?;
        let Some(host) = &s.host else { return Ok(()) };
        let plant = match self.plant {
            Some(plant) => plant,
            None => {
                let fields = json!({ "inquiry": inquiry.to_string(), "host": host });
                *self.plant.insert(self.write(Kind::Plant, None, fields)?)
            }
        };
        let visit = match self.visit {
            Some(visit) => visit,
            None => {
                let fields = json!({
                    "inquiry": inquiry.to_string(),
                    "start": When::now().instant_on(s.date),
                    "observer": self.observer,
                    "pack_version": s.pack.content_version(),
                    "app_version": concat!("dooryard ", env!("CARGO_PKG_VERSION")),
                });
                *self.visit.insert(self.write(Kind::Visit, None, fields)?)
            }
        };
        for answer in s.answers() {
            if !self.findings.contains_key(&answer.serial) {
                let records = self.keep_answer_of(answer, plant, visit, s.date)?;
                self.findings.insert(answer.serial, records);
            }
        }
        let serials: Vec<u32> = s.answers().iter().map(|a| a.serial).collect();
        let gone: Vec<u32> = self.findings.keys().copied().filter(|known| !serials.contains(known)).collect();
        for serial in gone {
            for record in self.findings.remove(&serial).unwrap_or_default() {
                self.notebook.delete(record)?;
            }
        }
        Ok(())
    }

    /// Keeps the causes that can be named as a first answer; the office looks at it.
    ///
    /// # Errors
    /// Of the notebook.
    pub fn keep_answer(&mut self, s: &Session, advice: &Advice) -> Result<()> {
        let (Some(inquiry), Some(plant)) = (self.inquiry, self.plant) else { return Ok(()) };
        let causes: Vec<Json> = advice
            .causes
            .iter()
            .map(|c| json!({ "cause": c.cause, "role": c.role, "word": c.word, "percent": percent(c.probability) }))
            .collect();
        let fields = json!({
            "inquiry": inquiry.to_string(),
            "plant": plant.to_string(),
            "causes": causes,
            "by": self.observer,
            "at": When::now().instant(),
            "pack_version": s.pack.content_version(),
        });
        self.write(Kind::Diagnosis, None, fields)?;
        Ok(())
    }

    /// Writes down when the visit ended.
    ///
    /// # Errors
    /// Of the notebook.
    pub fn finish(&mut self, date: Date) -> Result<()> {
        if let Some(visit) = self.visit {
            self.write(Kind::Visit, Some(visit), json!({ "end": When::now().instant_on(date) }))?;
        }
        Ok(())
    }

    fn keep_inquiry(&mut self, s: &Session) -> Result<RecordId> {
        let new: Vec<&String> = s.stops().iter().filter(|id| !self.stops.contains(id)).collect();
        let mut fields = Map::new();
        if !new.is_empty() {
            self.stops.extend(new.into_iter().cloned());
            fields.insert("stops".into(), json!(self.stops));
        }
        if self.inquiry.is_none() {
            fields.insert("opened".into(), json!(When::now().instant()));
            fields.insert("language".into(), json!(s.language.tag()));
            fields.insert("taken_by".into(), json!(self.observer));
        }
        if !self.resumed && !s.question.is_empty() {
            fields.insert("question".into(), json!(s.question));
        }
        if let (Some(id), true) = (self.inquiry, fields.is_empty()) {
            return Ok(id);
        }
        let id = self.write(Kind::Inquiry, self.inquiry, Json::Object(fields))?;
        Ok(*self.inquiry.insert(id))
    }

    fn keep_answer_of(&self, answer: &Answer, plant: RecordId, visit: RecordId, date: Date) -> Result<Vec<RecordId>> {
        let at = When::now().instant_on(date);
        let one = |observation: &Observation| {
            let mut fields = json!({
                "plant": plant.to_string(),
                "visit": visit.to_string(),
                "character": observation.character,
                "status": observation.status,
                "at": at,
            });
            if let Some(state) = &observation.state {
                fields["state"] = json!(state);
            }
            self.write(Kind::Finding, None, fields)
        };
        answer.observations().iter().map(one).collect()
    }

    fn write(&self, kind: Kind, id: Option<RecordId>, fields: Json) -> Result<RecordId> {
        let Json::Object(fields) = fields else { bail!("a record is a list of fields") };
        self.notebook.save(kind, id, &fields).with_context(|| self.dir.display().to_string())
    }
}
