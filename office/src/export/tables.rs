//! The tables of an export, and the rows that one inquiry gives to each.

use dooryard_core::{notebook::Summary, record::Kind};
use serde_json::Value as Json;

use super::{
    case::Case,
    columns::{Cell, Column, columns},
    scope::Scope,
};

/// One table.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, clap::ValueEnum)]
pub enum Table {
    /// One row an inquiry, with the coarse place of its site.
    Inquiries,
    /// One row a plant, or a group of one kind.
    Plants,
    /// One row a visit, with its effort.
    Visits,
    /// One row a finding: seen, absent, could not tell, not looked.
    Findings,
    /// One row a cause of each diagnosis in force.
    Diagnoses,
    /// One row a photo.
    Photos,
}

impl Table {
    /// Every table, in order.
    pub const ALL: [Self; 6] =
        [Self::Inquiries, Self::Plants, Self::Visits, Self::Findings, Self::Diagnoses, Self::Photos];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Inquiries => "inquiries",
            Self::Plants => "plants",
            Self::Visits => "visits",
            Self::Findings => "findings",
            Self::Diagnoses => "diagnoses",
            Self::Photos => "photos",
        }
    }

    fn kind(self) -> Kind {
        match self {
            Self::Inquiries => Kind::Inquiry,
            Self::Plants => Kind::Plant,
            Self::Visits => Kind::Visit,
            Self::Findings => Kind::Finding,
            Self::Diagnoses => Kind::Diagnosis,
            Self::Photos => Kind::Photo,
        }
    }
}

/// A table's columns, ready to take rows out of inquiries.
pub struct Form {
    table: Table,
    own: Vec<Column>,
    site: Vec<Column>,
}

impl Form {
    /// The form of a table for the readers of an export.
    pub fn new(table: Table, scope: &Scope<'_>) -> Self {
        let own = columns(table.kind(), scope.audience);
        let site = if table == Table::Inquiries { columns(Kind::Site, scope.audience) } else { Vec::new() };
        Self { table, own, site }
    }

    /// Its headings; the first is the record's number.
    pub fn headings(&self) -> Vec<String> {
        let names = self.own.iter().chain(&self.site).map(|c| c.name.clone());
        ["id".to_owned()].into_iter().chain(names).collect()
    }

    /// The rows of one inquiry.
    pub fn rows(&self, case: &Case<'_>, scope: &Scope<'_>) -> Vec<Vec<Cell>> {
        let mut rows = Vec::new();
        for record in case.of(self.table.kind()) {
            if self.table == Table::Diagnoses {
                rows.extend(open_causes(record, scope).map(|cause| self.row(record, Some(cause), case, scope)));
            } else {
                rows.push(self.row(record, None, case, scope));
            }
        }
        rows
    }

    fn row(&self, record: &Summary, item: Option<&Json>, case: &Case<'_>, scope: &Scope<'_>) -> Vec<Cell> {
        let cell = |row: &Summary, column: &Column| column.cell(row, item, scope.names, &scope.ids, scope.audience);
        let mut cells = vec![Cell::Text(scope.ids.of(record.id))];
        cells.extend(self.own.iter().map(|column| cell(record, column)));
        cells.extend(self.site.iter().map(|column| case.site.map_or(Cell::Empty, |site| cell(site, column))));
        cells
    }
}

/// The causes of a diagnosis that may be named: a regulated one is not before the authority has spoken.
pub fn open_causes<'r>(diagnosis: &'r Summary, scope: &Scope<'_>) -> impl Iterator<Item = &'r Json> {
    let causes = diagnosis.fields.get("causes").and_then(Json::as_array).into_iter().flatten();
    causes.filter(|c| c.get("cause").and_then(Json::as_str).is_some_and(|id| !scope.names.regulated.contains(id)))
}
