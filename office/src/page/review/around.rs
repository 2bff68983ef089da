//! An inquiry with the rows that refer to it, as lists hold them.

use std::collections::BTreeMap;

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Query, Summary},
    record::Kind,
};

use crate::ledger::every;

/// One inquiry with what hangs on it.
pub(super) struct Around {
    pub(super) inquiry: Summary,
    rows: BTreeMap<RecordId, Summary>,
}

impl Around {
    /// Reads it: what refers to the inquiry, and what refers to its plants and visits.
    ///
    /// # Errors
    /// Of the notebook.
    pub(super) fn read(notebook: &Notebook, inquiry: Summary) -> Result<Self> {
        let mut rows = BTreeMap::new();
        let mut front = vec![inquiry.id];
        for _ in 0..2 {
            let mut next = Vec::new();
            for target in front {
                for row in every(notebook, &Query { refers_to: Some(target), ..Query::default() })? {
                    if matches!(row.kind, Kind::Plant | Kind::Visit) {
                        next.push(row.id);
                    }
                    if !matches!(row.kind, Kind::Inquiry | Kind::Alert) {
                        rows.insert(row.id, row);
                    }
                }
            }
            front = next;
        }
        Ok(Self { inquiry, rows })
    }

    /// The rows of one kind, oldest id first.
    pub(super) fn of(&self, kind: Kind) -> impl Iterator<Item = &Summary> {
        self.rows.values().filter(move |row| row.kind == kind)
    }
}
