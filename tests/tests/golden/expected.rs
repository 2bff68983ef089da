//! What is to become of each golden file, written down by hand. `fixtures/bundles/expected.json` is this table for readers in other
//! languages; nothing in it is taken from what the code does.

use dooryard_core::Code;
use serde_json::{Map, Value as Json, json};

/// The whole of `expected.json`.
pub fn expected() -> Json {
    json!({ "to_office": to_office(), "to_phone": to_phone(), "astray": astray() })
}

/// A file, those taken in before it, and the entries that differ from nothing.
fn case(name: &str, after: &[&str], nothing: Json, differing: Json) -> Json {
    let mut case = Map::from_iter([
        ("file".to_owned(), json!(format!("{name}.yard"))),
        ("after".to_owned(), after.iter().map(|name| json!(format!("{name}.yard"))).collect()),
    ]);
    for entries in [nothing, differing] {
        case.extend(entries.as_object().unwrap().clone());
    }
    Json::Object(case)
}

fn taken(name: &str, after: &[&str], differing: Json) -> Json {
    let nothing = json!({
        "outcome": "taken_in", "code": null, "retry": null, "new": 0, "repeated": 0, "waiting": {}, "forks": 0,
        "segments_refused": {}, "photos": 0, "photos_missing": 0, "parts_damaged": 0, "cut": false, "gaps": [], "lost": [],
    });
    case(name, after, nothing, differing)
}

fn refused(name: &str, outcome: &str, code: Code, retry: &str) -> Json {
    taken(name, &[], json!({"outcome": outcome, "code": code.name(), "retry": retry}))
}

fn to_office() -> Vec<Json> {
    vec![
        taken("first", &[], json!({"new": 3})),
        taken("first", &["first"], json!({"repeated": 3})),
        taken("second", &[], json!({"new": 2, "photos_missing": 0, "gaps": [[1, 3]]})),
        taken("first", &["second"], json!({"new": 3})),
        taken("second", &["first"], json!({"new": 2})),
        taken("whole", &[], json!({"new": 5, "photos": 2})),
        taken("whole", &["second", "first"], json!({"repeated": 5, "photos": 2})),
        taken("whole", &["whole"], json!({"repeated": 5})),
        taken("resealed", &[], json!({"new": 3})),
        taken("resealed", &["first"], json!({"repeated": 3})),
        taken("unknown-kinds", &[], json!({"new": 5})),
        taken("fork", &[], json!({"new": 4})),
        taken("fork", &["whole"], json!({"new": 1, "repeated": 3, "forks": 1})),
        taken("lost-change", &[], json!({"new": 4, "lost": [[2, 2]]})),
        taken("lost-change", &["lost-change"], json!({"repeated": 4, "lost": [[2, 2]]})),
        taken("whole", &["lost-change"], json!({"new": 1, "repeated": 4, "photos": 2})),
        taken("lost-change", &["whole"], json!({"repeated": 4})),
        taken("forged-before-lost", &[], json!({"segments_refused": {"BAD_SIGNATURE": 1}, "gaps": [[1, 5]]})),
        taken("cut-after-text", &[], json!({"new": 3, "cut": true})),
        taken("cut-in-photo", &[], json!({"new": 5, "photos": 1, "photos_missing": 1, "cut": true})),
        taken("whole", &["cut-in-photo"], json!({"repeated": 5, "photos": 1})),
        taken("flipped-photo", &[], json!({"new": 5, "photos": 1, "photos_missing": 1, "parts_damaged": 1})),
        taken("flipped-segment", &[], json!({"segments_refused": {"BAD_SIGNATURE": 1}, "gaps": [[1, 5]]})),
        taken("deep", &[], json!({"segments_refused": {"SCHEMA": 1}, "gaps": [[1, 1]]})),
        taken("revoked-device", &[], json!({"new": 1, "waiting": {"REVOKED": 1}})),
        taken("forbidden-field", &[], json!({"new": 1, "waiting": {"FORBIDDEN_FIELD": 1}})),
        taken("newer-change", &[], json!({"new": 1, "waiting": {"TOO_NEW": 1}})),
        taken("unknown-erasure", &[], json!({"new": 1, "waiting": {"GAP": 1}})),
        taken("unknown-field", &[], json!({"new": 1})),
        refused("other-office", "refused", Code::NotForUs, "never"),
        refused("other-recipient", "refused", Code::NotForUs, "never"),
        refused("a-reply", "refused", Code::NotForUs, "never"),
        refused("a-reply-resealed", "refused", Code::NotForUs, "never"),
        refused("cut-in-header", "refused", Code::BadMagic, "never"),
        refused("cut-in-length", "refused", Code::Cut, "later"),
        refused("cut-in-text", "refused", Code::Cut, "later"),
        refused("flipped-magic", "refused", Code::BadMagic, "never"),
        refused("flipped-flags", "refused", Code::BadSignature, "never"),
        refused("flipped-text", "refused", Code::PartHash, "later"),
        refused("flipped-envelope", "refused", Code::BadSignature, "never"),
        refused("flipped-signature", "refused", Code::BadSignature, "never"),
        refused("flipped-frames", "refused", Code::BadSignature, "never"),
        refused("unknown-device", "kept", Code::UnknownDevice, "after_person"),
        refused("new-version", "kept", Code::TooNew, "after_upgrade"),
        refused("bomb", "refused", Code::Bomb, "never"),
        refused("endless-part", "refused", Code::TooBig, "never"),
        refused("photo-first", "kept", Code::Schema, "after_person"),
        refused("no-manifest", "kept", Code::Schema, "after_person"),
    ]
}

fn reply(name: &str, after: &[&str], differing: Json) -> Json {
    let nothing = json!({
        "code": null, "retry": null, "sentence": null, "number": 0, "records": 0, "received": 0, "photos_received": 0,
        "waiting": [], "restored": false,
    });
    case(name, after, nothing, differing)
}

fn no_reply(name: &str, after: &[&str], code: Code, retry: &str) -> Json {
    reply(name, after, json!({"code": code.name(), "retry": retry, "sentence": code.sentence()}))
}

fn to_phone() -> Vec<Json> {
    vec![
        reply("first", &[], json!({"number": 1, "records": 3, "received": 3})),
        reply("second", &[], json!({"number": 2, "records": 4, "received": 5, "photos_received": 2})),
        reply("second", &["first"], json!({"number": 2, "records": 4, "received": 2, "photos_received": 2})),
        reply(
            "refused-change",
            &["first"],
            json!({"number": 3, "records": 3, "received": 2, "photos_received": 2, "waiting": ["REFUSED"]}),
        ),
        reply("erasure", &["second"], json!({"number": 4, "records": 2, "photos_received": 2, "waiting": ["REFUSED"]})),
        reply(
            "restored",
            &["first"],
            json!({"number": 5, "records": 2, "received": 2, "photos_received": 2, "waiting": ["REFUSED"], "restored": true}),
        ),
        reply(
            "new-epoch",
            &["second"],
            json!({"number": 6, "records": 2, "received": 5, "photos_received": 2, "waiting": ["REFUSED"], "restored": true}),
        ),
        no_reply("earlier-epoch", &["new-epoch"], Code::StaleReply, "never"),
        no_reply("first", &["second"], Code::StaleReply, "never"),
        no_reply("first", &["first"], Code::StaleReply, "never"),
        reply("cut-after-text", &[], json!({"number": 1, "records": 3, "received": 3})),
        no_reply("other-device", &[], Code::NotForUs, "never"),
        no_reply("other-device-resealed", &[], Code::NotForUs, "never"),
        no_reply("a-bundle", &[], Code::NotForUs, "never"),
        no_reply("a-bundle-resealed", &[], Code::BadSignature, "never"),
        no_reply("cut-in-text", &[], Code::Cut, "later"),
        no_reply("flipped-magic", &[], Code::BadMagic, "never"),
        no_reply("flipped-flags", &[], Code::BadSignature, "never"),
        no_reply("flipped-text", &[], Code::PartHash, "later"),
        no_reply("flipped-signature", &[], Code::BadSignature, "never"),
        no_reply("forged-receipt", &[], Code::BadSignature, "never"),
        no_reply("no-receipt", &[], Code::Schema, "after_person"),
        no_reply("deep", &[], Code::Schema, "after_person"),
        no_reply("new-version", &[], Code::TooNew, "after_upgrade"),
        no_reply("bomb", &[], Code::Bomb, "never"),
    ]
}

/// What is for the office, handed to a phone by mistake. Sealed to the office, so that the phone sees its outside only.
fn astray() -> Vec<Json> {
    let sealed = [
        "first",
        "second",
        "whole",
        "resealed",
        "unknown-kinds",
        "fork",
        "lost-change",
        "forged-before-lost",
        "cut-after-text",
        "cut-in-photo",
        "flipped-photo",
        "flipped-segment",
        "deep",
        "revoked-device",
        "forbidden-field",
        "newer-change",
        "unknown-erasure",
        "unknown-field",
        "other-office",
        "other-recipient",
        "a-reply-resealed",
        "flipped-flags",
        "flipped-envelope",
        "flipped-signature",
        "flipped-frames",
        "unknown-device",
        "bomb",
        "no-manifest",
    ];
    let mut cases: Vec<Json> = sealed.iter().map(|name| no_reply(name, &[], Code::NotForUs, "never")).collect();
    cases.extend([
        no_reply("cut-in-header", &[], Code::BadMagic, "never"),
        no_reply("cut-in-length", &[], Code::Cut, "later"),
        no_reply("cut-in-text", &[], Code::Cut, "later"),
        no_reply("flipped-magic", &[], Code::BadMagic, "never"),
        no_reply("flipped-text", &[], Code::PartHash, "later"),
        no_reply("new-version", &[], Code::TooNew, "after_upgrade"),
        no_reply("endless-part", &[], Code::TooBig, "never"),
        no_reply("photo-first", &[], Code::Schema, "after_person"),
        // This one is for the phone.
        reply("a-reply", &[], json!({"number": 1, "records": 3, "received": 3})),
    ]);
    cases
}
