//! Conflicts in sentences: who wrote what when, who wrote what else when, and that both are kept.

use dooryard_core::{
    notebook::{Conflict, LiveValue},
    record::{Kind, Privacy, fields_of},
};
use serde_json::Value as Json;

use super::{
    names::Names,
    words::{When, list, number, spaced, word},
};

/// One conflict as the page shows it.
#[derive(Clone, PartialEq, Debug)]
pub struct Clash {
    /// What it is about, such as `Plant, affected`.
    pub about: String,
    /// Who wrote what when, each as (who, what, when).
    pub wrote: Vec<(String, String, String)>,
    /// How it ends: `without having seen the first. Both are kept.`
    pub end: &'static str,
    /// The record it is about, as text.
    pub record: String,
}

/// Says a conflict. `None` for what is sealed. Private values are named, not shown, unless `private` is asked for.
pub fn clash(conflict: &Conflict, names: &Names, when: &When, private: bool) -> Option<Clash> {
    let class =
        fields_of(conflict.kind).iter().find(|f| f.name == conflict.field).map_or(Privacy::Private, |f| f.class);
    if class == Privacy::Sealed {
        return None;
    }
    let mut by_time: Vec<&LiveValue> = conflict.values.iter().collect();
    by_time.sort_by_key(|v| (v.at_ms, v.change));
    let wrote = by_time.iter().map(|v| {
        let what = match &v.value {
            Some(_) if class == Privacy::Private && !private => "something private".into(),
            Some(value) => value_words(conflict.kind, &conflict.field, value, names, when),
            None => "something that is not here".into(),
        };
        (v.author.label.clone(), what, when.full_ms(v.at_ms))
    });
    Some(Clash {
        about: format!("{}, {}", super::words::sentence_case(&spaced(conflict.kind.name())), spaced(&conflict.field)),
        wrote: wrote.collect(),
        end: match conflict.values.len() {
            2 => "without having seen the first. Both are kept.",
            _ => "none having seen the others. All are kept.",
        },
        record: conflict.record.to_string(),
    })
}

impl Clash {
    /// The whole as one plain sentence, for a terminal.
    pub fn sentence(&self) -> String {
        let wrote = self.wrote.iter().map(|(who, what, at)| format!("{who} wrote {what} at {at}"));
        format!("{}: {}, {}", self.about, wrote.collect::<Vec<_>>().join("; "), self.end)
    }
}

/// A value of a field in words: names of the pack, counts, days; a person's own words in quotation marks.
pub fn value_words(kind: Kind, field: &str, value: &Json, names: &Names, when: &When) -> String {
    let text = value.as_str().unwrap_or_default();
    match (kind, field, value) {
        (_, "host", _) => names.host(text),
        (_, "character", _) => names.finding(text, None).0,
        (_, "status", Json::String(s)) if kind == Kind::Finding => {
            super::four::STATUSES.iter().find(|(id, ..)| id == s).map_or_else(|| spaced(s), |(.., w)| w.to_lowercase())
        }
        (Kind::Finding, "comfort", _) | (Kind::Plant, "host_comfort", _) => {
            super::words::comfort(value.as_i64().unwrap_or(0)).map_or_else(|| value.to_string(), str::to_owned)
        }
        (_, "causes" | "blind", Json::Array(_)) => {
            let named = crate::ledger::named_causes(Some(value));
            list(&named.iter().map(|(id, p)| cause_words(id, *p, names)).collect::<Vec<_>>())
        }
        (_, _, Json::Bool(yes)) => if *yes { "yes" } else { "no" }.into(),
        (_, _, Json::Number(n)) => n.as_u64().map_or_else(|| n.to_string(), number),
        (_, _, Json::Array(items)) => {
            list(&items.iter().map(|i| value_words(kind, "", i, names, when)).collect::<Vec<_>>())
        }
        (_, _, Json::Object(parts)) => {
            let said = parts.iter().map(|(k, v)| format!("{} {}", spaced(k), value_words(kind, "", v, names, when)));
            said.collect::<Vec<_>>().join(", ")
        }
        (_, _, Json::Null) => "nothing".into(),
        (_, _, Json::String(s)) => typed_words(kind, field, s, when),
    }
}

fn typed_words(kind: Kind, field: &str, text: &str, when: &When) -> String {
    use dooryard_core::record::Type;
    match fields_of(kind).iter().find(|f| f.name == field).map(|f| f.ty) {
        Some(Type::Word(_)) => word(text),
        Some(Type::Date) => when.day(text),
        Some(Type::Instant) => when.full(text),
        Some(Type::Key) | None => spaced(text),
        Some(Type::Text(_)) => {
            let short: String = text.chars().take(120).collect();
            let more = if short.len() < text.len() { "…" } else { "" };
            format!("“{short}{more}”")
        }
        Some(_) => text.to_owned(),
    }
}

/// `early blight: likely, 60 in 100`.
pub fn cause_words(id: &str, percent: Option<u8>, names: &Names) -> String {
    match percent {
        Some(p) => format!("{}: {}, {p} in 100", names.cause(id), super::words::chance(p)),
        None => names.cause(id),
    }
}

#[cfg(test)]
mod tests {
    use dooryard_core::{
        ids::{DeviceId, Hash32, RecordId},
        notebook::Author,
        record::Role,
    };
    use serde_json::json;

    use super::*;
    use crate::page::sample;

    fn conflict(kind: Kind, field: &str, values: [Json; 2]) -> Conflict {
        let live = |n: u8, value: Json| LiveValue {
            value: Some(value),
            author: Author { device: DeviceId([n; 16]), label: format!("Scout {n}"), role: Some(Role::Scout) },
            at_ms: 1_784_600_000_000 + i64::from(n) * 60_000,
            change: Hash32([n; 32]),
        };
        let [first, second] = values;
        Conflict {
            record: RecordId([1; 16]),
            kind,
            field: field.into(),
            values: vec![live(5, second), live(3, first)],
            sentence: String::new(),
        }
    }

    #[test]
    fn the_earlier_one_comes_first_and_both_are_kept() {
        let given = conflict(Kind::Plant, "affected", [json!(12), json!(9)]);
        let said = clash(&given, &sample::names(), &When::at_ms(1_784_700_000_000), false).unwrap().sentence();
        assert_eq!(
            said,
            "Plant, affected: Scout 3 wrote 12 at 9:16 pm, 20 July; Scout 5 wrote 9 at 9:18 pm, 20 July, \
             without having seen the first. Both are kept."
        );
    }

    #[test]
    fn private_values_are_named_only_and_sealed_ones_not_at_all() {
        let names = sample::names();
        let when = When::at_ms(1_784_700_000_000);
        let address = conflict(Kind::Site, "address", [json!("1 Teal Lane"), json!("2 Teal Lane")]);
        assert!(!clash(&address, &names, &when, false).unwrap().sentence().contains("Teal"));
        assert!(clash(&address, &names, &when, true).unwrap().sentence().contains("“1 Teal Lane”"));
        let suspect = conflict(Kind::Alert, "suspect", [json!("a"), json!("b")]);
        assert_eq!(clash(&suspect, &names, &when, true), None);
    }
}
