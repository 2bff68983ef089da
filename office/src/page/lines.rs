//! The lines under the headings of an inquiry: what it is called, how it came, who said what, what was agreed.

use dooryard_core::notebook::Record;
use serde_json::Value as Json;

use super::{
    names::Names,
    place,
    words::{When, comfort, count, list, sentence_case, spaced, word},
};

/// `Maple; Oak, Harrow township`: names of hosts may hold commas of their own.
pub fn title(plants: &[&Record], site: Option<&Record>, names: &Names) -> String {
    let mut hosts: Vec<String> = Vec::new();
    for plant in plants {
        let name = names.host(plant.text("host").unwrap_or_default());
        if !hosts.contains(&name) {
            hosts.push(name);
        }
    }
    let what = if hosts.is_empty() { "No plant written down yet".to_owned() } else { hosts.join("; ") };
    match site.and_then(|s| s.text("township")) {
        Some(township) => format!("{what}, {}", place::township(township)),
        None => what,
    }
}

/// How and when it came, who took it, where it stands.
pub fn line(inquiry: &Record, when: &When) -> String {
    let mut parts = Vec::new();
    if let Some(channel) = inquiry.text("channel") {
        parts.push(sentence_case(&word(channel)));
    }
    parts.extend(inquiry.text("opened").map(|at| when.full(at)));
    parts.extend(inquiry.text("taken_by").map(|by| format!("taken by {by}")));
    parts.push(inquiry.text("status").unwrap_or("open").to_owned());
    match inquiry.text("urgency") {
        Some("today") => parts.push("needs an answer today".into()),
        Some("this_week") => parts.push("needs an answer this week".into()),
        _ => {}
    }
    if let Some(outcome) = inquiry.text("outcome") {
        parts.push(format!("the plant: {}", spaced(outcome)));
    }
    if inquiry.hidden {
        parts.push("taken away; kept and not counted".into());
    }
    parts.join(" · ")
}

/// Whose words these are.
pub fn said_by(inquiry: &Record, when: &When) -> String {
    let mut by = "The resident".to_owned();
    if let Some(at) = inquiry.text("opened") {
        by = format!("{by}, {}", when.day(at));
    }
    if let Some(channel) = inquiry.text("channel") {
        by = format!(
            "{by}, {}",
            match channel {
                "phone" => "by telephone".into(),
                "email" => "by e-mail".into(),
                "clinic_table" => "at a clinic table".into(),
                "yard" => "in the yard".into(),
                "letter" => "by letter".into(),
                "school" => "at school".into(),
                other => spaced(other),
            }
        );
    }
    if inquiry.text("language") == Some("es") {
        by = format!("{by}, in Spanish");
    }
    match inquiry.text("wish") {
        Some(wish) => format!("{by}. {}.", sentence_case(&word(wish))),
        None => format!("{by}."),
    }
}

/// What the resident agreed to, and what not.
pub fn consent(group: Option<&Json>) -> String {
    let Some(parts) = group.and_then(Json::as_object) else {
        return "Nobody wrote down what the resident agreed to. Ask before a visit.".into();
    };
    let said = |yes: bool| -> Vec<String> {
        let agreed = parts.iter().filter(|(_, v)| v.as_bool() == Some(yes));
        let words = agreed.map(|(name, _)| match name.as_str() {
            "visit" => "a visit".into(),
            "cut" => "cutting a piece".into(),
            "photo" => "photos".into(),
            "count" => "being counted".into(),
            "contact_back" => "being contacted again".into(),
            other => spaced(other),
        });
        words.collect()
    };
    match (said(true), said(false)) {
        (yes, no) if no.is_empty() => format!("Agreed to {}.", list(&yes)),
        (yes, no) if yes.is_empty() => format!("Did not agree to {}.", list(&no)),
        (yes, no) => format!("Agreed to {}. Did not agree to {}.", list(&yes), list(&no)),
    }
}

/// One visit.
pub fn visit(visit: &Record, when: &When) -> String {
    let mut parts = vec![format!(
        "{} by {}",
        visit.text("start").map_or_else(|| "No day written down,".into(), |at| when.full(at)),
        visit.text("observer").unwrap_or("somebody")
    )];
    if let Some(n) = visit.get("minutes").and_then(Json::as_u64) {
        parts.push(count(n, "minute", "minutes"));
    }
    if let Some(n) = visit.get("plants_looked_at").and_then(Json::as_u64) {
        parts.push(format!("{} looked at", count(n, "plant", "plants")));
    }
    parts.extend(visit.text("protocol").map(|p| format!("protocol {p}")));
    parts.join(", ")
}

/// A plant's name on the page.
pub fn plant_title(plant: &Record, names: &Names) -> String {
    let host = names.host(plant.text("host").unwrap_or_default());
    match plant.text("tag") {
        Some(tag) => format!("{host}, {tag}"),
        None => host,
    }
}

/// What is known of a plant.
pub fn plant(plant: &Record, names: &Names) -> String {
    let int = |name: &str| plant.get(name).and_then(Json::as_u64);
    let mut parts = Vec::new();
    match (int("affected"), int("present")) {
        (Some(n), Some(of)) => parts.push(format!("{n} of {of} show it")),
        (Some(n), None) => parts.push(format!("{n} show it, nobody wrote down out of how many")),
        (None, Some(of)) => {
            parts.push(format!("{} there, nobody wrote down how many show it", count(of, "plant", "plants")))
        }
        (None, None) => parts.push("nobody wrote down how many show it".into()),
    }
    if let Some(sure) = plant.get("host_comfort").and_then(Json::as_i64).and_then(comfort) {
        parts.push(format!("host: {sure}"));
    }
    parts.extend(plant.text("scientific_name").map(str::to_owned));
    parts.extend(plant.text("cultivar").map(|c| format!("cultivar {c}")));
    parts.extend(plant.text("planted").map(|p| format!("planted {p}")));
    if plant.get("edible").and_then(Json::as_bool) == Some(true) {
        parts.push("somebody means to eat of it".into());
    }
    if names.hosts.is_empty() {
        parts.push("no pack here".into());
    }
    sentence_case(&parts.join(" · "))
}
