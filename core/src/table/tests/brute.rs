//! The tree and its message passing against plain enumeration.

use super::{CASES, small, weather};
use crate::table::{Answers, Schema, Table, TablePack, TableSettings, tree};

fn settings(edge_price: f64) -> TableSettings {
    TableSettings { edge_price, ..TableSettings::default() }
}

/// Chance of a whole row under a class, straight from the counts.
fn whole(pack: &TablePack, s: &TableSettings, row: &[usize], class: usize) -> f64 {
    let classes = pack.schema.classes.len();
    let mut product = 1.0;
    for (a, counts) in pack.counts.iter().enumerate() {
        let values = pack.schema.attributes[a].values.len();
        let own = |v: usize| f64::from(counts.own[v * classes + class]);
        let all: f64 = (0..values).map(own).sum();
        let alone = (own(row[a]) + s.smoothing) / (all + s.smoothing * values as f64);
        product *= match counts.parent {
            None => alone,
            Some(p) => {
                let with = |v: usize| f64::from(counts.with_parent[(row[p] * values + v) * classes + class]);
                let all: f64 = (0..values).map(with).sum();
                (with(row[a]) + s.edge_weight * alone) / (all + s.edge_weight)
            }
        };
    }
    product
}

/// Every whole row that has these answers.
fn completions(schema: &Schema, answers: &Answers) -> Vec<Vec<usize>> {
    let mut rows = vec![Vec::new()];
    for (attribute, answer) in schema.attributes.iter().zip(answers) {
        let values: Vec<usize> = answer.map_or_else(|| (0..attribute.values.len()).collect(), |v| vec![v]);
        rows = rows.iter().flat_map(|r| values.iter().map(|v| [r.as_slice(), &[*v]].concat())).collect();
    }
    rows
}

fn posterior(pack: &TablePack, s: &TableSettings, answers: &Answers) -> Vec<f64> {
    let weights = pack.cases.iter().enumerate().map(|(class, cases)| {
        let chance: f64 = completions(&pack.schema, answers).iter().map(|r| whole(pack, s, r, class)).sum();
        (f64::from(*cases) + 1.0).powf(s.prior_power) * chance.powf(s.tempering)
    });
    let weights: Vec<f64> = weights.collect();
    weights.iter().map(|w| w / weights.iter().sum::<f64>()).collect()
}

fn entropy(p: &[f64]) -> f64 {
    -p.iter().map(|p| p * p.ln()).sum::<f64>()
}

/// Every combination of answers and gaps.
fn all_answers(schema: &Schema) -> Vec<Answers> {
    let mut all = vec![Vec::new()];
    for attribute in &schema.attributes {
        let cells = std::iter::once(None).chain((0..attribute.values.len()).map(Some));
        all = cells.flat_map(|c| all.iter().map(move |r: &Answers| [r.as_slice(), &[c]].concat())).collect();
    }
    all
}

#[test]
fn chances_and_gains_are_those_of_enumeration_for_all_answers_and_gaps() {
    for price in [0.0, 1.0, 100.0] {
        let s = settings(price);
        let pack = TablePack::learn(&small(), 1, &s).unwrap();
        for answers in all_answers(&pack.schema) {
            let expected = posterior(&pack, &s, &answers);
            for chance in pack.posterior(&answers) {
                let class = pack.schema.classes.iter().position(|c| *c == chance.class).unwrap();
                assert!((chance.probability - expected[class]).abs() < 1e-12, "{answers:?}");
            }
            for question in pack.questions(&answers, &[true; 3]) {
                let after = |value: usize| {
                    let mut answers = answers.clone();
                    answers[question.attribute] = Some(value);
                    answers
                };
                let chance = |class: usize, answers: &Answers| -> f64 {
                    completions(&pack.schema, answers).iter().map(|r| whole(&pack, &s, r, class)).sum()
                };
                let values = pack.schema.attributes[question.attribute].values.len();
                let then: f64 = (0..values)
                    .map(|value| {
                        let answers_then = after(value);
                        let classes = expected.iter().enumerate();
                        let weight: f64 =
                            classes.map(|(c, p)| p * chance(c, &answers_then) / chance(c, &answers)).sum();
                        weight * entropy(&posterior(&pack, &s, &answers_then))
                    })
                    .sum();
                assert!((question.gain - (entropy(&expected) - then)).abs() < 1e-12, "{answers:?}");
            }
        }
    }
}

#[test]
fn an_edge_gains_its_information_less_its_price() {
    // Sky and ground, calm: clear-dry 3, gray-wet 3: 6 ln 2. Storm: dark-wet 2, gray-dry 2: 4 ln 2. One parameter each.
    let table = small();
    let gain = |price| tree::gain(&table.rows, &table.schema, (0, 1), price);
    assert!((gain(0.0) - 10.0 * 2.0_f64.ln()).abs() < 1e-12);
    assert!((gain(1.5) - (10.0 * 2.0_f64.ln() - 3.0)).abs() < 1e-12);
    // Sky and wind, calm: clear 2 still 1 strong, gray 1 still 1 strong; storm: wind is always strong and costs nothing.
    let by_hand = 2.0 * (2.0 * 5.0 / 9.0_f64).ln() + (5.0 / 6.0_f64).ln() + (5.0 / 6.0_f64).ln() + (5.0 / 4.0_f64).ln();
    assert!((tree::gain(&table.rows, &table.schema, (0, 2), 0.0) - by_hand).abs() < 1e-12);
    assert!((tree::gain(&table.rows, &table.schema, (2, 0), 1.0) - (by_hand - 1.0)).abs() < 1e-12);
}

#[test]
fn the_tree_is_the_best_of_all_trees_and_dear_edges_are_left_out() {
    let table = small();
    assert_eq!(tree::grow(&table.rows, &table.schema, 1.0), [None, Some(0), None]);
    assert_eq!(tree::grow(&table.rows, &table.schema, 100.0), [None, None, None]);
    let pairs = [(0, 1), (0, 2), (1, 2)];
    let gain = |pair| tree::gain(&table.rows, &table.schema, pair, 0.0);
    let worst = pairs.iter().map(|p| gain(*p)).fold(f64::INFINITY, f64::min);
    let best: f64 = pairs.iter().map(|p| gain(*p)).sum::<f64>() - worst;
    let grown = tree::grow(&table.rows, &table.schema, 0.0).into_iter().enumerate();
    let sum: f64 = grown.filter_map(|(a, parent)| Some(gain((parent?, a)))).sum();
    assert!((sum - best).abs() < 1e-12);
}

#[test]
fn without_edges_it_is_naive_bayes_by_hand() {
    let s = TableSettings {
        edge_price: 100.0,
        smoothing: 0.1,
        tempering: 1.0,
        prior_power: 1.0,
        ..TableSettings::default()
    };
    let pack = TablePack::learn(&small(), 1, &s).unwrap();
    let ranked = pack.posterior(&pack.answers([("wind", "strong")]).unwrap());
    // Calm: 7 of 13 times 2.1 of 5.2; storm: 6 of 13 times 4.1 of 4.2.
    let (calm, storm) = (7.0 * 2.1 / 5.2, 6.0 * 4.1 / 4.2);
    assert_eq!(ranked[0].class, "storm");
    assert!((ranked[0].probability - storm / (calm + storm)).abs() < 1e-12);
}

#[test]
fn asking_takes_the_best_question_and_counts_those_without_an_answer() {
    let pack = TablePack::learn(&small(), 1, &TableSettings::default()).unwrap();
    let first = pack.questions(&vec![None; 3], &[true; 3])[0];
    let asked = pack.ask(&vec![None; 3], 0.99);
    assert_eq!(asked.asked[0], first.attribute);
    assert_eq!(asked.ranked, pack.posterior(&vec![None; 3]), "no answer, nothing learned");
    assert_eq!(asked.asked.len(), 2, "all but the ground, which alone says next to nothing");
    assert!(pack.ask(&vec![None; 3], 0.5).asked.is_empty(), "sure enough before any question");
    let dark = pack.answers([("sky", "dark"), ("ground", "wet"), ("wind", "strong")]).unwrap();
    let asked = pack.ask(&dark, 0.6);
    assert_eq!(asked.ranked[0].class, "storm");
    assert!(asked.ranked[0].probability >= 0.6);
    assert!(asked.asked.len() < 3);
    assert!(pack.questions(&dark, &[true; 3]).is_empty(), "what was answered is not asked");
    let patient =
        TablePack::learn(&small(), 1, &TableSettings { least_gain: 10.0, ..TableSettings::default() }).unwrap();
    assert!(patient.ask(&dark, 0.99).asked.is_empty(), "no question is worth it");
}

#[test]
fn a_gap_is_not_a_value_and_the_same_table_gives_the_same_pack() {
    let table = small();
    assert_eq!(table.rows[3].answers, [Some(1), Some(1), None]);
    assert_eq!(table.rows[10].answers[2], None);
    assert_eq!(table.rows[0].id.as_deref(), Some("a"));
    let pack = TablePack::learn(&table, 3, &TableSettings::default()).unwrap();
    let again = TablePack::from_json(&pack.to_json()).unwrap();
    assert_eq!(again.to_json(), pack.to_json());
    assert_eq!((again.version, again.source.rows), (3, 11));
    assert_eq!(again.source.hash, blake3::hash(CASES.as_bytes()).to_hex().to_string());
    let answers = again.answers([("ground", "wet")]).unwrap();
    assert_eq!(again.posterior(&answers), pack.posterior(&answers));
}

#[test]
fn classes_left_to_the_table_are_those_it_has() {
    let mut schema = weather();
    schema.classes.clear();
    assert_eq!(Table::to_learn(CASES, "kind", &schema).unwrap().schema.classes, ["calm", "storm"]);
}
