//! What happened to an inquiry, oldest first: saves of one person in one sitting are told as one, changes one by one.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    Code,
    notebook::HistoryEntry,
    record::{Kind, Privacy, Type, fields_of},
};
use serde_json::Value as Json;

use super::{
    clash::value_words,
    names::Names,
    words::{When, count, list, spaced},
};

/// One row of the history.
#[derive(Clone, PartialEq, Debug)]
pub struct Happened {
    /// The day.
    pub day: String,
    /// The time of day.
    pub clock: String,
    /// Who.
    pub who: String,
    /// What they did.
    pub what: String,
    /// Why it does not count, and what to do; empty when it counts.
    pub waits: String,
}

/// One save with the record it belongs to.
pub struct Saved<'a> {
    /// The record's kind.
    pub kind: Kind,
    /// What the record is called here, such as `leaf spot`.
    pub called: String,
    /// It is the record's first save.
    pub first: bool,
    /// Fields that an earlier save of the record wrote.
    pub earlier: BTreeSet<&'a str>,
    /// The save.
    pub entry: &'a HistoryEntry,
}

/// First saves of one person that lie this close together are one sitting, in milliseconds.
const SITTING: i64 = 3 * 60 * 60 * 1000;

/// Tells the history. Saves may come in any order.
pub fn tell(mut saves: Vec<Saved<'_>>, names: &Names, when: &When) -> Vec<Happened> {
    saves.sort_by_key(|s| (s.entry.at_ms, s.entry.change));
    let mut told = Vec::new();
    let mut sitting: Option<Sitting> = None;
    for save in saves.into_iter().filter(|s| s.kind != Kind::Alert) {
        let plain = save.first && save.entry.waiting.is_none();
        match &mut sitting {
            Some(open) if plain && open.takes(save.entry) => open.add(save.kind),
            _ => {
                told.extend(sitting.take().map(|s| s.told(when)));
                if plain {
                    sitting = Some(Sitting::new(&save));
                } else {
                    told.push(change(&save, names, when));
                }
            }
        }
    }
    told.extend(sitting.map(|s| s.told(when)));
    told
}

struct Sitting {
    who: String,
    from_ms: i64,
    kinds: BTreeMap<Kind, u64>,
}

impl Sitting {
    fn new(save: &Saved<'_>) -> Self {
        Self {
            who: save.entry.author.label.clone(),
            from_ms: save.entry.at_ms,
            kinds: BTreeMap::from([(save.kind, 1)]),
        }
    }

    fn takes(&self, entry: &HistoryEntry) -> bool {
        self.who == entry.author.label && entry.at_ms - self.from_ms < SITTING
    }

    fn add(&mut self, kind: Kind) {
        *self.kinds.entry(kind).or_default() += 1;
    }

    fn told(self, when: &When) -> Happened {
        let kinds: Vec<String> = self.kinds.iter().map(|(kind, n)| kinds_words(*kind, *n)).collect();
        Happened {
            day: when.day_ms(self.from_ms),
            clock: when.clock_ms(self.from_ms),
            who: self.who,
            what: format!("wrote down {}", list(&kinds)),
            waits: String::new(),
        }
    }
}

fn change(save: &Saved<'_>, names: &Names, when: &When) -> Happened {
    let entry = save.entry;
    let existence = entry.wrote.iter().find(|(name, _)| name == "existence").and_then(|(_, v)| v.as_ref());
    let thing = if save.called.is_empty() {
        one(save.kind).to_owned()
    } else {
        format!("{} ({})", one(save.kind), save.called)
    };
    let what = match existence {
        Some(Json::Array(_)) if save.kind == Kind::Finding => {
            format!("withdrew {thing}; it is kept and no longer counts")
        }
        Some(Json::Array(_)) => format!("took away {thing}; it is kept and not shown"),
        _ => {
            let fields = entry.wrote.iter().filter(|(name, _)| name != "existence");
            let (again, new): (Vec<_>, Vec<_>) = fields.partition(|(name, _)| save.earlier.contains(name.as_str()));
            let changed: Vec<String> =
                again.iter().map(|(name, v)| field_words(save.kind, name, v.as_ref(), names, when)).collect();
            let added: Vec<String> = new.iter().map(|(name, v)| added_words(save.kind, name, v.as_ref())).collect();
            match (changed.is_empty(), added.is_empty()) {
                (true, true) => format!("brought back {thing}"),
                (true, false) if save.first => format!("wrote down {thing}: {}", list(&added)),
                (true, false) => format!("added to {thing}: {}", list(&added)),
                (false, true) => format!("changed {thing}: {}", list(&changed)),
                (false, false) => format!("changed {thing}: {}; added {}", list(&changed), list(&added)),
            }
        }
    };
    let waits = entry.waiting.as_deref().map_or_else(String::new, |code| {
        Code::from_name(code).map_or_else(
            || format!("Does not count yet ({code})."),
            |c| format!("Does not count yet. {}", c.sentence()),
        )
    });
    Happened {
        day: when.day_ms(entry.at_ms),
        clock: when.clock_ms(entry.at_ms),
        who: entry.author.label.clone(),
        what,
        waits,
    }
}

fn field_words(kind: Kind, name: &str, value: Option<&Json>, names: &Names, when: &When) -> String {
    let field = fields_of(kind).iter().find(|f| f.name == name);
    let said = spaced(name);
    match (field.map(|f| (f.class, f.ty)), value) {
        (Some((Privacy::Private | Privacy::Sealed, _)) | None, _) => said,
        (_, None) => format!("{said} (erased)"),
        (Some((_, Type::Ref(_) | Type::Blob)), _) => said,
        (Some((_, Type::List(Type::Ref(_)))), _) => said,
        (_, Some(value)) => format!("{said} is now {}", value_words(kind, name, value, names, when)),
    }
}

/// A field that was written for the first time: by its name, with its value where that is one word of the registry.
fn added_words(kind: Kind, name: &str, value: Option<&Json>) -> String {
    let said = spaced(name);
    let field = fields_of(kind).iter().find(|f| f.name == name && f.class <= Privacy::Office);
    match (field.map(|f| f.ty), value.and_then(Json::as_str)) {
        (Some(Type::Word(_)), Some(text)) => format!("{said} {}", spaced(text)),
        _ => said,
    }
}

fn one(kind: Kind) -> &'static str {
    match kind {
        Kind::Inquiry => "the inquiry",
        Kind::Contact => "who asked",
        Kind::Site => "the site",
        Kind::SiteNote => "a note on the site",
        Kind::Plant => "a plant",
        Kind::Visit => "a visit",
        Kind::Finding => "a finding",
        Kind::Photo => "a photo",
        Kind::Sample => "a sample",
        Kind::Custody => "a hand-over of a sample",
        Kind::Diagnosis => "a diagnosis",
        Kind::Advice => "advice",
        Kind::FollowUp => "a follow-up",
        Kind::Review => "a review",
        Kind::Alert => "a sealed record",
        Kind::Hours => "hours",
    }
}

/// `a visit`, `23 findings`.
pub fn kinds_words(kind: Kind, n: u64) -> String {
    let many = match kind {
        Kind::Inquiry => "inquiries",
        Kind::Contact => "people who asked",
        Kind::Site => "sites",
        Kind::SiteNote => "notes on the site",
        Kind::Plant => "plants",
        Kind::Visit => "visits",
        Kind::Finding => "findings",
        Kind::Photo => "photos",
        Kind::Sample => "samples",
        Kind::Custody => "hand-overs of a sample",
        Kind::Diagnosis => "diagnoses",
        Kind::Advice => "pieces of advice",
        Kind::FollowUp => "follow-ups",
        Kind::Review => "reviews",
        Kind::Alert => "sealed records",
        Kind::Hours => "hours of work",
    };
    if n == 1 { one(kind).to_owned() } else { count(n, "", many) }
}

#[cfg(test)]
mod tests {
    use dooryard_core::{
        ids::{DeviceId, Hash32},
        notebook::Author,
        record::Role,
    };
    use serde_json::json;

    use super::*;
    use crate::page::sample;

    fn entry(n: u8, who: &str, minutes: i64, wrote: &[(&str, Json)]) -> HistoryEntry {
        HistoryEntry {
            change: Hash32([n; 32]),
            author: Author { device: DeviceId([1; 16]), label: who.into(), role: Some(Role::Scout) },
            at_ms: 1_784_560_000_000 + minutes * 60_000,
            waiting: None,
            wrote: wrote.iter().map(|(k, v)| ((*k).to_owned(), Some(v.clone()))).collect(),
        }
    }

    #[test]
    fn a_sitting_is_one_row_and_a_change_its_own() {
        let entries = [
            entry(1, "Scout 3", 0, &[("start", json!("x"))]),
            entry(2, "Scout 3", 3, &[("status", json!("could_not_tell"))]),
            entry(3, "Scout 3", 4, &[("status", json!("seen"))]),
            entry(4, "Scout 3", 60, &[("status", json!("absent"))]),
            entry(5, "Scout 5", 70, &[("existence", json!([0, []]))]),
            entry(6, "Scout 5", 80, &[("address", json!("1 Teal Lane"))]),
        ];
        let save = |at: usize, kind, first: bool| Saved {
            kind,
            called: "leaf spot".into(),
            first,
            earlier: if at == 3 { BTreeSet::from(["status"]) } else { BTreeSet::new() },
            entry: &entries[at],
        };
        let told = tell(
            vec![
                save(5, Kind::Site, false),
                save(1, Kind::Finding, true),
                save(0, Kind::Visit, true),
                save(2, Kind::Finding, true),
                save(3, Kind::Finding, false),
                save(4, Kind::Finding, false),
            ],
            &sample::names(),
            &When::at_ms(1_784_600_000_000),
        );
        let rows: Vec<String> = told.iter().map(|t| format!("{} {}", t.who, t.what)).collect();
        assert_eq!(
            rows,
            [
                "Scout 3 wrote down a visit and 2 findings",
                "Scout 3 changed a finding (leaf spot): status is now looked, not there",
                "Scout 5 withdrew a finding (leaf spot); it is kept and no longer counts",
                "Scout 5 added to the site (leaf spot): address",
            ]
        );
    }
}
