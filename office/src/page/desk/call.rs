//! A call as a form of the desk brings it, and the drafts of those that somebody takes down: [`dooryard_core::inquiry::Call`] says
//! what it holds and which records it becomes.

use std::ops::Deref;

use dooryard_core::{
    Result,
    ids::RecordId,
    inquiry,
    notebook::{Notebook, Record},
};

pub(super) use dooryard_core::inquiry::{CONSENTS, Problem};

use crate::{desk::Office, page::guard::Given};

/// How the drafts of calls begin that somebody takes down, and of those that are over.
const UNDER_WAY: &str = "desk ";
const OVER: &str = "called ";

/// A call.
#[derive(Clone, PartialEq, Debug, Default)]
pub(super) struct Call(inquiry::Call);

impl Deref for Call {
    type Target = inquiry::Call;

    fn deref(&self) -> &inquiry::Call {
        &self.0
    }
}

impl Call {
    /// As a form was sent. `questions` are the ids of the safety questions.
    pub(super) fn given<'q>(given: &Given, questions: impl Iterator<Item = &'q str>) -> Self {
        Self(inquiry::Call::given(|name| given.text(name), questions))
    }

    /// As the records of an inquiry say.
    pub(super) fn of_records(notebook: &Notebook, inquiry: &Record) -> Result<Self> {
        inquiry::Call::of_records(notebook, inquiry).map(Self)
    }

    /// Keeps it as it is being typed.
    pub(super) fn keep_typed(&self, notebook: &Notebook, inquiry: RecordId) -> Result<()> {
        notebook.keep_draft(&key(UNDER_WAY, inquiry), Some(&text(self)))
    }

    /// As it was being typed, or what was kept once it was over; nothing where nobody took one.
    pub(super) fn typed(notebook: &Notebook, inquiry: RecordId) -> Result<Option<Self>> {
        let text = match notebook.draft(&key(UNDER_WAY, inquiry))? {
            None => notebook.draft(&key(OVER, inquiry))?,
            text => text,
        };
        Ok(text.and_then(|text| serde_json::from_str(&text).ok()).map(Self))
    }

    /// Calls that somebody began and nobody finished, the one written to last first.
    pub(super) fn under_way(notebook: &Notebook) -> Result<Vec<(RecordId, Self)>> {
        let mut found = Vec::new();
        for draft in notebook.drafts(UNDER_WAY)? {
            let Some(id) = draft.strip_prefix(UNDER_WAY).and_then(|id| id.parse().ok()) else { continue };
            found.extend(Self::typed(notebook, id)?.filter(|call| !call.finished).map(|call| (id, call)));
        }
        Ok(found)
    }

    /// Closes it: the records hold it now.
    pub(super) fn finish(&self, notebook: &Notebook, inquiry: RecordId) -> Result<()> {
        notebook.keep_draft(&key(OVER, inquiry), Some(&text(&self.rest())))?;
        notebook.keep_draft(&key(UNDER_WAY, inquiry), None)
    }

    /// Takes over what was asked before, from another state of the same call.
    pub(super) fn with_answers_of(self, other: &Self) -> Self {
        Self(self.0.with_answers_of(other))
    }

    /// Writes it into the records of an inquiry. `raised` are the stops that stand, by id.
    pub(super) fn write(&self, office: &Office, inquiry: RecordId, raised: &[String]) -> Result<()> {
        let forget = |id: RecordId, fields: &[&str]| office.erase_fields(id, fields).map(drop);
        self.0.write(office.notebook(), inquiry, raised, &|_| true, &forget)
    }
}

fn text(call: &inquiry::Call) -> String {
    serde_json::to_string(call).unwrap_or_default()
}

fn key(beginning: &str, inquiry: RecordId) -> String {
    format!("{beginning}{inquiry}")
}
