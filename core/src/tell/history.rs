//! What happened to an inquiry, oldest first: saves of one person in one sitting are told as one, changes one by one.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value as Json;

use super::{
    saves::{Saved, Written, added_words, now_words, thing, written},
    say::Say,
};
use crate::{
    Code,
    ids::RecordId,
    inquiry::Whole,
    notebook::{Author, HistoryEntry},
    record::{Kind, Role},
    words::{Argument, Language},
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
    /// On which phone.
    pub phone: String,
    /// Every field that was written, save by save.
    pub saves: Vec<Written>,
}

/// First saves of one person that lie this close together are one sitting, in milliseconds.
const SITTING: i64 = 3 * 60 * 60 * 1000;

/// The history of an inquiry, from every save of what belongs to it.
pub fn of(whole: &Whole, history: &[(RecordId, Kind, Vec<HistoryEntry>)], say: Say<'_>) -> Vec<Happened> {
    let mut saves = Vec::new();
    for (id, kind, entries) in history {
        let record = if *kind == Kind::Inquiry { Some(&whole.inquiry) } else { whole.records.get(id) };
        let record = record.or_else(|| whole.site.as_ref().filter(|s| s.id == *id));
        let called = match (kind, record) {
            (Kind::Finding, Some(r)) => say.names.label(r.text("character").unwrap_or_default()).to_lowercase(),
            (Kind::Plant, Some(r)) => say.names.host(r.text("host").unwrap_or_default()).to_lowercase(),
            _ => String::new(),
        };
        // Of a field that two phones disagree on, every live value stands beside the others.
        let disputed = record.into_iter().flat_map(|r| r.fields.iter().filter(|f| !f.others.is_empty()));
        let live: BTreeSet<_> =
            disputed.flat_map(|f| f.others.iter().chain([&f.shown]).map(|v| (v.change, f.name.as_str()))).collect();
        let mut earlier: BTreeMap<&str, Option<&Json>> = BTreeMap::new();
        for (at, entry) in entries.iter().enumerate() {
            let beside = live.iter().filter(|(change, _)| *change == entry.change).map(|(_, name)| *name).collect();
            let saved =
                Saved { kind: *kind, called: called.clone(), first: at == 0, earlier: earlier.clone(), beside, entry };
            saves.push(saved);
            earlier.extend(entry.wrote.iter().map(|(name, value)| (name.as_str(), value.as_ref())));
        }
    }
    tell(saves, say)
}

/// Tells the history. Saves may come in any order.
pub fn tell(mut saves: Vec<Saved<'_>>, say: Say<'_>) -> Vec<Happened> {
    saves.sort_by_key(|s| (s.entry.at_ms, s.entry.place));
    let mut told = Vec::new();
    let mut sitting: Option<Sitting> = None;
    for save in saves.into_iter().filter(|s| s.kind != Kind::Alert) {
        let plain = save.first && save.entry.waiting.is_none();
        match &mut sitting {
            Some(open) if plain && open.takes(save.entry) => open.add(&save, say),
            _ => {
                told.extend(sitting.take().map(|s| s.told(say)));
                if plain {
                    sitting = Some(Sitting::new(&save, say));
                } else {
                    told.push(change(&save, say));
                }
            }
        }
    }
    told.extend(sitting.map(|s| s.told(say)));
    told
}

struct Sitting {
    author: Author,
    from_ms: i64,
    kinds: BTreeMap<Kind, u64>,
    saves: Vec<Written>,
}

impl Sitting {
    fn new(save: &Saved<'_>, say: Say<'_>) -> Self {
        let author = save.entry.author.clone();
        let mut sitting = Self { author, from_ms: save.entry.at_ms, kinds: BTreeMap::new(), saves: Vec::new() };
        sitting.add(save, say);
        sitting
    }

    fn takes(&self, entry: &HistoryEntry) -> bool {
        self.author == entry.author && entry.at_ms - self.from_ms < SITTING
    }

    fn add(&mut self, save: &Saved<'_>, say: Say<'_>) {
        *self.kinds.entry(save.kind).or_default() += 1;
        self.saves.push(written(save, say));
    }

    fn told(self, say: Say<'_>) -> Happened {
        let kinds: Vec<String> = self.kinds.iter().map(|(kind, n)| say.kind(*kind, *n)).collect();
        Happened {
            day: say.when.day_ms(self.from_ms),
            clock: say.when.clock_ms(self.from_ms),
            phone: phone(&self.author, say),
            who: self.author.label,
            what: say.words.with("inquiry-h-wrote", [("what", &say.list(&kinds))]),
            waits: String::new(),
            saves: self.saves,
        }
    }
}

/// Which phone it was. The office's own machine is none.
fn phone(author: &Author, say: Say<'_>) -> String {
    if author.role == Some(Role::Office) {
        return say.say("inquiry-h-office");
    }
    let device = author.device.to_string();
    let short = device.get(..8).unwrap_or(&device).to_owned();
    let given: [(&str, &dyn Argument); 2] = [("who", &author.label), ("number", &short)];
    say.words.with("inquiry-h-phone", given)
}

fn sentence(code: Code, say: Say<'_>) -> String {
    match say.words.0 {
        Language::En => code.sentence(),
        Language::Es => code.sentence_es(),
    }
    .to_owned()
}

fn change(save: &Saved<'_>, say: Say<'_>) -> Happened {
    let entry = save.entry;
    let existence = entry.wrote.iter().find(|(name, _)| name == "existence").and_then(|(_, v)| v.as_ref());
    let thing = thing(save, say);
    let what = match existence {
        Some(Json::Array(_)) => {
            let name = if save.kind == Kind::Finding { "inquiry-h-withdrew" } else { "inquiry-h-took-away" };
            say.words.with(name, [("thing", &thing)])
        }
        _ => {
            let fields = entry.wrote.iter().filter(|(name, _)| name != "existence");
            let (again, new): (Vec<_>, Vec<_>) = fields.partition(|(name, _)| save.earlier.contains_key(name.as_str()));
            let changed: Vec<String> =
                again.iter().map(|(name, v)| now_words(save.kind, name, v.as_ref(), say)).collect();
            let added: Vec<String> =
                new.iter().map(|(name, v)| added_words(save.kind, name, v.as_ref(), say)).collect();
            let (changed, added) = (say.list(&changed), say.list(&added));
            let name = match (changed.is_empty(), added.is_empty()) {
                (true, true) => "inquiry-h-back",
                (true, false) if save.first => "inquiry-h-wrote-fields",
                (true, false) => "inquiry-h-added",
                (false, true) => "inquiry-h-changed",
                (false, false) => "inquiry-h-changed-added",
            };
            let given: [(&str, &dyn Argument); 3] = [("thing", &thing), ("changed", &changed), ("added", &added)];
            say.words.with(name, given)
        }
    };
    let waits = entry.waiting.as_deref().map_or_else(String::new, |code| {
        let why = Code::from_name(code).map_or_else(|| code.to_owned(), |code| sentence(code, say));
        say.words.with("inquiry-h-waits", [("why", &why)])
    });
    Happened {
        day: say.when.day_ms(entry.at_ms),
        clock: say.when.clock_ms(entry.at_ms),
        who: entry.author.label.clone(),
        what,
        waits,
        phone: phone(&entry.author, say),
        saves: vec![written(save, say)],
    }
}

#[cfg(test)]
mod tests {
    use crate::{
        ids::{DeviceId, Hash32, LogId},
        words::Words,
    };
    use serde_json::json;

    use super::*;
    use crate::{tell::tests as sample, words::When};

    fn told(language: Language, saves: Vec<Saved<'_>>) -> Vec<Happened> {
        let (names, when) = (sample::names(), When::at_ms(1_784_600_000_000));
        tell(saves, Say { names: &names, when: &when, words: Words(language) })
    }

    fn entry(n: u8, who: &str, minutes: i64, wrote: &[(&str, Json)]) -> HistoryEntry {
        HistoryEntry {
            change: Hash32([n; 32]),
            place: (LogId { device: DeviceId([1; 16]), incarnation: 1 }, u64::from(n)),
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
        let before = json!("seen");
        let save = |at: usize, kind, first: bool| Saved {
            kind,
            called: "leaf spot".into(),
            first,
            earlier: if at == 3 { BTreeMap::from([("status", Some(&before))]) } else { BTreeMap::new() },
            beside: if at == 3 { BTreeSet::from(["status"]) } else { BTreeSet::new() },
            entry: &entries[at],
        };
        let saves = || {
            vec![
                save(5, Kind::Site, false),
                save(1, Kind::Finding, true),
                save(0, Kind::Visit, true),
                save(2, Kind::Finding, true),
                save(3, Kind::Finding, false),
                save(4, Kind::Finding, false),
            ]
        };
        let told_en = told(Language::En, saves());
        let rows: Vec<String> = told_en.iter().map(|t| format!("{} {}", t.who, t.what)).collect();
        assert_eq!(
            rows,
            [
                "Scout 3 wrote down a visit and 2 findings",
                "Scout 3 changed a finding (leaf spot): status is now looked, not there",
                "Scout 5 withdrew a finding (leaf spot); it is kept and no longer counts",
                "Scout 5 added to the site (leaf spot): address",
            ]
        );
        let fields = |at: usize| told_en[at].saves.iter().flat_map(|s| s.fields.clone()).collect::<Vec<_>>();
        assert_eq!(fields(0)[1..], ["Status: could not tell", "Status: seen"]);
        let changed = "Status: was seen, is now looked, not there (another value stands beside it; both are kept)";
        assert_eq!(fields(1), [changed]);
        assert_eq!(fields(3), ["Address: something private"], "what is private is named, not told");
        assert_eq!(told_en[0].phone, "Phone of Scout 3, number 01010101");
        let es = told(Language::Es, saves());
        assert_eq!(es[0].what, "anotó una visita y 2 hallazgos");
        assert!(es[1].saves[0].fields[0].contains("se miró, no está"));
    }

    #[test]
    fn what_was_erased_is_said_and_not_told() {
        let mut entry = entry(1, "Scout 3", 0, &[("question", json!("x")), ("channel", json!("email"))]);
        entry.wrote[0].1 = None;
        let save = Saved {
            kind: Kind::Inquiry,
            called: String::new(),
            first: true,
            earlier: BTreeMap::new(),
            beside: BTreeSet::new(),
            entry: &entry,
        };
        let told = told(Language::En, vec![save]);
        assert_eq!(
            told[0].saves[0].fields,
            ["The resident's own words: erased, or kept elsewhere", "How it came: e-mail"]
        );
    }
}
