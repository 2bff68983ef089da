//! The lines under the headings of an inquiry: what it is called, how it came, who said what, what was agreed.

use serde_json::Value as Json;

use super::{place, say::Say};
use crate::{
    notebook::Record,
    words::{Argument, sentence_case},
};

/// `Maple; Oak, Harrow township`: names of hosts may hold commas of their own.
pub fn title(plants: &[&Record], site: Option<&Record>, say: Say<'_>) -> String {
    let mut hosts: Vec<String> = Vec::new();
    for plant in plants {
        let name = say.names.host(plant.text("host").unwrap_or_default());
        if !hosts.contains(&name) {
            hosts.push(name);
        }
    }
    let what = if hosts.is_empty() { say.say("inquiry-no-plant-yet") } else { hosts.join("; ") };
    match site.and_then(|s| s.text("township")) {
        Some(township) => format!("{what}, {}", place::township(township, say.words)),
        None => what,
    }
}

/// How and when it came, who took it, where it stands.
pub fn line(inquiry: &Record, say: Say<'_>) -> String {
    let mut parts = Vec::new();
    parts.extend(inquiry.text("channel").map(|channel| say.word(channel)));
    parts.extend(inquiry.text("opened").map(|at| say.when.full(at)));
    parts.extend(inquiry.text("taken_by").map(|by| say.words.with("inquiry-taken-by", [("who", &by)])));
    parts.push(say.word(inquiry.text("status").unwrap_or("open")));
    match inquiry.text("urgency") {
        Some("today") => parts.push(say.say("inquiry-urgent-today")),
        Some("this_week") => parts.push(say.say("inquiry-urgent-week")),
        _ => {}
    }
    if let Some(outcome) = inquiry.text("outcome") {
        parts.push(say.words.with("inquiry-outcome", [("outcome", &say.word(outcome))]));
    }
    if inquiry.hidden {
        parts.push(say.say("inquiry-taken-away"));
    }
    sentence_case(&parts.join(" · "))
}

/// Whose words these are.
pub fn said_by(inquiry: &Record, say: Say<'_>) -> String {
    let mut by = vec![say.say("inquiry-resident")];
    by.extend(inquiry.text("opened").map(|at| say.when.day(at)));
    by.extend(inquiry.text("channel").map(|channel| {
        let known = format!("inquiry-by-{channel}");
        if say.words.has(&known) { say.say(&known) } else { say.word(channel) }
    }));
    if inquiry.text("language") == Some("es") {
        by.push(say.say("inquiry-in-spanish"));
    }
    let by = by.join(", ");
    match inquiry.text("wish") {
        Some(wish) => format!("{by}. {}.", sentence_case(&say.word(wish))),
        None => format!("{by}."),
    }
}

/// What the resident agreed to, and what not.
pub fn consent(group: Option<&Json>, say: Say<'_>) -> String {
    let Some(parts) = group.and_then(Json::as_object) else {
        return say.say("inquiry-consent-unknown");
    };
    let said = |yes: bool| -> String {
        let agreed = parts.iter().filter(|(_, v)| v.as_bool() == Some(yes));
        say.list(&agreed.map(|(name, _)| say.consent(name)).collect::<Vec<_>>())
    };
    let (yes, no) = (said(true), said(false));
    let agreed = say.words.with("inquiry-agreed", [("what", &yes)]);
    let not = say.words.with("inquiry-not-agreed", [("what", &no)]);
    match (yes.is_empty(), no.is_empty()) {
        (_, true) => agreed,
        (true, false) => not,
        (false, false) => format!("{agreed} {not}"),
    }
}

/// One visit.
pub fn visit(visit: &Record, say: Say<'_>) -> String {
    let at = visit.text("start").map_or_else(|| say.say("inquiry-no-day"), |at| say.when.full(at));
    let who = visit.text("observer").map_or_else(|| say.say("inquiry-somebody"), str::to_owned);
    let given: [(&str, &dyn Argument); 2] = [("at", &at), ("who", &who)];
    let mut parts = vec![say.words.with("inquiry-visit", given)];
    let int = |name: &str| visit.get(name).and_then(Json::as_u64);
    parts.extend(int("minutes").map(|n| say.words.with("inquiry-minutes", [("n", &n)])));
    parts.extend(int("plants_looked_at").map(|n| say.words.with("inquiry-looked-at", [("n", &n)])));
    parts.extend(visit.text("protocol").map(|p| say.words.with("inquiry-protocol", [("protocol", &p)])));
    parts.extend(visit.text("pack_version").map(|p| say.words.with("inquiry-pack", [("pack", &p)])));
    parts.join(", ")
}

/// A plant's name on the page.
pub fn plant_title(plant: &Record, say: Say<'_>) -> String {
    let host = say.names.host(plant.text("host").unwrap_or_default());
    match plant.text("tag") {
        Some(tag) => format!("{host}, {tag}"),
        None => host,
    }
}

/// What is known of a plant.
pub fn plant(plant: &Record, say: Say<'_>) -> String {
    let int = |name: &str| plant.get(name).and_then(Json::as_u64);
    let mut parts = vec![match (int("affected"), int("present")) {
        (Some(n), Some(of)) => say.words.with("inquiry-show-it", [("n", &n), ("of", &of)]),
        (Some(n), None) => say.words.with("inquiry-show-it-of-unknown", [("n", &n)]),
        (None, Some(of)) => say.words.with("inquiry-present-only", [("n", &of)]),
        (None, None) => say.say("inquiry-count-unknown"),
    }];
    if let Some(sure) = plant.get("host_comfort").and_then(Json::as_i64).and_then(|level| say.comfort(level)) {
        parts.push(say.words.with("inquiry-host-sure", [("sure", &sure)]));
    }
    parts.extend(plant.text("scientific_name").map(str::to_owned));
    parts.extend(plant.text("cultivar").map(|c| say.words.with("inquiry-cultivar", [("cultivar", &c)])));
    parts.extend(plant.text("planted").map(|p| say.words.with("inquiry-planted", [("planted", &p)])));
    if plant.get("edible").and_then(Json::as_bool) == Some(true) {
        parts.push(say.say("inquiry-edible"));
    }
    if say.names.hosts.is_empty() {
        parts.push(say.say("inquiry-no-pack"));
    }
    sentence_case(&parts.join(" · "))
}
