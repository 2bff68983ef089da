//! Where, and who asked: coarse unless somebody asks for more.

use serde_json::Value as Json;

use super::say::Say;
use crate::{
    inquiry::is_gone,
    notebook::Record,
    words::{Argument, Words},
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
    pub coarse: Vec<(String, String)>,
    /// Private lines; empty unless asked for.
    pub private: Vec<(String, String)>,
    /// There is something private to ask for.
    pub more: bool,
    /// An address was there and is erased.
    pub gone: bool,
}

/// Lines that have words, each with its label.
fn labelled<const N: usize>(lines: [(&str, Option<String>); N], say: Say<'_>) -> Vec<(String, String)> {
    lines.into_iter().filter_map(|(label, words)| Some((say.say(label), words?))).collect()
}

impl Place {
    /// Says where a site is.
    pub fn of(site: Option<&Record>, shown: Shown, say: Say<'_>) -> Self {
        let Some(site) = site else { return Self::default() };
        let hazards = site.get("hazards").and_then(Json::as_array).into_iter().flatten().filter_map(Json::as_str);
        let hazards: Vec<String> = hazards.map(|id| say.word(id)).collect();
        let coarse = [
            ("inquiry-township", site.text("township").map(|name| township(name, say.words))),
            ("inquiry-county", site.text("county").map(str::to_owned)),
            ("inquiry-cell", site.text("cell").map(|cell| say.words.with("inquiry-cell-about", [("cell", &cell)]))),
            ("inquiry-ground", site.text("land_use").map(|use_| say.word(use_))),
            ("inquiry-mind", (!hazards.is_empty()).then(|| say.list(&hazards))),
        ];
        let private = [
            ("inquiry-address", site.text("address").map(str::to_owned)),
            ("inquiry-point", site.get("point").and_then(|group| point(group, say))),
            ("inquiry-height", site.text("elevation_m").map(|m| feet(m, say))),
            ("inquiry-way-in", site.text("access").map(str::to_owned)),
        ];
        let private = labelled(private, say);
        let more = !private.is_empty();
        Self {
            coarse: labelled(coarse, say),
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
    pub private: Vec<(String, String)>,
    /// There is a contact to ask for.
    pub more: bool,
    /// A child asked: nothing is kept.
    pub minor: bool,
    /// A contact was there and is erased.
    pub gone: bool,
}

impl Asked {
    /// Says who asked.
    pub fn of(contact: Option<&Record>, shown: Shown, say: Say<'_>) -> Self {
        let Some(contact) = contact else { return Self::default() };
        let minor = contact.get("minor").and_then(Json::as_bool) == Some(true);
        let reach = |part: &str| Some(contact.get("reach")?.get(part)?.as_str()?.to_owned());
        let private = [
            ("inquiry-name", reach("name")),
            ("inquiry-phone", reach("phone")),
            ("inquiry-email", reach("email")),
            ("inquiry-best-by", reach("preferred").map(|w| say.word(&w))),
            ("inquiry-note", contact.text("note").map(str::to_owned)),
            ("inquiry-kept-until", contact.text("expires").map(|d| say.when.day(d))),
        ];
        let private = labelled(private, say);
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
pub fn township(name: &str, words: Words) -> String {
    if name.to_lowercase().contains("township") {
        name.to_owned()
    } else {
        words.with("inquiry-township-of", [("name", &name)])
    }
}

fn point(group: &Json, say: Say<'_>) -> Option<String> {
    let (lat, lon) = (group.get("latitude")?.as_f64()?, group.get("longitude")?.as_f64()?);
    let north = say.say(if lat < 0.0 { "inquiry-south" } else { "inquiry-north" });
    let east = say.say(if lon < 0.0 { "inquiry-west" } else { "inquiry-east" });
    let mut said = vec![format!("{:.5} {north}, {:.5} {east}", lat.abs(), lon.abs())];
    if let Some(metres) = group.get("accuracy_m").and_then(Json::as_str) {
        said.push(say.words.with("inquiry-within", [("feet", &feet(metres, say))]));
    }
    if let Some(method) = group.get("method").and_then(Json::as_str) {
        let known = format!("inquiry-point-{method}");
        said.push(say.say(if say.words.has(&known) { &known } else { "inquiry-point-other" }));
    }
    Some(said.join(", "))
}

/// Metres as whole feet.
fn feet(metres: &str, say: Say<'_>) -> String {
    let Ok(m) = metres.parse::<f64>() else { return format!("{metres} m") };
    let given: [(&str, &dyn Argument); 1] = [("feet", &format!("{:.0}", m / 0.3048))];
    say.words.with("inquiry-feet", given)
}

#[cfg(test)]
mod tests {
    use crate::record::Kind;
    use serde_json::json;

    use super::*;
    use crate::{
        tell::{Names, tests as sample},
        words::When,
    };

    fn told<T>(tell: impl FnOnce(Say<'_>) -> T) -> T {
        tell(Say { names: &Names::default(), when: &When::at_ms(0), words: Words::default() })
    }

    #[test]
    fn address_and_point_are_shown_only_when_asked_for() {
        let site = sample::record(
            Kind::Site,
            &json!({
                "township": "Sedge", "county": "Larkspur", "cell": "LK-0304", "address": "1 Teal Lane",
                "point": {"latitude": 43.5, "longitude": -87.25, "datum": "EPSG:4326", "method": "phone", "accuracy_m": "6.1"},
            }),
        );
        let coarse = told(|say| Place::of(Some(&site), Shown::Coarse, say));
        assert!(coarse.private.is_empty() && coarse.more);
        assert_eq!(coarse.coarse[0], ("Township".into(), "Sedge township".into()));
        let full = told(|say| Place::of(Some(&site), Shown::Full, say));
        assert_eq!(full.private[0].1, "1 Teal Lane");
        assert_eq!(full.private[1].1, "43.50000 N, 87.25000 W, within 20 ft, from the phone");
    }

    #[test]
    fn a_childs_contact_is_never_shown() {
        let contact = sample::record(Kind::Contact, &json!({"minor": true, "reach": {"name": "Somebody"}}));
        let asked = told(|say| Asked::of(Some(&contact), Shown::Full, say));
        assert!(asked.private.is_empty() && !asked.more && asked.minor);
    }
}
