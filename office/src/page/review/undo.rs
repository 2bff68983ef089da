//! Taking back what was just done: changes that put things as they were. Nothing leaves the history.

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Notebook, UNDO},
    record::Kind,
};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value as Json};

use crate::people::Visitor;

/// One change that was made.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub(super) enum Step {
    /// A record was made: it is taken away.
    Made(String),
    /// A field was written: the value before comes back, unless somebody has written it since.
    Wrote { record: String, field: String, before: Json, after: Json },
    /// Fields were added that no value can take away: the record is taken away, and one with the fields before is made.
    Grew { record: String, kind: String, before: Map<String, Json> },
}

/// What can be taken back.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub(super) struct Done {
    /// Id of the sentence that says what was done.
    pub(super) what: String,
    /// On how many.
    pub(super) count: usize,
    pub(super) steps: Vec<Step>,
}

/// What became of taking back.
#[derive(Clone, Copy, Default, PartialEq, Eq, Debug)]
pub(super) struct Undone {
    /// Changes taken back.
    pub(super) back: usize,
    /// Left as they are: somebody changed them since.
    pub(super) left: usize,
}

fn key(who: &Visitor) -> String {
    format!("{UNDO}{}", who.account)
}

impl Done {
    /// Keeps it for this person, in place of what could be taken back before.
    ///
    /// # Errors
    /// Of the notebook.
    pub(super) fn keep(&self, notebook: &Notebook, who: &Visitor) -> Result<()> {
        notebook.keep_draft(&key(who), serde_json::to_string(self).ok().as_deref())
    }

    /// What this person can take back.
    ///
    /// # Errors
    /// Of the notebook.
    pub(super) fn of(notebook: &Notebook, who: &Visitor) -> Result<Option<Self>> {
        Ok(notebook.draft(&key(who))?.and_then(|text| serde_json::from_str(&text).ok()))
    }

    /// Forgets it.
    ///
    /// # Errors
    /// Of the notebook.
    pub(super) fn forget(notebook: &Notebook, who: &Visitor) -> Result<()> {
        notebook.keep_draft(&key(who), None)
    }

    /// Takes it back, the last change first.
    ///
    /// # Errors
    /// Of the notebook; what was taken back before stays so.
    pub(super) fn take_back(&self, notebook: &Notebook) -> Result<Undone> {
        let mut undone = Undone::default();
        for step in self.steps.iter().rev() {
            if step.take_back(notebook)? {
                undone.back += 1;
            } else {
                undone.left += 1;
            }
        }
        Ok(undone)
    }
}

impl Step {
    fn take_back(&self, notebook: &Notebook) -> Result<bool> {
        let (Self::Made(text) | Self::Wrote { record: text, .. } | Self::Grew { record: text, .. }) = self;
        let Ok(id) = text.parse::<RecordId>() else { return Ok(false) };
        let record = notebook.show(id)?;
        if record.hidden {
            return Ok(false);
        }
        match self {
            Self::Made(_) => notebook.delete(id)?,
            Self::Wrote { field, before, after, .. } => {
                if record.get(field) != Some(after) {
                    return Ok(false);
                }
                notebook.save(record.kind, Some(id), &Map::from_iter([(field.clone(), before.clone())]))?;
            }
            Self::Grew { kind, before, .. } => {
                let kind: Kind = kind.parse()?;
                notebook.delete(id)?;
                notebook.save(kind, None, before)?;
            }
        }
        Ok(true)
    }
}
