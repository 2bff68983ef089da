//! Documents made from the registry: the table of fields and the JSON Schema. Both are committed and checked for drift.

use std::fmt::Write;

use serde_json::{Map, Value as Json, json};

use super::{
    lookup::fields_of,
    registry::{Field, Kind, Part, REGISTRY_VERSION, Type},
};

/// The table of all fields in Markdown.
pub fn fields_table() -> String {
    let mut out = format!(
        "# Field registry, version {REGISTRY_VERSION}\n\nMade by `cargo xtask fixtures` from `core/src/record`; never edited by hand. Field 0 of every kind is \
         its existence.\nPrivacy: P0 may be public, P1 office and volunteers, P2 private, P3 sealed.\n"
    );
    for kind in Kind::ALL {
        let _ = write!(
            out,
            "\n## {} ({})\n\n{}\n\n| id | field | value | class | written by | meaning |\n|---|---|---|---|---|---|\n",
            kind.name(),
            kind.id(),
            kind.doc()
        );
        for f in fields_of(*kind) {
            let Field { id, name, class, doc, .. } = f;
            let _ = writeln!(
                out,
                "| {id} | `{name}` | {} | {} | {} | {doc} |",
                words(&f.ty),
                class.name(),
                f.writers.names().join(", ")
            );
        }
    }
    out
}

fn words(ty: &Type) -> String {
    match ty {
        Type::Existence => "existence".into(),
        Type::Text(limit) => format!("text, at most {limit} characters"),
        Type::Key => "id of the pack".into(),
        Type::Int(low, high) => format!("whole number {low} to {high}"),
        Type::Decimal => "decimal".into(),
        Type::Bool => "yes or no".into(),
        Type::Word(list) => list.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>().join(", "),
        Type::Date => "date".into(),
        Type::Instant => "instant with zone".into(),
        Type::Degrees(low, high) => format!("degrees {low} to {high}"),
        Type::Ref(kind) => format!("reference to {kind}"),
        Type::Blob => "content address".into(),
        Type::List(item) => format!("list of ({})", words(item)),
        Type::Group(parts) => {
            let list = parts.iter().map(|p| format!("{}{}: {}", p.name, if p.needed { "" } else { "?" }, words(&p.ty)));
            format!("group ({})", list.collect::<Vec<_>>().join("; "))
        }
    }
}

/// JSON Schema (2020-12) of a record as scripts give it: `{"kind": …, "id"?: …, "fields": {…}}`.
pub fn json_schema() -> Json {
    let kinds = Kind::ALL.iter().map(|kind| {
        let fields: Map<_, _> = fields_of(*kind)
            .iter()
            .map(|f| {
                let mut schema = schema_of(&f.ty);
                schema["description"] = json!(f.doc);
                schema["x-field"] = json!(f.id);
                schema["x-privacy"] = json!(f.class.name());
                schema["x-written-by"] = json!(f.writers.names());
                (f.name.to_owned(), schema)
            })
            .collect();
        json!({
            "type": "object",
            "description": kind.doc(),
            "required": ["kind", "fields"],
            "additionalProperties": false,
            "properties": {
                "kind": {"const": kind.name()},
                "id": {"type": "string", "format": "uuid"},
                "fields": {"type": "object", "additionalProperties": false, "properties": fields}
            }
        })
    });
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A Dooryard record",
        "x-registry-version": REGISTRY_VERSION,
        "oneOf": kinds.collect::<Vec<_>>()
    })
}

fn schema_of(ty: &Type) -> Json {
    match ty {
        Type::Existence => json!({}),
        Type::Text(limit) => json!({"type": "string", "maxLength": limit}),
        Type::Key => json!({"type": "string", "pattern": "^[a-z0-9_.]{1,100}$"}),
        Type::Int(low, high) => json!({"type": "integer", "minimum": low, "maximum": high}),
        Type::Decimal => json!({"type": ["string", "number"], "pattern": "^-?[0-9]+(\\.[0-9]+)?$"}),
        Type::Bool => json!({"type": "boolean"}),
        Type::Word(list) => json!({"enum": list}),
        Type::Date => json!({"type": "string", "format": "date"}),
        Type::Instant => json!({"type": "string", "maxLength": 100}),
        Type::Degrees(low, high) => json!({"type": "number", "minimum": low, "maximum": high}),
        Type::Ref(kind) => json!({"type": "string", "format": "uuid", "x-kind": kind.name()}),
        Type::Blob => json!({"type": "string", "pattern": "^1e[0-9a-f]{64}$"}),
        Type::List(item) => json!({"type": "array", "maxItems": 200, "items": schema_of(item)}),
        Type::Group(parts) => {
            let properties: Map<_, _> = parts.iter().map(|p| (p.name.to_owned(), schema_of(&p.ty))).collect();
            let needed: Vec<_> = parts.iter().filter(|p: &&Part| p.needed).map(|p| p.name).collect();
            json!({"type": "object", "additionalProperties": false, "required": needed, "properties": properties})
        }
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    /// The committed documents are the ones the registry makes. `UPDATE=1` writes them anew, on purpose.
    #[test]
    fn committed_documents_have_not_drifted() {
        let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../schemas");
        let schema = serde_json::to_string_pretty(&super::json_schema()).unwrap() + "\n";
        for (name, made) in [("fields.md", super::fields_table()), ("record.schema.json", schema)] {
            let path = format!("{root}/{name}");
            if std::env::var_os("UPDATE").is_some() {
                fs::write(&path, &made).unwrap();
            }
            assert!(
                fs::read_to_string(&path).unwrap_or_default() == made,
                "{name} differs: run `cargo xtask fixtures`"
            );
        }
    }
}
