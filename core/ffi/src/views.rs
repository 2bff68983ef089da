//! What a phone is shown: plain records, values both as JSON and, where a person can read them so, as text.

use dooryard_core::{bundle, notebook, record};
use serde_json::Value as Json;

use crate::requests::{Kind, RecordId};

/// What a certificate says its holder is.
pub type Role = record::Role;

/// What a certificate says its holder is.
#[uniffi::remote(Enum)]
pub enum Role {
    /// A volunteer in the yard.
    Scout,
    /// A volunteer who leads others.
    Lead,
    /// The county's horticulture educator.
    Educator,
    /// The office's own machine.
    Office,
}

/// How far a record is on its way.
pub type Way = notebook::Way;

/// How far a record is on its way.
#[uniffi::remote(Enum)]
pub enum Way {
    /// Nowhere but here.
    OnThisPhone,
    /// In a bundle that was made; the office has not answered yet.
    HandedOver,
    /// The office said that it holds it.
    OfficeHasIt,
    /// The office reviewed it.
    Reviewed,
}

/// What a bundle holds.
pub type BundleSummary = bundle::BundleSummary;

/// What a bundle holds.
#[uniffi::remote(Record)]
pub struct BundleSummary {
    /// Changes in it.
    pub changes: u64,
    /// Photos and thumbnails in it.
    pub photos: u64,
    /// Its size in bytes.
    pub bytes: u64,
    /// Changes that did not fit: make another bundle after the office's reply.
    pub left: u64,
    /// The office that can open it.
    pub to_office: String,
}

/// What a certificate of the office says of this notebook.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct EnrolmentView {
    /// Its role.
    pub role: Role,
    /// Its name in lists and histories, such as `Scout 3`.
    pub label: String,
}

/// Who wrote a value.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct AuthorView {
    /// The device, 32 hexadecimal digits.
    pub device: String,
    /// The name on its certificate, such as `Scout 3`.
    pub label: String,
    /// The role on its certificate; none when no certificate is known.
    pub role: Option<Role>,
}

/// A value under a name.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct NamedValueView {
    /// The field's name.
    pub name: String,
    /// The value as JSON; none when it was erased or withheld.
    pub json: Option<String>,
    /// The value as text; none for lists and groups, and where `json` is none.
    pub text: Option<String>,
}

/// One live value of a field.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct LiveValueView {
    /// The value as JSON; none when it was erased or withheld.
    pub json: Option<String>,
    /// The value as text; none for lists and groups, and where `json` is none.
    pub text: Option<String>,
    /// Who wrote it.
    pub author: AuthorView,
    /// When, in milliseconds since 1970, as the office corrected it.
    pub at_ms: i64,
    /// The change that brought it, 64 hexadecimal digits.
    pub change: String,
}

/// One field of a record.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct FieldView {
    /// Its name.
    pub name: String,
    /// What is shown.
    pub shown: LiveValueView,
    /// Other live values that differ: a conflict.
    pub others: Vec<LiveValueView>,
}

/// One record as it stands.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct RecordView {
    /// Its id.
    pub id: RecordId,
    /// Its kind.
    pub kind: Kind,
    /// Deleted.
    pub hidden: bool,
    /// Its fields in order of the registry.
    pub fields: Vec<FieldView>,
}

/// One row of a list.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct SummaryView {
    /// Its id.
    pub id: RecordId,
    /// Its kind.
    pub kind: Kind,
    /// Deleted.
    pub hidden: bool,
    /// Shown values.
    pub fields: Vec<NamedValueView>,
    /// When it was last changed, milliseconds since 1970, corrected.
    pub changed_ms: i64,
    /// How many of its fields are in conflict.
    pub conflicts: u32,
}

/// One page of a list.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct PageView {
    /// Rows that match in all.
    pub total: u64,
    /// The rows of this page.
    pub rows: Vec<SummaryView>,
}

/// A change of this notebook that does not count at the office yet.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct WaitingView {
    /// The change, 64 hexadecimal digits.
    pub change: String,
    /// Why: a code of the wire.
    pub code: String,
}

/// What a reply of the office brought.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct ReplyView {
    /// Its number.
    pub number: u64,
    /// Records that the office shows this device.
    pub records: u64,
    /// Own changes that the office holds for certain.
    pub received: u64,
    /// Own photos and thumbnails that the office holds.
    pub photos_received: u64,
    /// Own changes that wait at the office.
    pub waiting: Vec<WaitingView>,
    /// This notebook was restored from a copy: it goes on and offers again what the office does not hold for certain.
    pub restored: bool,
}

/// One save in the history of a record.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct HistoryEntryView {
    /// The change, 64 hexadecimal digits.
    pub change: String,
    /// Who saved.
    pub author: AuthorView,
    /// When, milliseconds since 1970, corrected.
    pub at_ms: i64,
    /// Why it does not count (a code of the wire), when it does not.
    pub waiting: Option<String>,
    /// What was written.
    pub wrote: Vec<NamedValueView>,
}

/// A conflict of one field.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct ConflictView {
    /// The record.
    pub record: RecordId,
    /// Its kind.
    pub kind: Kind,
    /// The field.
    pub field: String,
    /// The differing live values, the shown one first.
    pub values: Vec<LiveValueView>,
    /// Who wrote what when, and that neither had seen the other.
    pub sentence: String,
}

/// A value as JSON and, unless it is a list or a group, as text.
fn forms(value: Option<&Json>) -> (Option<String>, Option<String>) {
    let text = value.and_then(|value| match value {
        Json::String(text) => Some(text.clone()),
        Json::Number(number) => Some(number.to_string()),
        Json::Bool(yes) => Some(yes.to_string()),
        Json::Null | Json::Array(_) | Json::Object(_) => None,
    });
    (value.map(ToString::to_string), text)
}

fn named(name: String, value: Option<&Json>) -> NamedValueView {
    let (json, text) = forms(value);
    NamedValueView { name, json, text }
}

impl From<notebook::Author> for AuthorView {
    fn from(author: notebook::Author) -> Self {
        Self { device: author.device.to_hex(), label: author.label, role: author.role }
    }
}

impl From<notebook::LiveValue> for LiveValueView {
    fn from(live: notebook::LiveValue) -> Self {
        let (json, text) = forms(live.value.as_ref());
        Self { json, text, author: live.author.into(), at_ms: live.at_ms, change: live.change.to_hex() }
    }
}

impl From<notebook::FieldView> for FieldView {
    fn from(field: notebook::FieldView) -> Self {
        Self { name: field.name, shown: field.shown.into(), others: many(field.others) }
    }
}

impl From<notebook::Record> for RecordView {
    fn from(record: notebook::Record) -> Self {
        Self { id: record.id, kind: record.kind, hidden: record.hidden, fields: many(record.fields) }
    }
}

impl From<notebook::Summary> for SummaryView {
    fn from(row: notebook::Summary) -> Self {
        Self {
            id: row.id,
            kind: row.kind,
            hidden: row.hidden,
            fields: row.fields.into_iter().map(|(name, value)| named(name, Some(&value))).collect(),
            changed_ms: row.changed_ms,
            conflicts: row.conflicts,
        }
    }
}

impl From<notebook::Page> for PageView {
    fn from(page: notebook::Page) -> Self {
        Self { total: page.total as u64, rows: many(page.rows) }
    }
}

impl From<notebook::HistoryEntry> for HistoryEntryView {
    fn from(entry: notebook::HistoryEntry) -> Self {
        Self {
            change: entry.change.to_hex(),
            author: entry.author.into(),
            at_ms: entry.at_ms,
            waiting: entry.waiting,
            wrote: entry.wrote.into_iter().map(|(name, value)| named(name, value.as_ref())).collect(),
        }
    }
}

impl From<notebook::Conflict> for ConflictView {
    fn from(conflict: notebook::Conflict) -> Self {
        Self {
            record: conflict.record,
            kind: conflict.kind,
            field: conflict.field,
            values: many(conflict.values),
            sentence: conflict.sentence,
        }
    }
}

impl From<bundle::ReplyTaken> for ReplyView {
    fn from(reply: bundle::ReplyTaken) -> Self {
        Self {
            number: reply.number,
            records: reply.records,
            received: reply.received,
            photos_received: reply.photos_received,
            waiting: many(reply.waiting),
            restored: reply.restored,
        }
    }
}

impl From<(String, String)> for WaitingView {
    fn from((change, code): (String, String)) -> Self {
        Self { change, code }
    }
}

/// Converts each of a list.
pub(crate) fn many<A, B: From<A>>(all: Vec<A>) -> Vec<B> {
    all.into_iter().map(B::from).collect()
}

#[cfg(test)]
mod tests {
    use dooryard_core::ids::{DeviceId, Hash32};
    use serde_json::json;

    use super::*;

    fn live(value: Option<Json>) -> notebook::LiveValue {
        let author =
            notebook::Author { device: DeviceId([0xab; 16]), label: "Scout 3".into(), role: Some(Role::Scout) };
        notebook::LiveValue { value, author, at_ms: 1_780_000_000_000, change: Hash32([0x0c; 32]) }
    }

    #[test]
    fn words_numbers_and_yes_have_text_and_groups_and_erased_values_have_none() {
        for (value, json, text) in [
            (Some(json!("hoja \"ñ\" 🌳")), Some("\"hoja \\\"ñ\\\" 🌳\""), Some("hoja \"ñ\" 🌳")),
            (Some(json!(3)), Some("3"), Some("3")),
            (Some(json!(true)), Some("true"), Some("true")),
            (Some(json!(["dog"])), Some("[\"dog\"]"), None),
            (Some(json!({"x": 1})), Some("{\"x\":1}"), None),
            (None, None, None),
        ] {
            let view = LiveValueView::from(live(value));
            assert_eq!((view.json.as_deref(), view.text.as_deref()), (json, text));
        }
    }

    #[test]
    fn a_record_keeps_authors_conflicts_and_order() {
        let id: RecordId = "0197f0c0-0000-7000-8000-000000000000".parse().unwrap();
        let field = |name: &str, others| notebook::FieldView {
            name: name.into(),
            field: None,
            shown: live(Some(json!("a"))),
            others,
        };
        let fields = vec![field("status", vec![live(Some(json!("b")))]), field("part", vec![])];
        let view = RecordView::from(notebook::Record { id, kind: Kind::Finding, hidden: true, fields });
        assert_eq!((view.id, view.kind, view.hidden), (id, Kind::Finding, true));
        assert_eq!(view.fields.iter().map(|f| f.name.as_str()).collect::<Vec<_>>(), ["status", "part"]);
        assert_eq!(view.fields[0].others[0].text.as_deref(), Some("b"));
        let author = &view.fields[0].shown.author;
        assert_eq!((author.device.as_str(), author.label.as_str()), ("ab".repeat(16).as_str(), "Scout 3"));
        assert_eq!(view.fields[0].shown.change, "0c".repeat(32));
    }
}
