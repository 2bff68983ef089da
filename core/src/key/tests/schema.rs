//! `schemas/pack.schema.json`, made from the types that read a pack.

use super::files;
use crate::key::Source;
use serde_json::{Value, json};
use std::fs;

fn schema() -> Value {
    let mut schema = serde_json::to_value(schemars::schema_for!(Source)).unwrap();
    schema["title"] = json!("A Dooryard pack");
    schema
}

/// The committed schema is the one the types make. `UPDATE=1` writes it anew, on purpose.
#[test]
fn the_committed_schema_of_a_pack_has_not_drifted() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../schemas/pack.schema.json");
    let made = serde_json::to_string_pretty(&schema()).unwrap() + "\n";
    if std::env::var_os("UPDATE").is_some() {
        fs::write(path, &made).unwrap();
    }
    assert!(fs::read_to_string(path).unwrap_or_default() == made, "it differs: run `cargo xtask fixtures`");
}

/// Every member of an object in the starter pack is a property that the schema knows, and every one that it requires is
/// there. Types and words of the values are serde's to judge: the schema comes from the same types.
#[test]
fn the_starter_pack_has_the_members_that_the_schema_describes() {
    let schema = schema();
    let source = serde_json::to_value(Source::from_files(&files()).unwrap()).unwrap();
    let mut seen = 0;
    compare(&schema, &schema, &source, "", &mut seen);
    assert!(seen > 10_000, "{seen} members were compared");
    let mut wrong = source.clone();
    wrong["causes"][0].as_object_mut().unwrap().remove("prior");
    let compared = std::panic::catch_unwind(|| compare(&schema, &schema, &wrong, "", &mut 0));
    assert!(compared.is_err(), "a missing member is noticed");
}

fn compare(root: &Value, schema: &Value, value: &Value, place: &str, seen: &mut u64) {
    if let Some(reference) = schema["$ref"].as_str() {
        return compare(root, root.pointer(&reference[1..]).unwrap(), value, place, seen);
    }
    match value {
        Value::Object(members) if schema["type"] == "object" => {
            for name in schema["required"].as_array().into_iter().flatten() {
                assert!(members.contains_key(name.as_str().unwrap()), "{place}: no {name}");
            }
            for (name, member) in members {
                *seen += 1;
                let known = schema["properties"].get(name).or_else(|| schema.get("additionalProperties"));
                let known = known.filter(|k| **k != json!(false)).unwrap_or_else(|| panic!("{place}: {name}"));
                compare(root, known, member, &format!("{place}/{name}"), seen);
            }
        }
        Value::Array(items) if schema["items"].is_object() => {
            items
                .iter()
                .enumerate()
                .for_each(|(i, item)| compare(root, &schema["items"], item, &format!("{place}/{i}"), seen));
        }
        _ => {}
    }
}
