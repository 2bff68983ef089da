//! Where, and who asked: coarse unless somebody asks for more.

use dooryard_core::notebook::Record;
use serde_json::Value as Json;

use super::{
    gather::is_gone,
    words::{When, list, spaced, word},
};

/// How much is shown.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Shown {
    /// Township and public cell; nothing of the person.
    Coarse,
    /// Also what is private.
    Full,
}

/// Where an inquiry is.
#[derive(Clone, Default, PartialEq, Debug)]
pub struct Place {
    /// Lines that anyone at the office may see: (label, words).
    pub coarse: Vec<(&'static str, String)>,
    /// Private lines; empty unless asked for.
    pub private: Vec<(&'static str, String)>,
    /// There is something private to ask for.
    pub more: bool,
    /// An address was there and is erased.
    pub gone: bool,
}

impl Place {
    /// Says where a site is.
    pub fn of(site: Option<&Record>, shown: Shown) -> Self {
        let Some(site) = site else { return Self::default() };
        let mut coarse = Vec::new();
        let mut add = |label, words: Option<String>| coarse.extend(words.map(|w| (label, w)));
        add("Township", site.text("township").map(township));
        add("County", site.text("county").map(str::to_owned));
        add("Cell", site.text("cell").map(|c| format!("{c} (about 5 miles across)")));
        add("Ground", site.text("land_use").map(word));
        let hazards: Vec<String> = site
            .get("hazards")
            .and_then(Json::as_array)
            .into_iter()
            .flatten()
            .filter_map(Json::as_str)
            .map(spaced)
            .collect();
        add("Mind", (!hazards.is_empty()).then(|| list(&hazards)));
        let private = [
            ("Address", site.text("address").map(str::to_owned)),
            ("Point", site.get("point").and_then(point)),
            ("Height", site.text("elevation_m").map(feet)),
            ("Way in", site.text("access").map(str::to_owned)),
        ];
        let private: Vec<_> = private.into_iter().filter_map(|(label, words)| Some((label, words?))).collect();
        let more = !private.is_empty();
        Self {
            coarse,
            private: if shown == Shown::Full { private } else { Vec::new() },
            more,
            gone: is_gone(site, "address"),
        }
    }
}

/// Who asked.
#[derive(Clone, Default, PartialEq, Debug)]
pub struct Asked {
    /// Private lines; empty unless asked for.
    pub private: Vec<(&'static str, String)>,
    /// There is a contact to ask for.
    pub more: bool,
    /// A child asked: nothing is kept.
    pub minor: bool,
    /// A contact was there and is erased.
    pub gone: bool,
}

impl Asked {
    /// Says who asked.
    pub fn of(contact: Option<&Record>, shown: Shown, when: &When) -> Self {
        let Some(contact) = contact else { return Self::default() };
        let minor = contact.get("minor").and_then(Json::as_bool) == Some(true);
        let reach = |part: &str| Some(contact.get("reach")?.get(part)?.as_str()?.to_owned());
        let private = [
            ("Name", reach("name")),
            ("Telephone", reach("phone")),
            ("E-mail", reach("email")),
            ("Best by", reach("preferred").map(|w| word(&w))),
            ("Note", contact.text("note").map(str::to_owned)),
            ("Kept until", contact.text("expires").map(|d| when.day(d))),
        ];
        let private: Vec<_> = private.into_iter().filter_map(|(label, words)| Some((label, words?))).collect();
        let more = !private.is_empty() && !minor;
        Self {
            private: if shown == Shown::Full && !minor { private } else { Vec::new() },
            more,
            minor,
            gone: is_gone(contact, "reach"),
        }
    }
}

/// `Sedge township`.
pub fn township(name: &str) -> String {
    if name.to_lowercase().contains("township") { name.to_owned() } else { format!("{name} township") }
}

fn point(group: &Json) -> Option<String> {
    let (lat, lon) = (group.get("latitude")?.as_f64()?, group.get("longitude")?.as_f64()?);
    let north = if lat < 0.0 { "S" } else { "N" };
    let east = if lon < 0.0 { "W" } else { "E" };
    let mut said = format!("{:.5} {north}, {:.5} {east}", lat.abs(), lon.abs());
    if let Some(metres) = group.get("accuracy_m").and_then(Json::as_str) {
        said = format!("{said}, within {}", feet(metres));
    }
    if let Some(method) = group.get("method").and_then(Json::as_str) {
        said = format!(
            "{said}, from {}",
            match method {
                "phone" => "the phone",
                "photo" => "a photo",
                "pin" => "a pin set by hand",
                "map" => "a map",
                "survey" => "a survey",
                _ => "another way",
            }
        );
    }
    Some(said)
}

/// Metres as whole feet.
fn feet(metres: &str) -> String {
    metres.parse::<f64>().map_or_else(|_| format!("{metres} m"), |m| format!("{:.0} ft", m / 0.3048))
}

#[cfg(test)]
mod tests {
    use dooryard_core::record::Kind;
    use serde_json::json;

    use super::*;
    use crate::page::sample;

    #[test]
    fn address_and_point_are_shown_only_when_asked_for() {
        let site = sample::record(
            Kind::Site,
            &json!({
                "township": "Sedge", "county": "Larkspur", "cell": "LK-0304", "address": "1 Teal Lane",
                "point": {"latitude": 43.5, "longitude": -87.25, "datum": "EPSG:4326", "method": "phone", "accuracy_m": "6.1"},
            }),
        );
        let coarse = Place::of(Some(&site), Shown::Coarse);
        assert!(coarse.private.is_empty() && coarse.more);
        assert_eq!(coarse.coarse[0], ("Township", "Sedge township".into()));
        let full = Place::of(Some(&site), Shown::Full);
        assert_eq!(full.private[0].1, "1 Teal Lane");
        assert_eq!(full.private[1].1, "43.50000 N, 87.25000 W, within 20 ft, from the phone");
    }

    #[test]
    fn a_childs_contact_is_never_shown() {
        let contact = sample::record(Kind::Contact, &json!({"minor": true, "reach": {"name": "Somebody"}}));
        let asked = Asked::of(Some(&contact), Shown::Full, &When::at_ms(0));
        assert!(asked.private.is_empty() && !asked.more && asked.minor);
    }
}
