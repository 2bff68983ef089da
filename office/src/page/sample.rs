//! Records and names made by hand, for tests.

use dooryard_core::{
    ids::{DeviceId, Hash32, RecordId},
    key::Pack,
    notebook::{Author, FieldView, LiveValue, Record},
    record::{Kind, Role, fields_of},
};
use serde_json::Value as Json;

use super::names::Names;

/// The starter pack.
pub fn pack() -> Pack {
    crate::pack::starter().unwrap()
}

/// Names of the starter pack.
pub fn names() -> Names {
    Names::of(&pack())
}

/// A record with these fields, all written by Scout 3 at one moment.
pub fn record(kind: Kind, fields: &Json) -> Record {
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
    let view = |(f, value): (&'static dooryard_core::record::Field, &Json)| FieldView {
        name: f.name.to_owned(),
        field: Some(f),
        shown: live(value),
        others: Vec::new(),
    };
    Record { id: RecordId([7; 16]), kind, hidden: false, fields: known.map(view).collect() }
}
