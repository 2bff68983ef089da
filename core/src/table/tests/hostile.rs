//! Tables, schemas and packs that are wrong: everything wrong is said.

use super::{CASES, small, weather};
use crate::table::{Schema, Table, TablePack, TableProblem, TableSettings};

fn refused(csv: &str) -> Vec<TableProblem> {
    Table::to_learn(csv, "kind", &weather()).unwrap_err().0
}

#[test]
fn every_unknown_value_is_named_with_its_row() {
    let csv = CASES.replace("a,clear", "a,pink").replace("k,gray,dry,?,storm", "k,gray,damp,?,");
    let unknown = |row, column: &str, value: &str| TableProblem::UnknownValue {
        row: Some(row),
        column: column.into(),
        value: value.into(),
    };
    assert_eq!(refused(&csv), [unknown(0, "sky", "pink"), unknown(10, "ground", "damp")]);
    assert_eq!(refused(&CASES.replace("?,storm", "?,")), [TableProblem::NoClass { row: 10 }]);
    assert_eq!(refused(&CASES.replace("?,storm", "?,tornado")), [unknown(10, "kind", "tornado")]);
}

#[test]
fn missing_unknown_and_doubled_columns_are_named() {
    let csv = CASES.replace("id,sky,ground,wind,kind", "id,sky,sky,breeze,kind");
    assert_eq!(
        refused(&csv),
        [
            TableProblem::Twice { what: "column", name: "sky".into() },
            TableProblem::UnknownColumn("breeze".into()),
            TableProblem::NoColumn("ground".into()),
            TableProblem::NoColumn("wind".into()),
        ]
    );
    assert_eq!(Table::to_learn(CASES, "sort", &weather()).unwrap_err().0.len(), 2);
    assert_eq!(Table::to_learn(CASES, "sky", &weather()).unwrap_err().0.len(), 2);
}

#[test]
fn empty_and_ragged_tables_are_refused() {
    assert_eq!(refused("id,sky,ground,wind,kind\n"), [TableProblem::Empty]);
    assert_eq!(refused("").len(), 4);
    let ragged = refused(&format!("{CASES}l,dark\n"));
    assert!(matches!(&ragged[..], [TableProblem::Unreadable { what: "table", message }] if message.contains("fields")));
}

#[test]
fn judging_needs_no_class_and_passes_over_what_it_does_not_know() {
    let csv = "sky,note,ground,wind\ndark,\"a, b\",,strong\n";
    let table = Table::to_judge(csv, "kind", &weather()).unwrap();
    assert_eq!((table.rows[0].class, &table.rows[0].answers), (None, &vec![Some(2), None, Some(1)]));
    let csv = "sky,ground,wind,kind\ndark,,strong,tornado\n";
    assert_eq!(Table::to_judge(csv, "kind", &weather()).unwrap().rows[0].class, None);
    assert!(Table::to_judge("sky,ground,wind\npink,,\n", "kind", &weather()).is_err());
    assert!(Table::to_judge("sky,wind\ndark,still\n", "kind", &weather()).is_err());
    let unlabelled = Table::to_judge("sky,ground,wind\ndark,,\n", "kind", &weather()).unwrap();
    let refused = TablePack::learn(&unlabelled, 1, &TableSettings::default()).unwrap_err();
    assert_eq!(refused.0, [TableProblem::Empty]);
}

#[test]
fn schemas_say_what_is_wrong_with_them() {
    let problems = |json: &str| Schema::from_json(json).unwrap_err().0;
    let twice = r#"{"attributes": {"sky": ["a", "a"], "sky": ["b"], "wind": []}, "classes": ["x", "x"]}"#;
    assert_eq!(problems(twice).len(), 4);
    assert_eq!(problems(r#"{"attributes": {}}"#).len(), 1);
    assert!(matches!(problems("{")[0], TableProblem::Unreadable { what: "schema", .. }));
    assert!(Schema::from_json(r#"{"attributes": {"sky": ["a"]}, "colours": []}"#).is_err());
}

#[test]
fn packs_that_were_tampered_with_are_refused() {
    let json = TablePack::learn(&small(), 1, &TableSettings::default()).unwrap().to_json();
    let read = |from: &str, to: &str| {
        assert!(json.contains(from), "{from} in {json}");
        TablePack::from_json(&json.replacen(from, to, 1)).map(|_| ()).unwrap_err().to_string()
    };
    assert!(read(r#""kind":"table""#, r#""kind":"words""#).contains("kind"));
    assert!(read(r#""form":1"#, r#""form":2"#).contains("form 2"));
    assert!(read(r#""tempering":0.8"#, r#""tempering":0.0"#).contains("tempering"));
    assert!(read(r#""smoothing":0.2"#, r#""smoothing":-1.0"#).contains("smoothing"));
    assert!(read(r#""parent":"sky""#, r#""parent":"moon""#).contains("hangs on no attribute"));
    assert!(read(r#""parent":"sky""#, r#""parent":"ground""#).contains("another size"));
    assert!(read(r#""counts":[[3,0]"#, r#""counts":[[3,0,0]"#).contains("another size"));
    assert!(read(r#""counts":[[3,0]"#, r#""counts":[[4000000000,0]"#).contains("more than there were cases"));
    assert!(read(r#""id":"storm""#, r#""id":"calm""#).contains("twice"));
    assert!(TablePack::from_json(&json[..json.len() / 2]).is_err());
    // Two attributes that hang on one another.
    let circle = json.replace(
        r#""wind","values":["still","strong"],"#,
        r#""wind","values":["still","strong"],"parent":"wind","with_parent":[[[0,0],[0,0]],[[0,0],[0,0]]],"#,
    );
    assert!(TablePack::from_json(&circle).unwrap_err().to_string().contains("circle"));
}

#[test]
fn answers_by_name_are_checked() {
    let pack = TablePack::learn(&small(), 1, &TableSettings::default()).unwrap();
    let wrong = pack.answers([("sky", "pink"), ("moon", "full"), ("wind", "still"), ("wind", "strong")]).unwrap_err();
    assert_eq!(wrong.0.len(), 3);
    assert_eq!(
        wrong.to_string(),
        "sky cannot be \"pink\"; column moon is not in the schema; attribute wind is there twice"
    );
}

#[test]
fn a_thousand_answers_neither_vanish_nor_overflow() {
    let names: Vec<String> = (0..300).map(|i| format!("q{i}")).collect();
    let attributes: Vec<String> = names.iter().map(|n| format!("\"{n}\": [\"no\", \"yes\"]")).collect();
    let schema = Schema::from_json(&format!("{{\"attributes\": {{{}}}}}", attributes.join(","))).unwrap();
    let row = |value: &str, class: &str| format!("{}{class}\n", format!("{value},").repeat(300));
    let csv = format!("{},kind\n{}", names.join(","), (row("yes", "x") + &row("no", "y")).repeat(30));
    let table = Table::to_learn(&csv, "kind", &schema).unwrap();
    let pack = TablePack::learn(&table, 1, &TableSettings::default()).unwrap();
    let ranked = pack.posterior(&table.rows[0].answers);
    assert_eq!(ranked[0].class, "x");
    assert!((ranked.iter().map(|r| r.probability).sum::<f64>() - 1.0).abs() < 1e-12);
    let mixed: Vec<_> = (0..300).map(|i| Some(i % 2)).collect();
    assert!(pack.posterior(&mixed).iter().all(|r| r.probability.is_finite()));
}

#[test]
fn a_schema_that_would_take_hours_is_refused() {
    let values: Vec<String> = (0..1_900).map(|i| format!("\"v{i}\"")).collect();
    let attributes: Vec<String> = (0..40).map(|i| format!("\"q{i}\": [{}]", values.join(","))).collect();
    let schema = Schema::from_json(&format!("{{\"attributes\": {{{}}}}}", attributes.join(","))).unwrap();
    let head: Vec<String> = (0..40).map(|i| format!("q{i}")).collect();
    let csv = format!("{},kind\n{}x\n", head.join(","), "v1,".repeat(40));
    let table = Table::to_learn(&csv, "kind", &schema).unwrap();
    let refused = TablePack::learn(&table, 1, &TableSettings::default()).unwrap_err();
    assert!(refused.to_string().contains("too large"));
}

#[test]
fn answers_that_cannot_be_are_gaps() {
    let pack = TablePack::learn(&small(), 1, &TableSettings::default()).unwrap();
    let whole = pack.posterior(&vec![Some(2), None, None]);
    for odd in [vec![Some(2)], vec![Some(2), Some(9), None], vec![Some(2), None, None, Some(1)]] {
        assert_eq!(pack.posterior(&odd), whole);
        assert_eq!(pack.ask(&odd, 1.0).ranked.len(), 2);
    }
    assert!(pack.questions(&Vec::new(), &[]).is_empty());
}
