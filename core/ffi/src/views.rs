//! What a phone is shown: plain records, values both as JSON and, where a person can read them so, as text.

use dooryard_core::{bundle, notebook, record};

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
    /// Photos and thumbnails that were in no bundle yet and did not fit: make another bundle, it begins with these.
    pub photos_left: u64,
    /// The office that can open it.
    pub to_office: String,
}

/// The same words in both languages.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct Bilingual {
    /// In English.
    pub en: String,
    /// In Spanish.
    pub es: String,
}

impl Bilingual {
    pub(crate) fn new(en: impl Into<String>, es: impl Into<String>) -> Self {
        Self { en: en.into(), es: es.into() }
    }
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
