//! The goals on 307 coded soybean plants of 19 diseases, where they are at hand.

use crate::table::{Schema, Table, TableSettings, cross_validate};
use std::{fs, path::Path};

#[test]
fn held_out_soybean_plants_reach_the_goals() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../shared/reference/soybean");
    let (Ok(schema), Ok(rows)) =
        (fs::read_to_string(folder.join("schema.json")), fs::read_to_string(folder.join("train_labels.csv")))
    else {
        eprintln!("not measured: the coded soybean plants are not at hand");
        return;
    };
    let table = Table::to_learn(&rows, "class", &Schema::from_json(&schema).unwrap()).unwrap();
    let found = cross_validate(&table, &TableSettings::default(), 10, 3, Some(0.9)).unwrap();
    eprintln!("{found:.4?}");
    assert_eq!(found.judged, 3 * table.rows.len());
    assert!(found.first >= 0.93, "first choice right in {:.3}", found.first);
    assert!(found.log_loss <= 0.26, "log loss {:.3}", found.log_loss);
    assert!(found.brier <= 0.09, "Brier {:.3}", found.brier);
    assert!(found.questions <= 7.0, "{:.2} questions", found.questions);
    assert!(found.right_at_stop >= 0.93, "right at stop in {:.3}", found.right_at_stop);
}
