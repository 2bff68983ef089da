//! What a notebook shows: records with their live values, lists, histories, conflicts.

use serde::Serialize;
use serde_json::{Map, Value as Json};

use crate::{
    ids::{DeviceId, Hash32, LogId, RecordId},
    record::{Field, Kind, Role},
};

/// Who wrote a value.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct Author {
    /// The device.
    #[serde(serialize_with = "text")]
    pub device: DeviceId,
    /// The name on its certificate, such as `Scout 3`; the device's first digits when no certificate is known.
    pub label: String,
    /// The role on its certificate.
    #[serde(serialize_with = "role")]
    pub role: Option<Role>,
}

/// One live value of a field.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct LiveValue {
    /// The value; `None` when it was erased or withheld.
    pub value: Option<Json>,
    /// Who wrote it.
    pub author: Author,
    /// When, in milliseconds since 1970, as the author's clock claimed and the office corrected.
    pub at_ms: i64,
    /// The change that brought it.
    #[serde(serialize_with = "text")]
    pub change: Hash32,
}

/// One field of a record, with what is shown and what else is live.
#[derive(Clone, Debug, Serialize)]
pub struct FieldView {
    /// The field's name; `field 9901` for one of a newer version.
    pub name: String,
    /// The registry's entry.
    #[serde(skip)]
    pub field: Option<&'static Field>,
    /// What is shown.
    pub shown: LiveValue,
    /// Other live values that differ: a conflict.
    pub others: Vec<LiveValue>,
}

/// One record as it stands.
#[derive(Clone, Debug, Serialize)]
pub struct Record {
    /// Its id.
    #[serde(serialize_with = "text")]
    pub id: RecordId,
    /// Its kind.
    #[serde(serialize_with = "text")]
    pub kind: Kind,
    /// Deleted, and nothing live that the deletion had not seen.
    pub hidden: bool,
    /// Its fields in order of the registry.
    pub fields: Vec<FieldView>,
}

impl Record {
    /// The shown value of the field with this name.
    pub fn get(&self, name: &str) -> Option<&Json> {
        self.fields.iter().find(|f| f.name == name)?.shown.value.as_ref()
    }

    /// The shown text of the field with this name.
    pub fn text(&self, name: &str) -> Option<&str> {
        self.get(name)?.as_str()
    }

    /// The fields in conflict: several live values that differ, which somebody has to settle. Where a photo stands among the others
    /// is nothing to settle: the place that is shown holds.
    pub fn in_conflict(&self) -> impl Iterator<Item = &FieldView> {
        let settles = |f: &FieldView| self.kind == Kind::Photo && f.name == "order";
        self.fields.iter().filter(move |f| !f.others.is_empty() && !settles(f))
    }
}

/// One row of a list.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Summary {
    /// Its id.
    #[serde(serialize_with = "text")]
    pub id: RecordId,
    /// Its kind.
    #[serde(serialize_with = "text")]
    pub kind: Kind,
    /// Deleted.
    pub hidden: bool,
    /// Shown values by field name.
    pub fields: Map<String, Json>,
    /// When it was last changed, milliseconds since 1970, corrected.
    pub changed_ms: i64,
    /// How many of its fields are in conflict.
    pub conflicts: u32,
}

impl Summary {
    /// The shown text of the field with this name.
    pub fn text(&self, name: &str) -> Option<&str> {
        self.fields.get(name)?.as_str()
    }
}

/// What to list. The default lists everything that is not hidden, last changed first.
#[derive(Clone, Default, Debug)]
pub struct Query {
    /// Only this kind.
    pub kind: Option<Kind>,
    /// Only records in which these words stand (all of them, in any field, as beginnings of words).
    pub words: String,
    /// Only records whose shown value of a field equals this.
    pub equals: Vec<(String, Json)>,
    /// Only records one of whose references points here.
    pub refers_to: Option<RecordId>,
    /// Also hidden records.
    pub with_hidden: bool,
    /// Only records in conflict.
    pub in_conflict: bool,
    /// Rows to pass over.
    pub offset: usize,
    /// Rows at most; 0 means 100.
    pub limit: usize,
}

/// One page of a list.
#[derive(Clone, Debug, Serialize)]
pub struct Page {
    /// Rows that match in all.
    pub total: usize,
    /// The rows of this page.
    pub rows: Vec<Summary>,
}

/// One save in the history of a record.
#[derive(Clone, Debug, Serialize)]
pub struct HistoryEntry {
    /// The change.
    #[serde(serialize_with = "text")]
    pub change: Hash32,
    /// Its log and its place there: of saves at the same time of one log the earlier one stands before.
    #[serde(skip)]
    pub place: (LogId, u64),
    /// Who saved.
    pub author: Author,
    /// When, corrected, milliseconds since 1970.
    pub at_ms: i64,
    /// Why it does not count (a code of the wire), when it does not.
    pub waiting: Option<String>,
    /// Field names and the values written; `None` for erased or withheld ones.
    pub wrote: Vec<(String, Option<Json>)>,
}

/// A conflict of one field.
#[derive(Clone, Debug, Serialize)]
pub struct Conflict {
    /// The record.
    #[serde(serialize_with = "text")]
    pub record: RecordId,
    /// Its kind.
    #[serde(serialize_with = "text")]
    pub kind: Kind,
    /// The field.
    pub field: String,
    /// The differing live values, the shown one first.
    pub values: Vec<LiveValue>,
    /// In a sentence: who wrote what when, who else wrote what, and that neither had seen the other.
    pub sentence: String,
}

fn text<S: serde::Serializer>(value: &impl ToString, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_str(&value.to_string())
}

fn role<S: serde::Serializer>(value: &Option<Role>, s: S) -> Result<S::Ok, S::Error> {
    value.map(Role::name).serialize(s)
}
