//! The review over a real office, asked as a browser asks.

mod choosing;
mod deciding;
mod queue;
mod several;
mod shown;

use dooryard_core::{
    ids::RecordId,
    notebook::{Notebook, Query, Record},
    record::Kind,
};

use serde_json::{Value as Json, json};

use crate::{
    page::{
        asks::{Answer, get, post},
        sample_county::County,
    },
    people::Role,
};

const SCRIPT: &str = "<script>alert(1)</script>";

fn save(county: &County, kind: Kind, id: Option<RecordId>, fields: &Json) -> RecordId {
    county.office.notebook().save(kind, id, fields.as_object().unwrap()).unwrap()
}

/// The scout's answer to the tomato: early blight, likely.
fn answered(county: &County) -> RecordId {
    let causes = json!([{"cause": "tomato_early_blight", "role": "primary", "word": "likely", "percent": 60}]);
    save(
        county,
        Kind::Diagnosis,
        None,
        &json!({
            "inquiry": county.tomato.to_string(), "causes": causes, "basis": "field", "by": "Scout 3",
            "reasons": format!("Low leaves first {SCRIPT}"), "at": "2026-07-20T11:02:00-05:00[America/Chicago]",
        }),
    )
}

fn look(county: &County, role: Role, uri: &str) -> Answer {
    get(uri).signed_in(county, role).send(county)
}

fn send(county: &County, role: Role, uri: &str, fields: &[(&str, &str)]) -> Answer {
    post(uri, fields).signed_in(county, role).send(county)
}

/// What a hidden field of a form holds.
fn hidden<'a>(page: &'a str, name: &str) -> &'a str {
    let (_, rest) = page.split_once(&format!("name=\"{name}\" value=\"")).unwrap_or_else(|| panic!("{name}: {page}"));
    rest.split_once('"').unwrap().0
}

const CAUSE: &str = "tomato_septoria";

/// Keeps an own answer.
fn own(county: &County, role: Role, id: RecordId) -> Answer {
    let page = look(county, role, &format!("/review/{id}")).text();
    let fields =
        [("seen", hidden(&page, "seen")), ("cause1", CAUSE), ("sure1", "72"), ("grounds", "Small and <b>even</b>")];
    send(county, role, &format!("/review/{id}/own"), &fields)
}

/// Decides.
fn decide(county: &County, role: Role, id: RecordId, fields: &[(&str, &str)]) -> Answer {
    let page = look(county, role, &format!("/review/{id}")).text();
    let all = [&[("seen", hidden(&page, "seen"))], fields].concat();
    send(county, role, &format!("/review/{id}/decide"), &all)
}

fn of(county: &County, kind: Kind) -> Vec<Record> {
    let book: &Notebook = county.office.notebook();
    let rows = book.list(&Query { kind: Some(kind), ..Query::default() }).unwrap().rows;
    rows.into_iter().map(|row| book.show(row.id).unwrap()).collect()
}

#[test]
fn the_pack_knows_the_causes_of_these_tests() {
    let names = crate::page::sample::names();
    assert!(names.causes.contains_key(CAUSE) && names.causes.contains_key("tomato_early_blight"));
}
