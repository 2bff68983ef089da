//! Records and names that the tests of this part tell.

use serde_json::Value as Json;

use super::Names;
use crate::{
    ids::{DeviceId, Hash32, RecordId},
    key::tests::landscape,
    notebook::{Author, FieldView, LiveValue, Record},
    record::{Field, Kind, Role, fields_of},
};

/// Names of the starter pack.
pub(crate) fn names() -> Names {
    Names::of(&landscape())
}

/// A record with these fields, all written by Scout 3 at one moment.
pub(crate) fn record(kind: Kind, fields: &Json) -> Record {
    let author = Author { device: DeviceId([3; 16]), label: "Scout 3".into(), role: Some(Role::Scout) };
    let live = |value: &Json| LiveValue {
        value: Some(value.clone()),
        author: author.clone(),
        at_ms: 1_784_560_000_000,
        change: Hash32([3; 32]),
    };
    let given = fields.as_object().unwrap();
    assert!(given.keys().all(|name| fields_of(kind).iter().any(|f| f.name == *name)), "{kind}: {given:?}");
    let known = fields_of(kind).iter().filter_map(|f| Some((f, given.get(f.name)?)));
    let view = |(f, value): (&'static Field, &Json)| FieldView {
        name: f.name.to_owned(),
        field: Some(f),
        shown: live(value),
        others: Vec::new(),
    };
    Record { id: RecordId([7; 16]), kind, hidden: false, fields: known.map(view).collect() }
}
