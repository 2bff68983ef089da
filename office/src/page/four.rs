//! The four columns: per part of the plant what was seen, what was looked for and not there, what nobody could tell, and
//! what was not looked at.

use dooryard_core::notebook::Record;
use serde_json::Value as Json;

use super::{gather::reference, names::PARTS, say::Say};

/// The statuses in the order of the columns, with mark and words.
pub const STATUSES: [(&str, &str); 4] =
    [("seen", "seen"), ("absent", "bare"), ("could_not_tell", "unclear"), ("not_looked", "unlooked")];

/// One finding in its column.
#[derive(Clone, PartialEq, Debug)]
pub struct Cell {
    /// Tally mark (`t1` to `t3`) of how sure the looker was; empty when nobody asked.
    pub tally: &'static str,
    /// The tally in words.
    pub sure: String,
    /// The character.
    pub looked_at: String,
    /// The state that was found, or looked for.
    pub found: String,
    /// Method, count, place: what qualifies it.
    pub note: String,
    /// Who looked, when and from where, unless it is as with most findings of the plant.
    pub source: String,
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

/// The head of a column.
#[derive(Clone, PartialEq, Debug)]
pub struct Head {
    /// The status that it stands for.
    pub status: &'static str,
    /// Its mark.
    pub mark: &'static str,
    /// Its words.
    pub words: String,
    /// How many findings stand below: `8 findings`.
    pub count: String,
}

/// The whole table of one plant.
#[derive(Clone, PartialEq, Debug)]
pub struct Four {
    /// Heads of the columns.
    pub heads: [Head; 4],
    /// Parts that have a finding.
    pub parts: Vec<Part>,
    /// Who looked, when and from where, wherever a cell says nothing else.
    pub source: String,
    /// Said under the table: what of the pack nobody was asked about.
    pub rest: String,
}

/// Sorts the findings of one plant. `visits` are the looks that they belong to.
pub fn table(findings: &[&Record], visits: &[&Record], say: Say<'_>) -> Four {
    let mut parts: Vec<[Vec<Cell>; 4]> = (0..=PARTS.len()).map(|_| Default::default()).collect();
    let mut counts = [0u64; 4];
    let mut asked: Vec<&str> = Vec::new();
    let sources: Vec<String> = findings.iter().map(|f| source(f, visits, say)).collect();
    let common = most(&sources);
    for (finding, source) in findings.iter().zip(&sources) {
        let character = finding.text("character").unwrap_or_default();
        // A finding without a status was opened and left: nobody says that anyone looked.
        let status = finding.text("status").unwrap_or("not_looked");
        let column = STATUSES.iter().position(|(id, _)| *id == status).unwrap_or(2);
        let other = if Some(source) == common.as_ref() { String::new() } else { source.clone() };
        parts[say.names.part(character)][column].push(cell(finding, character, other, say));
        counts[column] += 1;
        if !asked.contains(&character) {
            asked.push(character);
        }
    }
    let unasked = say.names.characters.keys().filter(|c| !asked.contains(&c.as_str())).count() as u64;
    let name = |at: usize| say.part(PARTS.get(at).map_or("other", |id| *id));
    let head = |at: usize| {
        let (status, mark) = STATUSES[at];
        let count = say.words.with("inquiry-findings", [("n", &counts[at])]);
        Head { status, mark, words: say.status(status), count }
    };
    Four {
        heads: std::array::from_fn(head),
        parts: (parts.into_iter().enumerate())
            .filter(|(_, columns)| columns.iter().any(|c| !c.is_empty()))
            .map(|(at, columns)| Part { name: name(at), columns })
            .collect(),
        source: common.unwrap_or_default(),
        rest: match (unasked, asked.is_empty()) {
            (0, _) => String::new(),
            (n, true) => say.words.with("inquiry-rest-all", [("n", &n)]),
            (n, false) => say.words.with("inquiry-rest", [("n", &n)]),
        },
    }
}

/// Who looked, when, and from where: in the field, at a photo, or told.
fn source(finding: &Record, visits: &[&Record], say: Say<'_>) -> String {
    let visit = reference(finding, "visit").and_then(|id| visits.iter().find(|v| v.id == id));
    let wrote = finding.fields.iter().find(|f| f.name == "status").or_else(|| finding.fields.first());
    let who = visit.and_then(|v| v.text("observer")).map(str::to_owned);
    let who = who.or_else(|| wrote.map(|f| f.shown.author.label.clone())).unwrap_or_default();
    let day = finding.text("at").or_else(|| visit.and_then(|v| v.text("start"))).map(|at| say.when.day(at));
    let day = day.or_else(|| wrote.map(|f| say.when.day_ms(f.shown.at_ms))).unwrap_or_default();
    let from = match finding.text("method") {
        Some("told") => "inquiry-from-told",
        Some("photo") => "inquiry-from-photo",
        Some("laboratory") => "inquiry-from-laboratory",
        _ => "inquiry-from-field",
    };
    [who, day, say.say(from)].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

/// What stands most often; of equals, the first.
fn most(items: &[String]) -> Option<String> {
    let times = |item: &String| items.iter().filter(|other| *other == item).count();
    items.iter().rev().max_by_key(|item| times(item)).cloned()
}

fn cell(finding: &Record, character: &str, source: String, say: Say<'_>) -> Cell {
    let (looked_at, found) = say.names.finding(character, finding.text("state"));
    let level = finding.get("comfort").and_then(Json::as_i64).unwrap_or(0);
    let mut notes: Vec<String> = Vec::new();
    if let Some(n) = finding.get("count").and_then(Json::as_u64) {
        notes.push(say.words.with("inquiry-counted", [("n", &n)]));
    }
    if let Some(share) = finding.text("percent") {
        notes.push(say.words.with("inquiry-share", [("share", &share)]));
    }
    // Where it was seen at a glance, told, or at a photo, the source says so.
    if let Some(method) = finding.text("method").filter(|m| !["glance", "told", "photo", "laboratory"].contains(m)) {
        notes.push(say.word(method));
    }
    notes.extend(finding.text("part").map(str::to_owned));
    if !say.names.characters.contains_key(character) {
        notes.push(say.say("inquiry-not-in-pack"));
    }
    if finding.fields.iter().any(|f| !f.others.is_empty()) {
        notes.push(say.say("inquiry-phones-disagree"));
    }
    Cell {
        tally: ["", "t1", "t2", "t3"].get(usize::try_from(level).unwrap_or(0)).copied().unwrap_or(""),
        sure: say.comfort(level).unwrap_or_default(),
        looked_at,
        found: found.unwrap_or_default(),
        note: notes.join(", "),
        source,
        said: finding.text("note").unwrap_or_default().to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use dooryard_core::{
        record::Kind,
        words::{Language, Words},
    };
    use serde_json::json;

    use super::*;
    use crate::page::{sample, words::When};

    fn told(language: Language, findings: &[Record]) -> Four {
        let (names, when) = (sample::names(), When::at_ms(1_784_600_000_000));
        let say = Say { names: &names, when: &when, words: Words(language) };
        table(&findings.iter().collect::<Vec<_>>(), &[], say)
    }

    fn findings() -> Vec<Record> {
        [
            json!({"character": "leaf_spot", "state": "tan_dark_rim", "status": "seen", "comfort": 3}),
            json!({"character": "leaf_spot", "state": "bullseye", "status": "could_not_tell", "comfort": 1, "method": "lens"}),
            json!({"character": "soil_ph", "status": "not_looked"}),
            json!({"character": "from_a_newer_pack", "status": "absent", "method": "photo"}),
        ]
        .iter()
        .map(|f| sample::record(Kind::Finding, f))
        .collect()
    }

    #[test]
    fn each_finding_stands_in_its_part_and_column_and_nowhere_else() {
        let four = told(Language::En, &findings());
        let shape: Vec<_> = four.parts.iter().map(|p| (p.name.as_str(), p.columns.each_ref().map(Vec::len))).collect();
        assert_eq!(shape, [("Site", [0, 0, 0, 1]), ("Leaf", [1, 0, 1, 0]), ("Other", [0, 1, 0, 0])]);
        assert_eq!(four.parts[1].columns[0][0].found, "Small round tan with dark rim");
        assert_eq!(four.parts[1].columns[2][0].note, "with a lens");
        assert_eq!(four.heads[3].count, "1 finding");
        let heads = told(Language::Es, &findings()).heads.map(|h| h.words);
        assert_eq!(heads, ["Se vio", "Se miró, no está", "No se pudo saber", "No se miró"]);
    }

    #[test]
    fn who_looked_when_and_from_where_stands_once_and_with_whatever_differs() {
        let four = told(Language::En, &findings());
        assert_eq!(four.source, "Scout 3, 20 July, in the field");
        let sources: Vec<_> = four.parts.iter().flat_map(|p| p.columns.iter().flatten()).map(|c| &c.source).collect();
        assert_eq!(sources, ["", "", "", "Scout 3, 20 July, from a photo"]);
    }

    #[test]
    fn a_finding_without_a_status_is_not_looked_never_absent() {
        let left = sample::record(Kind::Finding, &json!({"character": "leaf_spot"}));
        let four = told(Language::En, &[left]);
        assert_eq!(four.parts[0].columns.each_ref().map(Vec::len), [0, 0, 0, 1]);
    }
}
