//! Conflicts in sentences: who wrote what when, who wrote what else when, and that both are kept.

use dooryard_core::{
    notebook::{Conflict, LiveValue},
    record::{Privacy, fields_of},
    words::Words,
};

use super::{say::Say, words::sentence_case};

/// One conflict as the page shows it.
#[derive(Clone, PartialEq, Debug)]
pub struct Clash {
    /// What it is about, such as `How many show it (a plant)`.
    pub about: String,
    /// Who wrote what when, each as (who, what, when).
    pub wrote: Vec<(String, String, String)>,
    /// How it ends: `without having seen the first. Both are kept.`
    pub end: String,
    /// The record it is about, as text.
    pub record: String,
}

/// Says a conflict. `None` for what is sealed. Private values are named, not shown, unless `private` is asked for.
pub fn clash(conflict: &Conflict, say: Say<'_>, private: bool) -> Option<Clash> {
    let (kind, field) = (conflict.kind, conflict.field.as_str());
    let class = fields_of(kind).iter().find(|f| f.name == field).map_or(Privacy::Private, |f| f.class);
    if class == Privacy::Sealed {
        return None;
    }
    let mut by_time: Vec<&LiveValue> = conflict.values.iter().collect();
    by_time.sort_by_key(|v| (v.at_ms, v.change));
    let wrote = by_time.iter().map(|v| {
        let what = match &v.value {
            Some(_) if class == Privacy::Private && !private => say.say("inquiry-h-private"),
            Some(value) => say.value(kind, field, value),
            None => say.say("inquiry-clash-gone"),
        };
        (v.author.label.clone(), what, say.when.full_ms(v.at_ms))
    });
    let about = [("field", &sentence_case(&say.field(kind, field)) as _), ("kind", &say.kind(kind, 1) as _)];
    Some(Clash {
        about: say.words.with("inquiry-clash-about", about),
        wrote: wrote.collect(),
        end: say.words.with("inquiry-clash-end", [("n", &conflict.values.len())]),
        record: conflict.record.to_string(),
    })
}

impl Clash {
    /// The whole as one plain sentence, for a terminal.
    pub fn sentence(&self, words: Words) -> String {
        let wrote = self.wrote.iter().map(|(who, what, at)| {
            let (who, at) =
                (words.with("inquiry-clash-who", [("who", who)]), words.with("inquiry-clash-at", [("at", at)]));
            format!("{who} {what} {at}")
        });
        format!("{}: {}, {}", self.about, wrote.collect::<Vec<_>>().join("; "), self.end)
    }
}

#[cfg(test)]
mod tests {
    use dooryard_core::{
        ids::{DeviceId, Hash32, RecordId},
        notebook::Author,
        record::{Kind, Role},
        words::Language,
    };
    use serde_json::{Value as Json, json};

    use super::*;
    use crate::page::{sample, words::When};

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
        let told = |language| {
            let (names, when) = (sample::names(), When::at_ms(1_784_700_000_000).told_in(Words(language)));
            let say = Say { names: &names, when: &when, words: Words(language) };
            clash(&given, say, false).unwrap().sentence(say.words)
        };
        assert_eq!(
            told(Language::En),
            "How many show it (a plant): Scout 3 wrote 12 at 9:16 pm, 20 July; Scout 5 wrote 9 at 9:18 pm, 20 July, \
             without having seen the first. Both are kept."
        );
        assert_eq!(
            told(Language::Es),
            "Cuántas lo muestran (una planta): Scout 3 escribió 12 (9:16 p. m., 20 de julio); \
             Scout 5 escribió 9 (9:18 p. m., 20 de julio), sin haber visto lo primero. Se guardan los dos."
        );
    }

    #[test]
    fn private_values_are_named_only_and_sealed_ones_not_at_all() {
        let names = sample::names();
        let when = When::at_ms(1_784_700_000_000);
        let say = Say { names: &names, when: &when, words: Words::default() };
        let told = |conflict, private| clash(conflict, say, private).map(|said| said.sentence(say.words));
        let address = conflict(Kind::Site, "address", [json!("1 Teal Lane"), json!("2 Teal Lane")]);
        assert!(!told(&address, false).unwrap().contains("Teal"));
        assert!(told(&address, true).unwrap().contains("“1 Teal Lane”"));
        let suspect = conflict(Kind::Alert, "suspect", [json!("a"), json!("b")]);
        assert_eq!(told(&suspect, true), None);
    }
}
