//! What the page of an inquiry speaks with, and the registry's own words: kinds, fields, words of its lists.

use serde_json::Value as Json;

use super::names::Names;
use crate::{
    inquiry::named_causes,
    key::{ProbabilityWord, stop_id},
    record::{Kind, Type, fields_of},
    words::{Argument, When, Words, number, sentence_case, spaced},
};

/// Names of the pack, times, and the language of whoever reads.
#[derive(Clone, Copy)]
pub struct Say<'a> {
    /// What the pack calls things.
    pub names: &'a Names,
    /// Times, as seen from now.
    pub when: &'a When,
    /// Sentences.
    pub words: Words,
}

/// Letters shown of a text where it is told in a sentence.
const SHORT: usize = 120;

impl Say<'_> {
    /// A sentence.
    pub fn say(&self, name: &str) -> String {
        self.words.say(name)
    }

    /// `a`, `a and b`, `a, b and c`.
    pub fn list(&self, items: &[String]) -> String {
        match items {
            [] => String::new(),
            [one] => one.clone(),
            [most @ .., last] => self.words.with("inquiry-list-last", [("most", &most.join(", ")), ("last", last)]),
        }
    }

    /// `a, b, and 3 others`.
    pub fn and_others(&self, some: &str, more: u64) -> String {
        let others = self.words.with("inquiry-others", [("n", &more)]);
        self.words.with("inquiry-and-others", [("some", &some), ("others", &others)])
    }

    /// `early blight: likely, 60 in 100`.
    pub fn cause(&self, id: &str, percent: Option<u8>) -> String {
        match percent {
            Some(p) => format!("{}: {}", self.names.cause(id), self.sure(None, p)),
            None => self.names.cause(id),
        }
    }

    /// `likely, 60 in 100`, with the word that somebody chose, or the one of the scale.
    pub fn sure(&self, word: Option<&str>, percent: u8) -> String {
        let scale = || ProbabilityWord::of(f64::from(percent) / 100.0, true).text(self.words.0).to_owned();
        let word = word.map_or_else(scale, |word| self.word(word));
        let given: [(&str, &dyn Argument); 2] = [("word", &word), ("n", &percent)];
        self.words.with("inquiry-sure", given)
    }

    /// What a word of the registry says; one of a newer registry as it is written.
    pub fn word(&self, id: &str) -> String {
        word(self.words, id)
    }

    /// What a field is called.
    pub fn field(&self, kind: Kind, name: &str) -> String {
        let own = format!("registry-field-{}-{name}", kind.name());
        if self.words.has(&own) { self.say(&own) } else { self.known(&format!("registry-field-{name}"), name) }
    }

    /// `a visit`, `23 findings`.
    pub fn kind(&self, kind: Kind, n: u64) -> String {
        self.words.with(&format!("registry-kind-{}", kind.name()), [("n", &n)])
    }

    /// A part of the plant, by its id.
    pub fn part(&self, id: &str) -> String {
        self.known(&format!("registry-part-{id}"), id)
    }

    /// What a resident agreed to, by the part of the consent.
    pub fn consent(&self, part: &str) -> String {
        self.known(&format!("registry-consent-{part}"), part)
    }

    /// How sure a looker said to be: 1 a guess, 2 fairly sure, 3 sure.
    pub fn comfort(&self, level: i64) -> Option<String> {
        (1..=3).contains(&level).then(|| self.say(&format!("registry-comfort-{level}")))
    }

    /// The status of a finding, as the head of a column.
    pub fn status(&self, id: &str) -> String {
        sentence_case(&self.word(id))
    }

    /// Stops and cautions by what the pack calls them.
    pub fn stops(&self, ids: &[Json]) -> String {
        let title = |id: &str| {
            let known = self.names.stops.get(stop_id(id)).map(|(title, _)| lower_first(title));
            known.unwrap_or_else(|| spaced(id))
        };
        self.list(&ids.iter().filter_map(Json::as_str).map(title).collect::<Vec<_>>())
    }

    /// The safety questions that were asked, each with its answer: `Has anybody eaten of it? no`.
    pub fn asked(&self, rows: &[Json]) -> Vec<String> {
        let said = |row: &Json| {
            let (question, answer) = (row.get("question")?.as_str()?, row.get("answer")?.as_str()?);
            let ask = self.names.questions.get(question).cloned().unwrap_or_else(|| sentence_case(&spaced(question)));
            Some(format!("{ask} {}", self.word(answer)))
        };
        rows.iter().filter_map(said).collect()
    }

    /// That somebody read a stop: `a wire is near, read 20 July, 10:43 am`.
    pub fn stop_read(&self, row: &Json) -> String {
        let text = |name: &str| row.get(name).and_then(Json::as_str).unwrap_or_default();
        let (stop, time) = (self.stops(&[text("stop").into()]), self.when.full(text("at")));
        self.words.with("registry-stop-was-read", [("stop", &stop as &dyn Argument), ("time", &time)])
    }

    fn known(&self, name: &str, id: &str) -> String {
        known(self.words, name, id)
    }

    /// A value of a field in words: names of the pack, counts, days; a person's own words in quotation marks.
    pub fn value(&self, kind: Kind, field: &str, value: &Json) -> String {
        let text = value.as_str().unwrap_or_default();
        match (kind, field, value) {
            (Kind::Plant, "host", _) => self.names.host(text),
            (Kind::Finding, "character", _) => self.names.label(text),
            (Kind::Finding, "state", _) => match text.split_once('.') {
                Some((character, state)) => self.names.finding(character, Some(state)).1.unwrap_or_default(),
                None => sentence_case(&spaced(text)),
            },
            (Kind::Inquiry, "consent", Json::Object(parts)) => {
                let said = parts.iter().map(|(part, v)| format!("{}: {}", self.consent(part), self.typed(None, v)));
                said.collect::<Vec<_>>().join("; ")
            }
            (Kind::Inquiry, "stops", Json::Array(ids)) | (Kind::Advice, "cautions", Json::Array(ids)) => {
                self.stops(ids)
            }
            (Kind::Inquiry, "asked", Json::Array(rows)) => self.asked(rows).join("; "),
            (Kind::Inquiry, "stops_read", Json::Array(rows)) => {
                let read = rows.iter().map(|row| self.stop_read(row)).collect::<Vec<_>>();
                self.list(&read)
            }
            (Kind::Finding, "comfort", _) | (Kind::Plant, "host_comfort", _) => {
                self.comfort(value.as_i64().unwrap_or(0)).unwrap_or_else(|| value.to_string())
            }
            (_, "causes" | "blind", Json::Array(_)) => {
                let named = named_causes(Some(value));
                self.list(&named.iter().map(|(id, p)| self.cause(id, *p)).collect::<Vec<_>>())
            }
            _ => {
                let ty = fields_of(kind).iter().find(|f| f.name == field).map(|f| f.ty);
                self.typed(ty, value)
            }
        }
    }

    fn typed(&self, ty: Option<Type>, value: &Json) -> String {
        match (ty, value) {
            (_, Json::Bool(yes)) => self.say(if *yes { "registry-yes" } else { "registry-no" }),
            (_, Json::Number(n)) => n.as_u64().map_or_else(|| n.to_string(), number),
            (_, Json::Null) => self.say("registry-nothing"),
            (Some(Type::List(item)), Json::Array(items)) => {
                self.list(&items.iter().map(|i| self.typed(Some(*item), i)).collect::<Vec<_>>())
            }
            (_, Json::Array(items)) => self.list(&items.iter().map(|i| self.typed(None, i)).collect::<Vec<_>>()),
            (_, Json::Object(parts)) => {
                let known: &[_] = if let Some(Type::Group(parts)) = ty { parts } else { &[] };
                let said = parts.iter().filter(|(_, v)| v.as_str() != Some("")).map(|(name, v)| {
                    let ty = known.iter().find(|p| p.name == *name).map(|p| p.ty);
                    format!("{}: {}", self.known(&format!("registry-group-{name}"), name), self.typed(ty, v))
                });
                let said: Vec<String> = said.collect();
                if said.is_empty() { self.say("registry-nothing") } else { said.join("; ") }
            }
            (Some(Type::Word(_)), Json::String(s)) => self.word(s),
            (Some(Type::Date), Json::String(s)) => self.when.day(s),
            (Some(Type::Instant), Json::String(s)) => self.when.full(s),
            (Some(Type::Key) | None, Json::String(s)) => spaced(s),
            (Some(Type::Text(_)), Json::String(s)) => {
                let short: String = s.chars().take(SHORT).collect();
                let more = if short.len() < s.len() { "…" } else { "" };
                format!("“{short}{more}”")
            }
            (Some(_), Json::String(s)) => s.clone(),
        }
    }
}

/// What a word of the registry says; one of a newer registry as it is written.
pub fn word(words: Words, id: &str) -> String {
    known(words, &format!("registry-word-{id}"), id)
}

/// A sentence where there is one; else an id as words.
fn known(words: Words, name: &str, id: &str) -> String {
    if words.has(name) { words.say(name) } else { spaced(id) }
}

/// The first letter small, as in the middle of a sentence.
pub fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use crate::words::Language;
    use serde_json::json;

    use super::*;
    use crate::tell::tests as sample;

    #[test]
    fn every_word_field_and_kind_of_the_registry_has_words_in_both_languages() {
        fn words_in(ty: &Type) -> Vec<&'static str> {
            match ty {
                Type::Word(words) => words.to_vec(),
                Type::List(item) => words_in(item),
                Type::Group(parts) => parts.iter().flat_map(|p| words_in(&p.ty)).collect(),
                _ => Vec::new(),
            }
        }
        let mut seen = 0;
        for language in Language::ALL {
            let words = Words(language);
            for kind in Kind::ALL {
                assert!(words.has(&format!("registry-kind-{kind}")), "{kind}");
                for field in fields_of(*kind) {
                    let name = field.name;
                    let own = format!("registry-field-{kind}-{name}");
                    assert!(words.has(&own) || words.has(&format!("registry-field-{name}")), "{kind}.{name}");
                    for word in words_in(&field.ty).into_iter().filter(|w| *w != "EPSG:4326") {
                        assert!(words.has(&format!("registry-word-{word}")), "{kind}.{name}: {word}");
                        seen += 1;
                    }
                }
            }
            for part in super::super::names::PARTS {
                assert!(words.has(&format!("registry-part-{part}")), "{part}");
            }
        }
        assert!(seen > 200, "{seen}");
    }

    #[test]
    fn values_are_told_in_the_language_of_whoever_reads() {
        let (names, when) = (sample::names(), When::at_ms(1_784_600_000_000));
        let say = |language| Say { names: &names, when: &when, words: Words(language) };
        let (en, es) = (say(Language::En), say(Language::Es));
        let told = |say: Say<'_>, kind, field, value: Json| say.value(kind, field, &value);
        assert_eq!(told(en, Kind::Finding, "status", json!("absent")), "looked, not there");
        assert_eq!(told(es, Kind::Finding, "status", json!("absent")), "se miró, no está");
        assert_eq!(told(en, Kind::Inquiry, "channel", json!("a_newer_word")), "a newer word");
        let held = json!({"by": "Scout 3", "due": "2026-07-30", "waiting_on": ""});
        assert_eq!(told(en, Kind::Inquiry, "held", held), "given to: “Scout 3”; due: 30 July");
        assert_eq!(told(es, Kind::Inquiry, "held", json!({"by": ""})), "nada");
        assert_eq!(told(en, Kind::Photo, "caption", json!("<b>")), "“<b>”");
        assert_eq!(en.kind(Kind::Finding, 1), "a finding");
        assert_eq!(es.kind(Kind::Finding, 2), "2 hallazgos");
        assert_eq!(en.list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
    }
}
