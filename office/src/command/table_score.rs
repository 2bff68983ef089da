//! `dooryard key score --table`: what a learned pack makes of every row of a table.

use std::{fs, path::Path};

use anyhow::{Context, Result, bail};
use dooryard_core::table::{Chance, Row, Table, TablePack};
use serde_json::{Value as Json, json};

use super::tell::Tell;

/// Judges the rows of a table, one line each.
pub fn run(table: &Path, class: Option<&str>, pack: &Path, ask: Option<f64>, tell: &Tell) -> Result<()> {
    if ask.is_some_and(|ask| !(0.0..=1.0).contains(&ask)) {
        bail!("--ask is a chance from 0 to 1");
    }
    let read = |path: &Path| fs::read_to_string(path).with_context(|| format!("reading {}", path.display()));
    let pack = TablePack::from_json(&read(pack)?).with_context(|| pack.display().to_string())?;
    let class = class.unwrap_or(&pack.class);
    let rows = Table::to_judge(&read(table)?, class, &pack.schema).with_context(|| table.display().to_string())?;
    let (mut known, mut right) = (0_u32, 0_u32);
    for (number, row) in rows.rows.iter().enumerate() {
        let judged = Judged::of(&pack, number, row, ask);
        tell.say(|| judged.words(), || judged.json());
        if let (Some(class), Some(first)) = (row.class, judged.ranked.first()) {
            known += 1;
            right += u32::from(pack.schema.classes[class] == first.class);
        }
    }
    if known > 0 {
        tell.say_words(|| format!("First choice right in {right} of the {known} rows whose class is known."));
    }
    Ok(())
}

/// What became of one row.
struct Judged {
    row: usize,
    /// What the column `id` says, else the row's number.
    id: Json,
    ranked: Vec<Chance>,
    asked: Option<Vec<String>>,
}

impl Judged {
    fn of(pack: &TablePack, number: usize, row: &Row, ask: Option<f64>) -> Self {
        let id = row.id.as_ref().map_or_else(|| json!(number), |id| json!(id));
        let Some(ask) = ask else {
            return Self { row: number, id, ranked: pack.posterior(&row.answers), asked: None };
        };
        let found = pack.ask(&row.answers, ask);
        let asked = found.asked.iter().map(|a| pack.schema.attributes[*a].id.clone()).collect();
        Self { row: number, id, ranked: found.ranked, asked: Some(asked) }
    }

    fn json(&self) -> Json {
        let ranked: Vec<Json> =
            self.ranked.iter().map(|r| json!({ "cause": r.class, "probability": r.probability })).collect();
        let mut line = json!({ "id": self.id, "row": self.row, "ranked": ranked });
        if let Some(asked) = &self.asked {
            line["asked"] = json!(asked);
        }
        line
    }

    fn words(&self) -> String {
        let id = self.id.as_str().map_or_else(|| self.id.to_string(), str::to_owned);
        let ranked: Vec<String> =
            self.ranked.iter().take(3).map(|r| format!("{} {:.2}", r.class, r.probability)).collect();
        let asked = self.asked.as_ref().map(|a| format!("; asked {}", a.join(", "))).unwrap_or_default();
        format!("{id}: {}{asked}", ranked.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use dooryard_core::table::{Schema, TableSettings};

    use super::*;

    const SCHEMA: &str = r#"{"attributes": {"sky": ["clear", "dark"], "wind": ["still", "strong"]}}"#;
    const TABLE: &str =
        "id,sky,wind,kind\na,clear,still,calm\nb,clear,,calm\nc,dark,strong,storm\nd,dark,strong,storm\n";

    fn pack() -> TablePack {
        let table = Table::to_learn(TABLE, "kind", &Schema::from_json(SCHEMA).unwrap()).unwrap();
        TablePack::learn(&table, 1, &TableSettings::default()).unwrap()
    }

    #[test]
    fn a_line_has_the_id_or_the_number_and_every_class() {
        let pack = pack();
        let named = Table::to_judge(TABLE, "kind", &pack.schema).unwrap();
        let line = Judged::of(&pack, 2, &named.rows[2], None).json();
        assert_eq!((&line["id"], &line["row"], &line["ranked"][0]["cause"]), (&json!("c"), &json!(2), &json!("storm")));
        assert_eq!(line["ranked"].as_array().unwrap().len(), 2);
        assert!(line.get("asked").is_none());
        let bare = Table::to_judge("wind,sky\nstill,clear\n", "kind", &pack.schema).unwrap();
        let line = Judged::of(&pack, 0, &bare.rows[0], None).json();
        assert_eq!((&line["id"], &line["ranked"][0]["cause"]), (&json!(0), &json!("calm")));
    }

    #[test]
    fn asking_names_the_questions_in_order_and_ranks_after_them() {
        let pack = pack();
        let rows = Table::to_judge(TABLE, "kind", &pack.schema).unwrap().rows;
        let judged = Judged::of(&pack, 2, &rows[2], Some(0.7));
        assert_eq!(judged.json()["asked"], json!(["sky"]));
        assert!(judged.ranked[0].probability >= 0.7);
        assert!(judged.words().starts_with("c: storm 0."), "{}", judged.words());
        assert!(judged.words().ends_with("; asked sky"));
    }
}
