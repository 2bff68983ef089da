//! A pack of its own kind: learned from a table of coded cases, one class a row, gaps allowed.
//!
//! What lives here: the table and its schema, read from CSV and JSON; the learned pack, which keeps its counts and is
//! stored as JSON; the chances of the classes after some answers; and which question to put next. Nothing here stores or
//! reads a file. The same table gives the same pack, and the same answers give the same chances.
//!
//! The model is tree-augmented naive Bayes (Friedman, Geiger and Goldszmidt 1997): given the class, every attribute hangs
//! on at most one other. The tree is the one that explains the table best (Chow and Liu 1968), and an edge is kept only
//! where it gains more than its parameters cost (Akaike). An answer that is missing is summed out, never read as a value.

mod ask;
mod figures;
mod form;
mod network;
mod pack;
mod problem;
mod read;
mod schema;
mod settings;
mod tree;

#[cfg(test)]
mod tests;

pub use ask::{Asked, Question};
pub use figures::{Figures, cross_validate};
pub use pack::{Chance, Provenance, TablePack};
pub use problem::{TableProblem, TableProblems};
pub use read::{Row, Table};
pub use schema::{Attribute, Schema};
pub use settings::TableSettings;

/// What was answered, by attribute in the order of the schema: index of the value, or nothing where nobody looked or
/// nobody could tell. What is missing at the end, and an index that no value has, are gaps, too.
pub type Answers = Vec<Option<usize>>;
