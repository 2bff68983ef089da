//! The plant: which kind and how sure, how many of how many, what is known of it.

use std::collections::BTreeMap;

use serde_json::{Map, Value as Json, json};

use super::{
    act::Choice,
    ask::{AskField, FieldKind},
    hosts::{HostGroup, hosts, recent},
    reader::{Units, View},
    stops::{self, StopCard},
};
use crate::{
    Code, Error, Result, ids::RecordId, inquiry::Whole, notebook::Record, record::Kind, tell::lines,
    words::sentence_case,
};

/// A plant of an inquiry.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlantScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// The plant; nothing before its first field was written.
    pub plant: Option<RecordId>,
    /// What it is called.
    pub title: String,
    /// `Saved on this phone 10:31 am`; empty before.
    pub saved: String,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// Kinds that were met here last, the newest first.
    pub recent: Vec<Choice>,
    /// All kinds of the pack by group, and that nobody knows it.
    pub hosts: Vec<HostGroup>,
    /// Scientific name of the chosen kind; empty where there is none.
    pub scientific: String,
    /// What to know about it; empty where there is nothing.
    pub note: String,
    /// The fields.
    pub fields: Vec<AskField>,
}

/// Height at which a trunk is measured where nobody says otherwise, centimeters.
const BREAST: &str = "137";
/// Centimeters of an inch.
const INCH: f64 = 2.54;

const FIELDS: [(&str, FieldKind); 11] = [
    ("host_comfort", FieldKind::Choice),
    ("affected", FieldKind::Number),
    ("present", FieldKind::Number),
    ("edible", FieldKind::Tick),
    ("cultivar", FieldKind::Line),
    ("planted", FieldKind::Line),
    ("trunk", FieldKind::Number),
    ("height", FieldKind::Choice),
    ("stock", FieldKind::Choice),
    ("tag", FieldKind::Line),
    ("host", FieldKind::Choice),
];

fn choices_of(field: &str) -> &'static [&'static str] {
    match field {
        "host_comfort" => &["1", "2", "3"],
        "height" => &["under_1_m", "1_to_3_m", "3_to_10_m", "over_10_m"],
        "stock" => &["balled", "container", "bare_root", "seed", "bulb", "unknown"],
        _ => &[],
    }
}

type Typed = BTreeMap<String, String>;

fn typed_key(inquiry: RecordId, plant: Option<RecordId>) -> String {
    plant.map_or_else(|| format!("plant {inquiry}"), |plant| format!("plant {plant}"))
}

fn typed(view: &View<'_>, inquiry: RecordId, plant: Option<RecordId>) -> Result<Typed> {
    let kept = view.notebook.draft(&typed_key(inquiry, plant))?;
    Ok(kept.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
}

/// The plant of an inquiry; a new one where `plant` is none.
///
/// # Errors
/// [`Error::NotFound`]; of the notebook.
pub fn plant(view: &View<'_>, inquiry: RecordId, plant: Option<RecordId>) -> Result<PlantScreen> {
    let whole = view.whole(inquiry)?;
    let record = plant.map(|id| of_whole(&whole, id)).transpose()?;
    let typed = typed(view, inquiry, plant)?;
    let chosen = record.and_then(|r| r.text("host")).unwrap_or_default();
    let host = view.pack.host(chosen);
    let text = |name: &str| typed.get(name).cloned().unwrap_or_else(|| stands(view, record, name));
    let fields = FIELDS.iter().filter(|(name, _)| *name != "host").map(|(name, kind)| AskField {
        name: (*name).to_owned(),
        label: label(view, name),
        kind: *kind,
        text: text(name),
        choices: choices_of(name).iter().map(|id| choice(view, name, id, &text(name))).collect(),
        problem: problem(view, name, &text(name), &text("present")),
        private: false,
    });
    Ok(PlantScreen {
        inquiry,
        plant,
        title: record.map_or_else(|| view.say("phone-plant-new"), |r| lines::plant_title(r, view.telling())),
        saved: record.map_or_else(String::new, |r| view.saved(r)),
        halts: stops::unread(view, &whole)?,
        recent: recent(view, chosen)?,
        hosts: hosts(view, chosen),
        scientific: host.map_or_else(String::new, |h| h.scientific.clone()),
        note: host.and_then(|h| h.note.as_ref()).map_or_else(String::new, |n| n.get(view.words.0).to_owned()),
        fields: fields.collect(),
    })
}

/// The plant of this number in an inquiry.
pub(super) fn of_whole(whole: &Whole, plant: RecordId) -> Result<&Record> {
    let found = whole.records.get(&plant).filter(|r| r.kind == Kind::Plant);
    found.ok_or_else(|| Error::NotFound(format!("a plant {plant} of this inquiry")))
}

fn label(view: &View<'_>, name: &str) -> String {
    let known = format!("desk-{}", name.replace('_', "-"));
    match name {
        "trunk" => view.say(if view.units == Units::Metric { "phone-trunk-cm" } else { "phone-trunk-in" }),
        _ if view.words.has(&known) => view.say(&known),
        _ => sentence_case(&view.telling().field(Kind::Plant, name)),
    }
}

fn choice(view: &View<'_>, name: &str, id: &str, chosen: &str) -> Choice {
    let text = match name {
        "host_comfort" => id.parse().ok().and_then(|level| view.telling().comfort(level)).unwrap_or_default(),
        _ => view.telling().word(id),
    };
    Choice { id: id.to_owned(), text: sentence_case(&text), chosen: id == chosen }
}

/// What stands in a field of the record, as the form has it.
fn stands(view: &View<'_>, record: Option<&Record>, name: &str) -> String {
    match record.and_then(|r| r.get(name)) {
        Some(Json::String(text)) => text.clone(),
        Some(Json::Number(n)) => n.to_string(),
        Some(Json::Bool(yes)) => if *yes { "yes" } else { "no" }.to_owned(),
        Some(Json::Object(trunk)) => {
            let cm: Option<f64> = trunk.get("diameter_cm").and_then(Json::as_str).and_then(|d| d.parse().ok());
            cm.map_or_else(String::new, |cm| plain(if view.units == Units::Metric { cm } else { cm / INCH }))
        }
        _ => String::new(),
    }
}

/// A decimal number without noughts at its end.
fn plain(number: f64) -> String {
    let text = format!("{number:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

fn problem(view: &View<'_>, name: &str, text: &str, present: &str) -> String {
    let id = match (name, fields_of(view, name, text)) {
        (_, Err(id)) => id,
        ("affected", Ok(_)) => match (text.trim().parse::<u64>(), present.trim().parse::<u64>()) {
            (Ok(some), Ok(all)) if some > all => "desk-problem-more-than-all",
            _ => return String::new(),
        },
        _ => return String::new(),
    };
    view.say(id)
}

/// What is written of a field; the name of a sentence where it cannot be.
fn fields_of(view: &View<'_>, name: &str, text: &str) -> std::result::Result<Json, &'static str> {
    let text = text.trim();
    let number = || text.parse::<u64>().ok().filter(|n| *n <= 1_000_000).ok_or("desk-problem-number");
    Ok(match name {
        _ if text.is_empty() => Json::Null,
        "affected" | "present" => json!(number()?),
        "host_comfort" => json!(number()?),
        "edible" => json!(text == "yes"),
        "trunk" => {
            let number: f64 = text.replace(',', ".").parse().map_err(|_| "phone-problem-decimal")?;
            let cm = if view.units == Units::Metric { number } else { number * INCH };
            if !(0.0..=2_000.0).contains(&cm) {
                return Err("phone-problem-decimal");
            }
            json!({ "diameter_cm": format!("{cm:.1}"), "at_height_cm": BREAST })
        }
        "planted" if text.chars().count() > 40 => return Err("desk-problem-long"),
        _ if text.chars().count() > 100 => return Err("desk-problem-long"),
        _ => json!(text),
    })
}

/// Keeps what stands in a field of a plant; makes the plant with its first one. While it is being typed (`left` is false) it is
/// kept beside the record. An empty number changes nothing that was written.
///
/// # Errors
/// `SCHEMA` for a field, a kind or a choice that there is not; [`Error::NotFound`]; as
/// [`crate::notebook::Notebook::save`].
pub fn write_plant(
    view: &View<'_>,
    inquiry: RecordId,
    plant: Option<RecordId>,
    field: &str,
    text: &str,
    left: bool,
) -> Result<PlantScreen> {
    let kind = FIELDS.iter().find(|(name, _)| *name == field).map(|(_, kind)| *kind);
    let kind = kind.ok_or_else(|| Error::refused(Code::Schema, format!("no field of a plant is called {field:?}")))?;
    let fits = match (field, kind) {
        ("host", _) => text == "unknown" || view.pack.host(text).is_some(),
        (_, FieldKind::Choice) => text.is_empty() || choices_of(field).contains(&text),
        (_, FieldKind::Tick) => matches!(text, "yes" | "no" | ""),
        _ => true,
    };
    if !fits {
        return Err(Error::refused(Code::Schema, format!("that is no choice of {field:?}")));
    }
    let whole = view.whole(inquiry)?;
    let record = plant.map(|id| of_whole(&whole, id)).transpose()?;
    let mut typed = typed(view, inquiry, plant)?;
    typed.insert(field.to_owned(), text.to_owned());
    let keep = |typed: &Typed| {
        let text = (!typed.is_empty()).then(|| serde_json::to_string(typed).unwrap_or_default());
        view.notebook.keep_draft(&typed_key(inquiry, plant), text.as_deref())
    };
    keep(&typed)?;
    let now = left || matches!(kind, FieldKind::Choice | FieldKind::Tick);
    let all = |name: &str| typed.get(name).cloned().unwrap_or_else(|| stands(view, record, name));
    if !now || !problem(view, field, text, &all("present")).is_empty() {
        return self::plant(view, inquiry, plant);
    }
    let value = fields_of(view, field, text).map_err(|_| Error::refused(Code::Schema, "a field of a plant"))?;
    let mut fields = Map::new();
    match value {
        Json::Null if matches!(kind, FieldKind::Line) && record.is_some_and(|r| r.get(field).is_some()) => {
            fields.insert(field.to_owned(), json!(""));
        }
        Json::Null => {}
        value => {
            fields.insert(field.to_owned(), value);
        }
    }
    if record.is_none() && !fields.is_empty() {
        fields.entry("host").or_insert_with(|| json!("unknown"));
        fields.insert("inquiry".into(), json!(inquiry.to_string()));
        if let Some(site) = &whole.site {
            fields.insert("site".into(), json!(site.id.to_string()));
        }
    }
    let saved = match fields.is_empty() {
        true => plant,
        false => Some(view.notebook.save(Kind::Plant, plant, &fields)?),
    };
    typed.remove(field);
    if let (None, Some(made)) = (plant, saved) {
        // What else was typed of the new plant is the plant's from now on.
        let text = (!typed.is_empty()).then(|| serde_json::to_string(&typed).unwrap_or_default());
        view.notebook.keep_draft(&typed_key(inquiry, Some(made)), text.as_deref())?;
        typed.clear();
    }
    keep(&typed)?;
    stops::record(view, inquiry)?;
    self::plant(view, inquiry, saved)
}
