//! A call as a form of the desk brings it: [`dooryard_core::inquiry::Call`] says what it holds and which records it becomes.

use std::ops::Deref;

use dooryard_core::{
    Result,
    ids::RecordId,
    inquiry,
    notebook::{Notebook, Record},
};

pub(super) use dooryard_core::inquiry::{CONSENTS, Problem};

use crate::{desk::Office, page::guard::Given};

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

    /// As it was being typed; nothing where nobody did.
    pub(super) fn typed(notebook: &Notebook, inquiry: RecordId) -> Result<Option<Self>> {
        Ok(inquiry::Call::typed(notebook, inquiry)?.map(Self))
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
