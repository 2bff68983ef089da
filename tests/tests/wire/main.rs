//! `schemas/wire.cddl` against real bytes: every structure of a played season fits its rule, and the same structure with one value
//! of another type, one byte string or list longer, one entry less, does not.
#![allow(clippy::unwrap_used, reason = "a test")]

mod found;

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
};

use cddl_cat::{cbor::validate_cbor, context::BasicContext, flatten::flatten_from_str};
use ciborium::Value;
use dooryard_core::cbor;
use dooryard_tests::wire;
use found::{season, tree};

/// Every rule whose structures stand alone somewhere.
const RULES: [&str; 17] = [
    "head",
    "change",
    "segment",
    "tip",
    "statement",
    "envelope",
    "manifest",
    "receipt",
    "snapshot-row",
    "request",
    "card",
    "answer",
    "signed-tip",
    "signed-envelope",
    "signed-statement",
    "signed-receipt",
    "signed-card",
];

struct Schema(BasicContext);

impl Schema {
    fn read() -> Self {
        let text = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../schemas/wire.cddl")).unwrap();
        Self(BasicContext::new(flatten_from_str(&text).unwrap()))
    }

    fn fits(&self, rule: &str, value: &Value) -> Result<(), String> {
        validate_cbor(&self.0.rules[rule], value, &self.0).map_err(|e| e.to_string())
    }
}

/// Every value that differs from `value` at one place: nothing there, another type, one byte or item more. A byte string that
/// holds CBOR is changed inside. In a registry's value any type may stand, but not nothing.
fn changed(value: &Value, free: bool) -> Vec<(String, Value)> {
    let mut all = vec![("nothing in place of it".to_owned(), Value::Null)];
    match value {
        Value::Array(items) => {
            let longer = items.iter().cloned().chain([Value::Null]).collect();
            all.push((format!("{} items and one more", items.len()), Value::Array(longer)));
            for (n, item) in items.iter().enumerate() {
                all.extend(changed(item, free || is_value(items, n)).into_iter().map(|(what, other)| {
                    let mut items = items.clone();
                    items[n] = other;
                    (format!("{n}: {what}"), Value::Array(items))
                }));
            }
        }
        Value::Map(entries) => {
            for (n, (key, part)) in entries.iter().enumerate() {
                all.extend(changed(part, free).into_iter().map(|(what, other)| {
                    let mut entries = entries.clone();
                    entries[n] = (key.clone(), other);
                    (format!("{n}: {what}"), Value::Map(entries))
                }));
            }
        }
        Value::Bytes(bytes) => match inside(bytes) {
            Some(held) => all.extend(
                changed(&held, free)
                    .into_iter()
                    .map(|(what, other)| (format!("inside: {what}"), Value::Bytes(wire::cbor(&other).unwrap()))),
            ),
            None if !free => {
                all.push((format!("{} bytes and one more", bytes.len()), Value::Bytes([&bytes[..], &[0]].concat())));
                all.push(("text in place of it".into(), Value::Text(hex(bytes))));
            }
            None => {}
        },
        Value::Text(_) if !free => all.push(("bytes in place of it".into(), Value::Bytes(vec![7; 3]))),
        Value::Integer(_) if !free => all.push(("text in place of it".into(), Value::Text("1".into()))),
        _ => {}
    }
    all
}

/// Whether a registry's value stands at this place of a list: behind its salt in a slot, last in a snapshot's entry.
fn is_value(items: &[Value], place: usize) -> bool {
    let bytes = |n: usize, len: usize| items[n].as_bytes().is_some_and(|b| b.len() == len);
    (items.len() == 2 && place == 1 && bytes(0, 16)) || (items.len() == 7 && place == 6 && bytes(1, 32))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

/// The CBOR that a byte string holds: a list, a map, or a snapshot's value. No hash or key begins and ends like one here.
fn inside(bytes: &[u8]) -> Option<Value> {
    let named = [1, 12, 16, 24, 32, 33, 64].contains(&bytes.len());
    if named { None } else { cbor::check(bytes).is_ok().then(|| tree(bytes)) }
}

#[test]
fn every_structure_of_a_season_fits_its_rule_and_a_changed_one_does_not() {
    let (schema, found) = (Schema::read(), season());
    let expected = [
        "a lost change",
        "admit",
        "assign",
        "bodies",
        "cert",
        "clock",
        "erase",
        "manifest without a receipt",
        "photo",
        "refuse",
        "revoke",
        "segment without a signature",
        "slot without a body",
    ];
    assert_eq!(found.seen, BTreeSet::from(expected));
    let mut refused = 0;
    for rule in RULES {
        let samples = &found.samples.get(rule).unwrap_or_else(|| panic!("no bytes for {rule}"));
        for bytes in *samples {
            schema.fits(rule, &tree(bytes)).unwrap_or_else(|e| panic!("{rule}: {e}\n{}", hex(bytes)));
        }
        // The shortest, and some of every length up to where changing every place of it takes long.
        let mut by_length: BTreeMap<usize, &Vec<u8>> = BTreeMap::new();
        by_length.extend(samples.iter().map(|bytes| (bytes.len(), bytes)));
        let few: Vec<_> =
            by_length.values().take(1).chain(by_length.range(..4_000).map(|(_, b)| b).rev().take(4)).collect();
        for bytes in few {
            for (what, other) in changed(&tree(bytes), false) {
                // What a later version adds is open, and so is what it says in there.
                if !is_addition(rule, &what, bytes) {
                    assert!(schema.fits(rule, &other).is_err(), "{rule} took {what} of {}", hex(bytes));
                    refused += 1;
                }
            }
        }
    }
    println!(
        "{} structures fit, {refused} changed ones were refused",
        found.samples.values().map(BTreeSet::len).sum::<usize>()
    );
    assert!(refused > 1_000, "{refused}");
}

/// Whether only what stands in `crit` or `ext` of a head differs, or `ext` is new: both are open to later versions.
fn is_addition(rule: &str, what: &str, bytes: &[u8]) -> bool {
    let items = tree(bytes).as_array().map_or(0, Vec::len);
    let places = ["9: 0: ", "9: 1 items and one more", "10: ", "10 items and one more"];
    rule == "head" && items > 9 && places.iter().any(|place| what.starts_with(place))
}

#[test]
fn numbers_and_texts_out_of_range_are_refused() {
    let schema = Schema::read();
    let receipt = |level: u64| {
        Value::Array(vec![
            1.into(),
            Value::Bytes(vec![0; 16]),
            level.into(),
            Value::Array(vec![]),
            Value::Array(vec![]),
            Value::Array(vec![]),
            Value::Array(vec![]),
        ])
    };
    schema.fits("receipt", &receipt(1)).unwrap();
    schema.fits("receipt", &receipt(2)).unwrap_err();
    schema.fits("place", &Value::from(1u64 << 47)).unwrap();
    for n in [0u64, 1 << 48] {
        schema.fits("place", &Value::from(n)).unwrap_err();
    }
    schema.fits("small", &Value::from(u64::from(u32::MAX))).unwrap();
    schema.fits("small", &Value::from(1u64 << 32)).unwrap_err();
    schema.fits("recipient", &Value::Text("age1".into())).unwrap_err();
    for value in [Value::Null, Value::Float(1.5), Value::Tag(0, Box::new(1.into()))] {
        schema.fits("value", &value).unwrap_err();
    }
}
