//! What is wrong with a table, a schema or a learned pack, all of it at once.

use std::fmt;

/// One thing that is wrong.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum TableProblem {
    /// Not in its form; `message` says where and why.
    Unreadable {
        /// `table`, `schema` or `pack`.
        what: &'static str,
        /// What the reader said.
        message: String,
    },
    /// The table has no rows.
    Empty,
    /// The table lacks a column.
    NoColumn(String),
    /// The table has a column that the schema does not name.
    UnknownColumn(String),
    /// A row has no class.
    NoClass {
        /// Row, counted from 0.
        row: usize,
    },
    /// A cell holds none of the values that its column can have.
    UnknownValue {
        /// Row, counted from 0; nothing for an answer that stands in no table.
        row: Option<usize>,
        /// Its column.
        column: String,
        /// What the cell holds.
        value: String,
    },
    /// Two things of one sort have the same name.
    Twice {
        /// `column`, `attribute`, `class` or `value`.
        what: &'static str,
        /// The name.
        name: String,
    },
    /// Something that cannot be as it is.
    Bad {
        /// Where it stands.
        place: String,
        /// What is wrong, in a few words.
        why: &'static str,
    },
}

impl fmt::Display for TableProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable { what, message } => write!(f, "{what}: {message}"),
            Self::Empty => f.write_str("the table has no rows"),
            Self::NoColumn(name) => write!(f, "no column {name}"),
            Self::UnknownColumn(name) => write!(f, "column {name} is not in the schema"),
            Self::NoClass { row } => write!(f, "row {row} has no class"),
            Self::UnknownValue { row: Some(row), column, value } => {
                write!(f, "row {row}: {column} cannot be {value:?}")
            }
            Self::UnknownValue { row: None, column, value } => write!(f, "{column} cannot be {value:?}"),
            Self::Twice { what, name } => write!(f, "{what} {name} is there twice"),
            Self::Bad { place, why } => write!(f, "{place}: {why}"),
        }
    }
}

/// Everything that is wrong.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TableProblems(pub Vec<TableProblem>);

impl fmt::Display for TableProblems {
    /// The first ten, and how many more there are.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown: Vec<String> = self.0.iter().take(10).map(ToString::to_string).collect();
        f.write_str(&shown.join("; "))?;
        match self.0.len().saturating_sub(10) {
            0 => Ok(()),
            more => write!(f, "; and {more} more"),
        }
    }
}

impl std::error::Error for TableProblems {}

impl From<TableProblem> for TableProblems {
    fn from(problem: TableProblem) -> Self {
        Self(vec![problem])
    }
}

impl TableProblem {
    /// Something that cannot be as it is.
    pub(super) fn bad(place: impl Into<String>, why: &'static str) -> Self {
        Self::Bad { place: place.into(), why }
    }
}
