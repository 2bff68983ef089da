//! The learned pack: its counts, and the chances of the classes after some answers.

use super::network::{Network, Node};
use super::{Answers, Row, Schema, Table, TableProblem, TableProblems, TableSettings, tree};
use serde::{Deserialize, Serialize};
use std::fmt;

/// Most numbers that the chances of a pack may take up: some 100 MB.
const MOST_NUMBERS: usize = 12_000_000;

/// Most counts of pairs of values that learning goes through: some minutes.
const MOST_COUNTS: usize = 4_000_000_000;

/// Where a pack was learned from.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Provenance {
    /// BLAKE3 of the table's bytes, as hex.
    pub hash: String,
    /// How many rows it had.
    pub rows: u32,
}

/// A pack learned from a table of coded cases. It is stored as JSON: [`TablePack::to_json`], [`TablePack::from_json`].
pub struct TablePack {
    /// Attributes and classes.
    pub schema: Schema,
    /// Name of the column with the class.
    pub class: String,
    /// Counts up with every pack that is given out.
    pub version: u32,
    /// Where it was learned from.
    pub source: Provenance,
    pub(super) settings: TableSettings,
    /// Cases of each class.
    pub(super) cases: Vec<u32>,
    pub(super) counts: Vec<Counts>,
    pub(super) ln_prior: Vec<f64>,
    pub(super) network: Network,
}

/// How often the values of one attribute came.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Counts {
    pub parent: Option<usize>,
    /// `[value][class]`.
    pub own: Vec<u32>,
    /// `[value of the parent][value][class]`, of the rows that have both; empty without a parent.
    pub with_parent: Vec<u32>,
}

/// One class with its chance.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Chance {
    /// The class.
    pub class: String,
    /// From 0 to 1; those of all classes add up to 1.
    pub probability: f64,
}

impl fmt::Debug for TablePack {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("TablePack")
            .field("version", &self.version)
            .field("source", &self.source)
            .finish_non_exhaustive()
    }
}

impl TablePack {
    /// Learns a pack from a table. Rows without a class are passed over.
    ///
    /// # Errors
    /// No row with a class, settings outside their range, a schema too large to be learned.
    pub fn learn(table: &Table, version: u32, settings: &TableSettings) -> Result<Self, TableProblems> {
        Self::learn_from(table, &table.rows, version, settings)
    }

    /// The same from some of the rows.
    pub(super) fn learn_from(
        table: &Table,
        rows: &[Row],
        version: u32,
        settings: &TableSettings,
    ) -> Result<Self, TableProblems> {
        settings.check()?;
        table.schema.check()?;
        let classes = table.schema.classes.len();
        let mut cases = vec![0_u32; classes];
        rows.iter().filter_map(|r| r.class).for_each(|class| cases[class] += 1);
        let known = cases.iter().sum();
        if known == 0 {
            return Err(TableProblem::Empty.into());
        }
        let sizes = || table.schema.attributes.iter().map(|a| a.values.len());
        let cells = |values: usize| values.saturating_mul(values).saturating_mul(classes);
        if cells(sizes().max().unwrap_or(0)) > MOST_NUMBERS || cells(sizes().sum()) > MOST_COUNTS {
            return Err(TableProblem::bad("schema", "is too large to be learned").into());
        }
        let parents = tree::grow(rows, &table.schema, settings.edge_price);
        let counts = parents.into_iter().enumerate().map(|(a, parent)| Counts::of(rows, &table.schema, a, parent));
        let source = Provenance { hash: table.source.clone(), rows: known };
        let (schema, class) = (table.schema.clone(), table.class.clone());
        Self::from_counts(schema, class, cases, counts.collect(), (version, source), *settings)
    }

    pub(super) fn from_counts(
        schema: Schema,
        class: String,
        cases: Vec<u32>,
        counts: Vec<Counts>,
        (version, source): (u32, Provenance),
        settings: TableSettings,
    ) -> Result<Self, TableProblems> {
        settings.check()?;
        if cases.is_empty() {
            return Err(TableProblem::bad("classes", "there is none").into());
        }
        let numbers = counts.iter().map(|c| c.own.len().max(c.with_parent.len())).sum::<usize>();
        if numbers > MOST_NUMBERS {
            return Err(TableProblem::bad("schema", "is too large to be learned").into());
        }
        let nodes = counts.iter().map(|c| c.node(cases.len(), &settings)).collect();
        let Some(network) = Network::new(cases.len(), nodes) else {
            return Err(TableProblem::bad("attributes", "hang on one another in a circle").into());
        };
        let ln_prior = cases.iter().map(|n| settings.prior_power * (f64::from(*n) + 1.0).ln()).collect();
        Ok(Self { schema, class, version, source, settings, cases, counts, ln_prior, network })
    }

    /// Answers by name, for [`TablePack::posterior`].
    ///
    /// # Errors
    /// Names and values that the pack does not have, and attributes answered twice.
    pub fn answers<'a>(&self, named: impl IntoIterator<Item = (&'a str, &'a str)>) -> Result<Answers, TableProblems> {
        let mut answers = vec![None; self.schema.attributes.len()];
        let mut problems = Vec::new();
        for (name, value) in named {
            let Some(at) = self.schema.attribute_index(name) else {
                problems.push(TableProblem::UnknownColumn(name.to_owned()));
                continue;
            };
            if answers[at].is_some() {
                problems.push(TableProblem::Twice { what: "attribute", name: name.to_owned() });
            }
            answers[at] = self.schema.attributes[at].value_index(value);
            if answers[at].is_none() {
                let (column, value) = (name.to_owned(), value.to_owned());
                problems.push(TableProblem::UnknownValue { row: None, column, value });
            }
        }
        if problems.is_empty() { Ok(answers) } else { Err(TableProblems(problems)) }
    }

    /// The classes with their chances after these answers, best first; ties in the order of the schema.
    ///
    /// `P(class | answers)` is proportional to `(cases + 1)^prior_power * P(answers | class)^tempering`.
    pub fn posterior(&self, answers: &Answers) -> Vec<Chance> {
        self.ranked(&self.chances(&self.network.ln_likelihood(answers)))
    }

    /// Chances of the classes, from the natural log of the chance of the answers by class.
    pub(super) fn chances(&self, ln_likelihood: &[f64]) -> Vec<f64> {
        let scores = self.ln_prior.iter().zip(ln_likelihood).map(|(p, l)| p + self.settings.tempering * l);
        let scores: Vec<f64> = scores.collect();
        let highest = scores.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut chances: Vec<f64> = scores.into_iter().map(|s| (s - highest).exp()).collect();
        let sum: f64 = chances.iter().sum();
        chances.iter_mut().for_each(|c| *c /= sum);
        chances
    }

    pub(super) fn ranked(&self, chances: &[f64]) -> Vec<Chance> {
        let pairs = self.schema.classes.iter().zip(chances);
        let mut ranked: Vec<_> = pairs.map(|(c, p)| Chance { class: c.clone(), probability: *p }).collect();
        ranked.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        ranked
    }
}

impl Counts {
    fn of(rows: &[Row], schema: &Schema, attribute: usize, parent: Option<usize>) -> Self {
        let (classes, values) = (schema.classes.len(), schema.attributes[attribute].values.len());
        let above = parent.map_or(0, |p| schema.attributes[p].values.len());
        let (mut own, mut with_parent) = (vec![0; values * classes], vec![0; above * values * classes]);
        for row in rows {
            let (Some(class), Some(value)) = (row.class, row.answers[attribute]) else { continue };
            own[value * classes + class] += 1;
            if let Some(above) = parent.and_then(|p| row.answers[p]) {
                with_parent[(above * values + value) * classes + class] += 1;
            }
        }
        Self { parent, own, with_parent }
    }

    /// The chances. Without a parent: `(count + smoothing) / (all + smoothing * values)`; with one:
    /// `(count + edge_weight * chance without) / (all + edge_weight)`.
    fn node(&self, classes: usize, settings: &TableSettings) -> Node {
        let values = self.own.len() / classes;
        let alone = smoothed(&self.own, classes, settings.smoothing * values as f64, |_| 1.0 / values as f64);
        let chances = if self.parent.is_none() {
            alone
        } else {
            let blocks = self.with_parent.chunks_exact(self.own.len());
            blocks.flat_map(|block| smoothed(block, classes, settings.edge_weight, |i| alone[i])).collect()
        };
        Node { parent: self.parent, values, chances }
    }
}

/// `(count + weight * expected) / (all of the class + weight)`, for counts as `[value][class]`.
fn smoothed(counts: &[u32], classes: usize, weight: f64, expected: impl Fn(usize) -> f64) -> Vec<f64> {
    let mut sums = vec![weight; classes];
    for line in counts.chunks_exact(classes) {
        for (sum, n) in sums.iter_mut().zip(line) {
            *sum += f64::from(*n);
        }
    }
    let numbers = counts.iter().enumerate();
    numbers.map(|(i, n)| (f64::from(*n) + weight * expected(i)) / sums[i % classes]).collect()
}
