//! From the core's records to what a phone is shown.

use dooryard_core::{bundle, notebook};
use serde_json::Value as Json;

use crate::views::{
    AuthorView, ConflictView, FieldView, HistoryEntryView, LiveValueView, NamedValueView, PageView, RecordView,
    ReplyView, SummaryView, WaitingView,
};

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
    use crate::{
        requests::{Kind, RecordId},
        views::Role,
    };

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
