//! What somebody types in a review: kept at this office under the person's account until it becomes a record, and in no
//! browser.

use std::collections::BTreeMap;

use dooryard_core::{Result, ids::RecordId, notebook::Notebook};

use crate::{page::guard::Given, people::Visitor};

/// Fields of a form and what stands in them.
#[derive(Clone, Default, PartialEq, Eq, Debug)]
pub(super) struct Typed(BTreeMap<String, String>);

fn key(who: &Visitor, id: RecordId) -> String {
    format!("review/{}/{id}", who.account)
}

impl Typed {
    /// As a form sent it.
    pub(super) fn of(given: &Given) -> Self {
        let own = given.fields().filter(|(name, text)| !matches!(*name, "token" | "seen") && !text.is_empty());
        Self(own.map(|(name, text)| (name.to_owned(), text.to_owned())).collect())
    }

    /// What this person has typed of a review.
    ///
    /// # Errors
    /// Of the notebook.
    pub(super) fn kept(notebook: &Notebook, who: &Visitor, id: RecordId) -> Result<Self> {
        let text = notebook.draft(&key(who, id))?;
        Ok(Self(text.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default()))
    }

    /// This, with what another form says besides.
    pub(super) fn with(mut self, other: Self) -> Self {
        self.0.extend(other.0);
        self
    }

    /// Keeps it, in place of what was kept before.
    ///
    /// # Errors
    /// Of the notebook.
    pub(super) fn keep(&self, notebook: &Notebook, who: &Visitor, id: RecordId) -> Result<()> {
        let text = serde_json::to_string(&self.0).ok().filter(|_| !self.0.is_empty());
        notebook.keep_draft(&key(who, id), text.as_deref())
    }

    /// Forgets it: it has become a record.
    ///
    /// # Errors
    /// Of the notebook.
    pub(super) fn forget(notebook: &Notebook, who: &Visitor, id: RecordId) -> Result<()> {
        notebook.keep_draft(&key(who, id), None)
    }

    /// What stands in a field.
    pub(super) fn get(&self, field: &str) -> &str {
        self.0.get(field).map_or("", String::as_str)
    }

    /// Whether a field says exactly this.
    pub(super) fn is(&self, field: &str, text: &str) -> bool {
        self.get(field) == text
    }

    /// Whether nothing is typed.
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}
