//! The rows of the archive, one inquiry after the other.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{Result, ids::RecordId, key::Pack, notebook::Summary, record::Kind};
use jiff::civil::Date;
use serde_json::{Value as Json, json};

use super::{
    COARSE, Licence, PROTOCOL, WITHHELD,
    taxa::{Looked, Taxon, looked_for},
    terms::{EVENT, HUMBOLDT, MULTIMEDIA, OCCURRENCE, Sheet},
};
use crate::{
    counts::held,
    export::{
        area::Area,
        case::Case,
        columns::{Cell, day},
        scope::Scope,
        tables::open_causes,
        whole::Rows,
    },
    ledger::reference,
};

/// The archive as it grows.
pub struct Archive<'s> {
    pub(super) scope: &'s Scope<'s>,
    pack: &'s Pack,
    pub(super) licence: Licence,
    events: Rows,
    occurrences: Rows,
    efforts: Rows,
    pub(super) media: Rows,
    /// First and last day of a visit.
    pub days: Option<(Date, Date)>,
    without_visit: u64,
    not_living: u64,
}

impl<'s> Archive<'s> {
    /// An empty one.
    ///
    /// # Errors
    /// Of the file system.
    pub fn new(scope: &'s Scope<'s>, pack: &'s Pack, licence: Licence) -> Result<Self> {
        let rows = |sheet: &Sheet| Rows::new(&sheet.headings(), false);
        Ok(Self {
            scope,
            pack,
            licence,
            events: rows(&EVENT)?,
            occurrences: rows(&OCCURRENCE)?,
            efforts: rows(&HUMBOLDT)?,
            media: rows(&MULTIMEDIA)?,
            days: None,
            without_visit: 0,
            not_living: 0,
        })
    }

    /// How many rows each table has, and what has no row.
    pub fn counts(&self) -> Json {
        json!({
            "events": self.events.count, "occurrences": self.occurrences.count, "humboldt": self.efforts.count,
            "multimedia": self.media.count, "answers_without_a_visit": self.without_visit,
            "causes_that_are_no_living_thing": self.not_living,
        })
    }

    /// The tables.
    pub fn sheets(self) -> [(&'static Sheet, Rows); 4] {
        [(&EVENT, self.events), (&OCCURRENCE, self.occurrences), (&HUMBOLDT, self.efforts), (&MULTIMEDIA, self.media)]
    }

    /// Adds an inquiry. Gives its photos with their names in the archive, where `photos` are wanted.
    ///
    /// # Errors
    /// Of the stores.
    pub fn add(&mut self, case: &Case<'_>, photos: bool) -> Result<Vec<(Vec<u8>, String)>> {
        let mut visits = case.of(Kind::Visit);
        visits.sort_by_key(|v| (v.text("start").and_then(day), v.id));
        let present = self.present(case, &visits)?;
        for visit in &visits {
            self.event(case, visit)?;
            self.looks(case, visit, &present)?;
        }
        self.photos(case, &visits, photos)
    }

    fn event(&mut self, case: &Case<'_>, visit: &Summary) -> Result<()> {
        let on = visit.text("start").and_then(day);
        if let Some(on) = on {
            self.days = Some(self.days.map_or((on, on), |(first, last)| (first.min(on), last.max(on))));
        }
        let int = |field: &str| visit.fields.get(field).and_then(Json::as_u64).map(|n| n.to_string());
        let (minutes, plants) = (int("minutes"), int("plants_looked_at"));
        let effort = [minutes.map(|n| format!("{n} minutes")), plants.clone().map(|n| format!("{n} plants looked at"))];
        let place = |field: &str| case.site.and_then(|s| s.text(field)).unwrap_or_default().to_owned();
        let shape = Area::of_cell(&place("cell")).map(|area| area.wkt());
        let id = self.scope.ids.of(visit.id);
        self.events.add(safe([
            id.clone(),
            id,
            on.map(|d| d.to_string()).unwrap_or_default(),
            PROTOCOL.to_owned(),
            plants.clone().unwrap_or_default(),
            plants.map_or_else(String::new, |_| "plants".to_owned()),
            effort.into_iter().flatten().collect::<Vec<_>>().join("; "),
            "US".to_owned(),
            place("county"),
            place("township"),
            place("cell"),
            shape.clone().unwrap_or_default(),
            shape.map_or_else(String::new, |_| "EPSG:4326".to_owned()),
            format!("Dooryard scouting, {}", self.scope.office),
            self.licence.iri().to_owned(),
            self.scope.office.clone(),
            WITHHELD.to_owned(),
            COARSE.to_owned(),
        ]))
    }

    /// The living causes that the newest answer about each plant holds about even or likelier. Gives which, by plant; under no
    /// plant those of an answer about none in particular.
    fn present(&mut self, case: &Case<'_>, visits: &[&Summary]) -> Result<BTreeSet<(Option<RecordId>, String)>> {
        let newest_first = case.ledger.diagnoses.get(&case.inquiry.id).into_iter().flatten();
        let mut plants_done = BTreeSet::new();
        let mut found = BTreeSet::new();
        for diagnosis in newest_first.filter(|d| case.get(d.id).is_some()) {
            let plant = reference(diagnosis, "plant");
            if !plants_done.insert(plant) || plants_done.contains(&None) && plant.is_some() {
                continue;
            }
            let visit = visit_of(case, visits, plant);
            for cause in open_causes(diagnosis, self.scope).filter(|c| held(c)) {
                let Some(id) = cause.get("cause").and_then(Json::as_str) else { continue };
                let known = self.pack.cause(id);
                let Some(taxon) = known.and_then(Taxon::of) else {
                    self.not_living += 1;
                    continue;
                };
                found.insert((plant, id.to_owned()));
                let Some(visit) = visit else {
                    self.without_visit += 1;
                    continue;
                };
                self.occurrence(case, visit, plant, (id, &taxon), Said::Present(diagnosis, cause))?;
            }
        }
        Ok(found)
    }

    /// What one visit looked for and did not find, and its effort.
    fn looks(
        &mut self,
        case: &Case<'_>,
        visit: &Summary,
        present: &BTreeSet<(Option<RecordId>, String)>,
    ) -> Result<()> {
        let mut by_plant: BTreeMap<RecordId, Vec<&Summary>> = BTreeMap::new();
        for finding in case.of(Kind::Finding).into_iter().filter(|f| reference(f, "visit") == Some(visit.id)) {
            if let Some(plant) = reference(finding, "plant") {
                by_plant.entry(plant).or_default().push(finding);
            }
        }
        let (mut scope, mut absent, mut all_told) = (BTreeSet::new(), BTreeSet::new(), true);
        for (plant, findings) in by_plant {
            let host = case.get(plant).and_then(|p| p.text("host")).unwrap_or_default();
            for (at, looked) in looked_for(self.pack, host, &findings) {
                let Some(cause) = self.pack.causes.get(at) else { continue };
                let Some(taxon) = Taxon::of(cause) else { continue };
                let name = format!("{} ({})", taxon.scientific, cause.name.en);
                let is_present = [None, Some(plant)].into_iter().any(|p| present.contains(&(p, cause.id.clone())));
                scope.insert(name.clone());
                match looked {
                    Looked::NotThere(character, state) if !is_present => {
                        absent.insert(name);
                        let said = Said::Absent(&character, &state);
                        self.occurrence(case, visit, Some(plant), (&cause.id, &taxon), said)?;
                    }
                    Looked::SignSeen if !is_present => all_told = false,
                    _ => {}
                }
            }
        }
        let minutes = visit.fields.get("minutes").and_then(Json::as_u64);
        let join = |names: &BTreeSet<String>| names.iter().cloned().collect::<Vec<_>>().join(" | ");
        self.efforts.add(safe([
            self.scope.ids.of(visit.id),
            minutes.is_some().to_string(),
            minutes.map(|n| n.to_string()).unwrap_or_default(),
            minutes.map_or_else(String::new, |_| "minutes".to_owned()),
            join(&scope),
            if scope.is_empty() { String::new() } else { all_told.to_string() },
            (!absent.is_empty()).to_string(),
            join(&absent),
        ]))
    }

    fn occurrence(
        &mut self,
        case: &Case<'_>,
        visit: &Summary,
        plant: Option<RecordId>,
        (cause, taxon): (&str, &Taxon),
        said: Said<'_>,
    ) -> Result<()> {
        let ids = &self.scope.ids;
        let host = plant.and_then(|p| case.get(p)).and_then(|p| p.text("host")).and_then(|h| self.pack.host(h));
        let event = ids.of(visit.id);
        let plant_id = plant.map(|p| ids.of(p)).unwrap_or_default();
        let (number, status, remarks, identified) = match said {
            Said::Present(diagnosis, told) => {
                let part = told.get("role").and_then(Json::as_str).map(|r| format!("part in the trouble: {r}"));
                let number = format!("{}:{cause}", ids.of(diagnosis.id));
                (number, "present", part.unwrap_or_default(), identified(diagnosis, told))
            }
            Said::Absent(character, state) => {
                let (looked_at, sign) = self.scope.names.finding(character, Some(state));
                let remarks =
                    format!("Looked for its sign and did not find it: {looked_at}: {}", sign.unwrap_or_default());
                let none = [String::new(), String::new(), String::new(), String::new()];
                (format!("{event}:{plant_id}:{cause}"), "absent", remarks, none)
            }
        };
        let [qualifier, verified, on, basis] = identified;
        self.occurrences.add(safe([
            event,
            number,
            "HumanObservation".to_owned(),
            status.to_owned(),
            taxon.scientific.clone(),
            taxon.rank.to_owned(),
            taxon.kingdom.to_owned(),
            self.scope.names.cause(cause),
            format!("{}:{cause}", self.pack.id),
            host.map(|h| format!("host: {}", h.scientific)).unwrap_or_default(),
            plant_id,
            qualifier,
            verified,
            on,
            self.pack.content_version(),
            basis,
            remarks,
        ]))
    }
}

/// What is said of a living cause at a visit.
enum Said<'d> {
    /// A diagnosis holds it: (diagnosis, cause).
    Present(&'d Summary, &'d Json),
    /// Its sign was looked for and was not there: (character, state).
    Absent(&'d str, &'d str),
}

/// Qualifier, verification, day and basis of an identification.
fn identified(diagnosis: &Summary, cause: &Json) -> [String; 4] {
    let word = cause.get("word").and_then(Json::as_str).map(|w| w.replace('_', " "));
    let percent = cause.get("percent").and_then(Json::as_u64).map(|p| format!("{p} in 100"));
    let verified = match diagnosis.text("status") {
        Some("reviewed") => "educator_reviewed",
        Some("laboratory") => "laboratory_confirmed",
        Some("authority") => "authority_confirmed",
        _ => "volunteer_presumptive",
    };
    [
        word.into_iter().chain(percent).collect::<Vec<_>>().join(", "),
        verified.to_owned(),
        diagnosis.text("at").and_then(day).map(|d| d.to_string()).unwrap_or_default(),
        diagnosis.text("basis").map(|b| format!("rests on: {}", b.replace('_', " "))).unwrap_or_default(),
    ]
}

/// The last visit that looked at a plant; without a plant, or where none says so, the last visit.
pub(super) fn visit_of<'v>(case: &Case<'_>, visits: &[&'v Summary], plant: Option<RecordId>) -> Option<&'v Summary> {
    let looked = |visit: &&&Summary| {
        let mut findings = case.of(Kind::Finding).into_iter();
        plant.is_some() && findings.any(|f| reference(f, "plant") == plant && reference(f, "visit") == Some(visit.id))
    };
    visits.iter().rev().find(looked).or(visits.last()).copied()
}

/// One line each, and no formula.
pub(super) fn safe<const N: usize>(cells: [String; N]) -> [String; N] {
    cells.map(|text| {
        let line: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        Cell::Text(line).safe_text()
    })
}
