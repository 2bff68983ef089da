//! Reads a table of coded cases from CSV.

use super::{Answers, Schema, TableProblem, TableProblems, schema::twice};
use std::collections::BTreeSet;

/// Name of a column that names the rows. It is no attribute.
const ID: &str = "id";

/// One case.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Row {
    /// What the column `id` says, where there is one.
    pub id: Option<String>,
    /// Index of the class; nothing where the cell is empty or the column is missing.
    pub class: Option<usize>,
    /// The cells, by attribute in the order of the schema.
    pub answers: Answers,
}

/// A table of coded cases.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Table {
    /// What it can hold; its classes are known.
    pub schema: Schema,
    /// Name of the column with the class.
    pub class: String,
    /// The cases.
    pub rows: Vec<Row>,
    /// BLAKE3 of the bytes it was read from, as hex.
    pub source: String,
}

impl Table {
    /// Reads a table to learn from: every row has a class, and every column is the class, `id` or an attribute. An empty
    /// cell, or `?`, is a gap.
    ///
    /// # Errors
    /// Everything that is wrong: its form, no rows, columns that are missing, unknown or there twice, unknown values,
    /// rows without a class.
    pub fn to_learn(csv: &str, class: &str, schema: &Schema) -> Result<Self, TableProblems> {
        let table = read(csv, class, schema, true)?;
        let gaps = table.rows.iter().enumerate().filter(|(_, r)| r.class.is_none());
        let gaps: Vec<_> = gaps.map(|(row, _)| TableProblem::NoClass { row }).collect();
        if gaps.is_empty() { Ok(table) } else { Err(TableProblems(gaps)) }
    }

    /// Reads a table whose cases are to be judged: the class may be missing, and columns that are no attribute are passed
    /// over.
    ///
    /// # Errors
    /// As [`Table::to_learn`], but for what may be missing here.
    pub fn to_judge(csv: &str, class: &str, schema: &Schema) -> Result<Self, TableProblems> {
        read(csv, class, schema, false)
    }
}

/// What a column of the file is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Column {
    Id,
    Class,
    Attribute(usize),
    Other,
}

fn read(csv: &str, class: &str, schema: &Schema, to_learn: bool) -> Result<Table, TableProblems> {
    schema.check()?;
    let mut reader =
        csv::ReaderBuilder::new().trim(csv::Trim::All).from_reader(csv.trim_start_matches('\u{feff}').as_bytes());
    let unreadable = |e: csv::Error| TableProblem::Unreadable { what: "table", message: e.to_string() };
    let head: Vec<String> = reader.headers().map_err(unreadable)?.iter().map(str::to_owned).collect();
    let columns = columns(&head, class, schema, to_learn)?;

    let mut cells = Vec::new();
    for record in reader.records() {
        let record = record.map_err(unreadable)?;
        cells.push(record.iter().map(|c| (c != "?" && !c.is_empty()).then(|| c.to_owned())).collect::<Vec<_>>());
    }
    if cells.is_empty() {
        return Err(TableProblem::Empty.into());
    }
    let mut schema = schema.clone();
    if schema.classes.is_empty() {
        let at = columns.iter().position(|c| *c == Column::Class);
        let found: BTreeSet<&String> =
            at.iter().flat_map(|at| cells.iter().filter_map(|row| row[*at].as_ref())).collect();
        schema.classes = found.into_iter().cloned().collect();
    }
    let mut problems = Vec::new();
    let rows = cells.into_iter().enumerate();
    let rows = rows.map(|(row, cells)| sort(row, cells, (&head, &columns), &schema, &mut problems)).collect();
    if !to_learn {
        // Judging needs no class: one that the schema does not have only means that no answer can be right.
        problems.retain(|p| !matches!(p, TableProblem::UnknownValue { column, .. } if column == class));
    }
    if !problems.is_empty() {
        return Err(TableProblems(problems));
    }
    let source = blake3::hash(csv.as_bytes()).to_hex().to_string();
    Ok(Table { schema, class: class.to_owned(), rows, source })
}

fn columns(head: &[String], class: &str, schema: &Schema, to_learn: bool) -> Result<Vec<Column>, TableProblems> {
    let mut problems = Vec::new();
    twice("column", head.iter(), &mut problems);
    if schema.attribute_index(class).is_some() {
        problems.push(TableProblem::bad(class, "is the class and cannot be an attribute"));
    }
    let mut columns = Vec::with_capacity(head.len());
    for name in head {
        columns.push(match schema.attribute_index(name) {
            Some(attribute) => Column::Attribute(attribute),
            None if name == class => Column::Class,
            None if name == ID => Column::Id,
            None => Column::Other,
        });
        if to_learn && columns.last() == Some(&Column::Other) {
            problems.push(TableProblem::UnknownColumn(name.clone()));
        }
    }
    let needed = schema.attributes.iter().map(|a| a.id.as_str()).chain(to_learn.then_some(class));
    problems.extend(needed.filter(|n| !head.iter().any(|h| h == n)).map(|n| TableProblem::NoColumn(n.to_owned())));
    if problems.is_empty() { Ok(columns) } else { Err(TableProblems(problems)) }
}

/// Puts the cells of one row where they belong.
fn sort(
    row: usize,
    cells: Vec<Option<String>>,
    (head, columns): (&[String], &[Column]),
    schema: &Schema,
    problems: &mut Vec<TableProblem>,
) -> Row {
    let mut sorted = Row { id: None, class: None, answers: vec![None; schema.attributes.len()] };
    for ((cell, column), name) in cells.into_iter().zip(columns).zip(head) {
        let Some(value) = cell else { continue };
        let (place, found) = match column {
            Column::Id => {
                sorted.id = Some(value);
                continue;
            }
            Column::Other => continue,
            Column::Class => (&mut sorted.class, schema.classes.iter().position(|c| *c == value)),
            Column::Attribute(a) => (&mut sorted.answers[*a], schema.attributes[*a].value_index(&value)),
        };
        *place = found;
        if found.is_none() {
            problems.push(TableProblem::UnknownValue { row: Some(row), column: name.clone(), value });
        }
    }
    sorted
}
