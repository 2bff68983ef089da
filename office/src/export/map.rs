//! Counts by coarse area as GeoJSON (RFC 7946): never a point, never a home.
//!
//! What the public reads has no count under five, and where a single hidden count could be reckoned from the others, the next
//! smallest is hidden with it.

use std::{
    collections::{BTreeMap, BTreeSet},
    io::Write,
    path::Path,
};

use dooryard_core::{Result, notebook::Summary, record::Kind};
use geojson::{Feature, FeatureCollection, Geometry, JsonObject, feature::Id};
use serde_json::{Value as Json, json};

use super::{
    Audience, Written,
    area::Area,
    case::Case,
    few::hidden,
    scope::Scope,
    tables::open_causes,
    whole::{whole, writing},
};
use crate::counts::{FEW, held};

/// What the map is counted by.
#[derive(Clone, PartialEq, Debug)]
pub enum By {
    /// Public cells of about five miles.
    Cell,
    /// Townships, with their outlines by name in small letters.
    Township(BTreeMap<String, Area>),
}

impl By {
    fn field(&self) -> &'static str {
        match self {
            Self::Cell => "cell",
            Self::Township(_) => "township",
        }
    }

    fn area(&self, name: &str) -> Option<Area> {
        match self {
            Self::Cell => Area::of_cell(name),
            Self::Township(outlines) => outlines.get(&name.to_lowercase()).cloned(),
        }
    }
}

/// What was counted in one area.
#[derive(Default)]
struct Tally {
    county: BTreeSet<String>,
    inquiries: u64,
    visits: u64,
    plants_looked_at: u64,
    answered: u64,
    hosts: BTreeMap<String, u64>,
    causes: BTreeMap<String, u64>,
}

/// Writes the map.
///
/// # Errors
/// `NO_SPACE`; of the stores. No half file is left.
pub fn write(scope: &Scope<'_>, out: &Path, by: &By) -> Result<Written> {
    let mut tallies: BTreeMap<String, Tally> = BTreeMap::new();
    scope.each(|case| {
        let name = case.site.and_then(|s| s.text(by.field())).unwrap_or_default().to_owned();
        tallies.entry(name).or_default().add(case, scope);
        Ok(())
    })?;
    let sizes: Vec<u64> = tallies.values().map(|t| t.inquiries).collect();
    let hide = if scope.audience == Audience::Public { hidden(&sizes) } else { vec![false; sizes.len()] };
    let features: Vec<Feature> =
        tallies.iter().zip(hide).map(|((name, tally), hide)| feature(name, tally, by, hide, scope)).collect();
    let mut about = scope.about("geojson", &json!({ "areas": features.len() }));
    about["counted_by"] = json!(by.field());
    if scope.audience == Audience::Public {
        about["hidden"] = json!(format!("Counts under {FEW}, and what would give them away, are left out: null."));
    }
    let mut members = JsonObject::new();
    members.insert("about".into(), about.clone());
    let collection = FeatureCollection { bbox: None, features, foreign_members: Some(members) };
    let text = serde_json::to_vec(&collection).map_err(writing)?;
    let ((), bytes) = whole(out, |file| file.write_all(&text).map_err(writing))?;
    Ok(Written { bytes, about })
}

impl Tally {
    fn add(&mut self, case: &Case<'_>, scope: &Scope<'_>) {
        self.county.extend(case.site.and_then(|s| s.text("county")).map(str::to_owned));
        self.inquiries += 1;
        let visits = case.of(Kind::Visit);
        self.visits += visits.len() as u64;
        let looked_at = |v: &&Summary| v.fields.get("plants_looked_at").and_then(Json::as_u64);
        self.plants_looked_at += visits.iter().filter_map(looked_at).sum::<u64>();
        let hosts: BTreeSet<&str> = case.of(Kind::Plant).into_iter().filter_map(|p| p.text("host")).collect();
        for host in hosts {
            *self.hosts.entry(host.to_owned()).or_default() += 1;
        }
        let diagnoses = case.of(Kind::Diagnosis);
        self.answered += u64::from(!diagnoses.is_empty());
        let causes: BTreeSet<&str> = diagnoses
            .into_iter()
            .flat_map(|d| open_causes(d, scope))
            .filter(|c| held(c))
            .filter_map(|c| c.get("cause")?.as_str())
            .collect();
        for cause in causes {
            *self.causes.entry(cause.to_owned()).or_default() += 1;
        }
    }
}

fn feature(name: &str, tally: &Tally, by: &By, hidden: bool, scope: &Scope<'_>) -> Feature {
    let least = if scope.audience == Audience::Public { FEW } else { 0 };
    let table = |counts: &BTreeMap<String, u64>, id: &str, said: &dyn Fn(&str) -> String, of: u64| -> Json {
        let told = counts.iter().filter(|(_, n)| !hidden && **n >= least);
        told.map(|(key, n)| json!({ id: key, "name": said(key), "inquiries": n, "of": of })).collect()
    };
    let told = |n: u64| if hidden { Json::Null } else { json!(n) };
    let counties: Vec<&str> = tally.county.iter().map(String::as_str).collect();
    let properties = json!({
        by.field(): if name.is_empty() { Json::Null } else { json!(name) },
        "county": counties.join("; "),
        "inquiries": told(tally.inquiries),
        "of": scope.out_of.written,
        "answered": if tally.answered < least { Json::Null } else { told(tally.answered) },
        "visits": if tally.visits < least { Json::Null } else { told(tally.visits) },
        "plants_looked_at": if tally.visits < least { Json::Null } else { told(tally.plants_looked_at) },
        "hosts": table(&tally.hosts, "host", &|id| scope.names.host(id), tally.inquiries),
        "causes": table(&tally.causes, "cause", &|id| scope.names.cause(id), tally.answered),
    });
    Feature {
        bbox: None,
        geometry: by.area(name).map(|area| Geometry::new(area.geometry())),
        id: (!name.is_empty()).then(|| Id::String(name.to_owned())),
        properties: properties.as_object().cloned(),
        foreign_members: None,
    }
}
