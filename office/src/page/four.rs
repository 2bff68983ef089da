//! The four columns: per part of the plant what was seen, what was looked for and not there, what nobody could tell, and
//! what was not looked at.

use dooryard_core::notebook::Record;
use serde_json::Value as Json;

use super::{
    names::{Names, PARTS},
    words::{When, comfort, count, spaced},
};

/// The statuses in the order of the columns, with mark and words.
pub const STATUSES: [(&str, &str, &str); 4] = [
    ("seen", "seen", "Seen"),
    ("absent", "bare", "Looked, not there"),
    ("could_not_tell", "unclear", "Could not tell"),
    ("not_looked", "unlooked", "Not looked"),
];

/// One finding in its column.
#[derive(Clone, PartialEq, Debug)]
pub struct Cell {
    /// Tally mark (`t1` to `t3`) of how sure the looker was; empty when nobody asked.
    pub tally: &'static str,
    /// The tally in words.
    pub sure: &'static str,
    /// The character.
    pub looked_at: String,
    /// The state that was found, or looked for.
    pub found: String,
    /// Method, count, place, day: what qualifies it.
    pub note: String,
    /// The looker's own words.
    pub said: String,
}

/// One part of the plant.
#[derive(Clone, PartialEq, Debug)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// Cells by column.
    pub columns: [Vec<Cell>; 4],
}

/// The whole table of one plant.
#[derive(Clone, PartialEq, Debug)]
pub struct Four {
    /// Parts that have a finding.
    pub parts: Vec<Part>,
    /// Under each head: `8 findings`.
    pub counts: [String; 4],
    /// Said under the table: what of the pack nobody was asked about.
    pub rest: String,
}

/// Sorts the findings of one plant. `several_visits` adds the day to each.
pub fn table(findings: &[&Record], names: &Names, when: &When, several_visits: bool) -> Four {
    let mut parts: Vec<[Vec<Cell>; 4]> = (0..=PARTS.len()).map(|_| Default::default()).collect();
    let mut counts = [0u64; 4];
    let mut asked: Vec<&str> = Vec::new();
    for finding in findings {
        let character = finding.text("character").unwrap_or_default();
        // A finding without a status was opened and left: nobody says that anyone looked.
        let status = finding.text("status").unwrap_or("not_looked");
        let column = STATUSES.iter().position(|(id, ..)| *id == status).unwrap_or(2);
        parts[names.part(character)][column].push(cell(finding, character, names, when, several_visits));
        counts[column] += 1;
        if !asked.contains(&character) {
            asked.push(character);
        }
    }
    let unasked = names.characters.keys().filter(|c| !asked.contains(&c.as_str())).count();
    let name = |at: usize| PARTS.get(at).map_or("Other", |(_, name)| *name).to_owned();
    Four {
        parts: (parts.into_iter().enumerate())
            .filter(|(_, columns)| columns.iter().any(|c| !c.is_empty()))
            .map(|(at, columns)| Part { name: name(at), columns })
            .collect(),
        counts: counts.map(|n| count(n, "finding", "findings")),
        rest: if unasked == 0 {
            String::new()
        } else {
            format!(
                "Nobody wrote anything down about {} of the pack. That says nothing for or against.",
                if asked.is_empty() {
                    count(unasked as u64, "character", "characters")
                } else {
                    count(unasked as u64, "other character", "other characters")
                }
            )
        },
    }
}

fn cell(finding: &Record, character: &str, names: &Names, when: &When, several_visits: bool) -> Cell {
    let (looked_at, found) = names.finding(character, finding.text("state"));
    let level = finding.get("comfort").and_then(Json::as_i64).unwrap_or(0);
    let mut notes: Vec<String> = Vec::new();
    if let Some(n) = finding.get("count").and_then(Json::as_u64) {
        notes.push(format!("{n} counted"));
    }
    if let Some(share) = finding.text("percent") {
        notes.push(format!("{share} in 100"));
    }
    if let Some(method) = finding.text("method").filter(|m| *m != "glance") {
        notes.push(match method {
            "told" => "as told".into(),
            "photo" => "from a photo".into(),
            "laboratory" => "laboratory".into(),
            "touch" => "by touch".into(),
            other => {
                format!("with {}", if other == "dig" { "a trowel".into() } else { format!("a {}", spaced(other)) })
            }
        });
    }
    notes.extend(finding.text("part").map(str::to_owned));
    if several_visits {
        notes.extend(finding.text("at").map(|at| when.day(at)));
    }
    if !names.characters.contains_key(character) {
        notes.push("not in this pack".into());
    }
    if finding.fields.iter().any(|f| !f.others.is_empty()) {
        notes.push("two phones disagree".into());
    }
    Cell {
        tally: ["", "t1", "t2", "t3"].get(usize::try_from(level).unwrap_or(0)).copied().unwrap_or(""),
        sure: comfort(level).unwrap_or(""),
        looked_at,
        found: found.unwrap_or_default(),
        note: notes.join(", "),
        said: finding.text("note").unwrap_or_default().to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;
    use crate::page::sample;

    fn findings() -> Vec<Record> {
        [
            json!({"character": "leaf_spot", "state": "tan_dark_rim", "status": "seen", "comfort": 3}),
            json!({"character": "leaf_spot", "state": "bullseye", "status": "could_not_tell", "comfort": 1, "method": "lens"}),
            json!({"character": "soil_ph", "status": "not_looked"}),
            json!({"character": "from_a_newer_pack", "status": "absent"}),
        ]
        .iter()
        .map(|f| sample::record(dooryard_core::record::Kind::Finding, f))
        .collect()
    }

    #[test]
    fn each_finding_stands_in_its_part_and_column_and_nowhere_else() {
        let findings = findings();
        let four = table(&findings.iter().collect::<Vec<_>>(), &sample::names(), &When::at_ms(0), false);
        let shape: Vec<_> = four.parts.iter().map(|p| (p.name.as_str(), p.columns.each_ref().map(Vec::len))).collect();
        assert_eq!(shape, [("Site", [0, 0, 0, 1]), ("Leaf", [1, 0, 1, 0]), ("Other", [0, 1, 0, 0])]);
        assert_eq!(four.parts[1].columns[0][0].found, "Small round tan with dark rim");
        assert_eq!(four.parts[1].columns[2][0].note, "with a lens");
        assert_eq!(four.counts[3], "1 finding");
    }

    #[test]
    fn a_finding_without_a_status_is_not_looked_never_absent() {
        let left = sample::record(dooryard_core::record::Kind::Finding, &json!({"character": "leaf_spot"}));
        let four = table(&[&left], &sample::names(), &When::at_ms(0), false);
        assert_eq!(four.parts[0].columns.each_ref().map(Vec::len), [0, 0, 0, 1]);
    }
}
