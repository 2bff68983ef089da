//! One save as the history tells it: every field that it wrote, with what stood there before. What is private is named only.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value as Json;

use super::say::Say;
use crate::{
    notebook::HistoryEntry,
    record::{Kind, Privacy, Type, fields_of},
    words::{Argument, sentence_case},
};

/// What one save wrote.
#[derive(Clone, PartialEq, Debug)]
pub struct Written {
    /// When, the record: `a finding (leaf spots)`.
    pub head: String,
    /// Its fields with their values.
    pub fields: Vec<String>,
    /// Those that say what a person did: no link to another record, no version, no text that came out of a pack.
    pub own: Vec<String>,
    /// It wrote fields, and none of them says what a person did.
    pub aside: bool,
}

/// What a program writes beside what a person does: versions, marks, texts of a pack.
const BY_ITSELF: [(Kind, &[&str]); 6] = [
    (Kind::Visit, &["protocol", "app_version", "pack_version"]),
    (Kind::Diagnosis, &["reasons", "pack_version"]),
    (Kind::Advice, &["blocks", "text", "cautions", "label_shown"]),
    (Kind::Photo, &["size", "orientation", "mime"]),
    (Kind::Site, &["cell", "county"]),
    (Kind::FollowUp, &["done"]),
];

/// Whether a field says what a person did.
fn is_own(kind: Kind, name: &str) -> bool {
    let linked = |ty: &Type| matches!(ty, Type::Ref(_) | Type::Blob | Type::List(Type::Ref(_)));
    let link = fields_of(kind).iter().any(|f| f.name == name && linked(&f.ty));
    !link && !BY_ITSELF.iter().any(|(of, names)| *of == kind && names.contains(&name))
}

/// One save with the record it belongs to.
pub struct Saved<'a> {
    /// The record's kind.
    pub kind: Kind,
    /// What the record is called here, such as `leaf spot`.
    pub called: String,
    /// It is the record's first save.
    pub first: bool,
    /// Fields that an earlier save of the record wrote, with what it wrote last.
    pub earlier: BTreeMap<&'a str, Option<&'a Json>>,
    /// Fields of which this save's value stands beside another.
    pub beside: BTreeSet<&'a str>,
    /// The save.
    pub entry: &'a HistoryEntry,
}

/// The record of a save: `a finding (leaf spots)`.
pub(super) fn thing(save: &Saved<'_>, say: Say<'_>) -> String {
    let one = say.kind(save.kind, 1);
    if save.called.is_empty() { one } else { format!("{one} ({})", save.called) }
}

/// Every field that a save wrote, with what stood there before.
pub(super) fn written(save: &Saved<'_>, say: Say<'_>) -> Written {
    let own = |name: &str| is_own(save.kind, name);
    let fields = save.entry.wrote.iter().filter(|(name, _)| name != "existence").map(|(name, value)| {
        let said = sentence_case(&say.field(save.kind, name));
        let value = told_value(save.kind, name, value.as_ref(), say);
        let before = save.earlier.get(name.as_str()).map(|before| told_value(save.kind, name, *before, say));
        let mut words = match before {
            Some(before) if before != value => {
                let given: [(&str, &dyn Argument); 3] = [("field", &said), ("before", &before), ("value", &value)];
                say.words.with("inquiry-h-field-changed", given)
            }
            _ => format!("{said}: {value}"),
        };
        if save.beside.contains(name.as_str()) {
            words = format!("{words} ({})", say.say("inquiry-h-beside"));
        }
        (own(name), words)
    });
    let fields: Vec<(bool, String)> = fields.collect();
    let given: [(&str, &dyn Argument); 2] = [("at", &say.when.full_ms(save.entry.at_ms)), ("thing", &thing(save, say))];
    let own: Vec<String> = fields.iter().filter(|(own, _)| *own).map(|(_, words)| words.clone()).collect();
    Written {
        head: say.words.with("inquiry-h-save", given),
        aside: own.is_empty() && !fields.is_empty(),
        own,
        fields: fields.into_iter().map(|(_, words)| words).collect(),
    }
}

/// A value as the history tells it: what is private and what is sealed is named only.
fn told_value(kind: Kind, name: &str, value: Option<&Json>, say: Say<'_>) -> String {
    let field = fields_of(kind).iter().find(|f| f.name == name);
    match (field.map(|f| (f.class, f.ty)), value) {
        (_, None) => say.say("inquiry-h-erased"),
        (Some((Privacy::Private | Privacy::Sealed, _)) | None, _) => say.say("inquiry-h-private"),
        (Some((_, Type::Ref(_) | Type::Blob)), _) => say.say("inquiry-h-link"),
        (Some((_, Type::List(Type::Ref(_)))), Some(value)) => {
            say.words.with("inquiry-h-links", [("n", &value.as_array().map_or(0, Vec::len))])
        }
        // They may name what is regulated; what may be shown of them stands with the answers.
        _ if matches!((kind, name), (Kind::Diagnosis, "reasons") | (Kind::Review, "correction")) => {
            say.say("inquiry-h-words")
        }
        (_, Some(value)) => say.value(kind, name, value),
    }
}

/// A field that was written again: its name, with its value where that can be told.
pub(super) fn now_words(kind: Kind, name: &str, value: Option<&Json>, say: Say<'_>) -> String {
    let said = say.field(kind, name);
    let field = fields_of(kind).iter().find(|f| f.name == name);
    match (field.map(|f| (f.class, f.ty)), value) {
        (Some((Privacy::Private | Privacy::Sealed, _)) | None, _) => said,
        (_, None) => format!("{said} ({})", say.say("inquiry-h-erased")),
        (Some((_, Type::Ref(_) | Type::Blob | Type::List(Type::Ref(_)))), _) => said,
        (_, Some(_)) => {
            let value = told_value(kind, name, value, say);
            let given: [(&str, &dyn Argument); 2] = [("field", &said), ("value", &value)];
            say.words.with("inquiry-h-now", given)
        }
    }
}

/// A field that was written for the first time: by its name, with its value where that is one word of the registry.
pub(super) fn added_words(kind: Kind, name: &str, value: Option<&Json>, say: Say<'_>) -> String {
    let said = say.field(kind, name);
    let field = fields_of(kind).iter().find(|f| f.name == name && f.class <= Privacy::Office);
    match (field.map(|f| f.ty), value.and_then(Json::as_str)) {
        (Some(Type::Word(_)), Some(text)) => format!("{said} {}", say.word(text)),
        _ => said,
    }
}
