//! Everything of class P0 and P1 as JSON, for the office's own use; `schemas/dump.schema.json` describes it.

use std::io::Write;
use std::path::Path;

use dooryard_core::{
    Result,
    notebook::Summary,
    record::{Kind, REGISTRY_VERSION, fields_of, json_schema},
};
use serde_json::{Map, Value as Json, json};

use super::{
    Audience, Written,
    case::KINDS,
    columns::may_leave,
    scope::Scope,
    whole::{whole, writing},
};

/// Kinds in a dump beside the inquiry, in the order in which they stand in it.
fn kinds() -> impl Iterator<Item = Kind> {
    [Kind::Site].into_iter().chain(KINDS)
}

/// The form of a dump.
pub const FORM: &str = "dooryard dump 1";

/// Writes the dump, one inquiry after the other.
///
/// # Errors
/// `NO_SPACE`; of the stores. No half file is left.
pub fn write(scope: &Scope<'_>, out: &Path) -> Result<Written> {
    let mut counts: Map<String, Json> = Map::new();
    let (about, bytes) = whole(out, |file| {
        write!(file, "{{\"inquiries\":[").map_err(writing)?;
        let mut first = true;
        scope.each(|case| {
            let mut whole = json!({ "inquiry": record(case.inquiry, scope) });
            for kind in kinds() {
                let records: Vec<Json> = case.of(kind).into_iter().map(|row| record(row, scope)).collect();
                let counted = counts.entry(kind.name()).or_insert(json!(0));
                *counted = json!(counted.as_u64().unwrap_or(0) + records.len() as u64);
                whole[kind.name()] = Json::Array(records);
            }
            write!(file, "{}\n{whole}", if first { "" } else { "," }).map_err(writing)?;
            first = false;
            Ok(())
        })?;
        let mut about = scope.about("dump", &Json::Object(counts));
        about["form"] = json!(FORM);
        about["registry"] = json!(REGISTRY_VERSION);
        write!(file, "\n],\"about\":{about}}}\n").map_err(writing)?;
        Ok(about)
    })?;
    Ok(Written { bytes, about })
}

/// A record with the fields that may leave, and its causes without the regulated ones.
fn record(row: &Summary, scope: &Scope<'_>) -> Json {
    let mut fields = Map::new();
    for field in fields_of(row.kind).iter().filter(|f| may_leave(f, Audience::Office)) {
        let Some(mut value) = row.fields.get(field.name).cloned() else { continue };
        if let ("causes" | "blind", Some(causes)) = (field.name, value.as_array_mut()) {
            causes.retain(|c| c["cause"].as_str().is_none_or(|id| !scope.names.regulated.contains(id)));
        }
        fields.insert(field.name.to_owned(), value);
    }
    json!({ "id": row.id.to_string(), "changed_ms": row.changed_ms, "fields": fields })
}

/// JSON Schema (2020-12) of a dump, made from the registry.
pub fn schema() -> Json {
    let records = json_schema();
    let known = records["oneOf"].as_array().cloned().unwrap_or_default();
    let mut definitions = Map::new();
    let mut parts = Map::new();
    for kind in [Kind::Inquiry].into_iter().chain(kinds()) {
        let of_kind =
            known.iter().find(|k| k["properties"]["kind"]["const"] == kind.name()).cloned().unwrap_or_default();
        let mut fields = of_kind["properties"]["fields"].clone();
        if let Some(properties) = fields["properties"].as_object_mut() {
            properties
                .retain(|name, _| fields_of(kind).iter().any(|f| f.name == *name && may_leave(f, Audience::Office)));
            // A word of a newer version stands as its number.
            for property in properties.values_mut().filter(|p| p.get("enum").is_some()) {
                let words = property["enum"].take();
                property["anyOf"] = json!([{ "enum": words }, { "type": "object", "required": ["word"] }]);
                property.as_object_mut().map(|p| p.remove("enum"));
            }
        }
        definitions.insert(
            kind.name().to_owned(),
            json!({
                "type": "object",
                "description": kind.doc(),
                "required": ["id", "changed_ms", "fields"],
                "additionalProperties": false,
                "properties": {
                    "id": { "type": "string", "format": "uuid" },
                    "changed_ms": { "type": "integer", "description": "When it was last changed, milliseconds since 1970." },
                    "fields": fields
                }
            }),
        );
        let one = json!({ "$ref": format!("#/$defs/{}", kind.name()) });
        let part = if kind == Kind::Inquiry { one } else { json!({ "type": "array", "items": one }) };
        parts.insert(kind.name().to_owned(), part);
    }
    let needed: Vec<&String> = parts.keys().collect();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A Dooryard dump: what an office holds of class P0 and P1, by inquiry",
        "type": "object",
        "required": ["about", "inquiries"],
        "additionalProperties": false,
        "properties": {
            "about": {
                "type": "object",
                "required": ["form", "office", "made", "for", "filter", "inquiries", "rows", "registry"],
                "properties": { "form": { "const": FORM }, "registry": { "const": REGISTRY_VERSION } }
            },
            "inquiries": {
                "type": "array",
                "items": { "type": "object", "required": needed, "additionalProperties": false, "properties": parts }
            }
        },
        "$defs": definitions
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The committed schema is the one that the registry makes. `UPDATE=1` writes it anew, on purpose.
    #[test]
    fn the_committed_schema_has_not_drifted() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../schemas/dump.schema.json");
        let made = serde_json::to_string_pretty(&schema()).unwrap() + "\n";
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(path, &made).unwrap();
        }
        assert!(
            std::fs::read_to_string(path).unwrap_or_default() == made,
            "dump.schema.json differs: run it with UPDATE=1"
        );
    }
}
