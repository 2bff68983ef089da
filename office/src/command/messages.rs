//! `dooryard key stops`: messages of a table read for danger.

use std::{collections::BTreeMap, path::Path};

use anyhow::{Context, Result, bail};
use dooryard_core::danger::{self, Danger};
use serde_json::{Value as Json, json};

use super::tell::Tell;

const COLUMNS: [&str; 3] = ["id", "language", "text"];

/// Reads every message of a table and says which stops it raises.
///
/// # Errors
/// When the table cannot be read, lacks a column, or names a message twice: messages before that are said all the same.
pub fn read(csv: &Path, tell: &Tell) -> Result<()> {
    let name = csv.display();
    let mut table = csv::Reader::from_path(csv).with_context(|| format!("cannot read {name}"))?;
    let head = table.headers().with_context(|| format!("cannot read the first line of {name}"))?;
    let places = COLUMNS.map(|column| head.iter().position(|h| h.trim_start_matches('\u{feff}') == column));
    let [Some(id), Some(language), Some(text)] = places else {
        let lacks: Vec<_> = COLUMNS.iter().zip(places).filter(|(_, at)| at.is_none()).map(|(c, _)| *c).collect();
        bail!("{name} lacks columns: {}. Its first line must name id, language and text", lacks.join(", "));
    };
    let mut seen = BTreeMap::new();
    for row in table.records() {
        let row = row.with_context(|| format!("cannot read {name}"))?;
        let line = row.position().map_or(0, csv::Position::line);
        let cell = |at: usize| row.get(at).unwrap_or_default();
        if let Some(before) = seen.insert(cell(id).to_owned(), line) {
            bail!("{name}: lines {before} and {line} have the same id {:?}. Give each message its own", cell(id));
        }
        let raised = danger::read(cell(text));
        tell.say(|| words(cell(id), cell(language), &raised), || object(cell(id), &raised));
    }
    if seen.is_empty() {
        bail!("{name} holds no messages");
    }
    Ok(())
}

fn object(id: &str, raised: &[Danger]) -> Json {
    let words: BTreeMap<_, _> = raised.iter().map(|d| (d.stop, d.phrase.as_str())).collect();
    json!({ "id": id, "stops": raised.iter().map(|d| d.stop).collect::<Vec<_>>(), "words": words })
}

fn words(id: &str, language: &str, raised: &[Danger]) -> String {
    let head = format!("{id:<8} {language:<3}");
    if raised.is_empty() {
        return format!("{head} no stop");
    }
    let lines = raised.iter().enumerate().map(|(i, d)| {
        let head = if i == 0 { head.clone() } else { " ".repeat(head.chars().count()) };
        format!("{head} {:<18} {}", d.stop, d.phrase)
    });
    lines.collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    fn reading(table: &str) -> Result<()> {
        let dir = tempfile::tempdir()?;
        let file = dir.path().join("messages.csv");
        fs::write(&file, table)?;
        read(&file, &Tell::new(true))
    }

    #[test]
    fn a_table_that_cannot_be_read_says_why() {
        for (table, why) in [
            ("id,text\n1,hello\n", "lacks columns: language"),
            ("id,language,text\n", "holds no messages"),
            ("id,language,text\n1,en,a\n1,en,b\n", "lines 2 and 3 have the same id"),
            ("id,language,text\n1,en\n", "cannot read"),
        ] {
            let e = format!("{:#}", reading(table).unwrap_err());
            assert!(e.contains(why), "{e}");
        }
        assert!(read(Path::new("/no/such.csv"), &Tell::new(true)).is_err());
    }

    #[test]
    fn other_columns_and_a_byte_order_mark_are_left_alone() {
        reading("\u{feff}id,must,language,text\n1,x,en,\"a limb, over\nthe line\"\n").unwrap();
    }

    #[test]
    fn what_is_said_names_the_words() {
        let raised = danger::read("A branch is hanging on the power line");
        let object = object("m1", &raised);
        assert_eq!(object["stops"][0], "utility_line");
        assert!(object["words"]["utility_line"].as_str().unwrap().contains("power line"), "{object}");
        assert!(words("m1", "en", &raised).starts_with("m1       en  utility_line"));
        assert_eq!(words("m2", "es", &[]), "m2       es  no stop");
    }
}
