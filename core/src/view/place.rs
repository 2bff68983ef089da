//! Where: one fix with how good it is in words, a pin moved by hand on the scene, or a place by its words. A position is never
//! needed to go on.

use std::collections::BTreeMap;

use serde_json::{Value as Json, json};

use super::{
    act::Choice,
    ask::{AskField, FieldKind},
    outline::Outline,
    reader::View,
    records::{is_sealed, title},
    scene::{MapScene, Spot, direction, moved, offset, scene},
    stops::{self, StopCard},
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{Whole, save},
    key::Blocks,
    notebook::{Record, Summary},
    record::Kind,
    tell::lines,
    words::sentence_case,
};

/// Where an inquiry is.
#[derive(Clone, PartialEq, Debug)]
pub struct PlaceScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Plant and township.
    pub title: String,
    /// `Saved on this phone 10:31 am`; empty before anything was written.
    pub saved: String,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// Where it is and how well that is known, in words; that nobody said.
    pub point: String,
    /// A position is there.
    pub has_point: bool,
    /// Why no position is kept; empty where one may be.
    pub held: String,
    /// Township, address or landmark, way in, use of the ground.
    pub fields: Vec<AskField>,
    /// What a visitor must know.
    pub hazards: Vec<Choice>,
    /// Townships of the county.
    pub townships: Vec<String>,
    /// Earlier records near by, the nearest first.
    pub near: Vec<Near>,
    /// The scene.
    pub scene: MapScene,
}

/// An earlier record near by.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Near {
    /// Its inquiry.
    pub inquiry: RecordId,
    /// `0.3 mi northeast`
    pub way: String,
    /// Host and township.
    pub head: String,
    /// The day.
    pub day: String,
}

/// A fix of the phone, in words.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fix {
    /// How good it is: `Good: within 20 ft.`
    pub text: String,
    /// It is good enough to tell one yard from the next.
    pub good: bool,
    /// What would make it better; empty where it is good.
    pub advice: String,
}

/// Meters within which one yard is told from the next.
const YARD: f64 = 15.0;
/// Meters within which a street is.
const STREET: f64 = 60.0;
/// Meters within which a position says no more than a township does.
const TOWNSHIP: f64 = 1_000.0;
/// Milliseconds after which a fix is told to be old.
const OLD: i64 = 60_000;
/// Earlier records shown, at most, and how far off in meters.
const NEAR: (usize, f64) = (12, 3_200.0);

const FIELDS: [(&str, FieldKind, bool); 4] = [
    ("township", FieldKind::Line, false),
    ("address", FieldKind::Words, true),
    ("access", FieldKind::Words, true),
    ("land_use", FieldKind::Choice, false),
];
const LAND_USES: [&str; 8] = ["home_yard", "street", "park", "school", "allotment", "farm", "business", "other"];
const HAZARDS: [&str; 6] = ["dog", "wire", "slope", "traffic", "well", "other"];

/// What a fix of the phone is worth. `accuracy_m` is the radius in meters within which the phone is, as it says itself; `age_ms`
/// how long ago it was taken.
///
/// # Errors
/// `SCHEMA` for an accuracy that is none.
pub fn fix(view: &View<'_>, accuracy_m: f64, age_ms: i64) -> Result<Fix> {
    if !accuracy_m.is_finite() || accuracy_m < 0.0 {
        return Err(Error::refused(Code::Schema, "an accuracy that is none"));
    }
    let within = view.short_length(accuracy_m.max(1.0));
    let name = match accuracy_m {
        m if m <= YARD => "phone-fix-good",
        m if m <= STREET => "phone-fix-street",
        m if m <= TOWNSHIP => "phone-fix-coarse",
        _ => "phone-fix-none",
    };
    let old = age_ms > OLD;
    let good = accuracy_m <= YARD && !old;
    let mut text = view.with(name, [("within", &within)]);
    if old {
        text = format!("{text} {}", view.with("phone-fix-old", [("n", &(age_ms / 60_000))]));
    }
    Ok(Fix { text, good, advice: if good { String::new() } else { view.say("phone-fix-better") } })
}

fn typed_key(inquiry: RecordId) -> String {
    format!("place {inquiry}")
}

fn typed(view: &View<'_>, inquiry: RecordId) -> Result<BTreeMap<String, String>> {
    let kept = view.notebook.draft(&typed_key(inquiry))?;
    Ok(kept.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
}

/// Where an inquiry is, on a scene of this width and height. `here` is the newest fix of the phone: latitude, longitude, meters.
///
/// # Errors
/// [`Error::NotFound`]; of the notebook.
pub fn place(
    view: &View<'_>,
    inquiry: RecordId,
    size: (f32, f32),
    here: Option<(f64, f64, f64)>,
) -> Result<PlaceScreen> {
    let whole = view.whole(inquiry)?;
    let outline = Outline::of_folder(view.notebook.folder());
    let typed = typed(view, inquiry)?;
    let site = whole.site.as_ref();
    let text = |name: &str| {
        let held = || site.and_then(|s| s.text(name)).unwrap_or_default().to_owned();
        typed.get(name).cloned().unwrap_or_else(held)
    };
    let pin = site.and_then(point).map(|(lat, lon, accuracy_m)| Spot {
        latitude: lat,
        longitude: lon,
        accuracy_m,
        text: view.say("phone-pin"),
    });
    let here = here.map(|(latitude, longitude, accuracy_m)| {
        let text = view.say("phone-here");
        Spot { latitude, longitude, accuracy_m, text }
    });
    let near = pin.as_ref().or(here.as_ref()).map_or_else(|| Ok(Vec::new()), |spot| near(view, inquiry, spot))?;
    let spots: Vec<Spot> = near.iter().map(|(spot, _)| spot.clone()).collect();
    let hazards = site.and_then(|s| s.get("hazards")).and_then(Json::as_array).cloned().unwrap_or_default();
    let choice = |id: &&str, chosen: bool| Choice {
        id: (*id).to_owned(),
        text: sentence_case(&view.telling().word(id)),
        chosen,
    };
    Ok(PlaceScreen {
        inquiry,
        title: lines::title(&whole.of(Kind::Plant), site, view.telling()),
        saved: site.map_or_else(String::new, |s| view.saved(s)),
        halts: stops::unread(view, &whole)?,
        point: point_words(view, site),
        has_point: pin.is_some(),
        held: held(view, &whole)?,
        fields: FIELDS
            .iter()
            .map(|(name, kind, private)| AskField {
                name: (*name).to_owned(),
                label: view.say(&format!("phone-place-{}", name.replace('_', "-"))),
                kind: *kind,
                text: text(name),
                choices: match *name {
                    "land_use" => LAND_USES.iter().map(|id| choice(id, text("land_use") == *id)).collect(),
                    _ => Vec::new(),
                },
                problem: String::new(),
                private: *private,
            })
            .collect(),
        hazards: HAZARDS.iter().map(|id| choice(id, hazards.iter().any(|h| h == id))).collect(),
        townships: outline.townships.iter().map(|(name, _)| name.clone()).collect(),
        scene: scene(view, size, &outline, pin.as_ref(), here.as_ref(), &spots),
        near: near.into_iter().map(|(_, near)| near).collect(),
    })
}

/// Latitude, longitude and accuracy of a site.
fn point(site: &Record) -> Option<(f64, f64, f64)> {
    let group = site.get("point")?;
    let accuracy = group.get("accuracy_m").and_then(Json::as_str).and_then(|m| m.parse().ok()).unwrap_or(0.0);
    Some((group.get("latitude")?.as_f64()?, group.get("longitude")?.as_f64()?, accuracy))
}

fn point_words(view: &View<'_>, site: Option<&Record>) -> String {
    let Some(group) = site.and_then(|s| s.get("point")) else { return view.say("phone-no-point") };
    let by_hand = group.get("method").and_then(Json::as_str) == Some("pin");
    let accuracy = group.get("accuracy_m").and_then(Json::as_str).and_then(|m| m.parse::<f64>().ok());
    match (by_hand, accuracy) {
        (true, _) => view.say("phone-point-pin"),
        (false, Some(meters)) => view.with("phone-point-within", [("within", &view.short_length(meters))]),
        (false, None) => view.say("phone-point-known"),
    }
}

/// Why no position of an inquiry is kept: a stop that holds back what is known of a person.
fn held(view: &View<'_>, whole: &Whole) -> Result<String> {
    let raised = crate::inquiry::raised(view.pack, whole, &view.when)?;
    let minor = whole.contact.as_ref().and_then(|c| c.get("minor")?.as_bool()) == Some(true);
    let held = minor || stops::holds_back(&raised, Blocks::Contact);
    Ok(if held { view.say("phone-no-place-of-child") } else { String::new() })
}

/// Earlier inquiries around a place, the nearest first. What is under seal is not among them.
fn near(view: &View<'_>, own: RecordId, spot: &Spot) -> Result<Vec<(Spot, Near)>> {
    let middle = (spot.latitude, spot.longitude);
    let sites = view.notebook.sites_near(middle.0, middle.1, NEAR.1)?;
    let ids: Vec<RecordId> = sites.iter().map(|(row, ..)| row.id).collect();
    let referring = view.notebook.rows_referring(&ids)?;
    let mut inquiries: Vec<(f64, &Summary, &Summary, (f64, f64))> = Vec::new();
    for row in referring.iter().filter(|row| row.kind == Kind::Inquiry && !row.hidden && row.id != own) {
        let site = row.text("site").and_then(|id| id.parse::<RecordId>().ok());
        let Some((site, lat, lon)) = sites.iter().find(|(s, ..)| Some(s.id) == site) else { continue };
        let (east, north) = offset(middle, (*lat, *lon));
        inquiries.push((east.hypot(north), row, site, (*lat, *lon)));
    }
    inquiries.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.id.cmp(&b.1.id)));
    inquiries.truncate(NEAR.0 * 2);
    let ids: Vec<RecordId> = inquiries.iter().map(|(_, row, ..)| row.id).collect();
    let mut of: BTreeMap<RecordId, Vec<Summary>> = BTreeMap::new();
    for row in view.notebook.rows_referring(&ids)?.into_iter().filter(|row| !row.hidden) {
        if let Some(id) = row.text("inquiry").and_then(|id| id.parse().ok()) {
            of.entry(id).or_default().push(row);
        }
    }
    let told = inquiries.into_iter().filter_map(|(far, row, site, at)| {
        let own = of.get(&row.id).map_or(&[][..], Vec::as_slice);
        if far > NEAR.1 || is_sealed(row, own) {
            return None;
        }
        let head = title(view, own, Some(site));
        let day = row.text("opened").map_or_else(|| view.when.day_ms(row.changed_ms), |at| view.when.day(at));
        let spot = Spot { latitude: at.0, longitude: at.1, accuracy_m: 0.0, text: head.clone() };
        Some((spot, Near { inquiry: row.id, way: direction(view, middle, at), head, day }))
    });
    Ok(told.take(NEAR.0).collect())
}

/// Keeps a position: of a fix (`accuracy_m` its radius in meters), or of a pin where there is none. The township follows from it
/// where the outline says so and nobody wrote another.
///
/// # Errors
/// `FORBIDDEN_FIELD` where a child asks or a stop says so; `Invalid` for degrees that are none; as
/// [`crate::notebook::Notebook::save`].
pub fn set_place(
    view: &View<'_>,
    inquiry: RecordId,
    latitude: f64,
    longitude: f64,
    accuracy_m: Option<f64>,
) -> Result<()> {
    let whole = view.whole(inquiry)?;
    if !held(view, &whole)?.is_empty() {
        return Err(Error::refused(Code::ForbiddenField, "no position of this inquiry is kept"));
    }
    let round = |degrees: f64| (degrees * 1e7).round() / 1e7;
    let mut point = json!({
        "latitude": round(latitude), "longitude": round(longitude), "datum": "EPSG:4326",
        "method": if accuracy_m.is_some() { "phone" } else { "pin" },
    });
    if let Some(meters) = accuracy_m.filter(|m| m.is_finite()) {
        point["accuracy_m"] = json!(format!("{:.1}", meters.max(0.0)));
    }
    let mut fields = json!({ "point": point });
    let outline = Outline::of_folder(view.notebook.folder());
    let written = whole.site.as_ref().and_then(|s| s.text("township")).unwrap_or_default();
    if let (Some(name), true) = (outline.township_of(latitude, longitude), written.is_empty()) {
        fields["township"] = json!(name);
        fields["county"] = json!(outline.county);
    }
    write_site(view, &whole, fields)
}

/// Moves the pin to where a scene was touched, or by some meters from where it stands. The scene's own middle and scale say where
/// that is.
///
/// # Errors
/// As [`set_place`].
pub fn move_pin(view: &View<'_>, inquiry: RecordId, scene: &MapScene, x: f32, y: f32) -> Result<()> {
    let east = f64::from(x - scene.width / 2.0) * scene.meters;
    let north = f64::from(scene.height / 2.0 - y) * scene.meters;
    let (latitude, longitude) = moved((scene.latitude, scene.longitude), east, north);
    set_place(view, inquiry, latitude, longitude, None)
}

/// Moves the pin a step: meters to the east and to the north.
///
/// # Errors
/// [`Error::NotFound`] while there is no position; as [`set_place`].
pub fn nudge_pin(view: &View<'_>, inquiry: RecordId, east_m: f64, north_m: f64) -> Result<()> {
    let whole = view.whole(inquiry)?;
    let (lat, lon, _) =
        whole.site.as_ref().and_then(point).ok_or_else(|| Error::NotFound("a position to move".into()))?;
    let (latitude, longitude) = moved((lat, lon), east_m, north_m);
    set_place(view, inquiry, latitude, longitude, None)
}

fn write_site(view: &View<'_>, whole: &Whole, fields: Json) -> Result<()> {
    let known = whole.site.as_ref().map(|s| s.id);
    let site = save(view.notebook, Kind::Site, known, fields)?;
    if known.is_none() {
        save(view.notebook, Kind::Inquiry, Some(whole.inquiry.id), json!({ "site": site.to_string() }))?;
        for record in whole.records.values().filter(|r| matches!(r.kind, Kind::Plant | Kind::Visit)) {
            save(view.notebook, record.kind, Some(record.id), json!({ "site": site.to_string() }))?;
        }
    }
    Ok(())
}

/// Keeps what stands in a field of the place; `hazard` with one of the hazards sets or takes it. While it is being typed (`left` is
/// false) it is kept beside the record.
///
/// # Errors
/// `SCHEMA` for a field or a choice that there is not; as [`crate::notebook::Notebook::save`].
pub fn write_place(view: &View<'_>, inquiry: RecordId, field: &str, text: &str, left: bool) -> Result<()> {
    let whole = view.whole(inquiry)?;
    if field == "hazard" {
        if !HAZARDS.contains(&text) {
            return Err(Error::refused(Code::Schema, "that is no hazard"));
        }
        let held = whole.site.as_ref().and_then(|s| s.get("hazards")).and_then(Json::as_array).cloned();
        let mut hazards = held.unwrap_or_default();
        match hazards.iter().position(|h| h == text) {
            Some(at) => drop(hazards.remove(at)),
            None => hazards.push(json!(text)),
        }
        return write_site(view, &whole, json!({ "hazards": hazards }));
    }
    let known = FIELDS.iter().find(|(name, ..)| *name == field);
    let choice = known.is_some_and(|(_, kind, _)| *kind == FieldKind::Choice);
    if known.is_none() || (choice && !LAND_USES.contains(&text)) {
        return Err(Error::refused(Code::Schema, "that is nothing to say of a place"));
    }
    let mut typed = typed(view, inquiry)?;
    typed.insert(field.to_owned(), text.to_owned());
    let keep = |typed: &BTreeMap<String, String>| {
        let text = (!typed.is_empty()).then(|| serde_json::to_string(typed).unwrap_or_default());
        view.notebook.keep_draft(&typed_key(inquiry), text.as_deref())
    };
    keep(&typed)?;
    if left || choice {
        write_site(view, &whole, json!({ field: text.trim() }))?;
        typed.remove(field);
        keep(&typed)?;
    }
    Ok(())
}
