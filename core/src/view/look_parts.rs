//! All looks of a plant, by part, in the order in which one looks.

use super::reader::View;
use crate::{
    inquiry::Known,
    key::Character,
    tell::{self, Looked, looked, names::PARTS},
};

/// Looks at one part.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PartRows {
    /// The part's id.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Its looks in the order of the pack.
    pub looks: Vec<LookRow>,
}

/// One look in a list.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LookRow {
    /// Id of the character.
    pub character: String,
    /// What it is called.
    pub label: String,
    /// What was found there; the words of not looked where nobody looked.
    pub found: String,
    /// Mark of that: `seen`, `bare`, `unclear`, `unlooked`.
    pub mark: String,
    /// What the look costs.
    pub cost: String,
    /// A stop forbids it.
    pub held: bool,
}

/// All looks of the plant, part by part.
pub(super) fn parts(view: &View<'_>, known: &Known<'_>) -> Vec<PartRows> {
    let found: Vec<Looked> = looked(&known.given.findings, &view.speech());
    let asked: Vec<&str> = known.next.looks.iter().map(|l| l.character.as_str()).collect();
    let first = |id: &str| known.next.first.iter().any(|f| f == id);
    let mut parts: Vec<PartRows> = Vec::new();
    for id in PARTS {
        let here = view.pack.characters.iter().filter(|c| part_id(c) == id);
        let looks: Vec<LookRow> = here
            .filter_map(|c| {
                let told = found.iter().find(|l| l.character == c.id);
                // What says nothing of this plant, and nobody looked at, is no row.
                (told.is_some() || asked.contains(&c.id.as_str()) || first(&c.id)).then(|| {
                    let words = told.map(|l| l.found.iter().map(|(_, words)| words.as_str()).collect::<Vec<_>>());
                    LookRow {
                        character: c.id.clone(),
                        label: c.label.get(view.words.0).to_owned(),
                        found: words.map_or_else(|| view.say("key-not-looked"), |words| words.join("; ")),
                        mark: told.and_then(|l| l.found.first()).map_or("unlooked", |(mark, _)| mark).to_owned(),
                        cost: tell::cost(c.cost, &view.speech()),
                        held: !known.may_look(view.pack, &c.id),
                    }
                })
            })
            .collect();
        if !looks.is_empty() {
            let name = crate::words::sentence_case(&view.telling().part(id));
            parts.push(PartRows { id: id.to_owned(), name, looks });
        }
    }
    parts
}

pub(super) fn part_id(character: &Character) -> String {
    serde_json::to_value(character.part).ok().and_then(|p| p.as_str().map(str::to_owned)).unwrap_or_default()
}
