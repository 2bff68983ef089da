//! An inquiry with the rows that belong to it, as lists hold them.

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Summary},
    record::Kind,
    words::Words,
};

use crate::{
    index::rows_around,
    ledger::Ledger,
    page::{Names, place},
};

/// One inquiry with what belongs to it.
pub(super) struct Around {
    pub(super) inquiry: Summary,
    /// Its answers in force, newest first.
    pub(super) answers: Vec<Summary>,
    rows: Vec<Summary>,
    hosts: Vec<String>,
    township: Option<String>,
}

impl Around {
    /// Reads these inquiries, without those that lists may not show.
    ///
    /// # Errors
    /// Of the notebook.
    pub(super) fn all(notebook: &Notebook, inquiries: &[RecordId], names: &Names) -> Result<Vec<Self>> {
        let rows = rows_around(notebook, inquiries)?;
        let ledger = Ledger::of_rows(rows.clone(), &names.suspect);
        let shown: Vec<&Summary> = rows.iter().filter(|row| !row.hidden && row.kind != Kind::Alert).collect();
        let around = |inquiry: &Summary| {
            let own = shown.iter().filter(|row| row.kind != Kind::Inquiry && ledger.owner(row) == Some(inquiry.id));
            Self {
                inquiry: inquiry.clone(),
                answers: ledger.diagnoses.get(&inquiry.id).cloned().unwrap_or_default(),
                rows: own.map(|row| (*row).clone()).collect(),
                hosts: ledger.hosts_of(inquiry.id).into_iter().map(str::to_owned).collect(),
                township: ledger.site_of(inquiry).and_then(|site| site.text("township")).map(str::to_owned),
            }
        };
        Ok(ledger.inquiries.iter().filter(|i| inquiries.contains(&i.id)).map(around).collect())
    }

    /// The rows of one kind, oldest id first.
    pub(super) fn of(&self, kind: Kind) -> impl Iterator<Item = &Summary> {
        self.rows.iter().filter(move |row| row.kind == kind)
    }

    /// Hosts of its plants.
    pub(super) fn hosts(&self) -> &[String] {
        &self.hosts
    }

    /// Hosts and township in words.
    pub(super) fn title(&self, names: &Names, words: Words) -> String {
        let hosts: Vec<String> = self.hosts.iter().map(|host| names.host(host)).collect();
        let what = if hosts.is_empty() { words.say("review-no-plant") } else { hosts.join("; ") };
        match &self.township {
            Some(township) => format!("{what}, {}", place::township(township, words)),
            None => what,
        }
    }
}
