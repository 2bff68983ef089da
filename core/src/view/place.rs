//! Where: how well that is known, in words, on a scene with earlier inquiries around it. A position is never needed to go on.

use std::collections::BTreeMap;

use serde_json::Value as Json;

use super::{
    act::Choice,
    ask::{AskField, FieldKind},
    near::{Near, near},
    outline::Outline,
    reader::View,
    scene::{MapScene, Spot, scene},
    stops::{self, StopCard},
};
use crate::{
    Result,
    ids::RecordId,
    inquiry::{LIVES, Whole},
    key::Blocks,
    notebook::Record,
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
    /// A pin can be set and moved on the scene: a position may be kept, and the scene is of a place.
    pub can_pin: bool,
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

pub(super) const FIELDS: [(&str, FieldKind, bool); 4] = [
    ("township", FieldKind::Line, false),
    ("address", FieldKind::Words, true),
    ("access", FieldKind::Words, true),
    ("land_use", FieldKind::Choice, false),
];
pub(super) const LAND_USES: [&str; 8] =
    ["home_yard", "street", "park", "school", "allotment", "farm", "business", "other"];
pub(super) const HAZARDS: [&str; 6] = ["dog", "wire", "slope", "traffic", "well", "other"];

pub(super) fn typed_key(inquiry: RecordId) -> String {
    format!("place {inquiry}")
}

pub(super) fn typed(view: &View<'_>, inquiry: RecordId) -> Result<BTreeMap<String, String>> {
    let kept = view.notebook.draft(&typed_key(inquiry))?;
    Ok(kept.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
}

/// Where an inquiry is, on a scene of this width and height. `here` is the newest fix of the phone: latitude, longitude, meters.
///
/// # Errors
/// [`crate::Error::NotFound`]; of the notebook.
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
    let held = held(view, &whole)?;
    Ok(PlaceScreen {
        inquiry,
        title: lines::title(&whole.of(Kind::Plant), site, view.telling()),
        saved: site.map_or_else(String::new, |s| view.saved(s)),
        halts: stops::unread(view, &whole)?,
        point: point_words(view, site),
        has_point: pin.is_some(),
        can_pin: held.is_empty() && (pin.is_some() || here.is_some() || !outline.rings.is_empty()),
        held,
        fields: FIELDS
            .iter()
            .filter(|(name, ..)| !(is_childs(&whole) && LIVES.contains(name)))
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
pub(super) fn point(site: &Record) -> Option<(f64, f64, f64)> {
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

/// A child asks.
pub(super) fn is_childs(whole: &Whole) -> bool {
    whole.contact.as_ref().and_then(|c| c.get("minor")?.as_bool()) == Some(true)
}

/// Why no position of an inquiry is kept: a stop that holds back what is known of a person.
pub(super) fn held(view: &View<'_>, whole: &Whole) -> Result<String> {
    let raised = crate::inquiry::raised(view.pack, whole, &view.when)?;
    let held = is_childs(whole) || stops::holds_back(&raised, Blocks::Contact);
    Ok(if held { view.say("phone-no-place-of-child") } else { String::new() })
}
