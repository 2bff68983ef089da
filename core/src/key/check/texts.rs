//! Texts: what has no translation, and what must not be in any.

use super::{Findings, Kind};
use crate::key::{Pack, Source, Text};

/// Rates, kitchen measures and marks of brands: what to spray and how much of it stands on the label alone. Words are
/// compared in lower case; a mark may stand anywhere.
const WORDS: [&str; 17] = [
    "tsp",
    "tbsp",
    "teaspoon",
    "teaspoons",
    "tablespoon",
    "tablespoons",
    "oz",
    "ppm",
    "ounce",
    "ounces",
    "onza",
    "onzas",
    "cucharada",
    "cucharadas",
    "cucharadita",
    "cucharaditas",
    "ml",
];
const PHRASES: [&str; 8] =
    ["per gallon", "per acre", "per 1,000 square", "por galón", "por acre", "por litro", "per liter", "per quart"];
const MARKS: [char; 3] = ['®', '™', '©'];

pub(super) fn check(pack: &Pack, source: &Source, findings: &mut Findings) {
    for (place, texts) in texts(pack) {
        let missing: Vec<&str> = texts.iter().filter(|(_, t)| t.es.trim().is_empty()).map(|(part, _)| *part).collect();
        if !missing.is_empty() {
            findings.warning(Kind::NoTranslation, &place, format!("no Spanish: {}", missing.join(", ")));
        }
        for (part, text) in texts {
            for word in [&text.en, &text.es].into_iter().flat_map(|text| forbidden(text)) {
                findings.error(Kind::ForbiddenWord, &place, format!("{part}: {word:?}"));
            }
        }
    }
    for id in source.es.causes.keys().filter(|id| pack.cause(id).is_none()) {
        findings.warning(Kind::TranslationOfNothing, id, "no such cause");
    }
    for id in source.es.hosts.keys().filter(|id| pack.host(id).is_none()) {
        findings.warning(Kind::TranslationOfNothing, id, "no such host");
    }
}

/// What stands in a text and must not.
fn forbidden(text: &str) -> Vec<String> {
    let text = text.to_lowercase();
    let words = || text.split(|c: char| !c.is_alphanumeric());
    let mut found: Vec<String> =
        WORDS.iter().filter(|w| words().any(|word| word == **w)).map(|w| (*w).into()).collect();
    found.extend(PHRASES.iter().filter(|p| text.contains(**p)).map(|p| (*p).into()));
    found.extend(MARKS.iter().filter(|m| text.contains(**m)).map(|m| m.to_string()));
    found
}

/// Every text that people read, by the id of what it belongs to.
fn texts(pack: &Pack) -> Vec<(String, Vec<(&str, &Text)>)> {
    let mut all = vec![(pack.id.clone(), vec![("title", &pack.title)])];
    for c in &pack.characters {
        let mut texts = vec![("label", &c.label), ("ask", &c.ask), ("how", &c.how)];
        texts.extend(c.states.iter().map(|s| (s.id.as_str(), &s.text)));
        all.push((c.id.clone(), texts));
    }
    for h in &pack.hosts {
        let note = h.note.as_ref().map(|note| ("note", note));
        all.push((h.id.clone(), [("name", &h.name)].into_iter().chain(note).collect()));
    }
    for c in &pack.causes {
        let texts = [("name", &c.name), ("cause", &c.origin), ("confirm", &c.confirm), ("weather", &c.weather)];
        all.push((c.id.clone(), texts.into_iter().chain([("do", &c.steps), ("dont", &c.cautions)]).collect()));
    }
    for s in &pack.stops {
        all.push((s.id.clone(), vec![("title", &s.title), ("text", &s.text)]));
    }
    for q in &pack.questions {
        all.push((q.id.clone(), vec![("ask", &q.ask)]));
    }
    let guidance = &pack.guidance;
    all.extend(guidance.acts.iter().map(|a| (a.id.clone(), vec![("text", &a.text)])));
    all.extend(guidance.blocks.iter().map(|b| (b.id.clone(), vec![("text", &b.text)])));
    for g in &guidance.groups {
        let later = g.follow_up.as_ref().map(|f| ("follow_up", &f.ask));
        all.push((g.id.clone(), [("name", &g.name)].into_iter().chain(later).collect()));
    }
    all
}
